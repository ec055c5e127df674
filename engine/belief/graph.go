package belief

import "math"

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
	begin  []pair // n and w of each vertex before anything was stripped
	beginZ magnitude
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
	g.begin, g.beginZ = make([]pair, 0, 2*len(g.v)), g.z
	for i := range g.v {
		g.begin = append(g.begin, g.v[i].n, g.v[i].w)
	}
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

// fit keeps a pair in range, the power of two going into the constant.
func (g *graph) fit(p pair) pair {
	if g.sign {
		return p.sign()
	}
	p, e := p.fit()
	g.z.e += e
	return p
}

// scale brings the largest of some weights near one, the power of two going into the constant.
func (g *graph) scale(w []float64) {
	if g.sign {
		for i := range w {
			w[i] = sign(w[i])
		}
		return
	}
	m := 0.0
	for _, x := range w {
		m = max(m, x)
	}
	if m > 1 || m < tiny {
		g.z.e += scaleUp(w, m)
	}
}

// scaleUp multiplies by the power of two that brings the largest, m, to [1/2, 1), and returns the power taken out.
func scaleUp(w []float64, m float64) int {
	if m == 0 {
		return 0
	}
	_, e := math.Frexp(m)
	f, g := math.Ldexp(1, -e/2), math.Ldexp(1, -e+e/2) // two steps: 2^-e alone may be out of range
	for i := range w {
		w[i] = w[i] * f * g
	}
	return e
}

// constant multiplies the probability of the evidence by x.
func (g *graph) constant(x float64) { g.z.mul(x) }
