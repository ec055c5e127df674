package quote

import "diagnose.example/symptoms"

// Access is a strip-down that several repairs share: what a repair names after "opens:".
type Access struct {
	ID, Title string
	// About says how far one strip-down reaches: with a bowl off, only that carburetor is open; with the carburetors off, all are.
	About symptoms.Level
	// Minutes is how much of the repair's own minutes goes into opening and closing.
	Minutes float64
	// Renews are the parts that must be new after the opening.
	Renews []Renewal
}

// Renewal is a part that an opening uses up.
type Renewal struct {
	Part string
	// At is the level that has one each: a ring for each carburetor, a gasket for each cylinder.
	At symptoms.Level
	// Within are parts that bring it along.
	Within []string
}

// Accesses lists the strip-downs that are known. Minutes and renewals are common practice for a machine without a fairing; the
// figures are this project's own, no source gives any. A shop can set its own minutes.
func Accesses() []Access {
	const carburetor, cylinder, whole = symptoms.Carburetor, symptoms.Cylinder, symptoms.WholeMachine
	return []Access{
		{"bowl-off", "Take the float bowl off and fit it again", carburetor, 15,
			[]Renewal{{"bowl-gasket", carburetor, []string{"carburetor-kit"}}}},
		{"carburetors-off", "Take the carburetors off and fit them again", whole, 25,
			[]Renewal{{"intake-ring", carburetor, []string{"intake-seal"}}}},
		{"tank-off", "Take the tank off and fit it again", whole, 15, nil},
		{"valve-cover-off", "Take the valve cover off and fit it again", whole, 15,
			[]Renewal{{"valve-cover-gasket", whole, nil}}},
		{"head-off", "Take the cylinder head off and fit it again", whole, 150,
			[]Renewal{{"head-gasket", whole, []string{"top-end-parts"}}, {"exhaust-gasket", cylinder, nil}}},
		{"engine-out", "Take the engine out and fit it again", whole, 150,
			[]Renewal{{"exhaust-gasket", cylinder, nil}}},
	}
}

// accessNamed returns the strip-down of a repair; one that is not in the list has no minutes of its own and renews nothing, so
// that a shop's pack may name what it likes.
func accessNamed(id string, p *Prices) Access {
	out := Access{ID: id}
	for _, a := range Accesses() {
		if a.ID == id {
			out = a
		}
	}
	if m, ok := p.Access[id]; ok {
		out.Minutes = m
	}
	return out
}
