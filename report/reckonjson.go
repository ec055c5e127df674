package report

import (
	"strings"

	"diagnose.example/symptoms"
)

// ReckonJSON returns a reckoning as data: inputs, what of them was taken and why, results and their standard uncertainties, each
// under a name with its unit behind, such as level_shift_mm; the meaning, the formulas, and the points of the curve.
func ReckonJSON(r *Reckoning) any {
	inputs, doubts, taken := pairs{}, pairs{}, pairs{}
	for _, in := range r.Inputs {
		e, ok := r.given.entries[in.Name]
		if !ok || !r.given.used[in.Name] {
			continue
		}
		key := in.key()
		unit, _ := symptoms.LookupUnit(in.Unit)
		if len(in.Words) > 0 {
			inputs = append(inputs, pair{key, e.word})
		} else {
			inputs = append(inputs, pair{key, figure(unit.FromSI(e.si))})
			doubts = append(doubts, pair{key, figure(e.uncertainty / unit.Factor)})
		}
		if e.taken {
			taken = append(taken, pair{key, in.Because})
		}
	}
	results, spread := pairs{}, pairs{}
	for _, x := range r.Results {
		key := withUnit(x.Key, x.Unit)
		results = append(results, pair{key, figure(x.Value)})
		spread = append(spread, pair{key, figure(x.Uncertainty)})
	}
	out := pairs{
		{"calculator", r.ID}, {"title", r.Title}, {"inputs", inputs}, {"input_uncertainties", doubts}, {"taken", taken},
		{"results", results}, {"uncertainties", spread}, {"meaning", oneLine(plainSpaces(r.Meaning))}, {"notes", plainLines(r.Notes)}, {"caution", r.Caution},
		{"formulas", r.formulaData()},
	}
	if r.Curve != nil {
		points := make([][2]figure, len(r.Curve.Points))
		for i, p := range r.Curve.Points {
			points[i] = [2]figure{figure(p.X), figure(p.Y)}
		}
		out = append(out, pair{"curve", pairs{
			{"x", r.Curve.X.Name}, {"x_unit", r.Curve.X.Unit}, {"y", r.Curve.Y.Name}, {"y_unit", r.Curve.Y.Unit},
			{"here", [2]figure{figure(r.Here.X), figure(r.Here.Y)}}, {"points", points},
		}})
	}
	return out
}

// plainLines returns lines with plain spaces; never nil.
func plainLines(lines []string) []string {
	out := []string{}
	for _, l := range lines {
		out = append(out, plainSpaces(l))
	}
	return out
}

func plainSpaces(s string) string { return strings.ReplaceAll(s, nbsp, " ") }

func (r *Reckoning) formulaData() []pairs {
	out := []pairs{}
	for _, f := range r.formulas() {
		out = append(out, pairs{
			{"name", formulaName(f)}, {"lines", f.Lines}, {"here", plainLines(r.given.formulas[f.Func])}, {"standing", f.Standing.String()},
			{"source", sourceWords(f.Citation())},
		})
	}
	return out
}

// key is the name of an input in JSON.
func (in *Input) key() string {
	name := strings.ReplaceAll(in.Name, "-", "_")
	if len(in.Words) > 0 {
		return name
	}
	return withUnit(name, in.Unit)
}

// withUnit puts a unit behind a name, in the small letters of a key. Units that package symptoms does not have are plain enough to
// stand as they are.
func withUnit(name, unit string) string {
	if unit == "" {
		return name
	}
	if u, ok := symptoms.LookupUnit(unit); ok {
		unit = u.Func
	}
	return name + "_" + strings.ToLower(unit)
}
