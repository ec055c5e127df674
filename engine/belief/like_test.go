package belief

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// TestLike plans after a schedule for other evidence: with an item less, with items more, on the same net. The result is the same,
// and the order taken over is legal and costs what its program does.
func TestLike(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 3))
	followed, largest := 0, 0.0
	for i := range 80 {
		m := shape{causes: 9, effects: 7, findings: 10, deep: i%2 == 1, extreme: i%4 == 3, narrow: i%3 == 2}.random(rng)
		n, e := m.net(), evidence(m.randomFacts(rng, map[string]int{}))
		other, err := Plan(n, e.Without(rng.IntN(e.Len()), rng.IntN(e.Len())), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, pair := range []struct {
			e    *Evidence
			like *Schedule
		}{{e, other}, {e.Without(rng.IntN(e.Len())), other}} {
			fresh, err := Plan(n, pair.e, Options{})
			if err != nil {
				t.Fatal(err)
			}
			after, err := Plan(n, pair.e, Options{Like: pair.like})
			if err != nil {
				t.Fatal(err)
			}
			legal(t, after)
			if _, ok := after.core.like(pair.like); ok && len(after.order.moves) > 0 {
				followed++
			}
			want, err := fresh.Posterior()
			if err != nil {
				continue // impossible evidence has its own tests
			}
			got, err := after.Posterior()
			if err != nil {
				t.Fatalf("network %d: Posterior after another schedule: %v; want none", i, err)
			}
			largest = max(largest, math.Abs(math.Ldexp(got.Z/want.Z, got.Exp-want.Exp)-1))
			for v := range want.P {
				if d := math.Abs(got.P[v] - want.P[v]); d > sameness {
					t.Errorf("network %d, node %d: %v after another schedule; want %v", i, v, got.P[v], want.P[v])
				} else if d > largest {
					largest = d
				}
			}
		}
	}
	if largest > sameness || followed < 80 {
		t.Errorf("largest difference %g with %d orders taken over; want at most %g with 80 or more", largest, followed, sameness)
	}
	t.Logf("largest difference %.1e with %d orders taken over", largest, followed)
}

// legal checks that every node that is no sink acts once, after its parents.
func legal(t *testing.T, s *Schedule) {
	t.Helper()
	acted := make([]bool, len(s.core.v))
	for _, m := range s.order.moves {
		if acted[m.u] {
			t.Errorf("node %d acts twice", m.u)
		}
		acted[m.u] = true
		for _, p := range s.core.parents(m.u) {
			if !acted[p] {
				t.Errorf("node %d acts before its parent %d", m.u, p)
			}
		}
	}
	for u := range acted {
		if !acted[u] && !s.core.sink[u] {
			t.Errorf("node %d never acts", u)
		}
	}
}

// BenchmarkPlanLike plans for evidence with one item less, after the schedule for all of it; compare with BenchmarkPlan.
func BenchmarkPlanLike(b *testing.B) {
	for _, k := range []int{2, 4} {
		for _, name := range []string{"intake", "all"} {
			b.Run(fmt.Sprintf("%s-%d", name, k), func(b *testing.B) {
				n, e, s := intakeSchedule(b, k, name)
				less := e.Without(0)
				b.ReportAllocs()
				for b.Loop() {
					if _, err := Plan(n, less, Options{Limit: 1e10, Like: s}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(s.Cost(), "entries")
			})
		}
	}
}
