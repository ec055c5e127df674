package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// NextText writes what to do next. Brief, it is a screen: stop notices, the best step with how, caution and what each outcome would mean,
// why it comes first, and the others in a line each; it keeps to s.Height lines where stop notices and cautions leave room. Full, every
// step is told whole, with sources, and what the plan rests on.
func NextText(w io.Writer, a *engine.Advice, k *rules.Set, s Style) error {
	n := newNextView(a, k, s)
	return onScreen(w, s, n.page, n.screen)
}

// NextMarkdown writes what to do next as GitHub-flavoured Markdown, every step whole.
func NextMarkdown(w io.Writer, a *engine.Advice, k *rules.Set, s Style) error {
	m := &hypertext{}
	m.page(newNextView(a, k, s).page())
	return m.flush(w)
}

// nextView is an advice as it is being told.
type nextView struct {
	*view
	a *engine.Advice
}

func newNextView(a *engine.Advice, k *rules.Set, s Style) *nextView {
	return &nextView{newView(&engine.Diagnosis{Sheet: a.Sheet, Stops: a.Stops}, k, s), a}
}

// nextCut says how much of the screen is shown.
type nextCut struct {
	how      int
	outcomes int
	after    int // causes named after an outcome
	others   int
	why      int
	plan     int // lines about the plan
	gaps     bool
	stops    stopFullness
}

// nextShortenings are done one after another until the screen fits.
var nextShortenings = []func(*nextCut){
	func(c *nextCut) { c.stops = withAction },
	func(c *nextCut) { c.plan = 1 },
	func(c *nextCut) { c.why = 3 },
	func(c *nextCut) { c.outcomes = 4 },
	func(c *nextCut) { c.how = 2 },
	func(c *nextCut) { c.gaps = false },
	func(c *nextCut) { c.outcomes = 3 },
	func(c *nextCut) { c.plan = 0 },
	func(c *nextCut) { c.why = 2 },
	func(c *nextCut) { c.after = 1 },
	func(c *nextCut) { c.how = 1 },
	func(c *nextCut) { c.others = 1 },
	func(c *nextCut) { c.outcomes = 2 },
	func(c *nextCut) { c.others = 0 },
}

// screen lays out the brief form.
func (n *nextView) screen() []screenLine {
	c := nextCut{how: 3, outcomes: 6, after: 2, others: max(2, n.style.Top-1), why: 4, plan: 4, gaps: true, stops: withReason}
	lines := n.compose(c)
	for i := 0; i < len(nextShortenings) && len(lines) > n.style.Height-1; i++ {
		nextShortenings[i](&c)
		lines = n.compose(c)
	}
	return lines
}

func (n *nextView) compose(c nextCut) []screenLine {
	s := &screen{view: n.view, cut: cut{titleLines: 2, stops: c.stops, gaps: 4}}
	if !c.gaps {
		s.cut.gaps = 0
	}
	s.stops()
	s.machine()
	if len(n.a.Proposals) == 0 {
		s.put("", 2, text("Nothing is known that could be done next on such a machine."))
		return s.lines
	}
	s.gap(1)
	p := &n.a.Proposals[0]
	lead := "Do next: "
	if len(n.a.Stops) > 0 {
		lead = "When that is done: "
	}
	n.step(s, lead, p, c)
	s.put("  ", c.why, text(n.whyFirst()))
	s.gap(2)
	n.others(s, c)
	s.gap(3)
	if c.plan > 0 {
		s.put("", c.plan, dim(strings.Join(n.planSays(), " ")))
	}
	s.say(one(text("All of it, with sources: "), typed("--details"), text("; the steps after it: "), typed("--tree 3")), one(text("All of it: "), typed("--details")))
	s.put("", 1, bold(localCodes))
	return s.lines
}

// step writes the best step with everything needed to do it.
func (n *nextView) step(s *screen, lead string, p *engine.Proposal, c nextCut) {
	if p.Kind() == engine.HandOver {
		s.put("", 2, bold(lead+handOver))
		return
	}
	s.work(lead+n.title(p), n.takesOf(p), n.needs(p))
	for _, a := range p.Actions {
		if how := actionHow(a); c.how > 0 && how != "" {
			s.put("  ", c.how, text(how))
		}
		s.caution(actionCaution(a))
	}
	if p.Kind() == engine.DoRepair {
		s.put("  ", 2, text(n.endsSays(p)))
	}
	list := n.worthTelling(p)
	for i, o := range list[:min(c.outcomes, len(list))] {
		if i == c.outcomes-1 && len(list) > c.outcomes {
			s.put("  ", 1, dim(fmt.Sprintf("and %s: --details", count(len(list)-i, "other outcome"))))
			break
		}
		s.put("  ", 2, append(n.outcomeHead(p, o), text(": "+n.after(o, c.after)))...)
	}
}

const handOver = "Nothing that is left here is worth its time: send the job out, or renew the unit"

// worthTelling lists the outcomes that say something, likeliest first: a repair that cured needs no further word.
func (n *nextView) worthTelling(p *engine.Proposal) []*engine.Outcome {
	var out []*engine.Outcome
	for i := range p.Outcomes {
		if o := &p.Outcomes[i]; !o.Cured && o.Probability > 0 {
			out = append(out, o)
		}
	}
	slices.SortStableFunc(out, func(a, b *engine.Outcome) int {
		switch {
		case a.Probability > b.Probability:
			return -1
		case a.Probability < b.Probability:
			return 1
		}
		return 0
	})
	return out
}

// outcomeHead says what was found, and how likely that is.
func (n *nextView) outcomeHead(p *engine.Proposal, o *engine.Outcome) []span {
	return one(bold(upperFirst(n.outcome(p, o))), text(" ("+percent(o.Probability)+")"))
}

// outcome says what was found: "if the seat can be moved".
func (n *nextView) outcome(p *engine.Proposal, o *engine.Outcome) string {
	switch {
	case o.Cured:
		return "if it cures something"
	case len(o.Tried) > 0 && p.Kind() == engine.DoRepair:
		return "if nothing changes"
	case len(o.Answers) == 0:
		return "once it is done"
	}
	last := o.Answers[len(o.Answers)-1]
	if last.Rule != nil {
		return "if " + lowerFirst(oneLine(last.Rule.Title)) + n.elsewhere(p, last.Place)
	}
	if len(p.Outcomes) > 2 {
		return "if nothing of that is found"
	}
	return "if not"
}

// elsewhere names the place of a find when it is not that of the check.
func (n *nextView) elsewhere(p *engine.Proposal, at engine.Place) string {
	if at == p.Actions[0].Place {
		return ""
	}
	return n.spot(at)
}

// after names the likeliest causes after an outcome.
func (n *nextView) after(o *engine.Outcome, most int) string {
	var out []string
	for _, l := range o.Top[:min(most, len(o.Top))] {
		out = append(out, lowerFirst(oneLine(l.Title))+" "+percent(l.Anywhere))
	}
	if len(out) == 0 {
		return "no cause stands out"
	}
	return strings.Join(out, "; ")
}

func (n *nextView) endsSays(p *engine.Proposal) string {
	return "Chance that this ends the trouble: about " + percent(p.Ends) + ". It stays evidence if it does not: write it under tried."
}

// title names the step: its actions, joined.
func (n *nextView) title(p *engine.Proposal) string {
	var out []string
	for _, a := range p.Actions {
		t := actionTitleOf(a)
		if len(out) > 0 {
			t = lowerFirst(t)
		}
		out = append(out, t)
	}
	return strings.Join(out, ", and with it ")
}

func actionTitleOf(a engine.Action) string {
	switch {
	case a.Check != nil:
		return oneLine(a.Check.Title)
	case a.Repair != nil && a.Again:
		return "Once more: " + lowerFirst(oneLine(a.Repair.Title))
	case a.Repair != nil:
		return oneLine(a.Repair.Title)
	}
	return handOver
}

func actionHow(a engine.Action) string {
	switch {
	case a.Check != nil:
		return a.Check.How
	case a.Repair != nil:
		return a.Repair.How
	}
	return ""
}

func actionCaution(a engine.Action) string {
	switch {
	case a.Check != nil:
		return a.Check.Caution
	case a.Repair != nil:
		return a.Repair.Caution
	}
	return ""
}

func actionCites(a engine.Action) []rules.Cite {
	switch {
	case a.Check != nil:
		return a.Check.Cites
	case a.Repair != nil:
		return a.Repair.Cites
	}
	return nil
}

// takesOf says where a step is done and how long it takes, access included: "left or right, 12 minutes".
func (n *nextView) takesOf(p *engine.Proposal) string {
	places := []string{n.spotName(p.Actions[0].Place)}
	for _, also := range p.Also {
		places = append(places, n.spotName(also))
	}
	if places[0] == "" {
		return minutes(p.Minutes)
	}
	return list(places, "or") + ", " + minutes(p.Minutes)
}

// needs names tools and parts.
func (n *nextView) needs(p *engine.Proposal) string {
	var tools []string
	var parts []*rules.Part
	for _, a := range p.Actions {
		if a.Check != nil {
			tools = append(tools, a.Check.Tools...)
		}
		parts = append(parts, a.Parts...)
	}
	out := joined(tools)
	if len(parts) > 0 {
		out = strings.TrimPrefix(out+"; ", "; ") + "parts: " + partTitles(parts)
	}
	return out
}

// others lists the steps that come after the best.
func (n *nextView) others(s *screen, c nextCut) {
	rest := n.a.Proposals[1:]
	rest = rest[:min(c.others, len(rest))]
	if len(rest) == 0 {
		return
	}
	s.say(one(bold("Else"), text(" (and the whole job, begun with it)")), one(bold("Else")))
	for i := range rest {
		p := &rest[i]
		if p.Kind() == engine.HandOver {
			s.ended(fmt.Sprintf("  %d ", i+2), one(text("Send the job out, or renew the unit")), one(text(": "+wholeMinutes(p.Expected))))
			continue
		}
		s.ended(fmt.Sprintf("  %d ", i+2), one(text(n.title(p))), one(text(" ("+n.takesOf(p)+"): "+wholeMinutes(p.Expected))))
	}
}

// wholeMinutes rounds an expected time: it carries no more.
func wholeMinutes(m float64) string {
	if math.IsInf(m, 0) || math.IsNaN(m) {
		return "no end in sight"
	}
	return minutes(math.Round(m))
}

// whyFirst says what the best step is worth and why it beats the next best.
func (n *nextView) whyFirst() string {
	p := &n.a.Proposals[0]
	var out []string
	if len(p.For) > 0 {
		out = append(out, "It has to come before: "+n.actions(p.For)+".")
	}
	if p.Kind() != engine.DoRepair && !math.IsNaN(p.Saves) && !math.IsInf(p.Saves, 0) {
		if p.Saves >= 0.5 {
			out = append(out, "It saves about "+wholeMinutes(p.Saves)+" of the job against leaving it out.")
		} else {
			out = append(out, "Others would do as well: it saves less than a minute against leaving it out.")
		}
	}
	if len(n.a.Proposals) > 1 {
		out = append(out, n.beats(p, &n.a.Proposals[1]))
	}
	return strings.Join(out, " ")
}

// beats says why one step comes before another: what each takes, and what it leaves to do.
func (n *nextView) beats(p, q *engine.Proposal) string {
	sooner := q.Expected - p.Expected
	takes, leaves := q.Cost-p.Cost, (q.Expected-q.Cost)-(p.Expected-p.Cost)
	switch {
	case sooner < 0.5:
		return "Number 2 is as good to within a minute."
	case takes >= 0 && leaves >= 0:
		return fmt.Sprintf("The job is done %s sooner than with number 2 first: this takes less time and leaves less to do.", wholeMinutes(sooner))
	case takes > 0:
		return fmt.Sprintf("The job is done %s sooner than with number 2 first, which takes %s more and saves only %s of that afterwards.",
			wholeMinutes(sooner), wholeMinutes(takes), wholeMinutes(-leaves))
	}
	return fmt.Sprintf("The job is done %s sooner than with number 2 first: this takes %s more, but leaves %s less to do.",
		wholeMinutes(sooner), wholeMinutes(-takes), wholeMinutes(leaves))
}

// planSays tells what the plan rests on.
func (n *nextView) planSays() []string {
	r := &n.a.Reduced
	out := []string{fmt.Sprintf("The whole job: about %s of work, %s if repairs were tried in order without any check; no plan can do it in less than %s.",
		wholeMinutes(r.Expected), wholeMinutes(r.Plain), wholeMinutes(r.Bound))}
	ahead := "the least possible"
	if !r.Exact {
		ahead = "looked " + count(r.Steps, "step") + " ahead, at most " + wholeMinutes(r.Gap) + " from the best"
	}
	out = append(out, fmt.Sprintf("Planned (%s) with the %s that the sheet speaks for, alone and in pairs, which covers %s; all others are one lump, \"something else\": %s.",
		ahead, count(len(r.Hypotheses), "cause"), percent(r.Covered), percent(r.Else)))
	return out
}
