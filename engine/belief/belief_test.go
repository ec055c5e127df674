package belief

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// tolerance is the project's promise for posteriors against enumeration.
const tolerance = 1e-12

// worst collects the largest differences seen, for the test log.
type worst struct{ cause, effect, finding, z float64 }

func (w *worst) add(k kind, d float64) {
	switch k {
	case cause:
		w.cause = max(w.cause, d)
	case effect:
		w.effect = max(w.effect, d)
	default:
		w.finding = max(w.finding, d)
	}
}

// compare checks a result against the enumeration. It reports false if the evidence is impossible on both sides.
func compare(t *testing.T, m *model, facts []fact, w *worst) (*Schedule, bool) {
	t.Helper()
	z, want := m.enumerate(facts)
	s, err := Plan(m.net(), evidence(facts), Options{})
	if err != nil {
		t.Fatalf("Plan: %v", err)
	}
	got, err := s.Posterior()
	var imp *Impossible
	if errors.As(err, &imp) {
		if z.hi != 0 {
			t.Fatalf("Posterior: %v; enumeration finds P(evidence) = %g", err, z.hi)
		}
		return s, false
	}
	if err != nil {
		t.Fatalf("Posterior: %v", err)
	}
	if z.hi == 0 {
		t.Fatalf("Posterior found P(evidence) = %g; enumeration finds 0", got.Z)
	}
	rel := math.Abs(dd{math.Ldexp(got.Z, got.Exp), 0}.over(z) - 1)
	w.z = max(w.z, rel)
	if rel > tolerance {
		t.Errorf("P(evidence) = %g; want %g, relative difference %g", math.Ldexp(got.Z, got.Exp), z.hi, rel)
	}
	for v, k := range m.kind {
		if math.IsNaN(got.P[v]) && (k == cause || len(factsOn(facts, v)) > 0) {
			t.Errorf("P[%v %d] = NaN; want %v", k, v, want[v])
		}
		if math.IsNaN(got.P[v]) || math.IsNaN(want[v]) {
			continue
		}
		d := math.Abs(got.P[v] - want[v])
		w.add(k, d)
		if d > tolerance {
			t.Errorf("P[%v %d] = %v; want %v, difference %g", k, v, got.P[v], want[v], d)
		}
	}
	return s, true
}

func factsOn(facts []fact, v int) []fact {
	var r []fact
	for _, f := range facts {
		for _, x := range f.nodes {
			if x == v {
				r = append(r, f)
			}
		}
	}
	return r
}

// Source: full enumeration over causes and effects (reference_test.go).
func TestPosteriorAgainstEnumeration(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	count, widths, impossible := map[string]int{}, [32]int{}, 0
	var w worst
	for i := range 60 {
		sh := shape{causes: 8 + rng.IntN(3), effects: 6 + rng.IntN(2), findings: 8 + rng.IntN(3), deep: i%2 == 1, extreme: i%4 == 3}
		m := sh.random(rng)
		s, ok := compare(t, m, m.randomFacts(rng, count), &w)
		if !ok {
			impossible++
			continue
		}
		widths[s.Width()]++
		if t.Failed() {
			t.Fatalf("network %d, shape %+v", i, sh)
		}
	}
	t.Logf("largest difference: causes %.1e, effects %.1e, findings %.1e; P(evidence), relative: %.1e", w.cause, w.effect, w.finding, w.z)
	t.Logf("evidence %v; impossible %d; widths %v", count, impossible, widths)
}
