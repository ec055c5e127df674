package belief

// vertex is a node that matters: it carries evidence or something below it does.
//
// n weighs its value from above: leak, prior and the producers that were absorbed. w weighs it from below: its own
// evidence and what was folded into it. Both are known up to a power of two kept in graph.z.
type vertex struct {
	id           Node
	block        int
	n, w         pair
	upLo, upHi   int32 // its arcs from parents: graph.arcs[upLo:upHi]
	kidLo, kidHi int32 // its arcs to children: graph.arcs[i] for i in graph.kids[kidLo:kidHi]
	up, down     int32 // arcs whose other end is still there
	group        int32 // index of its group, -1 for none
	gone         bool  // dealt with in closed form
	absorbed     bool  // some parent was absorbed: the weight of n is wanted afterwards
}

type edge struct {
	from, to int32
	l, q     float64
}

// group is a joint weight on the values of some findings.
type group struct {
	members []int32
	g       []float64
	gone    bool
}

// graph is the part of a net that the evidence reaches, while it is being taken apart.
type graph struct {
	at     []int32 // by Node: its vertex, -1 if dropped
	v      []vertex
	arcs   []edge // by child, parents in the order of their links
	kids   []int32
	groups []group
	log    []record
	todo   []int32
	z      magnitude
	sign   bool // only zero and positive are told apart: every weight is 0 or 1
}

// newGraph picks the nodes with evidence at or below them. Everything else sums to one and is dropped.
func newGraph(n *Net, e *Evidence, skip []bool, signs bool) *graph {
	g := &graph{at: make([]int32, len(n.nodes)), z: one(), sign: signs}
	w := make([]pair, len(n.nodes))
	for i := range w {
		w[i] = pair{1, 1}
	}
	const keep = 1
	for i := range e.items {
		it := &e.items[i]
		if it.out || skip != nil && skip[i] {
			continue
		}
		if it.joint == nil {
			g.at[it.node] = keep
			w[it.node] = g.fit(w[it.node].times(it.w))
		}
		for _, f := range it.nodes {
			g.at[f] = keep
		}
	}
	count, arcs := 0, 0
	for v := len(n.nodes) - 1; v >= 0; v-- {
		if g.at[v] != keep {
			continue
		}
		count++
		for i := range n.nodes[v].up {
			if a := &n.nodes[v].up[i]; a.l > 0 {
				g.at[a.from] = keep
				arcs++
			}
		}
	}
	g.fill(n, w, count, arcs)
	g.addGroups(e, skip)
	return g
}

// fill makes the vertices and arcs of the kept nodes, children lists included.
func (g *graph) fill(n *Net, w []pair, count, arcs int) {
	g.v, g.arcs, g.kids = make([]vertex, 0, count), make([]edge, 0, arcs), make([]int32, arcs)
	g.log = make([]record, 0, count)
	for id := range n.nodes {
		if g.at[id] == 0 {
			g.at[id] = -1
			continue
		}
		nd := &n.nodes[id]
		v := int32(len(g.v))
		g.at[id] = v
		x := vertex{id: Node(id), block: nd.block, n: nd.leak, w: w[id], upLo: int32(len(g.arcs)), group: -1}
		for _, a := range nd.up {
			if a.l == 0 {
				continue
			}
			if g.sign {
				a.l, a.q = sign(a.l), sign(a.q)
			}
			u := g.at[a.from]
			g.arcs = append(g.arcs, edge{u, v, a.l, a.q})
			g.v[u].down++
		}
		x.upHi = int32(len(g.arcs))
		x.up = x.upHi - x.upLo
		if g.sign {
			x.n, x.w = x.n.sign(), x.w.sign()
		}
		g.v = append(g.v, x)
	}
	at := int32(0)
	for v := range g.v {
		g.v[v].kidLo, g.v[v].kidHi = at, at
		at += g.v[v].down
	}
	for i, a := range g.arcs {
		u := &g.v[a.from]
		g.kids[u.kidHi] = int32(i)
		u.kidHi++
	}
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
		p.scale(g)
		switch len(p.members) {
		case 0:
			g.z.mul(p.g[0])
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

// scale makes the largest weight of the group at most one, by a power of two.
func (p *group) scale(g *graph) {
	m := 0.0
	for _, w := range p.g {
		m = max(m, w)
	}
	if m == 0 {
		return
	}
	s := g.fit(pair{0, m})[1] / m // a power of two, or 1/m where only signs count
	for b, w := range p.g {
		p.g[b] = w * s
		if g.sign {
			p.g[b] = sign(w)
		}
	}
}

// fit keeps a pair in range, the power of two going into the constant.
func (g *graph) fit(p pair) pair {
	if g.sign {
		return p.sign()
	}
	p, e := p.fit()
	g.z.e += e
	return p
}

// constant multiplies the probability of the evidence by x.
func (g *graph) constant(x float64) { g.z.mul(x) }
