package rules

import (
	"fmt"
	"math"
	"slices"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
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
	c, err := s.exampleCase(e)
	if err != nil {
		return 0, 0, err
	}
	given = condition.True
	if r.Given != nil {
		given = r.Given.Eval(c)
	}
	return given, r.When.Eval(c), nil
}

// exampleCase fills a case with the values of an example and what follows from them.
func (s *Set) exampleCase(e Example) (*condition.Case, error) {
	c := s.Env.NewCase()
	values := map[*symptoms.Observation]symptoms.Value{}
	for _, v := range e.Values {
		i := s.indexOf(v.Name)
		if i < 0 {
			return nil, fmt.Errorf("unknown observation %q", v.Name)
		}
		val, err := s.symbols[i].parse(v.Words)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", v.Name, err)
		}
		values[s.symbols[i].Observation] = val
		s.Known(c, s.symbols[i].Observation, val, math.NaN())
	}
	s.settleCase(c, values)
	return c, nil
}

// settleCase adds to a case what follows from the values in it: numbers that are computed, and bands.
func (s *Set) settleCase(c *condition.Case, values map[*symptoms.Observation]symptoms.Value) {
	for _, o := range s.Vocabulary.All() {
		q, ok := s.Computed(o)
		if _, told := values[o]; !ok || told {
			continue
		}
		if lo, hi, known := q.Eval(c); known {
			values[o] = symptoms.Value{Lo: lo, Hi: hi}
			s.Known(c, o, values[o], math.NaN())
		}
	}
	for o, v := range values {
		if len(o.Bands) > 0 {
			s.Known(c, o, v, s.exampleMiddle(c, o, values))
		}
	}
}

// exampleMiddle is what the bands of an observation are counted from in an example; NaN when that is not known.
func (s *Set) exampleMiddle(c *condition.Case, o *symptoms.Observation, values map[*symptoms.Observation]symptoms.Value) float64 {
	if lo, hi, _, ok := s.Expect(c, o); ok {
		return lo + (hi-lo)/2
	}
	spec, _ := s.Vocabulary.Lookup(o.Around)
	if v, ok := values[spec]; ok && spec != nil && v.Lo == v.Hi && len(v.Words) == 0 {
		return v.Lo
	}
	return math.NaN()
}

// touches reports whether a case gives something that the rule reads.
func (s *Set) touches(r *Rule, e Example) bool {
	reads := s.observations(conditionsOf(r))
	for _, id := range slices.Clone(reads) {
		reads = append(reads, s.rests(id)...)
	}
	return slices.ContainsFunc(e.Values, func(v ExampleValue) bool {
		return slices.Contains(reads, s.symbols[s.indexOf(v.Name)].Observation.ID)
	})
}
