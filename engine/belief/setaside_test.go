package belief

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestWeights(t *testing.T) {
	n := NewNet()
	c := n.Cause(0.1, 0)
	e := n.Effect(0.1, 0)
	n.Link(c, e, 0.5)
	f := n.Finding(0.2, 0)
	n.Link(c, f, 0.5)
	n.Link(e, f, 0.75)
	g := n.Finding(0, 0)
	n.Link(c, g, 0.5)
	lone := n.Finding(0.3, 0)
	tests := []struct {
		name string
		give func(e *Evidence)
		want float64
	}{
		{"seen: best parent lifts 0.2 to 0.8", func(ev *Evidence) { ev.Seen(f) }, math.Log(4)},
		{"not seen: best parent cuts to a quarter", func(ev *Evidence) { ev.NotSeen(f) }, math.Log(4)},
		{"likelihood: 0.28 against 0.82", func(ev *Evidence) { ev.Likelihood(f, 0.1, 1) }, math.Log(0.82 / 0.28)},
		{"seen without leak proves the parent", func(ev *Evidence) { ev.Seen(g) }, math.Inf(1)},
		{"asked", func(ev *Evidence) { ev.Ask(f) }, 0},
		{"weighed", func(ev *Evidence) { ev.Weigh(c, 1, 3) }, math.Log(3)},
		{"a finding that nothing produces", func(ev *Evidence) { ev.Likelihood(lone, 1, 2) }, math.Log(2)},
		{"joint: exactly f, 0.2 against 0.4 by c, 0.8 by e", func(ev *Evidence) {
			ev.Joint([]Node{f, g}, []float64{0, 1, 0, 0})
		}, math.Log(4)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ev := new(Evidence)
			tt.give(ev)
			got := ev.Weights(n)
			if len(got) != 1 || got[0] != tt.want && math.Abs(got[0]-tt.want) > 1e-14 {
				t.Errorf("Weights = %v; want [%v]", got, tt.want)
			}
			if w := ev.Without(0).Weights(n)[0]; w != 0 {
				t.Errorf("Weights of an item left out = %v; want 0", w)
			}
		})
	}
}

// A limit sets aside the items of least weight; the rest is computed exactly, as if the items had never been given.
func TestSetAside(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1))
	for i := range 8 {
		m := shape{causes: 10, effects: 7, findings: 10, deep: i%2 == 1}.random(rng)
		facts := m.randomFacts(rng, map[string]int{})
		n, e := m.net(), evidence(facts)
		all, err := Plan(n, e, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := all.SetAside(); len(got) > 0 {
			t.Errorf("network %d: SetAside without a limit = %v; want none", i, got)
		}
		for _, share := range []float64{0.5, 0.1, 0.001, 0} {
			limit := max(share*all.Cost(), 1e-9)
			s, err := Plan(n, e, Options{Limit: limit})
			if err != nil {
				t.Fatal(err)
			}
			if s.Cost() > limit {
				t.Errorf("network %d: cost %g; want at most the limit %g", i, s.Cost(), limit)
			}
			out := s.SetAside()
			if len(out) == 0 && all.Cost() > limit {
				t.Errorf("network %d: nothing set aside at %g of the cost", i, share)
			}
			ws := e.Weights(n)
			if !slices.IsSortedFunc(out, func(a, b int) int { return int(math.Copysign(1, ws[a]-ws[b])) }) {
				t.Errorf("network %d: set aside %v of weights %v; want least weight first", i, out, ws)
			}
			var rest []fact
			for k, f := range facts {
				if !slices.Contains(out, k) {
					rest = append(rest, f)
				}
			}
			got, err := s.Posterior()
			if err != nil {
				t.Fatal(err)
			}
			_, want := posterior(t, m.net(), evidence(rest))
			_, without := posterior(t, n, e.Without(out...))
			for _, c := range m.nodes(cause) {
				if math.Abs(got.P[c]-want.P[c]) > sameness || math.Abs(got.P[c]-without.P[c]) > sameness {
					t.Errorf("network %d, cause %d: %v; want %v as without the items", i, c, got.P[c], want.P[c])
				}
			}
		}
	}
}

// The one item that couples everything goes, also if lighter items would have to go before it: they are taken back in.
func TestSetAsideTakesBackWhatCostsNothing(t *testing.T) {
	n, e := NewNet(), new(Evidence)
	cs := []Node{n.Cause(0.1, 0), n.Cause(0.1, 0), n.Cause(0.1, 0)}
	for _, c := range cs {
		f := n.Finding(0.4, 0)
		n.Link(c, f, 0.5)
		e.Seen(f)
	}
	for range 2 {
		f := n.Finding(0.01, 0)
		for _, c := range cs {
			n.Link(c, f, 0.5)
		}
		e.Seen(f)
	}
	s, err := Plan(n, e, Options{Limit: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := s.SetAside(), []int{3}; !slices.Equal(got, want) {
		t.Errorf("SetAside = %v; want %v", got, want)
	}
}

// Everything coupled to everything, and no limit to stop it: the width is known, the tables are refused.
func TestTooWide(t *testing.T) {
	n, e := NewNet(), new(Evidence)
	var cs []Node
	for range 40 {
		cs = append(cs, n.Cause(0.1, 0))
	}
	for range 40 {
		f := n.Finding(0.1, 0)
		for _, c := range cs {
			n.Link(c, f, 0.5)
		}
		e.Seen(f)
	}
	s, err := Plan(n, e, Options{Limit: math.Inf(1)})
	if err != nil {
		t.Fatal(err)
	}
	if s.Width() <= widest {
		t.Fatalf("width %d; want a network above %d", s.Width(), widest)
	}
	if _, err := s.Posterior(); !errors.Is(err, ErrTooWide) {
		t.Errorf("Posterior: error %v; want ErrTooWide", err)
	}
	if s, err = Plan(n, e, Options{}); err != nil || s.Cost() > DefaultLimit {
		t.Errorf("Plan with the default limit: cost %g, error %v; want at most %g", s.Cost(), err, float64(DefaultLimit))
	}
}
