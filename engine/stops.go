package engine

import (
	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// stops returns the stop notices whose condition holds, at every place where it does. Where it holds only if what was reported
// somewhere is so at that place, the notice is given once, for no place: it errs on the side of caution.
func (w *work) stops() []Stop {
	var out []Stop
	for _, s := range w.know.set.Stops {
		known, possible := w.stopAt(s, w.cases), w.stopAt(s, w.casesWithSomewhere())
		for _, p := range known {
			out = append(out, Stop{Stop: s, Place: w.places[p], Because: w.because(s.When, p)})
		}
		if len(known) == 0 && len(possible) > 0 {
			out = append(out, Stop{Stop: s, Because: w.because(s.When, possible[0])})
		}
	}
	return out
}

// stopAt lists the places where a stop notice's condition is true.
func (w *work) stopAt(s *rules.Stop, cases []*condition.Case) []int {
	var out []int
	for _, p := range w.at[s.About] {
		if s.When.Eval(cases[p]) == condition.True {
			out = append(out, p)
		}
	}
	return out
}

// casesWithSomewhere fills each place's case as if everything reported somewhere had been seen there.
func (w *work) casesWithSomewhere() []*condition.Case {
	cases := casesOf(w.network)
	for p, c := range cases {
		for i := range w.readings {
			r := &w.readings[i]
			if _, known := w.placeOf(r); !known && w.speaksOf(r, p) {
				around, _ := w.around(r.Observation, p)
				w.know.set.Known(c, r.Observation, r.Value, around.at)
			}
		}
	}
	return cases
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
	for i := range w.readings {
		if r := &w.readings[i]; w.speaksOf(r, p) && reads[r.Observation] {
			out = append(out, r.Observation.Question+" "+r.Value.Text)
		}
	}
	return out
}
