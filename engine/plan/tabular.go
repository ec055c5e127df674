package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
)

// ErrNoWay reports a step in a belief that has probability zero: an outcome that cannot be, a repair that cannot fail.
var ErrNoWay = errors.New("plan: this cannot happen in the belief")

// World is a set of faults, bit i for fault i, with its probability. Probabilities need not sum to one.
type World struct {
	Faults uint64
	P      float64
}

// Cure says that a repair removes a fault, if it is there, with a probability from 0 to 1.
type Cure struct {
	Fault  int
	Chance float64
}

// TableModel describes a machine by an explicit table of its fault sets. The machine is good when no fault is left; a fault that no
// repair cures is how to say that something else may be wrong.
type TableModel struct {
	Worlds []World
	// Tests give, for each test, the probabilities of its outcomes on a machine with these faults. They must be pure functions.
	Tests   []func(faults uint64) []float64
	Repairs [][]Cure // for each repair what it cures, each with its own chance
}

// Tabular is a belief as an explicit table: exact, quick, for few faults.
type Tabular struct {
	m *tabular
	// worlds are the fault sets the machine can have now, ascending, with probabilities that sum to one.
	worlds []World
	hist   history
}

// tabular is what all beliefs of a family share.
type tabular struct {
	TableModel
	affects []uint64 // by test: repairs that can make a difference to it
}

// reachLimit is the number of fault sets up to which it is found out which repairs make a difference to which tests.
const reachLimit = 1 << 16

// NewTabular returns the belief that the machine misbehaves and nothing else is known.
func NewTabular(m TableModel) (*Tabular, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	b := &Tabular{m: &tabular{TableModel: m}}
	worlds := slices.DeleteFunc(slices.Clone(m.Worlds), func(w World) bool { return w.Faults == 0 || w.P == 0 })
	var ok bool
	if b.worlds, ok = normalise(worlds); !ok {
		return nil, errors.New("plan: no world has a fault and a probability above zero; the machine would be good already")
	}
	return b, b.m.findAffects(b.worlds)
}

func (m *TableModel) check() error {
	for i, w := range m.Worlds {
		if !(w.P >= 0) || math.IsInf(w.P, 1) {
			return fmt.Errorf("plan: world %d: probability %v; write a number from 0 up", i, w.P)
		}
	}
	for i, cures := range m.Repairs {
		for _, c := range cures {
			if c.Fault < 0 || c.Fault > 63 || !(c.Chance >= 0 && c.Chance <= 1) {
				return fmt.Errorf("plan: repair %d: cures fault %d with chance %v; write a fault from 0 to 63 and a chance from 0 to 1",
					i, c.Fault, c.Chance)
			}
		}
	}
	if len(m.Tests) > maxActions || len(m.Repairs) > maxActions {
		return fmt.Errorf("plan: %d tests and %d repairs; at most %d of each", len(m.Tests), len(m.Repairs), maxActions)
	}
	return nil
}

// findAffects finds out which repairs can make a difference to which tests, on any machine that is not good yet, and checks
// the tests on the way.
func (m *tabular) findAffects(worlds []World) error {
	m.affects = make([]uint64, len(m.Tests))
	var curable uint64
	by := [64]uint64{} // repairs by fault
	for r, cures := range m.Repairs {
		for _, c := range cures {
			if c.Chance > 0 {
				curable |= 1 << c.Fault
				by[c.Fault] |= 1 << r
			}
		}
	}
	met := map[uint64]bool{}
	var todo []uint64
	visit := func(f uint64) {
		if !met[f] {
			met[f] = true
			todo = append(todo, f)
		}
	}
	for _, w := range worlds {
		visit(w.Faults)
	}
	for len(todo) > 0 && len(met) <= reachLimit {
		f := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for t := range m.Tests {
			if err := m.checkOutcomes(t, f, worlds[0].Faults); err != nil {
				return err
			}
		}
		for rest := f & curable; rest != 0; rest &= rest - 1 {
			less := f &^ (rest & -rest)
			if less == 0 {
				continue // the job is done: no test is made any more
			}
			visit(less)
			for t, given := range m.Tests {
				if !slices.Equal(given(f), given(less)) {
					m.affects[t] |= by[bits.TrailingZeros64(rest)]
				}
			}
		}
	}
	if len(todo) > 0 {
		for t := range m.affects {
			m.affects[t] = math.MaxUint64
		}
	}
	return nil
}

func (m *tabular) checkOutcomes(t int, faults, like uint64) error {
	p := m.Tests[t](faults)
	sum := 0.0
	for _, x := range p {
		if !(x >= 0) {
			return fmt.Errorf("plan: test %d: faults %b: outcome with probability %v; write a number from 0 to 1", t, faults, x)
		}
		sum += x
	}
	if math.Abs(sum-1) > 1e-9 || len(p) != len(m.Tests[t](like)) {
		return fmt.Errorf("plan: test %d: faults %b: %d outcomes with sum %v; every set of faults needs the same outcomes, sum 1",
			t, faults, len(p), sum)
	}
	return nil
}

// normalise sorts worlds, puts equal fault sets together and makes the probabilities sum to one; false if there is nothing left.
func normalise(ws []World) ([]World, bool) {
	slices.SortStableFunc(ws, func(a, b World) int { return cmp.Compare(a.Faults, b.Faults) })
	sum, n := 0.0, 0
	for _, w := range ws {
		sum += w.P
		if n > 0 && ws[n-1].Faults == w.Faults {
			ws[n-1].P += w.P
			continue
		}
		ws[n] = w
		n++
	}
	for i := range ws[:n] {
		ws[i].P /= sum
	}
	return ws[:n], sum > 0
}

// Outcomes implements Belief.
func (b *Tabular) Outcomes(test int) ([]float64, error) {
	if err := known("test", test, len(b.m.Tests)); err != nil {
		return nil, err
	}
	var p []float64
	for _, w := range b.worlds {
		given := b.m.Tests[test](w.Faults)
		if p == nil {
			p = make([]float64, len(given))
		}
		for o, x := range given {
			p[o] += w.P * x
		}
	}
	return p, nil
}

// Observe implements Belief.
func (b *Tabular) Observe(test, outcome int) (Belief, error) {
	if err := known("test", test, len(b.m.Tests)); err != nil {
		return nil, err
	}
	if err := known("outcome", outcome, len(b.m.Tests[test](b.worlds[0].Faults))); err != nil {
		return nil, err
	}
	worlds := make([]World, 0, len(b.worlds))
	for _, w := range b.worlds {
		if x := b.m.Tests[test](w.Faults)[outcome]; x > 0 {
			worlds = append(worlds, World{w.Faults, w.P * x})
		}
	}
	worlds, ok := normalise(worlds)
	if !ok {
		return nil, ErrNoWay
	}
	return &Tabular{b.m, worlds, b.hist.observe(test, outcome, b.m.affects[test])}, nil
}

// survive returns, for every fault, the probability that it outlives these repairs.
func (m *tabular) survive(repairs []int) *[64]float64 {
	var s [64]float64
	for f := range s {
		s[f] = 1
	}
	for _, r := range repairs {
		for _, c := range m.Repairs[r] {
			s[c.Fault] *= 1 - c.Chance
		}
	}
	return &s
}

// Good implements Belief.
func (b *Tabular) Good(repairs []int) (float64, error) {
	if err := allKnown(repairs, len(b.m.Repairs)); err != nil {
		return 0, err
	}
	s := b.m.survive(repairs)
	sum := 0.0
	for _, w := range b.worlds {
		p := w.P
		for f := w.Faults; f != 0 && p > 0; f &= f - 1 {
			p *= 1 - s[bits.TrailingZeros64(f)]
		}
		sum += p
	}
	return min(sum, 1), nil
}

// Fail implements Belief.
func (b *Tabular) Fail(repairs []int) (Belief, error) {
	if err := allKnown(repairs, len(b.m.Repairs)); err != nil {
		return nil, err
	}
	s := b.m.survive(repairs)
	worlds := make([]World, 0, len(b.worlds)+len(b.worlds)/4)
	for _, w := range b.worlds {
		worlds = left(worlds, w, w.Faults, s)
	}
	worlds, ok := normalise(worlds)
	if !ok {
		return nil, ErrNoWay
	}
	return &Tabular{b.m, worlds, b.hist.fail(repairs)}, nil
}

// left appends what a world can become when each of its faults is cured or not; undecided are the faults still to be gone through.
func left(out []World, w World, undecided uint64, s *[64]float64) []World {
	for ; undecided != 0; undecided &= undecided - 1 {
		f := bits.TrailingZeros64(undecided)
		if s[f] == 1 {
			continue
		}
		out = left(out, World{w.Faults &^ (1 << f), w.P * (1 - s[f])}, undecided&(undecided-1), s)
		w.P *= s[f]
	}
	if w.P > 0 && w.Faults != 0 {
		out = append(out, w)
	}
	return out
}

// Chance implements Belief: the probability that the repair cures at least one fault.
func (b *Tabular) Chance(repair int) (float64, error) {
	if err := known("repair", repair, len(b.m.Repairs)); err != nil {
		return 0, err
	}
	s := b.m.survive([]int{repair})
	sum := 0.0
	for _, w := range b.worlds {
		none := 1.0
		for f := w.Faults; f != 0; f &= f - 1 {
			none *= s[bits.TrailingZeros64(f)]
		}
		sum += w.P * (1 - none)
	}
	return min(sum, 1), nil
}

// Key implements Belief.
func (b *Tabular) Key() string { return b.hist.key(b.hist.repairs) }

// Worlds returns the fault sets the machine can have now, ascending, with probabilities that sum to one.
func (b *Tabular) Worlds() []World { return slices.Clone(b.worlds) }

// SingleFaults returns the worlds of a machine with exactly one fault, fault i with probability p[i].
func SingleFaults(p []float64) []World {
	var ws []World
	for i, x := range p {
		ws = append(ws, World{1 << i, x})
	}
	return ws
}

// IndependentFaults returns the worlds of a machine on which fault i is present with probability p[i], independently of the others; there
// are 2^len(p) of them.
func IndependentFaults(p []float64) []World {
	ws := []World{{0, 1}}
	for i, x := range p {
		for _, w := range ws {
			ws = append(ws, World{w.Faults | 1<<i, w.P * x})
		}
		for k := range ws[:len(ws)/2] {
			ws[k].P *= 1 - x
		}
	}
	return ws
}
