package quote

import (
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Renewal is a part that an opening uses up.
type Renewal struct {
	// Access is the id of the opening.
	Access, Part string
	// At is the level that has one each: a ring for each carburetor, a gasket for each cylinder.
	At symptoms.Level
	// Within are parts that bring it along.
	Within []string
}

// Renewals lists the parts that must be new after an opening. They are common practice; no source gives a list.
func Renewals() []Renewal {
	const carburetor, cylinder, whole = symptoms.Carburetor, symptoms.Cylinder, symptoms.WholeMachine
	return []Renewal{
		{"bowl-off", "bowl-gasket", carburetor, []string{"carburetor-kit"}},
		{"carburetors-off", "intake-ring", carburetor, []string{"intake-seal"}},
		{"valve-cover-off", "valve-cover-gasket", whole, nil},
		{"head-off", "head-gasket", whole, []string{"top-end-parts"}},
		{"head-off", "exhaust-gasket", cylinder, nil},
		{"engine-out", "exhaust-gasket", cylinder, nil},
	}
}

// access returns the opening of a repair. One that the knowledge does not describe takes no minutes of its own, so that a shop's pack
// may name what it likes.
func (w *work) access(id string) *rules.Access {
	if a, ok := w.k.AccessTo(id); ok {
		return a
	}
	return &rules.Access{ID: id, Title: id}
}

// strip is how long an opening takes on this machine: what the shop says, or else the knowledge.
func (w *work) strip(id string) float64 {
	if m, ok := w.prices.Access[id]; ok {
		return m
	}
	return w.access(id).On(len(w.machine().Carburetors))
}

// beyond is how long a repair takes once so many openings of its kind are open.
func (w *work) beyond(r *rules.Repair, openings int) float64 {
	a := *w.access(r.Opens)
	if m, ok := w.prices.Access[r.Opens]; ok {
		a.Minutes = m
	}
	if a.Minutes *= float64(openings); a.Minutes == 0 {
		return r.Minutes
	}
	return a.Beyond(r.Minutes)
}
