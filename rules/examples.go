package rules

import (
	"fmt"
	"math"
	"slices"

	"diagnose.example/rules/condition"
)

// RunExamples runs the cases of a rule: in each of Fires its circumstance and its finding must be true, in none of Silent
// both. A rule without a case of either kind fails, and so does a silent case that gives nothing the rule reads, since it
// would be silent whatever the rule says. The error is an [ErrorList] with every case that goes wrong.
func (s *Set) RunExamples(r *Rule) error {
	var errs ErrorList
	fail := func(e Example, hint, format string, args ...any) {
		errs = append(errs, &Error{Pos: e.Pos, ID: r.ID, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
	if len(r.Fires) == 0 {
		fail(Example{Pos: r.Pos}, "write fires with a case in which the rule holds", "no case in which it fires")
	}
	if len(r.Silent) == 0 {
		fail(Example{Pos: r.Pos}, "write silent with a near miss", "no case in which it stays silent")
	}
	for _, e := range r.Fires {
		given, when, err := s.try(r, e)
		switch {
		case err != nil:
			fail(e, "", "%v", err)
		case given != condition.True:
			fail(e, "give all that the circumstance reads", "does not fire: given is %s", given)
		case when != condition.True:
			fail(e, "", "does not fire: when is %s", when)
		}
	}
	for _, e := range r.Silent {
		given, when, err := s.try(r, e)
		switch {
		case err != nil:
			fail(e, "", "%v", err)
		case given == condition.True && when == condition.True:
			fail(e, "", "fires, and should be silent")
		case !s.touches(r, e):
			fail(e, "write a near miss, with a value that the rule looks at", "is silent only because it gives nothing that the rule reads")
		}
	}
	return errs.err(nil)
}

// try evaluates a rule on one case. A rule without circumstance always has it.
func (s *Set) try(r *Rule, e Example) (given, when condition.Truth, err error) {
	c := s.Env.NewCase()
	values := map[string]float64{} // facts by id, SI, for bands around them
	for _, v := range e.Values {
		if i := s.indexOf(v.Name); i >= 0 {
			if val, err := s.symbols[i].parse(v.Words); err == nil && val.Lo == val.Hi && len(val.Words) == 0 {
				values[v.Name] = val.Lo
			}
		}
	}
	for _, v := range e.Values {
		i := s.indexOf(v.Name)
		if i < 0 {
			return 0, 0, fmt.Errorf("unknown observation %q", v.Name)
		}
		val, err := s.symbols[i].parse(v.Words)
		if err != nil {
			return 0, 0, fmt.Errorf("%s: %w", v.Name, err)
		}
		o := s.symbols[i].Observation
		around, ok := values[o.Around]
		if !ok {
			around = math.NaN()
		}
		s.Known(c, o, val, around)
	}
	given = condition.True
	if r.Given != nil {
		given = r.Given.Eval(c)
	}
	return given, r.When.Eval(c), nil
}

// touches reports whether a case gives something that the rule reads.
func (s *Set) touches(r *Rule, e Example) bool {
	reads := s.observations(conditionsOf(r))
	return slices.ContainsFunc(e.Values, func(v ExampleValue) bool {
		return slices.Contains(reads, s.symbols[s.indexOf(v.Name)].Observation.ID)
	})
}
