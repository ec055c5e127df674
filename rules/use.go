package rules

import (
	"slices"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// ModelUse is one function of the physical model that stands behind a record, with numbers.
type ModelUse struct {
	Model Model
	// Text is the number in which it is called.
	Text string
	// Args and Result are a worked example in the units of Model: of the record's own case where that has the numbers, else
	// of the model's.
	Args    []float64
	Result  float64
	OwnCase bool
}

// models lists the functions that the conditions of a rule call, or the numbers of the observations that it reads.
func (x *explainer) models(qs []*condition.Quantity, calls []condition.Call, examples []Example) {
	for _, q := range qs {
		calls = append(calls, q.Calls()...)
	}
	for _, c := range calls {
		m, ok := LookupModel(c.Function)
		if !ok || slices.ContainsFunc(x.Models, func(u ModelUse) bool { return u.Model.Name == m.Name }) {
			continue
		}
		x.Models = append(x.Models, x.set.worked(m, c, examples))
	}
}

// ruleModels lists the functions behind a rule.
func (x *explainer) ruleModels(r *Rule) {
	calls := r.When.Calls()
	if r.Given != nil {
		calls = append(calls, r.Given.Calls()...)
	}
	x.models(x.set.quantities(x.set.observations(conditionsOf(r))), calls, r.Fires)
}

// worked fills in the numbers of a call: of the first case that has them all.
func (s *Set) worked(m Model, c condition.Call, examples []Example) ModelUse {
	u := ModelUse{Model: m, Text: m.Name + "(…)"}
	for _, e := range examples {
		k, err := s.exampleCase(e)
		args, ok := make([]float64, len(c.Args)), err == nil
		for i, q := range c.Args {
			if ok {
				lo, hi, known := q.Eval(k)
				args[i], ok = lo, known && lo == hi
			}
		}
		if ok {
			u.Result = m.Result.show(m.Call(args))
			for i, v := range args {
				u.Args = append(u.Args, m.Params[i].show(v))
			}
			u.OwnCase = true
			return u
		}
	}
	u.Args, u.Result = slices.Clone(m.Example), m.Worked()
	return u
}

// show brings a value from SI units to the unit of a parameter.
func (p Param) show(si float64) float64 {
	u, _ := symptoms.LookupUnit(p.Unit)
	return u.FromSI(si)
}

// quantities returns the numbers that stand behind the observations with the given ids.
func (s *Set) quantities(ids []string) []*condition.Quantity {
	var qs []*condition.Quantity
	for _, id := range ids {
		n := s.numbers[id]
		if n.computed != nil {
			qs = append(qs, n.computed)
		}
		qs = append(qs, n.expected...)
	}
	return qs
}
