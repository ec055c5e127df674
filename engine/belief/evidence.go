package belief

import (
	"fmt"
	"math"
)

// MaxJoint is the largest number of findings that one Joint may hold.
const MaxJoint = 12

// item is one piece of evidence: weights on a node, or on the joint pattern of several findings.
type item struct {
	word  string // the method that made it, for error texts
	node  Node
	w     pair
	ask   bool
	out   bool // left out by Without
	nodes []Node
	joint []float64 // index: bit i is the value of nodes[i]
}

// Evidence is a list of evidence items, numbered 0, 1, 2, … in the order in which they were given. Every item multiplies
// the probability of each state of the net by a non-negative weight. Items on the same node multiply. The zero value is
// no evidence; Plan checks the items against its net.
type Evidence struct {
	items []item
}

// Weigh multiplies by absent where the node is absent and by present where it is present. It is meant for causes (history,
// a repair that was tried without change) and works on any node.
func (e *Evidence) Weigh(v Node, absent, present float64) {
	e.items = append(e.items, item{word: "weigh", node: v, w: pair{absent, present}})
}

// Seen says that the node is present.
func (e *Evidence) Seen(f Node) {
	e.items = append(e.items, item{word: "seen", node: f, w: pair{0, 1}})
}

// NotSeen says that somebody looked and the node is absent. A finding that nobody looked for has no item at all.
func (e *Evidence) NotSeen(f Node) {
	e.items = append(e.items, item{word: "not seen", node: f, w: pair{1, 0}})
}

// Likelihood is a doubtful report about f: notSo is the probability of the report where f is absent, so where f is
// present. Only their ratio matters for posteriors. Either may be the larger.
func (e *Evidence) Likelihood(f Node, notSo, so float64) {
	e.items = append(e.items, item{word: "likelihood", node: f, w: pair{notSo, so}})
}

// Joint weighs the joint pattern of up to MaxJoint findings: weights[b] applies where, for every i, fs[i] is present
// exactly if bit i of b is set; len(weights) must be 1<<len(fs). A finding may stand in one Joint only. The slices are
// kept, do not change them.
func (e *Evidence) Joint(fs []Node, weights []float64) {
	e.items = append(e.items, item{word: "joint", nodes: fs, joint: weights})
}

// Ask is no evidence: it keeps an effect or a finding in the computation so that its posterior comes out. It is free for a
// node that hangs on a single kept parent and may cost a bit of width otherwise.
func (e *Evidence) Ask(v Node) {
	e.items = append(e.items, item{word: "ask", node: v, w: pair{1, 1}, ask: true})
}

// Len is the number of items given, those left out by Without included.
func (e *Evidence) Len() int { return len(e.items) }

// Without returns the evidence with some items left out. The others keep their numbers. Numbers that do not exist are
// ignored.
func (e *Evidence) Without(items ...int) *Evidence {
	r := &Evidence{items: append([]item(nil), e.items...)}
	for _, i := range items {
		if i >= 0 && i < len(r.items) {
			r.items[i].out = true
		}
	}
	return r
}

// check names the first item that does not fit the net.
func (e *Evidence) check(n *Net) error {
	grouped := map[Node]int{}
	touched := map[Node]int{}
	for i := range e.items {
		it := &e.items[i]
		if it.out {
			continue
		}
		if err := it.check(n, grouped, i); err != nil {
			return fmt.Errorf("belief: evidence item %d (%s): %w", i, it.word, err)
		}
		if it.ask {
			continue
		}
		if it.joint == nil {
			touched[it.node] = i
		}
		for _, f := range it.nodes {
			touched[f] = i
		}
	}
	return e.checkPools(n, touched)
}

func (it *item) check(n *Net, grouped map[Node]int, i int) error {
	if it.word != "joint" {
		if !n.has(it.node) {
			return fmt.Errorf("there is no node %d", it.node)
		}
		return checkWeights(it.w[:])
	}
	if len(it.nodes) == 0 || len(it.nodes) > MaxJoint || len(it.joint) != 1<<len(it.nodes) {
		return fmt.Errorf("%d findings with %d weights; give 1 to %d findings and 1<<findings weights",
			len(it.nodes), len(it.joint), MaxJoint)
	}
	for _, f := range it.nodes {
		if !n.has(f) || n.nodes[f].kind != finding {
			return fmt.Errorf("node %d is not a finding", f)
		}
		if j, ok := grouped[f]; ok {
			return fmt.Errorf("finding %d stands in item %d already; put both in one joint", f, j)
		}
		grouped[f] = i
	}
	return checkWeights(it.joint)
}

func checkWeights(ws []float64) error {
	for _, w := range ws {
		if !(w >= 0) || math.IsInf(w, 1) {
			return fmt.Errorf("weight %v; write a number from 0 up", w)
		}
	}
	return nil
}

// checkPools refuses evidence on a pooled finding together with evidence on one of its members.
func (e *Evidence) checkPools(n *Net, touched map[Node]int) error {
	for i := range e.items {
		it := &e.items[i]
		if it.out || it.ask || it.joint != nil {
			continue
		}
		for _, f := range n.nodes[it.node].members {
			if j, ok := touched[f]; ok {
				return fmt.Errorf("belief: evidence item %d is about the pool %d and item %d about its member %d; "+
					"use one joint over the members", i, it.node, j, f)
			}
		}
	}
	return nil
}
