package belief

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestProbabilityIsThatOfPosterior compares the forward pass alone with both passes.
func TestProbabilityIsThatOfPosterior(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 7))
	for i := range 60 {
		m := shape{causes: 9, effects: 7, findings: 9, deep: i%2 == 1, extreme: i%4 == 3}.random(r)
		s, err := Plan(m.net(), evidence(m.randomFacts(r, map[string]int{})), Options{})
		if err != nil {
			t.Fatal(err)
		}
		post, err := s.Posterior()
		z, exp, zerr := s.Probability()
		if zerr != nil {
			t.Fatal(zerr)
		}
		if err != nil {
			if z != 0 {
				t.Errorf("case %d: Probability() = %v * 2^%d of evidence that Posterior finds impossible", i, z, exp)
			}
			continue
		}
		if got, want := math.Ldexp(z, exp-post.Exp), post.Z; math.Abs(got/want-1) > 1e-14 {
			t.Errorf("case %d: Probability() = %v; want %v", i, got, want)
		}
	}
}
