package belief

import (
	"math"
	"slices"
)

// move is one node acting; carry lets it keep its value bit for children that open later.
type move struct {
	u     int32
	carry bool
}

// order is one way to process a core. Any order in which parents act before their children gives the same result.
type order struct {
	moves []move
	width int
	cost  float64
}

// run sweeps a given order.
func (s *sweep) run(o *order) {
	s.reset()
	for _, m := range o.moves {
		s.act(m.u, m.carry)
	}
}

// random is the generator splitmix64 (Steele, Lea and Flood 2014, from memory): a search must give the same order each time.
type random uint64

// unit is the next number in [0, 1).
func (r *random) unit() float64 {
	*r += 0x9e3779b97f4a7c15
	z := uint64(*r)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}

// layout says in which block each node acts.
type layout struct {
	block []int
	carry []bool
}

// free puts everything in one block.
func (c *core) free() layout {
	return layout{make([]int, len(c.v)), make([]bool, len(c.v))}
}

// blocked lets the nodes act block after block. A complete effect acts at once if at most its summaries in one later block wait for it;
// otherwise, like a root, it waits for the first block that wants a child of it, and is carried on if others follow.
func (c *core) blocked() layout {
	l := layout{make([]int, len(c.v)), make([]bool, len(c.v))}
	opened := slices.Clone(c.block) // the block in which a node is opened by a parent that does not wait
	eager := make([]bool, len(c.v))
	for u := range c.v {
		first, last, later := math.MaxInt, math.MinInt, 0
		for _, a := range c.kids(int32(u)) {
			if t := c.block[a.to]; t > c.block[u] {
				first, last, later = min(first, t), max(last, t), later+1
			}
		}
		eager[u] = !c.root[u] && !c.sink[u] && (later <= 2 && first >= last)
		if !eager[u] {
			continue
		}
		for _, a := range c.kids(int32(u)) {
			opened[a.to] = min(opened[a.to], c.block[u])
		}
	}
	for u := range c.v {
		l.block[u] = c.block[u]
		first, last := math.MaxInt, math.MinInt
		for _, a := range c.kids(int32(u)) {
			t := max(opened[a.to], c.block[u])
			first, last = min(first, t), max(last, t)
		}
		if !eager[u] && last > math.MinInt {
			l.block[u] = first
			l.carry[u] = last > first
		}
	}
	return l
}
