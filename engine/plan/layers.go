package plan

import (
	"math/bits"

	"diagnose.example/engine/belief"
)

// layered lays a Network out as a belief.Net in which the machine is seen at several moments, called layers: layer 0 before any repair,
// layer j after the repairs of layers[j], each set within the next.
//
// Repairs take causes away and bring none, and what was produced by what is left stays. So a node that is present in a layer is present
// in all earlier ones. A node has one version for each layer in which something is seen of it or below it, versions that no repair
// between them can make differ counted once; most nodes have only one. The versions of an effect are a chain: the last one is the
// noisy-OR that it is, of the last versions of its parents; each earlier one is present if the next one is, or if it is produced by a
// difference, a parent that is present in the earlier layer and no more in the later one. That is exact, since a link that failed for
// a parent still present later is not drawn again.
//
// A difference is no noisy-OR. It is a root of prior 1/2 with a table over it and the two versions, put on findings that copy them. It is
// needed only where a child has two versions as well. Of a cause the differences are roots that exclude each other, by another table.
type layered struct {
	n      *Network
	up     []uint64 // by node: repairs that cure something above it
	layers []uint64
	gone   int    // the layer in which the complaint is absent
	modes  []mode // what is said about the complaint, by complaint
	seen   []seenAt

	net    *belief.Net
	e      belief.Evidence
	want   []uint64 // by node: the layers of its versions
	apart  []bool   // by node: a child wants its differences
	nodes  []versions
	factor float64 // everything weighs factor * 2^exp times what it weighs in the net
	exp    int
}

// seenAt is a test with its outcome in a layer.
type seenAt struct{ test, outcome, layer int }

// mode is what is said about a node of the complaint.
type mode byte

const (
	unsaid mode = iota // nothing but what was seen of it
	early              // it was absent from the start; what was seen of it does not count
	late               // it is absent in the layer gone; what was seen of it does not count
	paired             // it is absent in the layer gone, and was seen as it was
)

// versions are the nodes of the layered net for a node.
type versions struct {
	layers []int         // one for each version, ascending
	at     []belief.Node // -1 if it cannot be present
	// apart says that at[i] means "present in version i and not in version i+1": of every cause, and of an effect with a child for which
	// that makes a difference. Otherwise at[i] is version i.
	apart bool
	off   int // the version that is known to be absent, with all later ones; len(at) if none
}

const none belief.Node = -1

// build lays out the net. It reports false if the evidence is impossible at first sight.
func (l *layered) build() bool {
	l.net, l.factor = belief.NewNet(), 1
	l.mark()
	l.nodes = make([]versions, len(l.n.nodes))
	for v := range l.n.nodes {
		if l.want[v] == 0 {
			continue
		}
		x := &l.nodes[v]
		for m := l.want[v]; m != 0; m &= m - 1 {
			x.layers = append(x.layers, bits.TrailingZeros64(m))
			x.at = append(x.at, none)
		}
		x.off = len(x.at)
		v := belief.Node(v)
		switch l.n.nodes[v].kind {
		case netCause:
			x.apart = true
			l.cause(v, x)
		case netEffect:
			x.apart = l.apart[v]
			l.effect(v, x)
		case netFinding:
			l.finding(v, x)
		}
	}
	for _, j := range l.n.joints {
		l.e.Joint(l.firsts(j.nodes), j.weights)
	}
	for _, s := range l.seen {
		t := &l.n.tests[s.test]
		l.e.Joint(l.firsts(t.findings), t.outcomes[s.outcome])
	}
	return l.factor > 0
}

func (l *layered) firsts(fs []belief.Node) []belief.Node {
	out := make([]belief.Node, len(fs))
	for i, f := range fs {
		out[i] = l.nodes[f].at[0]
	}
	return out
}

// mark finds the versions that are needed.
func (l *layered) mark() {
	n := l.n
	l.want = make([]uint64, len(n.nodes))
	for v := range n.own {
		m := l.modeOf(belief.Node(v))
		if n.own[v] != [2]float64{1, 1} && (m == unsaid || m == paired) || m == early {
			l.want[v] |= 1
		}
		if m == late || m == paired {
			l.want[v] |= 1 << l.same(belief.Node(v), l.gone)
		}
	}
	for _, j := range n.joints {
		for _, f := range j.nodes {
			l.want[f] |= 1
		}
	}
	for _, s := range l.seen {
		for _, f := range n.tests[s.test].findings {
			l.want[f] |= 1 << s.layer
		}
	}
	for v := len(n.nodes) - 1; v >= 0; v-- {
		for _, up := range n.nodes[v].up {
			for m := l.want[v]; m != 0; m &= m - 1 {
				l.want[up.from] |= 1 << l.same(up.from, bits.TrailingZeros64(m))
			}
		}
	}
	l.apart = make([]bool, len(n.nodes))
	for v := range n.nodes {
		for _, up := range n.nodes[v].up {
			l.apart[up.from] = l.apart[up.from] || l.differs(up.from, l.want[v])
		}
	}
}

// differs tells whether a node is not the same in all of some layers.
func (l *layered) differs(v belief.Node, layers uint64) bool {
	first := -1
	for m := layers; m != 0; m &= m - 1 {
		j := l.same(v, bits.TrailingZeros64(m))
		if first >= 0 && j != first {
			return true
		}
		first = j
	}
	return false
}

func (l *layered) modeOf(v belief.Node) mode {
	for i, c := range l.n.complaint {
		if c == v {
			return l.modes[i]
		}
	}
	return unsaid
}

// same returns the first layer in which a node is the same as in a layer.
func (l *layered) same(v belief.Node, layer int) int {
	for j, x := range l.layers {
		if x&l.up[v] == l.layers[layer]&l.up[v] {
			return j
		}
	}
	return layer
}

// version returns the number of the version of a node in a layer.
func (l *layered) version(v belief.Node, layer int) int {
	layer = l.same(v, layer)
	for i, j := range l.nodes[v].layers {
		if j == layer {
			return i
		}
	}
	return -1 // not reached: mark asked for it
}

// weigh applies the weights that a node has alone to its version in layer 0.
func (l *layered) weigh(v, to belief.Node) {
	switch w := l.n.own[v]; {
	case w == [2]float64{1, 1}:
	case to == none:
		l.factor *= w[0]
	default:
		l.e.Weigh(to, w[0], w[1])
	}
}

// weighAny does so where any of some nodes stands for it.
func (l *layered) weighAny(v belief.Node, nodes []belief.Node, block int) {
	switch {
	case len(nodes) == 0:
		l.weigh(v, none)
	case len(nodes) == 1 || l.n.own[v] == [2]float64{1, 1}:
		l.weigh(v, nodes[0])
	default:
		any := l.net.Effect(0, block)
		for _, x := range nodes {
			l.net.Link(x, any, 1)
		}
		l.weigh(v, any)
	}
}

func (l *layered) cause(v belief.Node, x *versions) {
	c, w := &l.n.nodes[v], l.n.own[v]
	p := make([]float64, len(x.at)) // of each difference
	var some []int
	outlives := 0.0
	for i := len(p) - 1; i >= 0; i-- {
		s := l.n.survives(v, l.layers[x.layers[i]])
		p[i] = c.p * (s - outlives)
		outlives = s
		if p[i] > 0 {
			some = append(some, i)
		}
	}
	switch len(some) {
	case 0:
		l.weigh(v, none)
	case 1:
		x.at[some[0]] = l.net.Cause(p[some[0]], c.block)
		l.weigh(v, x.at[some[0]])
	default:
		weights := make([]float64, 1<<len(some))
		weights[0] = (1 - c.p*outlives) * w[0]
		free := make([]belief.Node, len(some))
		for k, i := range some {
			x.at[i] = l.free(c.block)
			free[k] = x.at[i]
			weights[1<<k] = p[i] * w[1]
		}
		l.table(free, weights, c.block)
	}
}

// survives returns the probability that a cause outlives repairs.
func (n *Network) survives(v belief.Node, repairs uint64) float64 {
	s := 1.0
	for m := repairs; m != 0; m &= m - 1 {
		for _, c := range n.repairs[bits.TrailingZeros64(m)] {
			if belief.Node(c.Fault) == v {
				s *= 1 - c.Chance
			}
		}
	}
	return s
}

// free adds a root whose value is decided by a table alone.
func (l *layered) free(block int) belief.Node {
	l.exp++
	return l.net.Cause(0.5, block)
}

// table weighs the joint values of nodes.
func (l *layered) table(nodes []belief.Node, weights []float64, block int) {
	copies := make([]belief.Node, len(nodes))
	for i, v := range nodes {
		copies[i] = l.net.Finding(0, block)
		l.net.Link(v, copies[i], 1)
	}
	l.e.Joint(copies, weights)
}

// in lists the nodes that stand for a node in a layer: one of them is present exactly if it is.
func (l *layered) in(v belief.Node, layer int) []belief.Node {
	x := &l.nodes[v]
	i, end := l.version(v, layer), len(x.at)
	if !x.apart {
		end = i + 1
	}
	return some(x.at[min(i, x.off):min(end, x.off)])
}

// between lists the nodes that stand for a node being present in one layer and not in a later one.
func (l *layered) between(v belief.Node, from, to int) []belief.Node {
	x := &l.nodes[v]
	return some(x.at[min(l.version(v, from), x.off):min(l.version(v, to), x.off)])
}

func some(nodes []belief.Node) []belief.Node {
	var out []belief.Node
	for _, v := range nodes {
		if v != none {
			out = append(out, v)
		}
	}
	return out
}

// parents collects links into a node before it is made.
type parents struct {
	from     []belief.Node
	strength []float64
}

func (ps *parents) add(from []belief.Node, strength float64) {
	for _, f := range from {
		ps.from = append(ps.from, f)
		ps.strength = append(ps.strength, strength)
	}
}

// link draws the collected links into a node that was just made.
func (ps *parents) link(net *belief.Net, to belief.Node) belief.Node {
	for i, f := range ps.from {
		net.Link(f, to, ps.strength[i])
	}
	return to
}

// above collects the parents of a node in a layer.
func (l *layered) above(v belief.Node, layer int) *parents {
	ps := new(parents)
	for _, up := range l.n.nodes[v].up {
		ps.add(l.in(up.from, layer), up.strength)
	}
	return ps
}

// lost collects the parents of a node that are present in one layer and not in a later one.
func (l *layered) lost(v belief.Node, from, to int) *parents {
	ps := new(parents)
	for _, up := range l.n.nodes[v].up {
		ps.add(l.between(up.from, from, to), up.strength)
	}
	return ps
}

func (l *layered) effect(v belief.Node, x *versions) {
	e := &l.n.nodes[v]
	last := len(x.at) - 1
	if ps := l.above(v, x.layers[last]); e.p > 0 || len(ps.from) > 0 {
		x.at[last] = ps.link(l.net, l.net.Effect(e.p, e.block))
	}
	l.absent(v, x, last)
	for i := last - 1; i >= 0; i-- {
		ps := l.lost(v, x.layers[i], x.layers[i+1])
		later := some(x.at[i+1 : min(x.off, len(x.at))])
		if !x.apart {
			later = later[:min(1, len(later))]
			ps.add(later, 1)
		}
		if len(ps.from) > 0 {
			x.at[i] = ps.link(l.net, l.net.Effect(0, e.block))
		}
		if x.apart && x.at[i] != none && len(later) > 0 {
			x.at[i] = l.lastCounts(x.at[i], later, e.block)
		}
		l.absent(v, x, i)
	}
	if x.layers[0] == 0 {
		l.weighAny(v, l.in(v, 0), e.block)
	}
}

// lastCounts returns a node that is present if a node is and none of the later ones is.
func (l *layered) lastCounts(v belief.Node, later []belief.Node, block int) belief.Node {
	d := l.free(block)
	nodes := append([]belief.Node{v, d}, later...)
	weights := make([]float64, 1<<len(nodes))
	for b := range weights {
		if now, diff := b&1 == 1, b&2 == 2; diff == (now && b < 4) {
			weights[b] = 1
		}
	}
	l.table(nodes, weights, block)
	return d
}

// absent says that a version is known to be absent, if it is.
func (l *layered) absent(v belief.Node, x *versions, i int) {
	if m := l.modeOf(v); m == unsaid || x.layers[i] < l.same(v, l.gone) {
		return
	}
	x.off = i
	if x.at[i] != none {
		l.e.NotSeen(x.at[i])
	}
}

func (l *layered) finding(v belief.Node, x *versions) {
	f := &l.n.nodes[v]
	m := l.modeOf(v)
	if m == paired && len(x.at) == 2 {
		l.e.NotSeen(l.above(v, x.layers[1]).link(l.net, l.net.Finding(f.p, f.block)))
		// With nothing left in the later layer, this is what was there in the first.
		x.at[0] = l.lost(v, x.layers[0], x.layers[1]).link(l.net, l.net.Finding(0, f.block))
		l.weigh(v, x.at[0])
		return
	}
	x.at[0] = l.above(v, x.layers[0]).link(l.net, l.net.Finding(f.p, f.block))
	if m == unsaid || m == paired {
		l.weigh(v, x.at[0])
	}
	if m != unsaid {
		l.e.NotSeen(x.at[0])
	}
	if m == paired && l.n.own[v][0] == 0 {
		l.factor = 0 // seen, and gone although nothing was done to it
	}
}
