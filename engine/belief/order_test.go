package belief

import (
	"errors"
	"math"
	"math/rand/v2"
	"sync"
	"testing"
)

// sameness is how far two legal orders may differ: both carry rounding.
const sameness = 1e-13

// anyOrder draws a legal order: nodes act after their parents, each carried with probability carried.
func (c *core) anyOrder(rng *rand.Rand, carried float64) order {
	var o order
	left := make([]int, len(c.v))
	var ready []int32
	for v := range c.v {
		left[v] = len(c.parents(int32(v)))
		if left[v] == 0 && !c.sink[v] {
			ready = append(ready, int32(v))
		}
	}
	for len(ready) > 0 {
		i := rng.IntN(len(ready))
		u := ready[i]
		ready = append(ready[:i], ready[i+1:]...)
		o.moves = append(o.moves, move{u, rng.Float64() < carried})
		for _, a := range c.kids(u) {
			if left[a.to]--; left[a.to] == 0 && !c.sink[a.to] {
				ready = append(ready, a.to)
			}
		}
	}
	return o
}

// inOrder lays a schedule out in an order drawn at random, with or without factors.
func inOrder(n *Net, e *Evidence, rng *rand.Rand, carried float64, factors bool) *Schedule {
	g := newGraph(n, e, nil, false)
	g.strip()
	s := &Schedule{net: n, e: e, core: newCore(g)}
	if factors {
		s.core.addFactors()
	}
	s.order = s.core.anyOrder(rng, carried)
	s.program = s.core.write(&s.order)
	return s
}

func TestAnyLegalOrder(t *testing.T) {
	tests := []struct {
		name    string
		carried float64
		factors bool
	}{
		{"tables only, nothing carried", 0, false},
		{"tables only, half carried", 0.5, false},
		{"tables only, all carried", 1, false},
		{"factors, nothing carried", 0, true},
		{"factors, half carried", 0.5, true},
		{"factors, all carried", 1, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(2, 3))
			largest, runs, steps := 0.0, 0, [6]int{}
			for i := range 60 {
				m := shape{causes: 9, effects: 7, findings: 10, deep: i%2 == 1, extreme: i%4 == 3, narrow: i%3 == 2}.random(rng)
				n, e := m.net(), evidence(m.randomFacts(rng, map[string]int{}))
				s, err := Plan(n, e, Options{})
				if err != nil {
					t.Fatal(err)
				}
				want, err := s.Posterior()
				if err != nil {
					continue // impossible evidence has its own tests
				}
				runs++
				other := inOrder(n, e, rng, tt.carried, tt.factors)
				for _, st := range other.program.steps {
					steps[st.op]++
				}
				got, err := other.Posterior()
				if err != nil {
					t.Fatalf("network %d: Posterior in another order: %v; want none", i, err)
				}
				largest = max(largest, math.Abs(math.Ldexp(got.Z/want.Z, got.Exp-want.Exp)-1))
				for v := range want.P {
					if d := math.Abs(got.P[v] - want.P[v]); d > sameness {
						t.Errorf("network %d, node %d: %v in another order; want %v", i, v, got.P[v], want.P[v])
					} else if d > largest {
						largest = d
					}
				}
			}
			if largest > sameness || runs < 40 {
				t.Errorf("largest difference %g in %d networks; want at most %g in 40 or more", largest, runs, sameness)
			}
			if tt.factors != (steps[opFactor] > 0) || tt.carried > 0 && steps[opLink] == 0 {
				t.Errorf("%d factor steps and %d links; the case does not show what it is for", steps[opFactor], steps[opLink])
			}
			t.Logf("largest difference %.1e in %d networks", largest, runs)
		})
	}
}

// Actors that reach into several blocks: the same net with all its effects in one block cannot carry.
func TestCarriedAgainstUncarried(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	carried := 0
	for i := range 10 {
		m := new(model)
		var shared []int
		for range 3 {
			c := m.add(cause, 0.05+0.1*rng.Float64(), -1)
			e := m.add(effect, 0.01, -1)
			m.link(c, e, 0.8)
			shared = append(shared, e)
		}
		var facts []fact
		for k := range 4 {
			for range 3 {
				c := m.add(cause, 0.1*rng.Float64(), k)
				d := m.add(cause, 0.1*rng.Float64(), k)
				e := m.add(effect, 0.02, k)
				m.link(c, e, 0.7)
				m.link(d, e, 0.8)
				for _, s := range shared {
					m.link(s, e, rng.Float64())
				}
				for _, u := range []int{c, d} {
					f := m.add(finding, 0.05, k)
					m.link(e, f, 0.9)
					m.link(u, f, 0.3)
					facts = append(facts, single(f, rng.Float64(), rng.Float64()))
				}
			}
		}
		flat := *m
		flat.block = make([]int, len(m.block))
		a, err := Plan(m.net(), evidence(facts), Options{})
		if err != nil {
			t.Fatal(err)
		}
		b, err := Plan(flat.net(), evidence(facts), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range a.program.steps {
			if s.op == opLink {
				carried++
			}
		}
		if a.Width() > b.Width() {
			t.Errorf("network %d: width %d with blocks; want at most %d, the width without", i, a.Width(), b.Width())
		}
		p, err := a.Posterior()
		if err != nil {
			t.Fatal(err)
		}
		q, err := b.Posterior()
		if err != nil {
			t.Fatal(err)
		}
		for v := range p.P {
			if math.Abs(p.P[v]-q.P[v]) > sameness {
				t.Errorf("network %d, node %d: %v with blocks; want %v", i, v, p.P[v], q.P[v])
			}
		}
	}
	if carried == 0 {
		t.Error("no actor was carried in any network; the test shows nothing")
	}
}

// With a small budget tables are computed again instead of kept; the result must be the same to the bit.
func TestCheckpoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	in := invent(rng, 2, 12)
	n, e := in.net(), evidence(in.sheet(rng, 60, 40, 6))
	s, err := Plan(n, e, Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := s.runner()
	want.start()
	want.reverse(0, len(s.program.kept), math.MaxInt/2)
	for _, budget := range []int{0, 1 << 8, 1 << 11, 1 << 13, 1 << 15} {
		got := s.runner()
		got.start()
		got.reverse(0, len(s.program.kept), budget)
		if err := got.check(); err != nil {
			t.Errorf("budget %d: %v", budget, err)
		}
		for v := range got.y {
			if got.y[v] != want.y[v] || got.x[v] != want.x[v] {
				t.Fatalf("budget %d, vertex %d: weights %v %v; want %v %v", budget, v, got.x[v], got.y[v], want.x[v], want.y[v])
			}
		}
		if budget == 0 && got.a.total >= want.a.total {
			t.Errorf("budget 0 took %d entries; want fewer than the %d of keeping all", got.a.total, want.a.total)
		}
	}
}

func TestForwardEqualsBackward(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	largest := 0.0
	for _, k := range []int{1, 2, 4} {
		in := invent(rng, k, 12)
		s, err := Plan(in.net(), evidence(in.sheet(rng, 60, 40, 4)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		r := s.runner()
		r.start()
		if !r.passes() {
			t.Fatal("passes = false; want true: every leak is positive")
		}
		largest = max(largest, math.Abs(math.Ldexp(r.back.t[0]/r.z, r.bexp-r.zexp)-1))
		r.z *= 1 + 1e-9
		if err := r.check(); !errors.Is(err, ErrInconsistent) {
			t.Errorf("check with the forward value off by 1e-9 = %v; want ErrInconsistent", err)
		}
	}
	t.Logf("largest relative difference %.1e", largest)
	if largest > 1e-13 {
		t.Errorf("forward and backward P(evidence) differ by %g; want at most 1e-13", largest)
	}
}

func TestSameEveryTime(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	in := invent(rng, 4, 12)
	facts := in.sheet(rng, 15, 6, 1)
	run := func() *Result {
		s, err := Plan(in.net(), evidence(facts), Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Posterior()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	a, b := run(), run()
	for v := range a.P {
		if math.Float64bits(a.P[v]) != math.Float64bits(b.P[v]) {
			t.Errorf("node %d: %v, then %v; want the same bits", v, a.P[v], b.P[v])
		}
	}
}

func TestScheduleShared(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	in := invent(rng, 2, 12)
	s, err := Plan(in.net(), evidence(in.sheet(rng, 15, 6, 2)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	want, err := s.Posterior()
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 20 {
				got, err := s.Posterior()
				if err != nil || got.Z != want.Z || got.P[0] != want.P[0] {
					t.Errorf("Posterior from several goroutines = %v, %v; want the same as alone", got, err)
					return
				}
			}
		})
	}
	wg.Wait()
}
