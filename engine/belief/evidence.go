package belief

import (
	"fmt"
	"math"
	"slices"
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
// exactly if bit i of b is set; len(weights) must be 1<<len(fs). A finding may stand in one Joint only.
func (e *Evidence) Joint(fs []Node, weights []float64) {
	e.items = append(e.items, item{word: "joint", nodes: append([]Node{}, fs...), joint: append([]float64{}, weights...)})
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
	by := make([]int, len(n.nodes)) // 1 + the number of the item that is evidence on the node
	for i := range e.items {
		it := &e.items[i]
		if it.out {
			continue
		}
		if err := it.check(n); err != nil {
			return fmt.Errorf("belief: evidence item %d (%s): %w", i, it.word, err)
		}
		for _, f := range it.nodes {
			if j := by[f] - 1; j >= 0 && e.items[j].joint != nil {
				return fmt.Errorf("belief: evidence item %d (joint): finding %d stands in item %d already; put both in one joint", i, f, j)
			}
			by[f] = i + 1
		}
		if it.joint == nil && !it.ask && by[it.node] == 0 {
			by[it.node] = i + 1
		}
	}
	return n.checkPools(by)
}

func (it *item) check(n *Net) error {
	if it.joint == nil && it.nodes == nil {
		if !n.has(it.node) {
			return fmt.Errorf("there is no node %d", it.node)
		}
		return checkWeights(it.w[:])
	}
	if len(it.nodes) == 0 || len(it.nodes) > MaxJoint || len(it.joint) != 1<<len(it.nodes) {
		return fmt.Errorf("%d findings with %d weights; give 1 to %d findings and 1<<findings weights",
			len(it.nodes), len(it.joint), MaxJoint)
	}
	for i, f := range it.nodes {
		if !n.has(f) || n.nodes[f].kind != finding {
			return fmt.Errorf("node %d is not a finding", f)
		}
		if slices.Contains(it.nodes[:i], f) {
			return fmt.Errorf("finding %d is named twice", f)
		}
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
func (n *Net) checkPools(by []int) error {
	for _, p := range n.pools {
		if by[p] == 0 {
			continue
		}
		for _, f := range n.nodes[p].members {
			if by[f] > 0 {
				return fmt.Errorf("belief: evidence item %d is about the pool %d and item %d about its member %d; "+
					"use one joint over the members", by[p]-1, p, by[f]-1, f)
			}
		}
	}
	return nil
}

// Weights rates each item of evidence that Plan accepts by the largest absolute log likelihood ratio, in natural units, that it can give
// the presence of one parent while no other parent is present: |ln P(item | that parent) / P(item | none)|. An item that can rule
// something out altogether has +Inf, Ask and items left out have 0; an item on a node without parents has the log ratio of its own two
// weights.
func (e *Evidence) Weights(n *Net) []float64 {
	ws := make([]float64, len(e.items))
	for i := range e.items {
		it := &e.items[i]
		switch {
		case it.out || it.ask:
		case it.joint != nil:
			ws[i] = jointWeight(n, it)
		case len(n.nodes[it.node].up) == 0:
			ws[i] = logRatio(it.w[0], it.w[1])
		default:
			v := &n.nodes[it.node]
			for _, a := range v.up {
				ws[i] = max(ws[i], logRatio(v.leak.dot(it.w), v.leak.raise(a.l, a.q).dot(it.w)))
			}
		}
	}
	return ws
}

func jointWeight(n *Net, it *item) float64 {
	own := make([]pair, len(it.nodes))
	sum := func(parent Node) float64 {
		for k, f := range it.nodes {
			own[k] = n.nodes[f].leak
			for _, a := range n.nodes[f].up {
				if a.from == parent {
					own[k] = own[k].raise(a.l, a.q)
				}
			}
		}
		return patternSum(it.joint, own)
	}
	none, w := sum(-1), 0.0
	for _, f := range it.nodes {
		for _, a := range n.nodes[f].up {
			w = max(w, logRatio(none, sum(a.from)))
		}
	}
	return w
}

// patternSum is the sum over patterns of weight times the probability of the pattern.
func patternSum(weights []float64, own []pair) float64 {
	sum := 0.0
	for b, w := range weights {
		for k := range own {
			w *= own[k][b>>k&1]
		}
		sum += w
	}
	return sum
}

// logRatio is |ln(a/b)|, +Inf if either is zero.
func logRatio(a, b float64) float64 {
	if a == 0 || b == 0 {
		return math.Inf(1)
	}
	return math.Abs(math.Log(b) - math.Log(a))
}
