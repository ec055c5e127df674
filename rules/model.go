package rules

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"diagnose.example/carburetor"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Param is an argument of a [Model], or its result.
type Param struct {
	// Name is what it is, in words.
	Name string
	// Unit is the unit of the worked example; empty for ratios and counts.
	Unit string
}

// Model is one function of the physical model (package carburetor) as conditions, bands and comparisons call it: with
// typed arguments in SI base units. Where the model does not answer, because the input cannot be or lies outside the range
// for which its formula holds, the result is NaN, and so unknown.
type Model struct {
	Name   string
	Params []Param
	Result Param
	// Formulas are the formulas of package carburetor that it computes, the main one first.
	Formulas []string
	// Doc says in a sentence what it tells; Assumes names what is taken for granted, with where that comes from.
	Doc, Assumes string
	// Monotone says that the result rises or falls steadily in each argument, so that a reading with limits gives a result
	// with limits.
	Monotone bool
	// Example holds arguments for a worked example, in the units of Params.
	Example []float64

	call func(a []float64) (float64, error)
}

// Models returns the functions of the physical model, in the order of the list for rule authors.
func Models() []Model {
	var all []Model
	for _, part := range [][]Model{airModels(), floatModels(), mixtureModels(), supplyModels()} {
		all = append(all, part...)
	}
	return all
}

// LookupModel finds a function by its name.
func LookupModel(name string) (Model, bool) {
	for _, m := range Models() {
		if m.Name == name {
			return m, true
		}
	}
	return Model{}, false
}

// Call computes the function from SI base units; NaN where the model does not answer.
func (m Model) Call(args []float64) float64 {
	if len(args) != len(m.Params) {
		return math.NaN()
	}
	v, err := m.call(args)
	if err != nil || math.IsInf(v, 0) {
		return math.NaN()
	}
	return v
}

// Formula returns the main formula; ok is false when the model has none of that name, which a test excludes.
func (m Model) Formula() (f carburetor.Formula, ok bool) {
	if len(m.Formulas) == 0 {
		return f, false
	}
	return carburetor.LookupFormula(m.Formulas[0])
}

// Citation returns what may be shown as the source of its formulas, each after the name of what it stands with.
func (m Model) Citation() string {
	var parts []string
	for _, name := range m.Formulas {
		if f, ok := carburetor.LookupFormula(name); ok {
			parts = append(parts, name+": "+strings.TrimSuffix(f.Citation(), "."))
		}
	}
	return strings.Join(parts, "; ")
}

// Worked returns the result of the example, in the unit of Result.
func (m Model) Worked() float64 {
	args := make([]float64, len(m.Example))
	for i, v := range m.Example {
		u, _ := symptoms.LookupUnit(m.Params[i].Unit)
		args[i] = u.SI(v)
	}
	u, _ := symptoms.LookupUnit(m.Result.Unit)
	return u.FromSI(m.Call(args))
}

// Row is its row in the table for rule authors, in Markdown.
func (m Model) Row() string {
	show := func(p Param, v float64) string {
		return strings.TrimSpace(strconv.FormatFloat(v, 'g', 4, 64) + " " + p.Unit)
	}
	var params, values []string
	for i, p := range m.Params {
		params = append(params, p.Name)
		values = append(values, show(p, m.Example[i]))
	}
	return fmt.Sprintf("| `%s` | %s | %s | %s: %s |", m.Name, strings.Join(params, ", "), m.Doc, strings.Join(values, ", "), show(m.Result, m.Worked()))
}

// function returns it as the condition language takes it.
func (m Model) function() condition.Function {
	f := condition.Function{Name: m.Name, Result: m.Result.dim(), Monotone: m.Monotone, Call: m.Call, Doc: m.Doc}
	for _, p := range m.Params {
		u, _ := symptoms.LookupUnit(p.Unit)
		f.Args, f.Units = append(f.Args, condition.Dim(u.Dim)), append(f.Units, u.Func)
	}
	return f
}

func (p Param) dim() condition.Dim {
	u, _ := symptoms.LookupUnit(p.Unit)
	return condition.Dim(u.Dim)
}
