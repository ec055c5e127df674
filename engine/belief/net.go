package belief

import (
	"fmt"
	"math"
	"sync"
)

// Node names a cause, an effect or a finding of one Net: the nodes are numbered 0, 1, 2, … in the order in which
// they were added.
type Node int

type kind uint8

const (
	cause kind = iota
	effect
	finding
)

// String gives the word used in error texts.
func (k kind) String() string { return [...]string{"cause", "effect", "finding"}[k] }

// pair holds two non-negative weights, for "not so" and for "so".
type pair [2]float64

// arc is the link from one parent. q is 1-l, kept beside l because a product of small q (Pool, a second link) would be
// lost in 1-l.
type arc struct {
	from Node
	l, q float64
}

type node struct {
	kind    kind
	block   int
	leak    pair // 1-leak, leak; for a cause 1-prior, prior
	up      []arc
	members []Node // of a pooled finding
}

// Net is a layered noisy-OR network: causes are present or absent independently of each other, and every effect and
// finding v is a leaky noisy-OR of its parents,
//
//	P(v = 0 | parents) = (1 - leak of v) * product over present parents u of (1 - strength of u -> v).
//
// Build it with Cause, Effect, Finding, Link and Pool, then do not change it any more: Plan and Posterior only read it,
// so one Net may serve several goroutines. The zero value is an empty net. A Net must not be copied.
//
// A bad argument is remembered, not returned: Err gives the first one, and Plan refuses a net that has one.
type Net struct {
	nodes []node
	pools []Node
	err   error
	large sync.Pool // *arena: very large ones, for the next pass on this net
}

// NewNet returns an empty net.
func NewNet() *Net { return &Net{} }

// Cause adds a cause that is present with probability prior, from 0 to 1. Blocks are worked through in ascending
// order; they change the cost, never the result.
func (n *Net) Cause(prior float64, block int) Node { return n.add(cause, "prior", prior, block) }

// Effect adds an effect that is produced by nothing known with probability leak, from 0 to 1.
func (n *Net) Effect(leak float64, block int) Node { return n.add(effect, "leak", leak, block) }

// Finding adds a finding that shows with nothing known behind it with probability leak, from 0 to 1.
func (n *Net) Finding(leak float64, block int) Node { return n.add(finding, "leak", leak, block) }

func (n *Net) add(k kind, what string, p float64, block int) Node {
	v := Node(len(n.nodes))
	if !(p >= 0 && p <= 1) {
		n.fail("%v %d: %s %v is not a probability; write a number from 0 to 1", k, v, what, p)
		p = 0
	}
	n.nodes = append(n.nodes, node{kind: k, block: block, leak: pair{1 - p, p}})
	return v
}

// Link says that parent, when present, produces child with probability strength, from 0 to 1, independently of
// everything else. The parent must have been added before the child, must not be a finding, and the child must not be
// a cause. A second link between the same two nodes is one more independent chance.
func (n *Net) Link(parent, child Node, strength float64) {
	switch {
	case !n.has(parent) || !n.has(child):
		n.fail("link %d to %d: there is no such node; add both nodes first", parent, child)
	case parent >= child:
		n.fail("link %d to %d: the parent must be added before the child", parent, child)
	case n.nodes[parent].kind == finding:
		n.fail("link %d to %d: a finding produces nothing; link from a cause or an effect", parent, child)
	case n.nodes[child].kind == cause:
		n.fail("link %d to %d: a cause has no parents; make %d an effect", parent, child, child)
	case !(strength >= 0 && strength <= 1):
		n.fail("link %d to %d: strength %v is not a probability; write a number from 0 to 1", parent, child, strength)
	default:
		n.nodes[child].join(arc{parent, strength, 1 - strength})
	}
}

// join adds an arc, as one more independent chance when the parent has one already: l1 + (1-l1) l2.
func (v *node) join(a arc) {
	for i := range v.up {
		if b := &v.up[i]; b.from == a.from {
			b.l += b.q * a.l
			b.q *= a.q
			return
		}
	}
	v.up = append(v.up, a)
}

// Pool adds the finding "at least one of these shows, it is not known which". It is again a noisy-OR, over the union
// of their parents: a parent with strengths l1, l2, … gets 1-(1-l1)(1-l2)…, the leak likewise. Give evidence on the
// pool or on its members, not on both: they would be separate observations of the same thing. (Plan refuses that; use
// Evidence.Joint over the members when some are known apart.)
func (n *Net) Pool(findings []Node) Node {
	v := Node(len(n.nodes))
	p := node{kind: finding, block: math.MinInt, leak: pair{1, 0}}
	for _, f := range findings {
		if !n.has(f) || n.nodes[f].kind != finding {
			n.fail("pool %d: node %d is not a finding of this net", v, f)
			continue
		}
		m := &n.nodes[f]
		p.leak = pair{p.leak[0] * m.leak[0], p.leak[1] + p.leak[0]*m.leak[1]}
		p.block = max(p.block, m.block)
		for _, a := range m.up {
			p.join(a)
		}
		p.members = append(p.members, f)
	}
	if len(findings) == 0 {
		n.fail("pool %d: no findings; name at least one", v)
	}
	n.nodes = append(n.nodes, p)
	n.pools = append(n.pools, v)
	return v
}

// Len is the number of nodes.
func (n *Net) Len() int { return len(n.nodes) }

// Err reports the first argument that was not acceptable, nil if there was none.
func (n *Net) Err() error { return n.err }

func (n *Net) has(v Node) bool { return v >= 0 && int(v) < len(n.nodes) }

func (n *Net) fail(format string, args ...any) {
	if n.err == nil {
		n.err = fmt.Errorf("belief: "+format, args...)
	}
}
