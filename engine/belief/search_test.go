package belief

import (
	"math/rand/v2"
	"testing"
)

// A rating is kept until something changes that it hangs on; it must then be what it would be if it were worked out anew.
func TestRatingsAreFresh(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	kept := 0
	for i := range 60 {
		m := shape{causes: 12, effects: 8, findings: 14, deep: i%2 == 1, narrow: i%3 == 2}.random(rng)
		g := newGraph(m.net(), evidence(m.randomFacts(rng, map[string]int{})), nil, false)
		g.strip()
		c := newCore(g)
		c.addFactors()
		c.rankBlocks()
		for _, lazy := range []int{0, 1} {
			x := newSearcher(c)
			x.base.reset()
			x.layout = c.free()
			var all []int32
			for u := range c.v {
				if !c.sink[u] {
					all = append(all, int32(u))
				}
			}
			for x.begin(all, lazy); len(x.todo) > 0; x.act(x.next()) {
				for _, u := range x.todo {
					if x.stale[u] || x.work.left[u] > 0 {
						continue
					}
					kept++
					if y := x.rate(u); y != x.rated[u] {
						t.Fatalf("network %d, node %d after %d moves: rated %v, would be %v", i, u, len(x.moves), x.rated[u], y)
					}
				}
			}
		}
	}
	if kept < 1000 {
		t.Errorf("only %d ratings were kept", kept)
	}
}
