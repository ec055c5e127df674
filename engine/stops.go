package engine

import (
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// stops returns the stop notices whose condition holds somewhere. A reading made "somewhere" counts as one at each place in
// turn: a notice errs on the side of caution.
func (w *work) stops() []Stop {
	var out []Stop
	for _, s := range w.know.set.Stops {
		for _, p := range w.at[s.About] {
			c := w.caseWithSomewhere(p)
			if s.When.Eval(c) == condition.True {
				out = append(out, Stop{Stop: s, Place: w.places[p], Because: w.because(s.When, p)})
				break
			}
		}
	}
	return out
}

// caseWithSomewhere fills a case as if everything reported somewhere had been seen at this place.
func (w *work) caseWithSomewhere(p int) *condition.Case {
	c := w.know.set.Env.NewCase()
	fill := func(r *symptoms.Reading, at int) {
		around, _ := w.around(r.Observation, at)
		w.know.set.Known(c, r.Observation, r.Value, around)
	}
	for i := range w.sheet.Machine.Facts {
		fill(&w.sheet.Machine.Facts[i], p)
	}
	for i := range w.sheet.Readings {
		if r := &w.sheet.Readings[i]; w.speaksOf(r, p) {
			fill(r, p)
		}
	}
	return c
}

// speaksOf reports whether a reading is, or may be, about a place or something that holds it.
func (w *work) speaksOf(r *symptoms.Reading, p int) bool {
	if at, ok := w.placeOf(r); ok {
		return w.holds(at, p)
	}
	return r.Observation.About <= w.places[p].Level
}

// because lists the readings that a condition read, as written.
func (w *work) because(c *condition.Condition, p int) []string {
	reads := map[*symptoms.Observation]bool{}
	for _, i := range c.Reads() {
		reads[w.know.set.Symbol(i).Observation] = true
	}
	var out []string
	for i := range w.sheet.Readings {
		if r := &w.sheet.Readings[i]; w.speaksOf(r, p) && reads[r.Observation] {
			out = append(out, r.Observation.Question+" "+r.Value.Text)
		}
	}
	return out
}
