package belief

import (
	"cmp"
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

// lazy is blocked with every node carried as long as that saves bits.
func (c *core) lazy() layout {
	l := c.blocked()
	for u := range l.carry {
		l.carry[u] = true
	}
	return l
}

// search tries greedy orders with three layouts, plainly and then shaken, and keeps the cheapest.
func (c *core) search(tries int) order {
	c.rankBlocks()
	best := order{cost: math.Inf(1)}
	s := newSweep(c)
	layouts := [...]layout{c.blocked(), c.free(), c.lazy()}
	rng := random(1)
	for t := 0; t < tries || tries == 0 && t < enough(best.cost); t++ {
		shake := &rng
		if t < len(layouts) {
			shake = nil
		}
		c.greedy(s, layouts[t%len(layouts)], shake, &best)
	}
	return best
}

// fewest is the number of tries that every search makes.
const fewest = 6

// enough is how many tries a computation of this cost deserves.
func enough(cost float64) int {
	switch {
	case cost < 1e5:
		return fewest
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
	slices.SortStableFunc(todo, func(a, b int32) int { return cmp.Compare(l.block[a], l.block[b]) })
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
			x += rng.unit()
		}
		if x < score {
			best, score = k, x
		}
	}
	return best
}

// score rates letting u act now, least is best: bits opened less bits closed, less the effects that become complete.
func (s *sweep) score(u int32, carry bool) float64 {
	if s.waits(u) {
		return late
	}
	opened, closed, ready := 0, 0, 0
	for _, a := range s.c.kids(u) {
		v := a.to
		if !s.open[v] {
			opened++
		}
		if s.left[v] > 1 {
			continue
		}
		if k := s.c.group[v]; !s.c.sink[v] {
			ready++
		} else if k < 0 || s.gleft[k] == 1 {
			closed += s.c.closes(v)
		}
	}
	x := 0.0
	if !s.c.root[u] {
		x = -0.5
		closed++
		if !s.open[u] {
			opened++
		}
	}
	if carry && opened > 1 {
		return x - float64(ready)
	}
	return x + float64(opened-closed-ready)
}

// late is the score of a node that had better wait: above all others.
const late = 1e3

// closes is the number of bits that go when sink v is the last to be complete in its group.
func (c *core) closes(v int32) int {
	if k := c.group[v]; k >= 0 {
		return len(c.groups[k].open)
	}
	return 1
}

// waits reports whether a factor needs u and another effect that is not complete.
func (s *sweep) waits(u int32) bool {
	if s.pend[u] > 0 {
		for _, k := range s.c.in[u] {
			if s.fleft[k] > 0 {
				return true
			}
		}
	}
	return false
}
