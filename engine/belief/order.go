package belief

import (
	"math"
	"slices"
)

// order is one way to process a core: the nodes that act, in turn, and which of them keep their value bit for children
// that open later. Any order in which parents act before their children gives the same result.
type order struct {
	acts  []int32
	carry []bool // by core node
	width int
	cost  float64
}

// run sweeps a given order.
func (s *sweep) run(o *order) {
	s.reset()
	for _, u := range o.acts {
		s.act(u, o.carry[u])
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

// blocked lets the nodes act block after block. A node that would open two bits or more for later blocks waits for the first of
// them, and is carried through if its children lie in several.
func (c *core) blocked() layout {
	l := layout{make([]int, len(c.v)), make([]bool, len(c.v))}
	for u := range c.v {
		if c.sink[u] {
			continue
		}
		first, last, later := math.MaxInt, math.MinInt, 0
		for _, a := range c.kids(int32(u)) {
			t := c.wanted(a.to, int32(u))
			first, last = min(first, t), max(last, t)
			if t > c.block[u] {
				later++
			}
		}
		l.block[u] = c.block[u]
		if c.root[u] || later > 1 {
			l.block[u] = first
		}
		l.carry[u] = last > l.block[u]
	}
	return l
}

// wanted is the block, not before u is complete, from which on the bit of v is open although u has not acted.
func (c *core) wanted(v, u int32) int {
	t := c.block[v]
	for _, p := range c.parents(v) {
		if p != u {
			t = min(t, c.block[p])
		}
	}
	return max(t, c.block[u])
}

// search tries several greedy orders and keeps the cheapest.
func (c *core) search(tries int) order {
	best := order{cost: math.Inf(1)}
	s := newSweep(c)
	layouts := []layout{c.blocked(), c.free()}
	rng := random(1)
	for t := 0; t < max(tries, 2) || tries == 0 && t < enough(best.cost); t++ {
		l := layouts[t%2]
		if t < 2 {
			c.greedy(s, l, nil, &best)
		} else {
			c.greedy(s, l, &rng, &best)
		}
	}
	return best
}

// enough is how many tries a computation of this cost deserves.
func enough(cost float64) int {
	switch {
	case cost < 1e4:
		return 2
	case cost < 1e5:
		return 6
	case cost < 1e6:
		return 16
	}
	return 64
}

// greedy builds one order, block after block, taking next the node after which the fewest bits are open; best is replaced if the
// order is cheaper. rng, if any, shakes the choice.
func (c *core) greedy(s *sweep, l layout, rng *random, best *order) {
	var todo []int32
	for u := range c.v {
		if !c.sink[u] {
			todo = append(todo, int32(u))
		}
	}
	slices.SortStableFunc(todo, func(a, b int32) int { return l.block[a] - l.block[b] })
	s.reset()
	acts := make([]int32, 0, len(todo))
	for hi := 0; len(todo) > 0; {
		for hi < len(todo) && l.block[todo[hi]] == l.block[todo[0]] {
			hi++
		}
		k := s.pick(todo[:hi], l, rng)
		u := todo[k]
		s.act(u, l.carry[u])
		if s.cost >= best.cost {
			return
		}
		acts = append(acts, u)
		todo = slices.Delete(todo, k, k+1)
		hi--
	}
	*best = order{acts, l.carry, s.width, s.cost}
}

// pick returns the index of the next node to act: of those whose parents have all acted.
func (s *sweep) pick(todo []int32, l layout, rng *random) int {
	best, score := -1, math.Inf(1)
	for k, u := range todo {
		if s.left[u] > 0 {
			continue
		}
		x := s.score(u, l.carry[u])
		if rng != nil {
			x += 1.2 * rng.unit()
		}
		if x < score {
			best, score = k, x
		}
	}
	return best
}

// score rates letting u act now: bits opened less bits closed, then bits opened, then how much is left to do for its children.
func (s *sweep) score(u int32, carry bool) float64 {
	kids := s.c.kids(u)
	opened, closed, left := 0, 0, int32(0)
	for _, a := range kids {
		v := a.to
		left += s.left[v]
		if !s.open[v] {
			opened++
		}
		if s.left[v] > 1 || !s.c.sink[v] {
			continue
		}
		if k := s.c.group[v]; k < 0 {
			closed++
		} else if s.gleft[k] == 1 {
			closed += len(s.c.groups[k].open)
		}
	}
	x := 0.0
	if !s.c.root[u] {
		x -= 0.5
		closed++
		if !s.open[u] {
			opened++
		}
	}
	if carry && opened > 1 {
		opened, closed = 0, 0
	}
	return x + float64(opened-closed) + 0.1*float64(opened) + 0.01*float64(left)/float64(1+len(kids))
}
