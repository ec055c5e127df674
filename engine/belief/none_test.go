package belief

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestNone compares with the same said as evidence and planned anew, and with the posterior where there is one cause.
func TestNone(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 11))
	compared, largest := 0, 0.0
	for i := range 80 {
		m := shape{causes: 9, effects: 7, findings: 10, deep: i%2 == 1, extreme: i%4 == 3, narrow: i%3 == 2}.random(rng)
		n, e := m.net(), evidence(m.randomFacts(rng, map[string]int{}))
		s, err := Plan(n, e, Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.Posterior()
		if err != nil {
			continue // impossible evidence has its own tests
		}
		for count := 1; count <= 4; count++ {
			set := causesOf(n, rng, count)
			z, exp, err := s.None(set...)
			if err != nil {
				t.Fatal(err)
			}
			want := absentAsEvidence(t, n, e, set)
			got := math.Ldexp(z, exp)
			if d := math.Abs(got - want); d > sameness*math.Ldexp(r.Z, r.Exp) {
				t.Errorf("network %d: None(%v) = %v; want %v", i, set, got, want)
			} else {
				largest = max(largest, d/math.Ldexp(r.Z, r.Exp))
			}
			compared++
			if single := 1 - got/math.Ldexp(r.Z, r.Exp); count == 1 && math.Abs(single-r.P[set[0]]) > 1e-12 {
				t.Errorf("network %d: 1 - None(%d)/Z = %v; want the posterior %v", i, set[0], single, r.P[set[0]])
			}
		}
	}
	if compared < 200 {
		t.Errorf("%d sets compared; want 200 at least", compared)
	}
	t.Logf("largest difference %.1e in %d sets", largest, compared)
}

func causesOf(n *Net, rng *rand.Rand, count int) []Node {
	var all []Node
	for v := range n.nodes {
		if n.nodes[v].kind == cause {
			all = append(all, Node(v))
		}
	}
	var out []Node
	for _, i := range rng.Perm(len(all))[:count] {
		out = append(out, all[i])
	}
	return out
}

// planAbsent says the absence of some nodes as evidence.
func planAbsent(t *testing.T, n *Net, e *Evidence, set []Node) *Schedule {
	t.Helper()
	with := e.Without()
	for _, v := range set {
		with.NotSeen(v)
	}
	s, err := Plan(n, with, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func absentAsEvidence(t *testing.T, n *Net, e *Evidence, set []Node) float64 {
	t.Helper()
	z, exp, err := planAbsent(t, n, e, set).Probability()
	if err != nil {
		t.Fatal(err)
	}
	return math.Ldexp(z, exp)
}

// A cause named twice is absent once; an effect without evidence can be denied too; a node that is not there is refused.
func TestNoneSpecial(t *testing.T) {
	n, e := NewNet(), new(Evidence)
	c := n.Cause(0.25, 0)
	v := n.Effect(0.125, 0)
	n.Link(c, v, 0.5)
	s, err := Plan(n, e, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if z, exp, err := s.None(c, c); err != nil || math.Ldexp(z, exp) != 0.75 {
		t.Errorf("None(c, c) = %v * 2^%d, %v; want 0.75", z, exp, err)
	}
	if z, exp, err := s.None(v); err != nil || math.Ldexp(z, exp) != 0.875*(0.75+0.25*0.5) {
		t.Errorf("None(effect) = %v * 2^%d, %v; want %v", z, exp, err, 0.875*(0.75+0.25*0.5))
	}
	if _, _, err := s.None(99); err == nil {
		t.Errorf("None of a node that is not there gives no error; want one")
	}
}

func BenchmarkNone(b *testing.B) {
	_, _, s := intakeSchedule(b, 2, "intake")
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := s.None(0, 1); err != nil {
			b.Fatal(err)
		}
	}
}
