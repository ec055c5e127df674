package belief

import (
	"cmp"
	"math"
	"slices"
)

// search tries greedy orders, each block by itself, and keeps the cheapest.
func (c *core) search(tries int) order {
	c.rankBlocks()
	best := order{cost: math.Inf(1)}
	blocked := c.blocked()
	x := newSearcher(c)
	x.order(blocked, cmp.Or(tries, fewest), &best)
	free := c.free()
	x.order(free, cmp.Or(tries, fewest), &best)
	if more := enough(best.cost); tries == 0 && more > fewest {
		x.order(blocked, more, &best)
		x.order(free, enough(best.cost), &best)
	}
	return best
}

// fewest is the number of tries that every search makes for every block.
const fewest = 8

// plain tries are made before shaken ones. A block that takes fewer than cheap entries is not worth the time of another try.
const plain, cheap = 4, 1e4

// enough is how many tries a computation of this cost deserves.
func enough(cost float64) int {
	switch {
	case cost < 1e5:
		return fewest
	case cost < 1e6:
		return 3 * fewest
	}
	return 8 * fewest
}

// searcher builds orders.
type searcher struct {
	c           *core
	base        *sweep // up to the block before
	work, best  *sweep // one try for the block, the best try
	moves, keep []move // of the block, in work and in best
	layout      layout
	bound       float64 // no use in going on above this cost
	block       int
	lazy        bool    // carry whenever that saves bits, not only where the layout says so
	shake       float64 // size of the random part of a score
	rng         random
	targets     []int32 // of the block: its nodes and their children, each once
	set         []int32 // nodes that are rated together
	left        []int32 // by node: parents that would still have to act after set, where mark says so
	mark        []int32
	now         int32
}

func newSearcher(c *core) *searcher {
	return &searcher{c: c, base: newSweep(c), work: newSweep(c), best: newSweep(c), rng: 1,
		left: make([]int32, len(c.v)), mark: make([]int32, len(c.v))}
}

// order takes the blocks of a layout in turn; best is replaced if the whole is cheaper.
func (x *searcher) order(l layout, tries int, best *order) {
	x.layout, x.bound = l, best.cost
	var todo []int32
	for u := range x.c.v {
		if !x.c.sink[u] {
			todo = append(todo, int32(u))
		}
	}
	slices.SortStableFunc(todo, func(a, b int32) int { return cmp.Compare(l.block[a], l.block[b]) })
	x.base.reset()
	var moves []move
	for len(todo) > 0 {
		x.block = l.block[todo[0]]
		n := 1
		for n < len(todo) && l.block[todo[n]] == x.block {
			n++
		}
		x.try(todo[:n], tries)
		todo = todo[n:]
		if x.best.cost >= best.cost {
			return
		}
		moves = append(moves, x.keep...)
		x.base, x.best = x.best, x.base
	}
	*best = order{moves, x.base.width, x.base.cost}
}

// try finds moves for the nodes of one block. Of several tries it keeps the one that ends with the fewest open bits, since each doubles all
// that follows, and the cheapest of those. Tries alternate between two ways to go on and between two ways to carry; after these four
// they are shaken at random, unless the block is cheap already.
func (x *searcher) try(todo []int32, tries int) {
	x.best.n, x.best.cost = math.MaxInt, math.Inf(1)
	x.aim(todo)
	for t := range max(tries, 1) {
		if t >= plain && x.best.cost-x.base.cost < cheap {
			return
		}
		x.work.copyFrom(x.base)
		x.moves = x.moves[:0]
		x.lazy, x.shake = t&2 != 0, 0
		if t >= plain {
			x.shake = 1
		}
		for len(x.moves) < len(todo) && x.work.cost < min(x.bound, 2*x.best.cost) {
			if t&1 == 0 {
				x.nextEffect(todo)
			} else {
				x.nextNode(todo)
			}
		}
		if len(x.moves) == len(todo) && (x.work.n < x.best.n || x.work.n == x.best.n && x.work.cost < x.best.cost) {
			x.work, x.best = x.best, x.work
			x.moves, x.keep = x.keep, x.moves
		}
	}
}

// aim lists what can be completed by the nodes of a block.
func (x *searcher) aim(todo []int32) {
	x.targets = append(x.targets[:0], todo...)
	for _, u := range todo {
		for _, a := range x.c.kids(u) {
			x.targets = append(x.targets, a.to)
		}
	}
	slices.Sort(x.targets)
	x.targets = slices.Compact(x.targets)
}

func (x *searcher) act(u int32) {
	m := move{u, x.carries(u)}
	x.work.act(m.u, m.carry)
	x.moves = append(x.moves, m)
}

func (x *searcher) carries(u int32) bool { return x.lazy || x.layout.carry[u] }

// ready reports whether u can act in this block.
func (x *searcher) ready(u int32) bool {
	return !x.work.acted[u] && x.work.left[u] == 0 && x.layout.block[u] <= x.block
}

// nextNode lets the node act after which the fewest bits are open.
func (x *searcher) nextNode(todo []int32) {
	best, score := int32(-1), math.Inf(1)
	for _, u := range todo {
		if !x.ready(u) {
			continue
		}
		x.set = append(x.set[:0], u)
		if y := x.score(taste{inner: 0.5, ready: 1}); y < score {
			best, score = u, y
		}
	}
	x.act(best)
}

// nextEffect completes the effect or sink after which the fewest bits are open, by letting all its parents act, and lets every complete
// effect act that opens nothing. If none can be completed in this block it is nextNode.
func (x *searcher) nextEffect(todo []int32) {
	best, score := int32(-1), math.Inf(1)
	for _, v := range x.targets {
		if !x.target(v) {
			continue
		}
		if y := x.score(taste{passes: 0.1}); y < score {
			best, score = v, y
		}
	}
	if best < 0 {
		x.nextNode(todo)
		return
	}
	x.target(best)
	for _, u := range slices.Clone(x.set) {
		x.act(u)
	}
	for _, u := range todo {
		if x.ready(u) && !x.c.root[u] && x.work.unopened(u) == 0 && !x.work.waits(u) {
			x.act(u)
		}
	}
}

// target collects in set what must act to complete v, or v itself if it is complete and has no children. It reports false if nothing need
// or can be done in this block.
func (x *searcher) target(v int32) bool {
	x.set = x.set[:0]
	if x.work.left[v] == 0 {
		if !x.c.sink[v] && len(x.c.kids(v)) == 0 && x.ready(v) {
			x.set = append(x.set, v)
		}
		return len(x.set) > 0
	}
	for _, u := range x.c.parents(v) {
		if x.work.acted[u] {
			continue
		}
		if !x.ready(u) {
			return false
		}
		x.set = append(x.set, u)
	}
	return len(x.set) > 0
}

// taste weighs what counts besides bits: acting effects, effects that become complete, passes over the table.
type taste struct{ inner, ready, passes float64 }

// late is added for nodes that had better wait: more than all other scores.
const late = 1e3

// score rates letting the nodes of set act now, least is best: bits opened less bits closed, and what else is to taste.
func (x *searcher) score(t taste) float64 {
	s := x.work
	x.now++
	y := x.shake * x.rng.unit()
	for _, u := range x.set {
		if s.waits(u) {
			y += late
		}
		kids := x.c.kids(u)
		y += t.passes * float64(1+len(kids))
		held := x.carries(u) && s.unopened(u) > 1
		switch {
		case x.c.root[u] && held && !s.open[u]:
			y++
		case !x.c.root[u] && !held:
			y -= t.inner
			if s.open[u] {
				y--
			}
		}
		for _, a := range kids {
			y += x.reach(a.to, held, t)
		}
	}
	return y
}

// reach rates one link of a node of set.
func (x *searcher) reach(v int32, held bool, t taste) float64 {
	s, y := x.work, 0.0
	if x.mark[v] != x.now {
		x.mark[v], x.left[v] = x.now, s.left[v]
		if !s.open[v] && !held {
			y++
		}
	}
	if x.left[v]--; x.left[v] > 0 {
		return y
	}
	if !x.c.sink[v] {
		return y - t.ready
	}
	if k := x.c.group[v]; k >= 0 && s.gleft[k] > 1 {
		return y
	}
	if held && !s.open[v] {
		return y
	}
	return y - float64(x.c.closes(v))
}

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
