package belief

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// TestDeny compares with the same said as evidence and planned anew.
func TestDeny(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 25))
	compared, sums, largest := 0, 0, 0.0
	for i := range 600 {
		m := shape{causes: 9, effects: 7, findings: 10, deep: i%2 == 1, extreme: i%4 == 3, narrow: i%3 > 0}.random(rng)
		n, e := m.net(), evidence(m.randomFacts(rng, map[string]int{}))
		e = e.Without(rng.Perm(e.Len())[:e.Len()*2/3]...) // so that effects are left that no evidence reaches
		s, err := Plan(n, e, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Posterior(); err != nil {
			continue // impossible evidence has its own tests
		}
		for count := 1; count <= 3; count++ {
			set := deniable(s, rng, count)
			got, err := s.Deny(set...)
			if errors.Is(err, ErrManyTerms) {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			if terms, _ := s.terms(set); len(terms) > 1 {
				sums++
			}
			d := math.Abs(got.Z - math.Ldexp(absentAsEvidence(t, n, e, set), -got.Exp))
			if z, exp, err := s.None(set...); err != nil || math.Abs(math.Ldexp(z, exp-got.Exp)-got.Z) > sameness {
				t.Errorf("network %d: None(%v) = %v * 2^%d, %v; want Z of Deny, %v * 2^%d", i, set, z, exp, err, got.Z, got.Exp)
			}
			d = max(d, furthest(t, got, deniedAsEvidence(t, n, e, set)))
			if d > 1e-12 {
				t.Errorf("network %d: Deny(%v) differs by %v from the same as evidence", i, set, d)
			}
			largest, compared = max(largest, d), compared+1
		}
	}
	if compared < 1000 || sums < 50 {
		t.Errorf("%d sets compared, %d of more than one term; want 1000 and 50 at least", compared, sums)
	}
	t.Logf("largest difference %.1e in %d sets", largest, compared)
}

// deniable picks nodes that stand in no joint.
func deniable(s *Schedule, rng *rand.Rand, count int) []Node {
	var out []Node
	for _, v := range rng.Perm(len(s.net.nodes)) {
		if at := s.core.g.at[v]; len(out) < count && (at < 0 || s.core.g.v[at].group < 0) {
			out = append(out, Node(v))
		}
	}
	return out
}

// deniedAsEvidence returns nil if it is impossible.
func deniedAsEvidence(t *testing.T, n *Net, e *Evidence, set []Node) *Result {
	t.Helper()
	r, err := planAbsent(t, n, e, set).Posterior()
	if err != nil {
		return nil
	}
	return r
}

// furthest is the largest difference of the posteriors that got has.
func furthest(t *testing.T, got, want *Result) float64 {
	t.Helper()
	if want == nil {
		if got.Z != 0 || got.P != nil {
			t.Errorf("Deny gives %v; want Z 0 and no posteriors, since it is impossible", got)
		}
		return 0
	}
	d := 0.0
	for v, p := range got.P {
		if !math.IsNaN(p) {
			d = max(d, math.Abs(p-want.P[v]))
		}
	}
	return d
}

// What hangs on too many effects without evidence is refused, and so is a member of a joint.
func TestDenyRefused(t *testing.T) {
	n, e := NewNet(), new(Evidence)
	f := n.Finding(0.1, 0)
	g := n.Finding(0.1, 0)
	e.Joint([]Node{f, g}, []float64{1, 2, 3, 4})
	var effects []Node
	for range 6 {
		effects = append(effects, n.Effect(0.1, 0))
	}
	h := n.Finding(0.1, 0)
	for _, v := range effects {
		n.Link(v, h, 0.5)
	}
	s, err := Plan(n, e, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Deny(h); !errors.Is(err, ErrManyTerms) {
		t.Errorf("Deny of a finding of six effects: %v; want %v", err, ErrManyTerms)
	}
	if _, err := s.Deny(f); err == nil {
		t.Error("Deny of a member of a joint gives no error; want one")
	}
	if _, err := s.Deny(99); err == nil {
		t.Error("Deny of a node that is not there gives no error; want one")
	}
}

func BenchmarkDeny(b *testing.B) {
	n, _, s := intakeSchedule(b, 2, "intake")
	var f Node
	for v := range n.nodes {
		if n.nodes[v].kind == finding && s.core.g.at[v] < 0 {
			f = Node(v)
		}
	}
	b.Run("planned before", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Deny(f); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("as evidence, like the schedule", func(b *testing.B) {
		for b.Loop() {
			with := s.e.Without()
			with.NotSeen(f)
			anew, err := Plan(n, with, Options{Like: s})
			if err != nil {
				b.Fatal(err)
			}
			if _, err := anew.Posterior(); err != nil {
				b.Fatal(err)
			}
		}
	})
}
