package belief

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// byteModel reads a small network and its evidence from bytes; any bytes give one.
func byteModel(data []byte) (*model, []fact) {
	next := func(n int) int {
		if len(data) == 0 {
			return 0
		}
		x := int(data[0]) % n
		data = data[1:]
		return x
	}
	chances := []float64{0.1, 0, 1e-6, 0.02, 0.5, 0.75, 0.999, 1}
	chance := func() float64 { return chances[next(len(chances))] }
	m := new(model)
	for range 1 + next(5) {
		m.add(cause, chance(), next(3))
	}
	for range next(5) {
		m.addChild(effect, chance(), next)
	}
	for range 1 + next(6) {
		m.addChild(finding, chance(), next)
	}
	for v, parents := range m.links {
		for i := range parents {
			m.links[v][i].l = chance()
		}
	}
	return m, m.byteFacts(next, chance)
}

// addChild adds a node with up to four parents among the causes and effects so far.
func (m *model) addChild(k kind, leak float64, next func(int) int) {
	pool := append(m.nodes(cause), m.nodes(effect)...)
	v := m.add(k, leak, next(3))
	for range 1 + next(4) {
		u := pool[next(len(pool))]
		dup := false
		for _, l := range m.links[v] {
			dup = dup || l.from == u
		}
		if !dup {
			m.link(u, v, 0)
		}
	}
}

func (m *model) byteFacts(next func(int) int, chance func() float64) []fact {
	var facts []fact
	fs := m.nodes(finding)
	if k := next(4); k >= 2 && k <= len(fs) {
		w := make([]float64, 1<<k)
		for b := range w {
			w[b] = chance()
		}
		facts = append(facts, fact{nodes: fs[:k], w: w})
	}
	for v := range m.kind {
		switch next(7) {
		case 0:
			facts = append(facts, seen(v))
		case 1:
			facts = append(facts, notSeen(v))
		case 2:
			facts = append(facts, single(v, chance(), chance()))
		case 3:
			facts = append(facts, ask(v))
		}
	}
	return facts
}

var byteSeeds = [][]byte{
	{},
	{1, 0, 0, 4, 1, 1, 3, 2, 0, 0, 1, 1, 0, 0, 3, 4, 5, 0, 0},
	{4, 4, 0, 4, 1, 4, 2, 3, 0, 5, 1, 2, 1, 1, 0, 2, 1, 0, 3, 1, 0, 3, 2, 2, 1, 1, 0, 0, 0, 3, 3, 3, 4, 4, 5, 5, 6, 6, 3, 1, 2, 3, 4, 5, 6, 0, 1, 2},
	{3, 2, 1, 2, 1, 2, 0, 2, 2, 1, 3, 0, 1, 2, 0, 2, 4, 4, 4, 2, 0, 1, 0, 3, 0, 1, 2, 3, 5, 1, 3, 2, 1, 0, 7, 7, 7, 7, 5, 5, 2, 2, 0, 0, 0, 0},
}

// fataler is what a test and a property have in common.
type fataler interface {
	Fatalf(format string, args ...any)
}

// checkBytes compares one network with the enumeration and checks what must hold whatever the numbers.
func checkBytes(t fataler, data []byte) {
	m, facts := byteModel(data)
	z, want := m.enumerate(facts)
	s, err := Plan(m.net(), evidence(facts), Options{})
	if err != nil {
		t.Fatalf("Plan: %v", err)
	}
	got, err := s.Posterior()
	var imp *Impossible
	if errors.As(err, &imp) {
		if z.hi != 0 {
			t.Fatalf("Posterior: %v; enumeration finds %g", err, z.hi)
		}
		checkConflict(t, m, facts, imp.Items)
		return
	}
	if err != nil {
		t.Fatalf("Posterior: %v", err)
	}
	if rel := math.Abs(dd{math.Ldexp(got.Z, got.Exp), 0}.over(z) - 1); !(rel <= tolerance) {
		t.Fatalf("P(evidence) = %g; want %g", math.Ldexp(got.Z, got.Exp), z.hi)
	}
	for v, k := range m.kind {
		p := got.P[v]
		if math.IsNaN(p) {
			if k == cause || len(factsOn(facts, v)) > 0 {
				t.Fatalf("P[%v %d] = NaN; want %v", k, v, want[v])
			}
			continue
		}
		if p < 0 || p > 1 || math.Abs(p-want[v]) > tolerance {
			t.Fatalf("P[%v %d] = %v; want %v", k, v, p, want[v])
		}
	}
}

// checkConflict: the items conflict, and without any one of them they do not.
func checkConflict(t fataler, m *model, facts []fact, items []int) {
	var chosen []fact
	for _, i := range items {
		chosen = append(chosen, facts[i])
	}
	if z, _ := m.enumerate(chosen); z.hi != 0 {
		t.Fatalf("items %v are given as conflict, but P = %g", items, z.hi)
	}
	for k := range chosen {
		less := append(append([]fact(nil), chosen[:k]...), chosen[k+1:]...)
		if z, _ := m.enumerate(less); z.hi == 0 {
			t.Fatalf("conflict %v without item %d is still impossible", items, items[k])
		}
	}
}

func FuzzPosterior(f *testing.F) {
	for _, s := range byteSeeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) <= 200 {
			checkBytes(t, data)
		}
	})
}

func TestPosteriorProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkBytes(t, rapid.SliceOfN(rapid.Byte(), 0, 120).Draw(t, "network"))
	})
}

// Seeing and not seeing a finding are the two halves of not knowing it, and their share is its posterior.
func TestTotalProbabilityProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, facts := byteModel(rapid.SliceOfN(rapid.Byte(), 0, 120).Draw(t, "network"))
		fs := m.nodes(finding)
		f := fs[rapid.IntRange(0, len(fs)-1).Draw(t, "finding")]
		z := func(more fact) (float64, float64) {
			s, err := Plan(m.net(), evidence(append(facts[:len(facts):len(facts)], more)), Options{})
			if err != nil {
				t.Fatalf("Plan: %v", err)
			}
			r, err := s.Posterior()
			var imp *Impossible
			if errors.As(err, &imp) {
				return 0, 0
			}
			if err != nil {
				t.Fatalf("Posterior: %v", err)
			}
			return math.Ldexp(r.Z, r.Exp), r.P[f]
		}
		yes, _ := z(seen(f))
		no, _ := z(notSeen(f))
		all, p := z(ask(f))
		if math.Abs(yes+no-all) > tolerance*all {
			t.Errorf("P(e, f) + P(e, not f) = %g + %g; want P(e) = %g", yes, no, all)
		}
		if all > 0 && math.Abs(p-yes/all) > tolerance {
			t.Errorf("P(f | e) = %v; want %v", p, yes/all)
		}
	})
}

// Only the ratio of the two weights of a report matters for posteriors.
func TestScaleProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, facts := byteModel(rapid.SliceOfN(rapid.Byte(), 0, 120).Draw(t, "network"))
		by := rapid.Float64Range(1e-100, 1e100).Draw(t, "factor")
		scaled := append([]fact(nil), facts...)
		for i, f := range scaled {
			if f.ask {
				continue
			}
			w := make([]float64, len(f.w))
			for b := range w {
				w[b] = by * f.w[b]
			}
			scaled[i] = fact{nodes: f.nodes, w: w}
		}
		a, errA := Plan(m.net(), evidence(facts), Options{})
		b, errB := Plan(m.net(), evidence(scaled), Options{})
		if errA != nil || errB != nil {
			t.Fatalf("Plan: %v, %v", errA, errB)
		}
		p, errA := a.Posterior()
		q, errB := b.Posterior()
		if (errA == nil) != (errB == nil) {
			t.Fatalf("Posterior: error %v; scaled by %g: %v", errA, by, errB)
		}
		if errA != nil {
			return
		}
		for v := range p.P {
			if math.Abs(p.P[v]-q.P[v]) > sameness {
				t.Errorf("P[%d] = %v; scaled by %g: %v", v, p.P[v], by, q.P[v])
			}
		}
	})
}
