package engine

import (
	"fmt"
	"math"
	"strings"
)

// warnings qualify the result, each with what would remove it.
func (w *work) warnings(d *Diagnosis) []Warning {
	var out []Warning
	if s := d.Effort.SetAside; len(s) > 0 {
		out = append(out, Warning{Kind: SetAside, Text: fmt.Sprintf("%d answers were set aside to keep the computation exact within its limit: %s",
			len(s), named(s)), Remedy: "raise the limit, or leave out answers that say little"})
	}
	out = append(out, w.littleSaid(d)...)
	out = append(out, w.notUsed(d)...)
	out = append(out, w.notExplained()...)
	return append(out, w.nothingSeparates(d)...)
}

func named(evidence []Evidence) string {
	var names []string
	for _, e := range evidence {
		names = append(names, e.name())
	}
	return strings.Join(names, ", ")
}

// name is an evidence's id and answer, as on the sheet.
func (e Evidence) name() string {
	switch {
	case e.Repair != nil:
		return e.Repair.ID + ": " + e.After
	case e.Observation != nil && e.Place.Name != "":
		return fmt.Sprintf("%s at %s: %s", e.Observation.ID, e.Place.Name, e.Answer)
	case e.Observation != nil:
		return e.Observation.ID + ": " + e.Answer
	}
	return e.Answer
}

func (w *work) littleSaid(d *Diagnosis) []Warning {
	const enough = 3
	if len(w.items) >= enough {
		return nil
	}
	text := "nothing on the sheet bears on any cause; the ranking is how often each is met"
	switch len(w.items) {
	case 1:
		text = "only one answer on the sheet bears on a cause"
	case 2:
		text = "only two answers on the sheet bear on a cause"
	}
	remedy := "answer more of the sheet"
	if len(d.Unasked) > 0 {
		o := d.Unasked[0].Observation
		remedy = "begin with " + o.ID + ": " + o.Question
	}
	return []Warning{{Kind: LittleSaid, Text: text, Remedy: remedy}}
}

// notUsed reports readings that a rule would read, if the sheet said a little more or said it otherwise.
func (w *work) notUsed(d *Diagnosis) []Warning {
	read := map[string]bool{}
	for _, o := range w.know.reads {
		read[o.ID] = true
	}
	var out []Warning
	for _, h := range d.Heard {
		if h.Used || !read[h.Reading.Observation.ID] || h.Why == whyNotHere {
			continue
		}
		out = append(out, Warning{Kind: NotUsed, Text: notUsedText(h), Remedy: w.remedyFor(h)})
	}
	return out
}

// notUsedText begins with what is missing on the sheet, where one thing is: that must be left when a screen cuts the text short.
func notUsedText(h Heard) string {
	o := h.Reading.Observation
	said := o.ID + ": " + h.Reading.Value.Text
	if missing, ok := strings.CutSuffix(h.Why, notOnSheet); ok {
		return fmt.Sprintf("%s is not on the sheet, so %s is not used", strings.TrimPrefix(missing, comparedWith), said)
	}
	return fmt.Sprintf("%s is not used: %s", said, h.Why)
}

func (w *work) remedyFor(h Heard) string {
	o := h.Reading.Observation
	if around, ok := w.know.set.Vocabulary.Lookup(o.Around); ok {
		return fmt.Sprintf("write %s under machine, in %s", around.ID, around.Unit)
	}
	return "say more on the sheet, or leave it"
}

// notExplained reports findings that something is wrong which no cause that is at all likely would make.
func (w *work) notExplained() []Warning {
	const explained = 0.15
	var out []Warning
	for _, it := range w.items {
		if !it.abnormal() {
			continue
		}
		none := 1.0
		for _, p := range w.pulls().onItem(it) {
			none *= 1 - w.post.of(p.cause.node)*p.strength
		}
		if 1-none < explained {
			out = append(out, Warning{Kind: NotExplained, Text: it.name() + " is not explained by any likely cause",
				Remedy: "look again, or look for a fault the knowledge does not have"})
		}
	}
	return out
}

// nothingSeparates reports pairs among the first causes that every answer so far moves alike.
func (w *work) nothingSeparates(d *Diagnosis) []Warning {
	const worthTelling, alike, raised = 0.05, 0.05, 1.25
	var out []Warning
	first := d.Ranked[:min(w.options.Explain, len(d.Ranked))]
	for i, a := range first {
		for _, b := range first[i+1:] {
			if min(a.Anywhere, b.Anywhere) < worthTelling || a.Anywhere < raised*a.Prior || b.Anywhere < raised*b.Prior {
				continue // not worth separating, or the sheet does not speak for both
			}
			if w.movedAlike(a, b, alike) {
				out = append(out, Warning{Kind: NothingSeparates, Text: fmt.Sprintf("nothing on the sheet so far separates %q from %q", a.Title, b.Title),
					Remedy: w.separator(a, b), Causes: []*Ranked{a, b}})
			}
		}
	}
	return out
}

func (w *work) movedAlike(a, b *Ranked, tolerance float64) bool {
	x, y := w.instance[a.Places[0]], w.instance[b.Places[0]]
	for i := range w.runs {
		if math.Abs(math.Log(w.alone(&w.runs[i], x)/w.alone(&w.runs[i], y))) > tolerance {
			return false
		}
	}
	return true
}

// separator names the unasked observation on which two causes pull most differently.
func (w *work) separator(a, b *Ranked) string {
	x, y := w.instance[a.Places[0]], w.instance[b.Places[0]]
	best, most := "", 0.05
	for _, o := range w.know.set.Vocabulary.All() {
		for _, p := range w.at[o.About] {
			at := observedAt{o, p}
			if len(w.findings[at]) == 0 || w.looked(at) {
				continue
			}
			pulls := w.onObserved(w.pulls(), at)
			if diff := math.Abs(strengthOn(pulls, x) - strengthOn(pulls, y)); diff > most {
				best, most = "ask: "+o.Question, diff
			}
		}
	}
	if best == "" {
		return "no single question separates them; try the quicker repair first"
	}
	return best
}
