package belief

import "slices"

// Stripping: whatever hangs on the rest by a single arc is summed out in closed form, which is message passing on the tree-like
// fringe (Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, chapter 4; from memory). Every rule below is a sum of
// products of non-negative numbers. What is left, the core, needs tables.

type rule uint8

const (
	ruleRoot   rule = iota // no parents, and no children or certainly absent: a constant
	ruleDeny               // certainly absent, with parents: a weight on each of them
	ruleSure               // no parents, certainly present: part of what is known about each child; a constant where to is -1
	ruleAbsorb             // no parents, one child: part of what is known about the child
	ruleFold               // one parent, no children: a weight on the parent
	ruleGroup              // a group with one parent at most: a weight on the parent, or a constant
)

// record is one rule applied, kept so that posteriors can be found by going through the log backwards.
type record struct {
	rule rule
	v    int32 // the vertex, or the group
	to   int32 // the child that absorbed it, the parent it was folded into; -1 for none
	arc  int32
	old  pair // n of the child or w of the parent, before
}

// strip applies the rules until none fits. Their order does not matter for what is left.
func (g *graph) strip() {
	for v := int32(len(g.v)) - 1; v >= 0; v-- {
		g.denyOrFold(v)
	}
	for v := range g.v {
		g.settle(int32(v))
	}
	for len(g.todo) > 0 {
		v := g.todo[len(g.todo)-1]
		g.todo = g.todo[:len(g.todo)-1]
		g.settle(v)
	}
}

// denyOrFold is the first pass, children before parents. A node that is known to be absent and not a root is a product over its
// parents, (1-leak) * product of (1-link): a weight on each of them and no coupling at all.
func (g *graph) denyOrFold(v int32) {
	x := &g.v[v]
	if x.upHi == x.upLo || x.group >= 0 {
		return
	}
	if x.w[1] > 0 {
		g.settle(v)
		return
	}
	g.deny(v)
	for i := x.upLo; i < x.upHi; i++ {
		g.v[g.arcs[i].from].down--
	}
	g.release(v)
	g.log = append(g.log, record{rule: ruleDeny, v: v})
}

// deny weighs the parents of v with its absence.
func (g *graph) deny(v int32) {
	x := &g.v[v]
	g.constant(x.w[0] * x.n[0])
	for i := x.upLo; i < x.upHi; i++ {
		a := &g.arcs[i]
		u := &g.v[a.from]
		u.w = g.fit(pair{u.w[0], u.w[1] * a.q})
	}
}

// release takes v out as a parent of its remaining children.
func (g *graph) release(v int32) {
	x := &g.v[v]
	for _, i := range g.kids[x.kidLo:x.kidHi] {
		if c := &g.v[g.arcs[i].to]; !c.gone {
			c.up--
			g.todo = append(g.todo, g.arcs[i].to)
		}
	}
	x.gone = true
}

// settle applies the rule that fits v, if one does.
func (g *graph) settle(v int32) {
	x := &g.v[v]
	switch {
	case x.gone:
	case x.group >= 0:
		g.settleGroup(x.group)
	case x.up == 0 && (x.down == 0 || x.n[1] == 0 || x.w[1] == 0):
		g.constant(x.n.dot(x.w))
		g.release(v)
		g.log = append(g.log, record{rule: ruleRoot, v: v})
	case x.up == 0 && x.w[0] == 0:
		g.sure(v)
	case x.up == 0 && x.down == 1:
		g.absorb(v)
	case x.up == 1 && x.down == 0:
		g.fold(v)
	}
}

// sure raises what is known about the children of a root that is certainly present.
func (g *graph) sure(v int32) {
	x := &g.v[v]
	g.constant(x.n[1] * x.w[1])
	g.log = append(g.log, record{rule: ruleSure, v: v, to: -1})
	for _, i := range g.kids[x.kidLo:x.kidHi] {
		a := &g.arcs[i]
		if c := &g.v[a.to]; !c.gone {
			g.log = append(g.log, record{rule: ruleSure, v: v, to: a.to, arc: i})
			g.raised(a.to, i)
			c.absorbed = true
		}
	}
	g.release(v)
}

func (g *graph) raised(v, arc int32) {
	a, c := &g.arcs[arc], &g.v[v]
	c.n = g.fit(c.n.raise(a.l, a.q))
}

// absorb sums out a root with a single child: what is known about the child becomes off*n + on*(n raised by the link).
func (g *graph) absorb(v int32) {
	x := &g.v[v]
	i := g.liveKid(v)
	a := &g.arcs[i]
	c := &g.v[a.to]
	g.log = append(g.log, record{rule: ruleAbsorb, v: v, to: a.to, arc: i, old: c.n})
	g.absorbed(v, i)
	c.up--
	c.absorbed = true
	x.gone = true
	g.todo = append(g.todo, a.to)
}

// absorbed weighs the child on an arc with a root.
func (g *graph) absorbed(v, arc int32) {
	x, a := &g.v[v], &g.arcs[arc]
	c := &g.v[a.to]
	p := x.n.times(x.w)
	up := c.n.raise(a.l, a.q)
	c.n = g.fit(pair{p[0]*c.n[0] + p[1]*up[0], p[0]*c.n[1] + p[1]*up[1]})
}

// fold sums out a leaf with a single parent: a weight on the parent's value.
func (g *graph) fold(v int32) {
	x := &g.v[v]
	i := g.liveParent(v)
	a := &g.arcs[i]
	u := &g.v[a.from]
	g.log = append(g.log, record{rule: ruleFold, v: v, to: a.from, arc: i, old: u.w})
	g.folded(v, i)
	u.down--
	x.gone = true
	g.todo = append(g.todo, a.from)
}

// folded weighs the parent on an arc with a leaf.
func (g *graph) folded(v, arc int32) {
	x, a := &g.v[v], &g.arcs[arc]
	u := &g.v[a.from]
	m := pair{x.n.dot(x.w), x.n.raise(a.l, a.q).dot(x.w)}
	u.w = g.fit(u.w.times(g.fit(m)))
}

// liveKid is the arc to a child that is still there; down counts one at least.
func (g *graph) liveKid(v int32) int32 {
	kids := g.kids[g.v[v].kidLo:g.v[v].kidHi]
	return kids[slices.IndexFunc(kids, func(i int32) bool { return !g.v[g.arcs[i].to].gone })]
}

// liveParent is the arc from a parent that is still there; up counts one at least.
func (g *graph) liveParent(v int32) int32 {
	i := g.v[v].upLo
	for g.v[g.arcs[i].from].gone {
		i++
	}
	return i
}
