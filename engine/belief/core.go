package belief

import "math"

// core is what stripping left: nodes with several arcs each. Its nodes are numbered anew, parents before children.
//
// A root has no parents left; a sink has no children and is closed as soon as its last parent has acted; every other node is
// an effect that acts after its last parent.
type core struct {
	g       *graph
	v       []int32 // graph vertex of each node
	root    []bool
	sink    []bool
	group   []int32 // core group of a sink, -1 for none
	groups  []coreGroup
	factors []factor
	in      [][]int32 // by node: its factors; nil if there are none at all
	kidAt   []int32   // the arms of node u: arms[kidAt[u]:kidAt[u+1]]
	arms    []arm
	parAt   []int32 // parents of node v: pars[parAt[v]:parAt[v+1]]
	pars    []int32
	block   []int // the block in which a node is complete
}

// arm is the link to one child.
type arm struct {
	to   int32
	l, q float64
}

// coreGroup is a group of which some members are open, that is, still have parents to act.
type coreGroup struct {
	of   int32   // graph group
	open []int32 // core nodes
}

func newCore(g *graph) *core {
	c := &core{g: g}
	at := make([]int32, len(g.v))
	arms := 0
	for i := range g.v {
		x := &g.v[i]
		at[i] = -1
		if x.gone || x.group >= 0 && x.up == 0 {
			continue
		}
		at[i] = int32(len(c.v))
		c.v = append(c.v, int32(i))
		c.root = append(c.root, x.up == 0)
		c.sink = append(c.sink, x.down == 0)
		c.group = append(c.group, -1)
		arms += int(x.down)
	}
	c.arms, c.pars = make([]arm, 0, arms), make([]int32, 0, arms)
	for _, i := range c.v {
		x := &g.v[i]
		c.kidAt, c.parAt = append(c.kidAt, int32(len(c.arms))), append(c.parAt, int32(len(c.pars)))
		for _, k := range g.kids[x.kidLo:x.kidHi] {
			if a := &g.arcs[k]; at[a.to] >= 0 && !g.v[a.to].gone {
				c.arms = append(c.arms, arm{at[a.to], a.l, a.q})
			}
		}
		for k := x.upLo; k < x.upHi; k++ {
			if u := at[g.arcs[k].from]; u >= 0 {
				c.pars = append(c.pars, u)
			}
		}
	}
	c.kidAt, c.parAt = append(c.kidAt, int32(len(c.arms))), append(c.parAt, int32(len(c.pars)))
	c.addGroups(at)
	return c
}

func (c *core) addGroups(at []int32) {
	for k := range c.g.groups {
		p := &c.g.groups[k]
		if p.gone {
			continue
		}
		cg := coreGroup{of: int32(k)}
		for _, f := range p.members {
			if at[f] >= 0 {
				c.group[at[f]] = int32(len(c.groups))
				cg.open = append(cg.open, at[f])
			}
		}
		c.groups = append(c.groups, cg)
	}
}

func (c *core) kids(u int32) []arm      { return c.arms[c.kidAt[u]:c.kidAt[u+1]] }
func (c *core) parents(v int32) []int32 { return c.pars[c.parAt[v]:c.parAt[v+1]] }
func (c *core) vertex(u int32) *vertex  { return &c.g.v[c.v[u]] }

// rankBlocks finds for each node the block in which it is complete: its own, or the latest of its parents'. A sink is complete
// with its parents, whatever its own block.
func (c *core) rankBlocks() {
	c.block = make([]int, len(c.v))
	for v := range c.block {
		b := math.MinInt
		if !c.sink[v] {
			b = c.vertex(int32(v)).block
		}
		for _, u := range c.parents(int32(v)) {
			b = max(b, c.block[u])
		}
		c.block[v] = b
	}
}
