package report

import (
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

// screenLine is one laid-out line of the first screen.
type screenLine struct {
	indent string
	spans  []span
}

// screen puts the first screen together in the fullness that cut allows.
type screen struct {
	*view
	cut   cut
	lines []screenLine
}

// firstScreen returns the fullest version that fits, or the shortest there is. It is shortened step by step until it fits;
// then every step that turned out not to be needed is taken back, the most painful first.
func (v *view) firstScreen() []screenLine {
	// One line stays free for the prompt, which would otherwise push the first line out of the window.
	budget := v.style.Height - 1
	if v.style.Top > defaultTop {
		budget += 3 * (v.style.Top - defaultTop)
	}
	taken := []int{}
	lines := v.compose(v.shortened(taken))
	for i := 0; i < len(shortenings) && len(lines) > budget; i++ {
		taken = append(taken, i)
		lines = v.compose(v.shortened(taken))
	}
	if len(lines) > budget {
		return lines
	}
	for i := len(taken) - 2; i >= 0; i-- {
		without := slices.Delete(slices.Clone(taken), i, i+1)
		if fuller := v.compose(v.shortened(without)); len(fuller) <= budget {
			taken, lines = without, fuller
		}
	}
	return lines
}

func (v *view) shortened(steps []int) cut {
	c := fullest(v.style.Top)
	for _, i := range steps {
		shortenings[i](&c)
	}
	return c
}

func (v *view) compose(c cut) []screenLine {
	s := &screen{view: v, cut: c}
	s.stops()
	s.machine()
	s.warnings()
	s.gap(3)
	s.causes()
	s.gap(1)
	s.next()
	s.gap(2)
	s.unasked()
	s.gap(4)
	s.closing()
	return s.lines
}

// put adds spans filled into at most most lines: the first opened by first, the others under it.
func (s *screen) put(first string, most int, spans ...span) {
	room := s.style.Width - width(first)
	for i, l := range shortenLines(spans, room, room, most) {
		if i == 1 {
			first = strings.Repeat(" ", width(first))
		}
		s.lines = append(s.lines, screenLine{first, l})
	}
}

// gap adds an empty line between two parts if it is among the first so many that are worth one.
func (s *screen) gap(rank int) {
	if rank <= s.cut.gaps && len(s.lines) > 0 && len(s.lines[len(s.lines)-1].spans) > 0 {
		s.lines = append(s.lines, screenLine{})
	}
}

// say adds the first of several wordings that fits on one line, or the last one cut.
func (s *screen) say(wordings ...[]span) {
	for _, w := range wordings {
		if lines := fill(w, s.style.Width, s.style.Width); len(lines) == 1 {
			s.lines = append(s.lines, screenLine{"", lines[0]})
			return
		}
	}
	s.put("", 1, wordings[len(wordings)-1]...)
}

const noLimit = 1 << 20

// workElsewhere takes the place of work that has no room with its whole caution.
const workElsewhere = "What to do next, with its cautions: "

// orderLines is how many lines the title of a stop notice may take: it is an order, and no shortening takes from it.
const orderLines = 2

func (s *screen) stops() {
	for _, n := range s.stopNotices() {
		s.put("", orderLines, bold("STOP: "+n.title+n.places))
		if s.cut.stops == titleOnly {
			continue
		}
		s.put("  ", noLimit, text(n.stop.Do))
		s.caution(n.stop.Caution)
		if s.cut.stops == withReason && len(n.because) > 0 {
			s.put("  ", 2, dim("Since: "+strings.Join(n.because, "; ")))
		}
	}
	if len(s.d.Stops) > 0 && s.cut.stops == titleOnly {
		s.put("  ", 1, text("What to do about it, with cautions: "), typed("--details"))
	}
	s.gap(1)
}

func (s *screen) machine() {
	var wordings [][]span
	for _, m := range s.machineTexts() {
		wordings = append(wordings, one(bold(s.sheetName()), text(" "), text(m)))
	}
	s.say(wordings...)
}

func (s *screen) warnings() {
	shown := 0
	for _, w := range s.urgentWarnings() {
		if shown == s.cut.warnings {
			break
		}
		shown++
		note := text(sentence(w.Text) + "; ")
		whole := "Note: " + note.text + sentence(w.Remedy)
		if s.cut.warningLines == 1 && width(whole) > s.style.Width {
			// Half a remedy is none; the whole one is among the details, and what is worth asking stands below.
			s.put("Note: ", 1, text(s.shortWarning(w)))
			continue
		}
		s.put("Note: ", s.cut.warningLines, note, dim(sentence(w.Remedy)))
	}
}

// shortWarning is the text of a warning for one line: two causes that are listed are named by their places in the list, for half a title
// is none.
func (s *screen) shortWarning(w engine.Warning) string {
	ordinals := [...]string{"first", "second", "third", "fourth", "fifth"}
	whole := sentence(w.Text)
	if len(w.Causes) != 2 || width("Note: "+whole) <= s.style.Width {
		return whole
	}
	a, b := slices.Index(s.d.Ranked, w.Causes[0]), slices.Index(s.d.Ranked, w.Causes[1])
	if listed := min(s.cut.causes, len(ordinals)); a < 0 || b < 0 || a >= listed || b >= listed {
		return whole
	}
	return "nothing so far tells the " + ordinals[a] + " cause from the " + ordinals[b]
}

func (s *screen) causes() {
	list := s.d.Ranked[:min(len(s.d.Ranked), s.cut.causes)]
	if len(list) == 0 {
		s.put("", 1, text("No cause is known for such a machine."))
		return
	}
	s.say(
		one(bold("Likely causes"), text(" (chance of being present; where; strongest reason)")),
		one(bold("Likely causes"), text(" (chance; where; strongest reason)")),
	)
	column := 0
	for _, r := range list {
		column = max(column, width(percent(r.Anywhere)))
	}
	for i, r := range list {
		s.cause(r, column, i < s.cut.reasoned)
	}
	if rest := s.remaining(len(list)); s.cut.extras && rest != "" {
		s.put(strings.Repeat(" ", column+2), 1, dim(rest))
	}
}

// barLetters is how many letters a bar takes: fewer where the width is dear.
func (v *view) barLetters() int {
	if v.style.Width < 72 {
		return 4
	}
	return 8
}

// cause writes one cause: chance, bar, title and places on the first line if they have room there, the reason below. Without
// a reason all stands on one line.
func (s *screen) cause(r *engine.Ranked, column int, reasoned bool) {
	chance := percent(r.Anywhere)
	first := strings.Repeat(" ", 1+column-width(chance)) + chance + " " + bar(r.Anywhere, s.barLetters()) + " "
	indent := strings.Repeat(" ", column+2)
	title := one(bold(r.Title))
	room := s.style.Width - width(first) - word(title).width() - 2
	places := s.placeList(r, room)
	if places != "" && width(places) <= room {
		title, places = append(title, text(": "+places)), ""
	}
	if !reasoned {
		place := s.likeliestPlace(r)
		if places == "" || place == "" {
			s.put(first, 1, title...)
		} else {
			s.ended(first, title, one(text(": "+place)))
		}
		return
	}
	s.put(first, s.cut.titleLines, title...)
	reason, weight := s.reason(r)
	switch {
	case s.cut.reasonLines == 0:
	case places != "" && (s.cut.reasonLines > 1 || reason == ""):
		s.put(indent, 1, text(s.placeList(r, s.style.Width-width(indent))))
		s.putEnding(indent, reason, weight)
	case places != "":
		s.placeAndReason(indent, r, reason, weight)
	case s.cut.reasonLines > 1 && reason != "":
		s.put(indent, 2, text("because: "+reason+weight))
	case reason != "" && width(indent+"because: "+reason+weight) <= s.style.Width:
		s.putEnding(indent, "because: "+reason, weight)
	default:
		s.putEnding(indent, reason, weight)
	}
}

// leastReason is how many columns a reason needs to be worth anything.
const leastReason = 16

// placeAndReason writes both on one line, with as many of the likely places as leave room for the reason. Where room is short, a
// likely place is worth more than the weight of the reason, and the likeliest more than the reason.
func (s *screen) placeAndReason(indent string, r *engine.Ranked, reason, weight string) {
	place := s.likeliestPlace(r) + "; "
	for n := likelyPlaces(r.Places); n > 1; n-- {
		more := firstPlaces(r.Places[:n], n) + "; "
		room := s.style.Width - width(indent) - width(more)
		if room < leastReason {
			continue
		}
		if place = more; room-width(weight) < leastReason {
			weight = ""
		}
		break
	}
	if s.style.Width-width(indent)-width(place)-width(weight) < leastReason {
		s.put(indent, 1, text(s.placeList(r, s.style.Width-width(indent))))
		return
	}
	s.putEnding(indent, place+reason, weight)
}

// putEnding adds one line, cut before its ending when it is too long.
func (s *screen) putEnding(indent, line, ending string) {
	if line == "" {
		return
	}
	s.ended(indent, one(text(line)), one(text(ending)))
}

// leastBody is how many columns a text keeps beside its ending; a longer ending is cut like any text.
const leastBody = 12

func (s *screen) ended(indent string, body, ending []span) {
	room := s.style.Width - width(indent)
	if rest := room - word(ending).width(); rest >= leastBody {
		body = append(shorten(body, rest), ending...)
	} else {
		body = shorten(append(body, ending...), room)
	}
	s.lines = append(s.lines, screenLine{indent, body})
}

// reason names the strongest evidence for a cause, and its weight: nothing when nothing speaks for it.
func (v *view) reason(r *engine.Ranked) (because, weight string) {
	if len(r.For) == 0 {
		return "", ""
	}
	w := r.For[0]
	place := v.sawAt(w.Evidence)
	if len(r.Places) > 0 && !w.Evidence.Somewhere && w.Evidence.Place == r.Places[0].Place {
		place = v.saw(w.Evidence, "")
	}
	return place, " (" + likelier(strongest(w)) + ")"
}

// strongest is the larger of the two weights: what evidence says alone, or, where it only tells together with other
// evidence, what it says then.
func strongest(w engine.Weight) float64 {
	if w.Rest > w.Alone {
		return w.Rest
	}
	return w.Alone
}

// next writes what to do next: the repair where the cause is beyond much doubt, and the most telling check. Each stands
// with its whole caution, or not at all.
func (s *screen) next() {
	if !s.cut.work {
		s.put("", 1, text(workElsewhere), typed("--details"))
		return
	}
	lead := func(work string) string {
		if len(s.d.Stops) > 0 {
			return "When that is done, " + lowerFirst(work)
		}
		return work
	}
	if r, ok := s.likelyRepair(); ok {
		s.repair(lead("Likely repair: "), r)
		if s.cut.alsoCheck && len(s.d.Checks) > 0 {
			s.check("Or check first: ", s.d.Checks[0])
		}
		return
	}
	switch {
	case len(s.d.Checks) > 0:
		s.check(lead("Next check: "), s.d.Checks[0])
	case len(s.d.Repairs) > 0:
		s.put("", 1, text("No check is left that would tell more."))
		s.repair(lead("Likeliest repair: "), s.d.Repairs[0])
	default:
		s.put("", 2, text("No check is left that would tell more, and no repair is known for the causes above."))
	}
}

// sure is the chance from which on a repair comes before the next check.
const sure = 0.9

// likelyRepair returns the repair of the first cause at its likeliest place when it is sure enough.
func (v *view) likelyRepair() (engine.Repair, bool) {
	if len(v.d.Ranked) == 0 || v.d.Ranked[0].Anywhere < sure || len(v.d.Ranked[0].Places) == 0 {
		return engine.Repair{}, false
	}
	first := v.d.Ranked[0].Places[0]
	for _, r := range v.d.Repairs {
		for _, c := range r.For {
			if c.ID == first.ID && c.Place == first.Place {
				return r, true
			}
		}
	}
	return engine.Repair{}, false
}

// check writes a check with its minutes and tools, how to do it, its caution and how its answer is written.
func (s *screen) check(lead string, c engine.Check) {
	s.work(lead+oneLine(c.Title), s.takes(c.Place, c.Minutes), joined(c.Tools))
	if s.cut.howLines > 0 {
		s.put("  ", s.cut.howLines, text(c.How))
	}
	s.caution(c.Caution)
	for i, q := range c.Questions {
		if q.Observation == nil || i >= s.cut.answers {
			continue
		}
		s.put("  Write on the sheet: ", 2, s.answerSpans(q)...)
		if s.cut.meanings && i == 0 {
			s.put("  ", 2, dim(s.meanings(q)))
		}
	}
}

func (s *screen) repair(lead string, r engine.Repair) {
	parts := ""
	if len(r.Parts) > 0 {
		parts = "parts: " + partTitles(r.Parts)
	}
	s.work(lead+oneLine(r.Title), s.takes(r.Place, r.Minutes), parts)
	s.caution(r.Caution)
}

// work writes what to do, where, how long it takes and what it needs: on one line at the price of the needs and then of the
// title's end, never of the place or the minutes.
func (s *screen) work(title, takes, needs string) {
	short := one(bold(title), text(" ("+takes+")"))
	full := short
	if needs != "" {
		full = one(bold(title), text(" ("+takes+"; "+needs+")"))
	}
	for _, w := range [][]span{full, short} {
		if len(fill(w, s.style.Width, s.style.Width)) <= s.cut.titleLines {
			s.put("", s.cut.titleLines, w...)
			return
		}
	}
	s.ended("", one(bold(title)), one(text(" ("+takes+")")))
}

// caution writes a caution whole, however long it is.
func (s *screen) caution(caution string) {
	if oneLine(caution) != "" {
		s.put("  ! ", noLimit, bold("Caution:"), text(" "), text(caution))
	}
}

// meanings says in one sentence what each answer to a question would change most.
func (v *view) meanings(q engine.Question) string {
	var parts []string
	for _, a := range q.Answers {
		if c := v.changes(a); len(c) > 0 {
			parts = append(parts, "if "+oneLine(a.Text)+", "+c[0])
		}
	}
	return upperFirst(strings.Join(parts, "; "))
}

func (s *screen) unasked() {
	list := s.openQuestions()
	list = list[:min(len(list), s.cut.questions)]
	if len(list) == 0 {
		return
	}
	s.say(
		one(bold("Not asked yet"), text(", and worth the minutes; write the answer on the sheet:")),
		one(bold("Not asked yet"), text("; write the answer on the sheet:")),
	)
	for _, q := range list {
		s.question(q)
	}
}

// question writes a question and how it is answered, on one line if they fit.
func (s *screen) question(q engine.Question) {
	asked := one(text(asked(q.Observation, s.spotName(q.Place))))
	answer := s.answerSpans(q)
	if word(asked).width()+word(answer).width()+4 <= s.style.Width {
		s.put("  ", 1, append(append(asked, text(" ")), answer...)...)
		return
	}
	s.put("  ", s.cut.titleLines, asked...)
	s.put("    ", s.cut.titleLines, answer...)
}

// openQuestions are the unasked questions that the next check does not answer anyway, one place of each.
func (v *view) openQuestions() []engine.Question {
	known := map[*symptoms.Observation]bool{}
	var check []string
	if len(v.d.Checks) > 0 {
		check = v.d.Checks[0].Observes
	}
	var list []engine.Question
	for _, q := range v.d.Unasked {
		if q.Observation != nil && !known[q.Observation] && !slices.Contains(check, q.Observation.ID) {
			known[q.Observation] = true
			list = append(list, q)
		}
	}
	return list
}

const localCodes = "Local codes and licensed practice come first."

func (s *screen) closing() {
	all := one(text("All reasons, chains, repairs and sources: "), typed("--details"))
	short := one(text("All the rest: "), typed("--details"))
	if len(s.d.Ranked) == 0 {
		s.say(all, short)
	} else {
		entry := one(text("; about one entry: "), typed("explain "+s.d.Ranked[0].ID))
		s.say(append(all, entry...), append(short, entry...), all, short)
	}
	s.put("", 1, bold(localCodes))
}
