package belief

import (
	"errors"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"
)

func conflictOf(t *testing.T, n *Net, e *Evidence) []int {
	t.Helper()
	s, err := Plan(n, e, Options{})
	if err != nil {
		t.Fatalf("Plan: %v", err)
	}
	_, err = s.Posterior()
	var imp *Impossible
	if !errors.As(err, &imp) {
		t.Fatalf("Posterior: error %v; want *Impossible", err)
	}
	return imp.Items
}

func TestImpossible(t *testing.T) {
	tests := []struct {
		name  string
		build func(n *Net, e *Evidence)
		want  []int
	}{
		{"seen although nothing can produce it", func(n *Net, e *Evidence) {
			e.NotSeen(n.Finding(0.5, 0))
			e.Seen(n.Finding(0, 0))
		}, []int{1}},
		{"seen and not seen", func(n *Net, e *Evidence) {
			f := n.Finding(0.5, 0)
			e.Seen(n.Finding(0.5, 0))
			e.Seen(f)
			e.NotSeen(f)
		}, []int{1, 2}},
		{"both causes ruled out", func(n *Net, e *Evidence) {
			a, b := n.Cause(0.5, 0), n.Cause(0.5, 0)
			f := n.Finding(0, 0)
			n.Link(a, f, 0.5)
			n.Link(b, f, 0.5)
			e.Weigh(a, 1, 0)
			e.Seen(f)
			e.Weigh(b, 1, 0)
		}, []int{0, 1, 2}},
		{"the only producer is denied through a certain link two layers down", func(n *Net, e *Evidence) {
			c := n.Cause(0.5, 0)
			v := n.Effect(0, 0)
			n.Link(c, v, 0.5)
			f, g := n.Finding(0.5, 0), n.Finding(0, 0)
			n.Link(v, f, 1)
			n.Link(v, g, 0.5)
			e.Ask(v)
			e.NotSeen(f)
			e.Seen(g)
		}, []int{1, 2}},
		{"the smaller of two conflicts", func(n *Net, e *Evidence) {
			a, b := n.Cause(0.5, 0), n.Cause(0.5, 0)
			f, g := n.Finding(0, 0), n.Finding(0, 0)
			n.Link(a, f, 0.5)
			n.Link(b, f, 0.5)
			n.Link(b, g, 0.5)
			e.Weigh(a, 1, 0)
			e.Seen(f)
			e.Weigh(b, 1, 0)
			e.Seen(g)
		}, []int{2, 3}},
		{"a joint weight that only allows the impossible", func(n *Net, e *Evidence) {
			c := n.Cause(0.5, 0)
			f, g := n.Finding(0, 0), n.Finding(0, 0)
			n.Link(c, f, 1)
			n.Link(c, g, 1)
			e.Joint([]Node{f, g}, []float64{0, 1, 1, 0})
		}, []int{0}},
		{"no state has weight", func(n *Net, e *Evidence) {
			e.Weigh(n.Cause(0.5, 0), 0, 0)
		}, []int{0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n, e := NewNet(), new(Evidence)
			tt.build(n, e)
			if got := conflictOf(t, n, e); !slices.Equal(got, tt.want) {
				t.Errorf("Items = %v; want %v", got, tt.want)
			}
		})
	}
}

func TestImpossibleError(t *testing.T) {
	tests := []struct {
		items []int
		want  string
	}{
		{[]int{3}, "belief: impossible evidence: item 3 contradicts the network"},
		{[]int{1, 4}, "belief: impossible evidence: items 1 4 cannot all be true"},
	}
	for _, tt := range tests {
		if got := (&Impossible{Items: tt.items}).Error(); got != tt.want {
			t.Errorf("Error of %v = %q; want %q", tt.items, got, tt.want)
		}
	}
}

// Whether evidence is possible, and how large the smallest conflict is, against enumeration of all sets of items.
func TestSmallestConflictAgainstEnumeration(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	impossible, sizes := 0, [8]int{}
	for i := range 60 {
		m := shape{causes: 4, effects: 3, findings: 5, deep: i%2 == 1, extreme: true}.random(rng)
		var facts []fact
		for v, k := range m.kind {
			if k != cause && rng.IntN(10) > 0 {
				m.p[v] = 0
			}
			switch {
			case k == finding && rng.IntN(2) == 0:
				facts = append(facts, seen(v))
			case k == finding:
				facts = append(facts, notSeen(v))
			case k == cause && rng.IntN(5) < 3:
				facts = append(facts, single(v, 1, 0))
			}
		}
		z, _ := m.enumerate(facts)
		s, err := Plan(m.net(), evidence(facts), Options{})
		if err != nil {
			t.Fatal(err)
		}
		_, err = s.Posterior()
		var imp *Impossible
		if errors.As(err, &imp) != (z.hi == 0) {
			t.Fatalf("network %d: error %v; enumeration finds P(evidence) = %g", i, err, z.hi)
		}
		if err == nil {
			continue
		}
		impossible++
		sizes[len(imp.Items)]++
		mask := 0
		for _, k := range imp.Items {
			mask |= 1 << k
		}
		for sub := range 1 << len(facts) {
			if n := bits.OnesCount(uint(sub)); n > len(imp.Items) || n == len(imp.Items) && sub != mask {
				continue
			}
			var chosen []fact
			for k, f := range facts {
				if sub>>k&1 == 1 {
					chosen = append(chosen, f)
				}
			}
			if z, _ := m.enumerate(chosen); (z.hi == 0) != (sub == mask) {
				t.Fatalf("network %d: items %b have P = %g although %v is given as smallest conflict", i, sub, z.hi, imp.Items)
			}
		}
	}
	t.Logf("%d of 60 impossible; sizes of the smallest conflict %v", impossible, sizes)
	if impossible < 10 || impossible > 50 {
		t.Errorf("%d of 60 networks impossible; want both sorts", impossible)
	}
}

// A search cut short still gives a conflict of which nothing can be left out.
func TestReduce(t *testing.T) {
	n, e := NewNet(), new(Evidence)
	var cs []Node
	for range 5 {
		cs = append(cs, n.Cause(0.5, 0))
	}
	f := n.Finding(0, 0)
	for _, c := range cs[:3] {
		n.Link(c, f, 0.5)
	}
	for _, c := range cs {
		e.Weigh(c, 1, 0)
	}
	e.Seen(f)
	c := conflict{n: n, e: e, items: []int{0, 1, 2, 3, 4, 5}}
	if got, want := c.reduce(), []int{0, 1, 2, 5}; !slices.Equal(got, want) {
		t.Errorf("reduce = %v; want %v", got, want)
	}
}

// Four causes of 1e-250 must be present together, and all findings stay open until the last has acted: possible, but beyond the range
// of float64.
func TestUnderflowIsNotImpossible(t *testing.T) {
	n, e := NewNet(), new(Evidence)
	var cs, fs []Node
	for range 8 {
		cs = append(cs, n.Cause(1e-250, 0))
	}
	for i := range cs {
		f := n.Finding(0, 0)
		n.Link(cs[i], f, 0.5)
		n.Link(cs[(i+1)%8], f, 0.5)
		fs = append(fs, f)
	}
	all := make([]float64, 1<<8)
	all[len(all)-1] = 1
	e.Joint(fs, all)
	s, err := Plan(n, e, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Posterior(); !errors.Is(err, ErrUnderflow) {
		t.Errorf("Posterior: error %v; want ErrUnderflow", err)
	}
}
