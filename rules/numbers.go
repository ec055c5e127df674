package rules

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// numbers are the numbers that the vocabulary has worked out for one observation.
type numbers struct {
	expected []*condition.Quantity
	computed *condition.Quantity
	tells    []*condition.Quantity
	// inputs are the entries that computed rests on, directly or through another computed number.
	inputs []string
}

// Expected returns the numbers that say, in order of preference, what a reading of the observation is expected to be.
func (s *Set) Expected(o *symptoms.Observation) []*condition.Quantity {
	return s.numbers[o.ID].expected
}

// Computed returns the number that stands for a reading of the observation where nobody gave it; false when there is none.
func (s *Set) Computed(o *symptoms.Observation) (*condition.Quantity, bool) {
	q := s.numbers[o.ID].computed
	return q, q != nil
}

// Inputs returns the entries that the computed number of an observation rests on, directly or not.
func (s *Set) Inputs(o *symptoms.Observation) []string { return slices.Clone(s.numbers[o.ID].inputs) }

// Tells returns the numbers of o.Tells, in their order.
func (s *Set) Tells(o *symptoms.Observation) []*condition.Quantity { return s.numbers[o.ID].tells }

// Expect returns the first of [Set.Expected] that is known in a case with both ends, and which it is.
func (s *Set) Expect(c *condition.Case, o *symptoms.Observation) (lo, hi float64, by *condition.Quantity, ok bool) {
	for _, q := range s.numbers[o.ID].expected {
		lo, hi, known := q.Eval(c)
		if known && !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
			return lo, hi, q, true
		}
	}
	return 0, 0, nil, false
}

// rests returns the entries that an observation's computed and expected numbers and its tells read.
func (s *Set) rests(id string) []string {
	n := s.numbers[id]
	ids := slices.Clone(n.inputs)
	for _, q := range n.expected {
		ids = append(ids, s.observations(q.Reads())...)
	}
	for _, q := range n.tells {
		ids = append(ids, s.observations(q.Reads())...)
	}
	return ids
}

// compileNumbers compiles what the vocabulary keeps as text. The error joins all that is wrong.
func (s *Set) compileNumbers() error {
	s.numbers = map[string]numbers{}
	var faults []error
	for _, o := range s.Vocabulary.All() {
		var n numbers
		compile := func(src, unit string) *condition.Quantity {
			q, err := s.number(o, src, unit)
			if err != nil {
				faults = append(faults, fmt.Errorf("vocabulary: %s: %w", o.ID, err))
			}
			return q
		}
		for _, src := range o.Expected {
			n.expected = append(n.expected, compile(src, o.Unit))
		}
		for _, t := range o.Tells {
			n.tells = append(n.tells, compile(t.Number, t.Unit))
		}
		if o.Computed != "" {
			if n.computed = compile(o.Computed, o.Unit); n.computed != nil {
				n.inputs = s.inputs(n.computed)
			}
		}
		if len(n.expected) > 0 || len(n.tells) > 0 || n.computed != nil {
			s.numbers[o.ID] = n
		}
	}
	return errors.Join(faults...)
}

// inputs are what a computed number reads, and what those rest on that stand before it in the vocabulary.
func (s *Set) inputs(q *condition.Quantity) []string {
	var ids []string
	for _, id := range s.observations(q.Reads()) {
		ids = append(ids, id)
		ids = append(ids, s.numbers[id].inputs...)
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// number compiles one number about an observation and checks its dimension and what it reads.
func (s *Set) number(o *symptoms.Observation, src, unit string) (*condition.Quantity, error) {
	q, err := s.Env.CompileNumber(src)
	if err != nil {
		return nil, err
	}
	if u, _ := symptoms.LookupUnit(unit); condition.Dim(u.Dim) != q.Dim() {
		return nil, fmt.Errorf("%s is a %v, not a %v; write it in %s", q, q.Dim(), condition.Dim(u.Dim), unitOrNone(unit))
	}
	for _, i := range q.Reads() {
		read := s.symbols[i].Observation
		switch {
		case read.About > o.About:
			return nil, fmt.Errorf("%s reads %s, which is about %s", q, read.ID, levelName(read.About))
		case src == o.Computed && read == o:
			return nil, fmt.Errorf("%s reads itself", q)
		}
	}
	return q, nil
}

func unitOrNone(unit string) string {
	if unit == "" {
		return "a plain number"
	}
	return unit
}
