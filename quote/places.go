package quote

import (
	"slices"

	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

// placesAt returns the places of a level of a machine, in order.
func placesAt(m *symptoms.Machine, l symptoms.Level) []engine.Place {
	if l == symptoms.WholeMachine {
		return []engine.Place{{}}
	}
	var out []engine.Place
	for _, name := range m.Places(l) {
		out = append(out, engine.Place{Level: l, Name: name})
	}
	return out
}

// belong reports whether one of two places is, holds, or hangs on the other.
func belong(m *symptoms.Machine, a, b engine.Place) bool {
	switch {
	case a.Level == symptoms.WholeMachine || b.Level == symptoms.WholeMachine:
		return true
	case a.Level == b.Level:
		return a.Name == b.Name
	case a.Level == symptoms.Cylinder:
		a, b = b, a
	}
	at := slices.Index(m.Cylinders, b.Name)
	return at >= 0 && m.Carburetors[m.Feeds[at]] == a.Name
}

// related returns the places of a level that belong to a place.
func related(m *symptoms.Machine, l symptoms.Level, p engine.Place) []engine.Place {
	var out []engine.Place
	for _, q := range placesAt(m, l) {
		if belong(m, p, q) {
			out = append(out, q)
		}
	}
	return out
}

// inOrder sorts places as the sheet has them and drops doubles.
func inOrder(m *symptoms.Machine, places []engine.Place) []engine.Place {
	var out []engine.Place
	for l := symptoms.WholeMachine; l <= symptoms.Cylinder; l++ {
		for _, p := range placesAt(m, l) {
			if slices.Contains(places, p) {
				out = append(out, p)
			}
		}
	}
	return out
}
