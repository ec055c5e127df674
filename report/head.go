package report

import (
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

// notice is a stop notice with all places at which it holds.
type notice struct {
	stop    engine.Stop
	title   string
	places  string // " at left and right"
	because []string
}

// stopNotices gathers the stops of one kind into one notice each, in their order.
func (v *view) stopNotices() []notice {
	var out []notice
	names := map[int][]string{}
	for _, s := range v.d.Stops {
		i := slices.IndexFunc(out, func(n notice) bool { return n.stop.ID == s.ID })
		if i < 0 {
			i = len(out)
			out = append(out, notice{stop: s, title: oneLine(s.Title)})
		}
		if s.Place.Name != "" && !v.single(s.Place.Level) {
			names[i] = append(names[i], where(s.Place))
		}
		for _, b := range s.Because {
			out[i].because = appendNew(out[i].because, oneLine(b))
		}
	}
	for i := range out {
		if len(names[i]) > 0 {
			out[i].places = " at " + list(names[i], "and")
		}
	}
	return out
}

// sheetName is what the sheet is known by in the shop: its job, or else its file.
func (v *view) sheetName() string {
	if job := oneLine(v.d.Sheet.Job); job != "" {
		return "Job " + job + ":"
	}
	if v.d.Sheet.Path == "-" || v.d.Sheet.Path == "" {
		return "Intake sheet:"
	}
	return oneLine(v.d.Sheet.Path) + ":"
}

// machineText describes the machine in full: "parallel twin (four-stroke, 2 cylinders, carburetors left and right)".
func (v *view) machineText() string { return v.machineTexts()[0] }

// machineTexts describes the machine, the fullest description first.
func (v *view) machineTexts() []string {
	m := &v.d.Sheet.Machine
	cylinders := count(len(m.Cylinders), "cylinder")
	kind := oneLine(m.CarburetorKind)
	names, number := carburetorNames(m), count(len(m.Carburetors), "carburetor")
	forms := [][]string{
		{strokes(m.Strokes), cylinders, ofKind(kind, names)},
		{strokes(m.Strokes), cylinders, names},
		{strokes(m.Strokes), names},
		{names},
		{strokes(m.Strokes), number},
		{number},
	}
	name := oneLine(m.Name)
	var out []string
	for _, f := range forms {
		facts := strings.Join(slices.DeleteFunc(f, func(s string) bool { return s == "" }), ", ")
		if name == "" {
			out = append(out, facts)
		} else {
			out = append(out, name+" ("+facts+")")
		}
	}
	return append(out, name)
}

// ofKind sets a kind before the word carburetor.
func ofKind(kind, names string) string {
	if kind == "" {
		return names
	}
	return strings.Replace(names, "carburetor", kind+" carburetor", 1)
}

func strokes(n int) string {
	switch n {
	case 2:
		return "two-stroke"
	case 4:
		return "four-stroke"
	}
	return ""
}

func carburetorNames(m *symptoms.Machine) string {
	if len(m.Carburetors) < 2 {
		return count(len(m.Carburetors), "carburetor")
	}
	names := make([]string, len(m.Carburetors))
	for i, n := range m.Carburetors {
		names[i] = oneLine(n)
	}
	return "carburetors " + list(names, "and")
}

// urgentWarnings are the warnings in the order in which they matter on the first screen: what was set aside makes the figures
// answers to another question, so it comes first.
func (v *view) urgentWarnings() []engine.Warning {
	out := slices.Clone(v.d.Warnings)
	slices.SortStableFunc(out, func(a, b engine.Warning) int { return urgency(a.Kind) - urgency(b.Kind) })
	return out
}

func urgency(k engine.WarningKind) int {
	switch k {
	case engine.SetAside:
		return 0
	case engine.NotUsed:
		return 2
	}
	return 1
}

// remaining says what of the ranking is not listed.
func (v *view) remaining(listed int) string {
	rest := v.d.Ranked[min(listed, len(v.d.Ranked)):]
	if len(rest) == 0 {
		return ""
	}
	return "and " + count(len(rest), "other cause") + ", " + atMost(rest[0].Anywhere) + " each"
}

func atMost(p float64) string {
	s := percent(p)
	if strings.HasPrefix(s, "under") {
		return s
	}
	return s + " or less"
}
