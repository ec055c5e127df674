package report

import (
	"math"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// measuredSection says what the numbers on the sheet are against what they should be, and what that means in figures.
func (v *view) measuredSection(p *page) {
	if len(v.d.Measured) == 0 {
		return
	}
	p.heading(2, text("What the numbers say"))
	for _, m := range v.d.Measured {
		v.measured(p, m)
	}
}

func (v *view) measured(p *page, m engine.Measured) {
	shown := v.style.of(m.Observation)
	name := upperFirst(strings.ReplaceAll(oneLine(m.Observation.ID), "_", " "))
	if m.Place.Name != "" {
		name += ", " + where(m.Place)
	}
	how := " measured"
	if m.Computed {
		how = " computed"
	}
	p.item(0, bold(name), text(": "+reading(m.Value, shown.Unit)+how))
	if m.Known {
		p.field(1, "Expected", text(withUncertainty(m.Expected, m.ExpectedUncertainty, shown.Unit)+" ("+byWords(m.By)+")"))
		p.field(1, "Difference", text(difference(m.Difference, m.DifferenceUncertainty, shown.Unit)))
	}
	models := m.Models
	for _, t := range m.Tells {
		p.item(1, text(v.toldText(t)))
		models = append(models[:len(models):len(models)], t.Models...)
	}
	for i, name := range models {
		if f, ok := formulaOf(name); ok && !contains(models[:i], name) {
			p.field(1, "By", text(f.lines+"; "+f.source))
		}
	}
}

// toldText is a tell with its figure in the reader's unit.
func (v *view) toldText(t engine.Told) string {
	unit := v.style.of(&symptoms.Observation{Kind: symptoms.Number, Unit: t.Unit}).Unit
	says, value := t.Says, t.Value
	if t.Less != "" && value < 0 {
		says, value = t.Less, -value
	}
	return upperFirst(oneLine(says)) + nbsp + difference(value, t.Uncertainty, unit)
}

// byWords says what an expectation comes from.
func byWords(by string) string {
	if strings.ContainsAny(by, "( ") {
		return oneLine(by)
	}
	return aroundWords(by)
}

// reading writes a measured value in a unit, with its uncertainty or its limits.
func reading(v symptoms.Value, unit string) string {
	if v.Lo == v.Hi {
		return withUncertainty(v.Lo, v.U, unit)
	}
	u, _ := symptoms.LookupUnit(unit)
	lo, hi := three(u.FromSI(v.Lo)), three(u.FromSI(v.Hi))
	switch {
	case math.IsInf(v.Lo, -1):
		return joinUnit("at most "+hi, unit)
	case math.IsInf(v.Hi, 1):
		return joinUnit("at least "+lo, unit)
	}
	return joinUnit(lo+" to "+hi, unit)
}

// withUncertainty writes a value in SI units in the unit, with its standard uncertainty where it has one.
func withUncertainty(si, u float64, unit string) string {
	x, _ := symptoms.LookupUnit(unit)
	return plusMinus(x.FromSI(si), u/x.Factor, unit)
}

// difference is withUncertainty for a difference of two values: the scale of a unit without its offset.
func difference(si, u float64, unit string) string {
	x, _ := symptoms.LookupUnit(unit)
	return plusMinus(si/x.Factor, u/x.Factor, unit)
}

// plusMinus gives the uncertainty two figures at most and the value no finer a step (JCGM 100, 7.2.6; from memory).
func plusMinus(value, u float64, unit string) string {
	if !(u > 0) {
		return joinUnit(three(value), unit)
	}
	step := math.Pow(10, math.Floor(math.Log10(u))-1)
	if u >= 10 {
		step = math.Max(1, step)
	}
	round := func(x float64) string { return number(math.Round(x/step) * step) }
	return joinUnit(round(value)+" ± "+round(u), unit)
}

// three writes a figure with three digits that matter.
func three(v float64) string {
	if v == 0 {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-2)
	return number(math.Round(v/step) * step)
}

func joinUnit(figure, unit string) string {
	if unit == "" {
		return figure
	}
	return figure + nbsp + oneLine(unit)
}

// shownFormula is a formula as one line, with what may be shown as its source.
type shownFormula struct{ lines, source string }

func formulaOf(model string) (shownFormula, bool) {
	m, _ := rules.LookupModel(model)
	f, ok := m.Formula()
	return shownFormula{lines: strings.Join(f.Lines, "; "), source: oneLine(m.Citation())}, ok
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// measuredJSON is in the units of the vocabulary.
func measuredJSON(m engine.Measured) pairs {
	u, _ := symptoms.LookupUnit(m.Observation.Unit)
	expected := []any{nil, nil, nil, nil}
	if m.Known {
		expected = []any{figure(u.FromSI(m.Expected)), figure(m.ExpectedUncertainty / u.Factor), figure(m.Difference / u.Factor),
			figure(m.DifferenceUncertainty / u.Factor)}
	}
	models := m.Models
	for _, t := range m.Tells {
		models = append(models[:len(models):len(models)], t.Models...)
	}
	formulas := []pairs{}
	for i, name := range models {
		if contains(models[:i], name) {
			continue
		}
		model, _ := rules.LookupModel(name)
		f, _ := formulaOf(name)
		formulas = append(formulas, pairs{{"function", name}, {"formula", model.Formulas[0]}, {"text", f.lines}, {"source", clean(f.source)}})
	}
	return pairs{
		{"observation", clean(m.Observation.ID)}, {"at", clean(m.Place.Name)}, {"unit", clean(m.Observation.Unit)}, {"computed", m.Computed},
		{"measured", figure(u.FromSI(m.Value.Lo + (m.Value.Hi-m.Value.Lo)/2))}, {"lowest", figure(u.FromSI(m.Value.Lo))},
		{"highest", figure(u.FromSI(m.Value.Hi))}, {"uncertainty", figure(m.Value.U / u.Factor)},
		{"expected", expected[0]}, {"expected_uncertainty", expected[1]}, {"expected_by", clean(m.By)},
		{"difference", expected[2]}, {"difference_uncertainty", expected[3]},
		{"means", each(m.Tells, toldJSON)}, {"formulas", formulas},
	}
}

func toldJSON(t engine.Told) pairs {
	u, _ := symptoms.LookupUnit(t.Unit)
	says := t.Says
	if t.Less != "" && t.Value < 0 {
		says = t.Less
	}
	return pairs{{"text", clean(says)}, {"value", figure(t.Value / u.Factor)}, {"uncertainty", figure(t.Uncertainty / u.Factor)}, {"unit", clean(t.Unit)}}
}
