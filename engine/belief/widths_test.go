package belief

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// The shape that the knowledge is held to keeps tables small: five trunk effects, machine summaries, one or two effects per cause. Widths
// and costs of invented knowledge of that shape, five sheets each; no table is filled. A worse order search shows here first.
func TestWidthsOfInventedKnowledge(t *testing.T) {
	limits := map[int]int{1: 12, 2: 18, 4: 21, 6: 22}
	for _, k := range []int{1, 2, 4, 6} {
		for _, sh := range sheets {
			var widths []int
			var costs []float64
			for seed := range 5 {
				rng := rand.New(rand.NewPCG(uint64(k), uint64(seed)))
				in := invent(rng, k, 12)
				s, err := Plan(in.net(), evidence(in.sheet(rng, sh.machine, sh.local, sh.numbers)), Options{Limit: 1e12})
				if err != nil {
					t.Fatal(err)
				}
				widths, costs = append(widths, s.Width()), append(costs, s.Cost())
			}
			slices.Sort(widths)
			slices.Sort(costs)
			t.Logf("%d carburetors, %-8s width %2d, largest %2d; entries %.1e, largest %.1e", k, sh.name, widths[2], widths[4], costs[2], costs[4])
			if widths[4] > limits[k] {
				t.Errorf("%d carburetors, %s: width %d; want at most %d", k, sh.name, widths[4], limits[k])
			}
		}
	}
}
