package belief

import (
	"cmp"
	"math"
	"slices"
)

// effort is what a search may take.
type effort struct {
	tries int     // for every block; 0: as many as the cost deserves
	most  int     // of these; 0: the package's most
	aim   float64 // an order of this cost is good enough
}

// search tries greedy orders, each block by itself, and keeps the cheapest: plain ones first, then shaken ones. A way to lay the blocks out
// that falls far behind after the plain ones is not tried further.
func (c *core) search(f effort) order {
	c.rankBlocks()
	x := newSearcher(c)
	layouts := [...]layout{c.blocked(), c.free()}
	var first [len(layouts)]order
	best := order{cost: math.Inf(1)}
	for i, l := range layouts {
		first[i] = x.order(l, 0, min(plain, cmp.Or(f.tries, plain)), behind*best.cost)
		best = cheaper(best, first[i])
	}
	tries := cmp.Or(f.tries, min(enough(best.cost), cmp.Or(f.most, most)))
	for i, l := range layouts {
		if tries > plain && best.cost > f.aim && (first[i].cost <= behind*best.cost || best.cost > dear) {
			best = cheaper(best, x.order(l, plain, tries, best.cost))
		}
	}
	return best
}

// behind is how much dearer than the best so far is far behind; of an order of dear entries every way is worth its tries. Without either,
// one sheet in some thousands got an order that takes four times the memory of all others.
const behind, dear = 24, 1e7

func cheaper(a, b order) order {
	if b.cost < a.cost {
		return b
	}
	return a
}

// fewest and most bound the tries that a search makes for every block, plain ones included. Between them it makes one for so many table
// entries of the best order so far: a fifth of the time that the passes over these would take.
const fewest, most, entriesPerTry = 4, 600, 4e5

// plain tries are made before shaken ones. A block that takes fewer than cheap entries is not worth the time of another try.
const plain, cheap = 2, 1e4

// enough is how many tries a computation of this cost deserves.
func enough(cost float64) int { return int(min(max(cost/entriesPerTry, fewest), most)) }

// searcher builds orders.
type searcher struct {
	c           *core
	base        *sweep // up to the block before
	work, best  *sweep // one try for the block, the best try
	moves, keep []move // of the block, in work and in best
	layout      layout
	bound       float64 // no use in going on above this cost
	lazy        bool    // carry whenever that saves bits, not only where the layout says so
	shake       float64 // size of the random part of a rating
	rng         random
	todo        []int32   // of the block: the nodes that have not acted in this try
	waiting     []bool    // by node: it is in todo
	rated       []float64 // by node: its rating, none can be taken that is infinite
	stale       []bool    // by node: something has changed that its rating hangs on
	again       []int32   // the nodes that are stale
}

func newSearcher(c *core) *searcher {
	n := len(c.v)
	return &searcher{c: c, base: newSweep(c), work: newSweep(c), best: newSweep(c), rng: 1,
		todo: make([]int32, 0, n), waiting: make([]bool, n), rated: make([]float64, n), stale: make([]bool, n), again: make([]int32, 0, n)}
}

// order takes the blocks of a layout in turn. The cost is infinite if it would not stay below a bound.
func (x *searcher) order(l layout, from, to int, bound float64) order {
	x.layout, x.bound = l, bound
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
		n := 1
		for n < len(todo) && l.block[todo[n]] == l.block[todo[0]] {
			n++
		}
		x.try(todo[:n], from, to)
		todo = todo[n:]
		if x.best.cost >= bound {
			return order{cost: math.Inf(1)}
		}
		moves = append(moves, x.keep...)
		x.base, x.best = x.best, x.base
	}
	return order{moves, x.base.width, x.base.cost}
}

// try finds moves for the nodes of one block. Of several tries it keeps the one that ends with the fewest open bits, since each doubles all
// that follows, and the cheapest of those. Tries alternate between two ways to carry; after the plain ones they are shaken at
// random, unless the block is cheap already.
func (x *searcher) try(block []int32, from, to int) {
	x.best.n, x.best.cost = math.MaxInt, math.Inf(1)
	for t := from; t < to; t++ {
		if t > from && t >= plain && x.best.cost-x.base.cost < cheap {
			return
		}
		x.begin(block, t)
		for len(x.todo) > 0 && x.work.cost < min(x.bound, 2*x.best.cost) {
			x.act(x.next())
		}
		if len(x.todo) == 0 && (x.work.n < x.best.n || x.work.n == x.best.n && x.work.cost < x.best.cost) {
			x.work, x.best = x.best, x.work
			x.moves, x.keep = x.keep, x.moves
		}
	}
}

// ties is the size of the random part of a rating in a shaken try: ratings are multiples of it, so that it decides among equals only. Every
// other try is shaken twice as hard, so that it may also prefer what is nearly as good; a mixture finds better orders than either alone.
const ties = 0.5

func (x *searcher) begin(block []int32, t int) {
	x.work.copyFrom(x.base)
	x.moves, x.todo = x.moves[:0], append(x.todo[:0], block...)
	x.lazy, x.shake = t&1 != 0, 0
	if t >= plain {
		x.shake = ties * float64(1+t&1)
	}
	clear(x.waiting)
	clear(x.stale)
	x.again = x.again[:0]
	for _, u := range block {
		x.waiting[u] = true
		x.outdate(u)
	}
}

func (x *searcher) outdate(u int32) {
	if x.waiting[u] && !x.stale[u] {
		x.stale[u] = true
		x.again = append(x.again, u)
	}
}

// refresh rates the nodes anew whose ratings are stale. One that waits for parents can not be taken.
func (x *searcher) refresh() {
	for _, u := range x.again {
		x.rated[u], x.stale[u] = math.Inf(1), false
		if x.work.left[u] == 0 {
			x.rated[u] = x.rate(u)
		}
	}
	x.again = x.again[:0]
}

// next takes the node after which the fewest bits are open out of todo.
func (x *searcher) next() int32 {
	x.refresh()
	at, least := -1, math.Inf(1)
	for i, u := range x.todo {
		if y := x.rated[u]; y < least {
			at, least = i, y
		}
	}
	u := x.todo[at]
	x.todo = slices.Delete(x.todo, at, at+1)
	x.waiting[u] = false
	return u
}

// act lets u act, and notes whose rating that may change.
func (x *searcher) act(u int32) {
	m := move{u, x.carries(u)}
	x.work.act(m.u, m.carry)
	x.moves = append(x.moves, m)
	x.touchFactors(u)
	for _, a := range x.c.kids(u) {
		x.touch(a.to)
		if k := x.c.group[a.to]; k >= 0 {
			for _, v := range x.c.groups[k].open {
				x.touch(v)
			}
		}
		x.touchFactors(a.to)
	}
}

// touch is called when v was opened, or one more of its parents has acted.
func (x *searcher) touch(v int32) {
	x.outdate(v)
	for _, u := range x.c.parents(v) {
		x.outdate(u)
	}
}

// touchFactors is called when v may have become complete, or a factor of v may have been applied.
func (x *searcher) touchFactors(v int32) {
	if x.c.in == nil {
		return
	}
	for _, k := range x.c.in[v] {
		for _, u := range x.c.factors[k].scope {
			x.touch(u)
		}
	}
}

func (x *searcher) carries(u int32) bool { return x.lazy || x.layout.carry[u] }

// late is added for nodes that had better wait: more than all other ratings.
const late = 1e3

// rate is least for the node that had best act now: bits opened less bits closed. Acting effects and effects that become complete count
// besides, for they let others go on.
func (x *searcher) rate(u int32) float64 {
	const acts, completes = 0.5, 1.0
	s := x.work
	y := x.shake * x.rng.unit()
	if s.waits(u) {
		y += late
	}
	held := x.carries(u) && s.unopened(u) > 1
	switch {
	case x.c.root[u] && held && !s.open[u]:
		y++
	case !x.c.root[u] && !held:
		y -= acts
		if s.open[u] {
			y--
		}
	}
	for _, a := range x.c.kids(u) {
		v := a.to
		if !s.open[v] && !held {
			y++
		}
		if s.left[v] > 1 {
			continue
		}
		if !x.c.sink[v] {
			y -= completes
			continue
		}
		if k := x.c.group[v]; k >= 0 && s.gleft[k] > 1 || held && !s.open[v] {
			continue
		}
		y -= float64(x.c.closes(v))
	}
	return y
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
