package report

import (
	"strings"

	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

func (v *view) title(p *page) {
	p.heading(1, text("Diagnosis: "+strings.TrimSuffix(v.sheetName(), ":")))
}

func (v *view) stopSection(p *page) {
	if len(v.d.Stops) == 0 {
		return
	}
	p.heading(2, text("Stop"))
	for _, n := range v.stopNotices() {
		p.para(bold("STOP: " + n.title + n.places))
		p.item(0, text(n.stop.Do), text(v.cites.mark(n.stop.Cites)))
		p.caution(0, n.stop.Caution)
		p.field(0, "Since", text(strings.Join(n.because, "; ")))
	}
}

// sheetSection says whose diagnosis it is and keeps the notes of the sheet, as they were written.
func (v *view) sheetSection(p *page) {
	s := v.d.Sheet
	p.heading(2, text("The sheet"))
	p.field(0, "Machine", text(v.machineText()))
	if s.Path != "" && s.Path != "-" {
		p.field(0, "File", typed(s.Path))
	}
	p.field(0, "History", text(v.history()))
	for _, t := range s.Tried {
		did := actionTitle(v.k, t.Did)
		if t.At != "" {
			did += " at " + v.named(t.At)
		}
		p.field(0, "Tried", text(did+": "+afterWords(t.After)))
	}
	for _, n := range s.Notes {
		label := "Notes"
		if n.Place != "" {
			label += ", " + v.named(n.Place)
		}
		p.field(0, label, text("as written, not evaluated:"))
		p.verbatim(noteLines(n.Text))
	}
}

// named finds the level of a place that is only a name.
func (v *view) named(name string) string {
	for _, n := range v.d.Sheet.Machine.Carburetors {
		if n == name {
			return placeName(symptoms.Carburetor, name)
		}
	}
	return placeName(symptoms.Cylinder, name)
}

func (v *view) history() string {
	var out []string
	for _, id := range v.d.Sheet.History {
		if v.k == nil || v.k.Vocabulary == nil {
			out = append(out, oneLine(id))
			continue
		}
		if o, ok := v.k.Vocabulary.Lookup(id); ok {
			out = append(out, answered(o, "", "yes"))
		} else {
			out = append(out, oneLine(id))
		}
	}
	return strings.Join(out, "; ")
}

func noteLines(s string) []string {
	return strings.Split(strings.Trim(clean(s), "\n"), "\n")
}

func (v *view) warningSection(p *page) {
	if len(v.d.Warnings) == 0 {
		return
	}
	p.heading(2, text("Warnings"))
	for _, w := range v.urgentWarnings() {
		p.item(0, text(w.Text))
		p.field(1, "What helps", text(w.Remedy))
	}
}

// worthALine is the chance from which on a cause or effect is listed when no number was asked for.
const worthALine = 0.01 // percent calls less "under 1 %"

// worthAHandOut is the same for the hand-out.
const worthAHandOut = 0.05

func (v *view) listed() []*engine.Ranked {
	r := v.d.Ranked
	if v.style.Top > 0 {
		return r[:min(len(r), v.style.Top)]
	}
	least := worthALine
	if v.style.Details == Brief {
		least = worthAHandOut
	}
	n := min(len(r), defaultTop)
	for n < len(r) && r[n].Anywhere >= least {
		n++
	}
	return r[:n]
}

func (v *view) rankingSection(p *page) {
	p.heading(2, text("Likely causes"))
	list := v.listed()
	if len(list) == 0 {
		p.para(text("No cause is known for such a machine."))
		return
	}
	t := &table{head: []string{"Chance", "Cause", v.placeHead(), "Without the sheet"}, right: []int{0, 3}}
	if v.style.Details == Brief {
		t.head = append(t.head, "Strongest reason")
	}
	for _, r := range list {
		cells := [][]span{one(text(percent(r.Anywhere))), one(bold(r.Title)), one(text(v.placeCell(r))), one(text(percent(r.Prior)))}
		if v.style.Details == Brief {
			because, weight := v.reason(r)
			cells = append(cells, one(text(because+weight)))
		}
		t.row(cells...)
	}
	p.table(t)
	if rest := v.remaining(len(list)); rest != "" {
		p.para(text(upperFirst(rest) + "."))
	}
	p.para(text("The chance is that of the cause being present, at one place at least; several can be present at once, so the chances need not add up to 100 %."))
}

// placeHead and placeCell fill the third column: places, or the system where there is one place only.
func (v *view) placeHead() string {
	if v.oneOfEach() {
		return "System"
	}
	return "Where"
}

func (v *view) placeCell(r *engine.Ranked) string {
	if v.oneOfEach() {
		return strings.ReplaceAll(r.System, "-", " ")
	}
	if len(r.Places) > 0 && r.Places[0].Place.Name == "" {
		return "whole machine"
	}
	return v.placeList(r, 60)
}

// oneOfEach says that no place needs to be named on this machine.
func (v *view) oneOfEach() bool {
	m := &v.d.Sheet.Machine
	return len(m.Carburetors) < 2 && len(m.Cylinders) < 2
}

func (v *view) effectSection(p *page) {
	if len(v.d.Effects) == 0 {
		return
	}
	p.heading(2, text("What goes wrong inside"))
	t := &table{head: []string{"Chance", "Effect", "Where"}, right: []int{0}}
	rest := 0
	for _, e := range v.d.Effects {
		if e.Probability < worthALine {
			rest++
			continue
		}
		t.row(one(text(percent(e.Probability))), one(text(e.Title)), one(text(placeOrMachine(e.Place))))
	}
	p.table(t)
	if rest > 0 {
		p.para(text(upperFirst(count(rest, "other effect")) + " under" + nbsp + "1" + nbsp + "% each."))
	}
}

func placeOrMachine(pl engine.Place) string {
	if pl.Name == "" {
		return "whole machine"
	}
	return where(pl)
}

// heardSection says what was made of every reading.
func (v *view) heardSection(p *page) {
	if len(v.d.Heard) == 0 {
		return
	}
	p.heading(2, text("How the sheet was read"))
	for _, h := range v.d.Heard {
		r := h.Reading
		p.item(0, text(answered(r.Observation, v.readAt(r), r.Value.Text)))
		if !h.Used {
			p.field(1, "Not evidence", text(h.Why))
			continue
		}
		by := statesOf(h)
		for _, s := range []engine.State{engine.Seen, engine.Doubtful, engine.NotSeen, engine.NotAsked} {
			p.field(1, stateWord(s), text(strings.Join(by[s], "; ")))
		}
		p.field(1, "Note", text(h.Why))
	}
}

// readAt says where a reading was made.
func (v *view) readAt(r symptoms.Reading) string {
	switch {
	case r.Scope == symptoms.Somewhere:
		return "not known where"
	case r.Observation == nil:
		return oneLine(r.Place)
	}
	return v.spotName(engine.Place{Level: r.Observation.About, Name: r.Place})
}

func stateWord(s engine.State) string {
	switch s {
	case engine.Seen:
		return "So"
	case engine.NotSeen:
		return "Not so"
	case engine.Doubtful:
		return "In doubt"
	}
	return "Left open"
}

func (v *view) effortSection(p *page) {
	e := v.d.Effort
	p.heading(2, text("The computation"))
	p.field(0, "Pieces of evidence", text(number(float64(e.Findings))))
	p.field(0, "Probability of the whole sheet", text("10 to the power "+number(e.LogEvidence/ln10)))
	p.field(0, "Largest table", text("2 to the power "+number(float64(e.Width))+"; "+number(e.Entries)+" entries in all"))
	for _, x := range e.SetAside {
		p.field(0, "Left out, to stay exact within the limit", text(v.sawAt(x)))
	}
}

const ln10 = 2.302585092994046 // natural logarithm of 10
