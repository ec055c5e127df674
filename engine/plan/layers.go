package plan

import (
	"math/bits"

	"diagnose.example/engine/belief"
)

// layered lays a Network out as a belief.Net in which the machine can be seen at several moments: layer 0 before any repair, layer j after
// the repairs of layers[j], each set within the next. Repairs take causes away and bring none, and what was produced by what is left
// stays. So every node was never present, or is present up to and including some layer: its parts are the events "present in layers 0 to j
// only", the last part "present in all". Parts exclude each other.
//
// Given the parts of the parents, part j of a noisy-OR node wants to be produced by part j of each parent, by the link of that
// parent, independently; the leak and parents that never change belong to the last part. Of the parts that were produced only the last
// counts. This "last one counts" is no noisy-OR. It is a table over the parts, put on findings that copy them, with a free root of
// prior 1/2 for each part that it may switch off.
//
// Only nodes with evidence at a later layer below them are split at all; the others are as in layer 0.
type layered struct {
	n      *Network
	layers []uint64
	gone   int // layer in which the complaint is absent; -1 for no such evidence
	seen   []seenAt
	net    *belief.Net
	e      belief.Evidence
	up     []uint64 // by node: repairs that cure something above it
	need   []bool   // by node: there is evidence on it or below
	late   []bool   // by node: there is evidence at a later layer on it or below
	parts  []parts
	// The weight of everything is factor * 2^exp times that of the net.
	factor float64
	exp    int
}

// seenAt is a test with its outcome in a layer.
type seenAt struct{ test, outcome, layer int }

// parts are the nodes of the layered net for a node: one, or one for each layer, -1 where there is none.
type parts struct {
	whole belief.Node
	part  []belief.Node // nil if not split
}

const none belief.Node = -1

// build lays out the net. It reports false if the evidence is impossible at first sight.
func (l *layered) build() bool {
	l.net, l.factor = belief.NewNet(), 1
	l.mark()
	l.parts = make([]parts, len(l.n.nodes))
	for v := range l.n.nodes {
		l.parts[v].whole = none
		if !l.need[v] {
			continue
		}
		v := belief.Node(v)
		switch l.n.nodes[v].kind {
		case netCause:
			l.cause(v)
		case netEffect:
			l.effect(v)
		case netFinding:
			l.finding(v)
		}
	}
	for _, j := range l.n.joints {
		l.e.Joint(l.wholes(j.nodes), j.weights)
	}
	for _, s := range l.seen {
		t := &l.n.tests[s.test]
		l.e.Joint(l.wholes(t.findings), t.outcomes[s.outcome])
	}
	return l.factor > 0
}

func (l *layered) wholes(fs []belief.Node) []belief.Node {
	out := make([]belief.Node, len(fs))
	for i, f := range fs {
		out[i] = l.parts[f].whole
	}
	return out
}

// mark finds the nodes that are needed and those that have evidence at a later layer.
func (l *layered) mark() {
	n := len(l.n.nodes)
	l.need, l.late = make([]bool, n), make([]bool, n)
	for v, w := range l.n.own {
		l.need[v] = w != [2]float64{1, 1}
	}
	for _, j := range l.n.joints {
		for _, f := range j.nodes {
			l.need[f] = true
		}
	}
	for _, s := range l.seen {
		for _, f := range l.n.tests[s.test].findings {
			l.need[f], l.late[f] = true, s.layer > 0
		}
	}
	if l.gone >= 0 {
		for _, v := range l.n.complaint {
			l.need[v], l.late[v] = true, l.gone > 0
		}
	}
	for v := n - 1; v >= 0; v-- {
		for _, up := range l.n.nodes[v].up {
			l.need[up.from] = l.need[up.from] || l.need[v]
			l.late[up.from] = l.late[up.from] || l.late[v]
		}
	}
}

func (l *layered) last() int { return len(l.layers) - 1 }

func (l *layered) changes(v belief.Node) bool { return l.up[v]&l.layers[l.last()] != 0 }

func (l *layered) split(v belief.Node) bool { return l.late[v] && l.changes(v) }

// weigh applies the weights that a node has alone to a node of the net that is present in layer 0 exactly if that node is.
func (l *layered) weigh(v, to belief.Node) {
	if w := l.n.own[v]; w != [2]float64{1, 1} {
		l.e.Weigh(to, w[0], w[1])
	}
}

// notSeen says that the complaint is gone although nothing was done to it.
func (l *layered) notSeen(v, whole belief.Node) {
	l.e.NotSeen(whole)
	if l.n.own[v][0] == 0 {
		l.factor = 0 // it was seen
	}
}

func (l *layered) cause(v belief.Node) {
	c := &l.n.nodes[v]
	if !l.split(v) {
		l.parts[v].whole = l.net.Cause(c.p, c.block)
		l.weigh(v, l.parts[v].whole)
		return
	}
	p := make([]float64, len(l.layers))
	last := l.last()
	p[last] = c.p * l.n.survives(v, l.layers[last])
	var some []int
	for j := range p {
		if j < last {
			p[j] = c.p * (l.n.survives(v, l.layers[j]) - l.n.survives(v, l.layers[j+1]))
		}
		if p[j] > 0 {
			some = append(some, j)
		}
	}
	part := l.empty()
	l.parts[v].part = part
	w := l.n.own[v]
	switch len(some) {
	case 0:
		l.factor *= w[0]
		return
	case 1:
		part[some[0]] = l.net.Cause(c.p, c.block)
		l.weigh(v, part[some[0]])
		return
	}
	var free []belief.Node
	for _, j := range some {
		part[j] = l.free(c.block)
		free = append(free, part[j])
	}
	weights := make([]float64, 1<<len(some))
	weights[0] = (1 - c.p) * w[0]
	for i, j := range some {
		weights[1<<i] = p[j] * w[1]
	}
	l.table(free, weights, c.block)
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

func (l *layered) empty() []belief.Node {
	p := make([]belief.Node, len(l.layers))
	for j := range p {
		p[j] = none
	}
	return p
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

// link draws the links of a node from those parts of its parents that last from one layer to another, the last part and what does not
// change counting as the last layer.
func (l *layered) link(v, to belief.Node, first, last int) {
	for _, up := range l.n.nodes[v].up {
		from := &l.parts[up.from]
		if from.part == nil {
			if last == l.last() {
				l.net.Link(from.whole, to, up.strength)
			}
			continue
		}
		for j := first; j <= last; j++ {
			if from.part[j] != none {
				l.net.Link(from.part[j], to, up.strength)
			}
		}
	}
}

// producible tells whether part j of a node can be there at all.
func (l *layered) producible(v belief.Node, j int) bool {
	if j == l.last() && l.n.nodes[v].p > 0 {
		return true
	}
	for _, up := range l.n.nodes[v].up {
		from := &l.parts[up.from]
		if from.part == nil && j == l.last() || from.part != nil && from.part[j] != none {
			return true
		}
	}
	return false
}

func (l *layered) effect(v belief.Node) {
	e := &l.n.nodes[v]
	gone := l.gone >= 0 && l.n.complains(v)
	if !l.split(v) {
		whole := l.net.Effect(e.p, e.block)
		l.parts[v].whole = whole
		l.link(v, whole, 0, l.last())
		l.weigh(v, whole)
		if gone {
			l.notSeen(v, whole)
		}
		return
	}
	part := l.empty()
	var made []belief.Node // parts as produced, the last one first
	var at []int           // their layers
	for j := l.last(); j >= 0; j-- {
		if !l.producible(v, j) {
			continue
		}
		leak := 0.0
		if j == l.last() {
			leak = e.p
		}
		x := l.net.Effect(leak, e.block)
		l.link(v, x, j, j)
		if gone && j >= l.gone {
			l.e.NotSeen(x)
			continue
		}
		made, at = append(made, x), append(at, j)
	}
	l.parts[v].part = part
	w := l.n.own[v]
	switch len(made) {
	case 0:
		l.factor *= w[0]
	case 1:
		part[at[0]] = made[0]
		l.weigh(v, made[0])
	default:
		l.lastCounts(v, made, at)
	}
}

// lastCounts lets only the last of the produced parts count.
func (l *layered) lastCounts(v belief.Node, made []belief.Node, at []int) {
	block := l.n.nodes[v].block
	nodes := append([]belief.Node{}, made...)
	part := l.parts[v].part
	part[at[0]] = made[0]
	for _, j := range at[1:] {
		part[j] = l.free(block)
		nodes = append(nodes, part[j])
	}
	k, w := len(made), l.n.own[v]
	weights := make([]float64, 1<<len(nodes))
	for b := range 1 << k {
		if b == 0 {
			weights[0] = w[0]
			continue
		}
		first := bits.TrailingZeros(uint(b))
		pattern := b
		if first > 0 {
			pattern |= 1 << (k + first - 1)
		}
		weights[pattern] = w[1]
	}
	l.table(nodes, weights, block)
}

func (l *layered) finding(v belief.Node) {
	f := &l.n.nodes[v]
	layer := 0
	for _, s := range l.seen {
		for _, g := range l.n.tests[s.test].findings {
			if g == v {
				layer = s.layer
			}
		}
	}
	whole := none
	switch {
	case l.gone < 0 || !l.n.complains(v):
		whole = l.net.Finding(f.p, f.block)
		l.link(v, whole, layer, l.last())
	case !l.split(v) || l.gone == 0:
		whole = l.net.Finding(f.p, f.block)
		l.link(v, whole, 0, l.last())
		l.notSeen(v, whole)
	default:
		rest := l.net.Finding(f.p, f.block)
		l.link(v, rest, l.gone, l.last())
		l.e.NotSeen(rest)
		whole = l.net.Finding(0, f.block) // with nothing else behind it, this is what was there at the start
		l.link(v, whole, 0, l.gone-1)
	}
	l.parts[v].whole = whole
	l.weigh(v, whole)
}

func (n *Network) complains(v belief.Node) bool {
	for _, c := range n.complaint {
		if c == v {
			return true
		}
	}
	return false
}
