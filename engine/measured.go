package engine

import (
	"math"

	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Measured compares one measured or computed number with what it should be. Figures are in SI base units.
type Measured struct {
	Observation *symptoms.Observation
	Place       Place
	Value       symptoms.Value
	// Computed says that nobody gave the number; it was worked out from others.
	Computed bool
	// Known says that something was expected; Expected is that, By the number or the name of what said so.
	Known                         bool
	Expected, ExpectedUncertainty float64
	By                            string
	// Difference is the middle of Value less Expected, with its standard uncertainty.
	Difference, DifferenceUncertainty float64
	// Tells are what the number means in figures, as far as that is known.
	Tells []Told
	// Models names the functions of the physical model that Value and Expected were worked out with.
	Models []string
}

// Told is one figure that a number means.
type Told struct {
	symptoms.Tell
	// Value and Uncertainty are in SI base units.
	Value, Uncertainty float64
	Models             []string
}

// measured lists the numbers on the sheet that can be compared with something or that mean something in figures.
func (n *network) measured() []Measured {
	var out []Measured
	for i := range n.readings {
		r := &n.readings[i]
		p, ok := n.placeOf(r)
		if !ok || r.Observation.Kind != symptoms.Number || len(r.Value.Words) > 0 {
			continue
		}
		m := Measured{Observation: r.Observation, Place: n.places[p], Value: r.Value, Computed: i >= len(n.sheet.Readings)}
		if q, ok := n.know.set.Computed(r.Observation); ok && m.Computed {
			m.Models = modelsIn(q)
		}
		n.compare(&m, p)
		n.tell(&m, p)
		if m.Known || m.Computed || len(m.Tells) > 0 {
			out = append(out, m)
		}
	}
	return out
}

// compare fills in what was expected.
func (n *network) compare(m *Measured, place int) {
	o := m.Observation
	middle, ok := n.around(o, place)
	if !o.Relative() || !ok {
		return
	}
	m.Known, m.Expected, m.ExpectedUncertainty, m.By = true, middle.at, middle.uncertainty, o.Around
	if _, _, by, ok := n.know.set.Expect(n.cases[place], o); ok {
		m.By = by.String()
		m.Models = append(m.Models, modelsIn(by)...)
	}
	half := (m.Value.Hi - m.Value.Lo) / 2
	m.Difference = m.Value.Lo + half - middle.at
	m.DifferenceUncertainty = math.Hypot(math.Hypot(m.Value.U, half/math.Sqrt(3)), middle.uncertainty)
}

// tell fills in what the number means. A figure that is known only within limits counts as their middle.
func (n *network) tell(m *Measured, place int) {
	for i, q := range n.know.set.Tells(m.Observation) {
		lo, hi, known := q.Eval(n.cases[place])
		if value := lo + (hi-lo)/2; known && finite(value) {
			u := math.Hypot((hi-lo)/math.Sqrt(12), n.uncertaintyOf(q, place))
			m.Tells = append(m.Tells, Told{Tell: m.Observation.Tells[i], Value: value, Uncertainty: u, Models: modelsIn(q)})
		}
	}
}

// modelsIn names the functions of the model that a number calls, each once.
func modelsIn(q *condition.Quantity) []string {
	var names []string
	seen := map[string]bool{}
	for _, c := range q.Calls() {
		if _, ok := rules.LookupModel(c.Function); ok && !seen[c.Function] {
			seen[c.Function] = true
			names = append(names, c.Function)
		}
	}
	return names
}
