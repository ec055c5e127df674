package engine

import (
	"math"
	"slices"
)

// everywhere completes the posteriors of one inference: an effect with nothing observed below it was not part of it, and follows from
// what makes it, which is taken as independent.
func (n *network) everywhere(post *posterior) []float64 {
	on := slices.Clone(post.P)
	for _, e := range n.effects { // an effect follows all that make it
		if math.IsNaN(on[e.node]) {
			on[e.node] = 1 - unmade(on, e.effect.Otherwise, e.parents)
		}
	}
	return on
}

// unmade is the noisy-OR of what makes a node, taken as independent: the probability that the node is absent.
func unmade(on []float64, leak float64, by []parent) float64 {
	none := 1 - leak
	for _, p := range by {
		none *= 1 - p.chance*on[p.node()]
	}
	return none
}
