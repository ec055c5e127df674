package belief

// group is a joint weight on the values of some findings: g[b] for the pattern in which members[i] has the value of bit i of b.
type group struct {
	members []int32
	g       []float64
	gone    bool // summed out while stripping
}

// addGroups takes the joint weights in: a member's own weight goes into the table, and a member that cannot be present
// under it leaves the group as absent.
func (g *graph) addGroups(e *Evidence, skip []bool) {
	for i := range e.items {
		it := &e.items[i]
		if it.joint == nil || it.out || skip != nil && skip[i] {
			continue
		}
		var p group
		p.g = append(p.g, it.joint...)
		for k, f := range it.nodes {
			v := g.at[f]
			p.members = append(p.members, v)
			for b := range p.g {
				p.g[b] *= g.v[v].w[b>>k&1]
			}
			g.v[v].w = pair{1, 1}
		}
		for k := len(p.members) - 1; k >= 0; k-- {
			p.dropAbsent(g, k)
		}
		g.scale(p.g)
		switch len(p.members) {
		case 0:
			g.constant(p.g[0])
			continue
		case 1:
			g.v[p.members[0]].w = pair{p.g[0], p.g[1]}
			continue
		}
		for _, v := range p.members {
			g.v[v].group = int32(len(g.groups))
		}
		g.groups = append(g.groups, p)
	}
}

// dropAbsent takes member k out if every pattern in which it is present weighs nothing.
func (p *group) dropAbsent(g *graph, k int) {
	low := 1<<k - 1
	for b, w := range p.g {
		if b>>k&1 == 1 && w > 0 {
			return
		}
	}
	g.v[p.members[k]].w = pair{1, 0}
	for r := range len(p.g) / 2 {
		p.g[r] = p.g[r&^low<<1|r&low]
	}
	p.g = p.g[:len(p.g)/2]
	p.members = append(p.members[:k:k], p.members[k+1:]...)
}

// settleGroup sums a group out if its findings hang on one parent at most.
func (g *graph) settleGroup(k int32) {
	p := &g.groups[k]
	var of scope
	arcs := int32(0)
	for _, f := range p.members {
		x := &g.v[f]
		if x.up == 0 {
			continue
		}
		u := g.arcs[g.liveParent(f)].from
		if x.up > 1 || len(of) > 0 && u != of[0] {
			return
		}
		of = scope{u}
		arcs++
	}
	p.gone = true
	for _, f := range p.members {
		g.v[f].gone = true
	}
	if len(of) == 0 {
		g.log = append(g.log, record{rule: ruleGroup, v: k, to: -1})
		g.grouped(k, -1)
		return
	}
	u := &g.v[of[0]]
	g.log = append(g.log, record{rule: ruleGroup, v: k, to: of[0], old: u.w})
	g.grouped(k, of[0])
	u.down -= arcs
	g.todo = append(g.todo, of[0])
}

// grouped weighs the one parent of a group with it; -1 is none.
func (g *graph) grouped(k, parent int32) {
	p := &g.groups[k]
	if parent < 0 {
		g.constant(g.weigh(p, nil)[0])
		return
	}
	m := g.weigh(p, scope{parent})
	u := &g.v[parent]
	u.w = g.fit(u.w.times(g.fit(pair{m[0], m[1]})))
}

// scope is the list of parents that findings depend on; a number x stands for their values, bit i for the i-th.
type scope []int32

// given is what is known from above about f where the scope has the values x.
func (g *graph) given(f int32, of scope, x int) pair {
	n := g.v[f].n
	for i := g.v[f].upLo; x > 0 && i < g.v[f].upHi; i++ {
		if a := &g.arcs[i]; of.present(a.from, x) {
			n = n.raise(a.l, a.q)
		}
	}
	return n
}

// lowered is the transpose of given: it takes the weights of the two values of f back to what multiplies its n.
func (g *graph) lowered(t pair, f int32, of scope, x int) pair {
	for i := g.v[f].upLo; x > 0 && i < g.v[f].upHi; i++ {
		if a := &g.arcs[i]; of.present(a.from, x) {
			t = t.lower(a.l, a.q)
		}
	}
	return t
}

func (of scope) present(u int32, x int) bool {
	for i, v := range of {
		if v == u {
			return x>>i&1 == 1
		}
	}
	return false
}

// weigh sums a group out for every value of its scope.
func (g *graph) weigh(p *group, of scope) []float64 {
	m := make([]float64, 1<<len(of))
	own := make([]pair, len(p.members))
	for x := range m {
		for k, f := range p.members {
			own[k] = g.given(f, of, x)
		}
		m[x] = patternSum(p.g, own)
	}
	return m
}

// unweigh is the way back: d[x] is what multiplies the weight of the group at value x of its scope. It adds the joint weights of the
// two values of each member to y, and what multiplies n to x.
func (g *graph) unweigh(p *group, of scope, d []float64, x, y []pair) {
	own := make([]pair, len(p.members))
	for v, d := range d {
		if d == 0 {
			continue
		}
		for k, f := range p.members {
			own[k] = g.given(f, of, v)
		}
		for b, w := range p.g {
			w *= d
			for k := range own {
				w *= own[k][b>>k&1]
			}
			for k, f := range p.members {
				y[f][b>>k&1] += w
			}
		}
		for k, f := range p.members {
			if g.v[f].absorbed {
				t := g.lowered(p.without(k, own), f, of, v)
				x[f] = pair{x[f][0] + d*t[0], x[f][1] + d*t[1]}
			}
		}
	}
}

// without sums over the patterns of all members but the k-th.
func (p *group) without(k int, own []pair) pair {
	var t pair
	for b, w := range p.g {
		for j := range own {
			if j != k {
				w *= own[j][b>>j&1]
			}
		}
		t[b>>k&1] += w
	}
	return t
}
