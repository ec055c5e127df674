package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"diagnose.example/engine/belief"
)

// Network describes a machine as a layered noisy-OR network, what was seen of it, which of it is the complaint, and what can be
// tested and repaired. Nodes and evidence are added by methods with the names and meanings they have on belief.Net and belief.Evidence;
// nodes get the same numbers. A bad argument is remembered and returned by Belief. After Belief the Network must not be changed.
//
// The machine is good when none of the complaint's nodes is present any more. What produced a node once goes on producing it: every
// link and every leak holds or does not hold, once for all, so that taking away a cause takes away exactly what it alone produced. What
// a leak produced has no cause that could be repaired; only the last resort helps.
type Network struct {
	nodes     []netNode
	own       [][2]float64 // by node: product of the weights given for it alone
	joints    []netJoint
	tests     []netTest
	repairs   [][]Cure
	complaint []belief.Node
	err       error
}

type netKind uint8

const (
	netCause netKind = iota
	netEffect
	netFinding
)

type netNode struct {
	kind  netKind
	p     float64 // prior or leak
	block int
	up    []netLink
}

type netLink struct {
	from     belief.Node
	strength float64
}

type netJoint struct {
	nodes   []belief.Node
	weights []float64
}

type netTest struct {
	findings []belief.Node
	outcomes [][]float64
}

// NewNetwork returns an empty network.
func NewNetwork() *Network { return &Network{} }

// Cause adds a cause, a fault, that is present with probability prior.
func (n *Network) Cause(prior float64, block int) belief.Node { return n.add(netCause, prior, block) }

// Effect adds an effect that is produced by nothing known with probability leak.
func (n *Network) Effect(leak float64, block int) belief.Node { return n.add(netEffect, leak, block) }

// Finding adds a finding that shows with nothing known behind it with probability leak.
func (n *Network) Finding(leak float64, block int) belief.Node {
	return n.add(netFinding, leak, block)
}

func (n *Network) add(k netKind, p float64, block int) belief.Node {
	if !(p >= 0 && p <= 1) {
		n.fail("node %d: %v is not a probability; write a number from 0 to 1", len(n.nodes), p)
		p = 0
	}
	n.nodes = append(n.nodes, netNode{kind: k, p: p, block: block})
	n.own = append(n.own, [2]float64{1, 1})
	return belief.Node(len(n.nodes) - 1)
}

// Link says that parent, when present, produces child with probability strength. The parent was added before the child and is no finding;
// the child is no cause. A second link between the same two nodes is one more independent chance.
func (n *Network) Link(parent, child belief.Node, strength float64) {
	switch {
	case !n.has(parent) || !n.has(child) || parent >= child:
		n.fail("link %d to %d: add the parent first, then the child", parent, child)
	case n.nodes[parent].kind == netFinding || n.nodes[child].kind == netCause:
		n.fail("link %d to %d: a link goes from a cause or an effect to an effect or a finding", parent, child)
	case !(strength >= 0 && strength <= 1):
		n.fail("link %d to %d: strength %v; write a number from 0 to 1", parent, child, strength)
	default:
		n.nodes[child].join(parent, strength)
	}
}

func (v *netNode) join(from belief.Node, strength float64) {
	for i := range v.up {
		if l := &v.up[i]; l.from == from {
			l.strength += (1 - l.strength) * strength
			return
		}
	}
	v.up = append(v.up, netLink{from, strength})
}

// Pool adds the finding "at least one of these shows, it is not known which". Give evidence on it or on its members, not on both.
func (n *Network) Pool(findings []belief.Node) belief.Node {
	if len(findings) == 0 {
		n.fail("pool: no findings; name at least one")
	}
	v := netNode{kind: netFinding, block: math.MinInt}
	for _, f := range findings {
		if !n.finding(f) {
			n.fail("pool: node %d is not a finding", f)
			continue
		}
		m := &n.nodes[f]
		v.p += (1 - v.p) * m.p
		v.block = max(v.block, m.block)
		for _, l := range m.up {
			v.join(l.from, l.strength)
		}
	}
	n.nodes = append(n.nodes, v)
	n.own = append(n.own, [2]float64{1, 1})
	return belief.Node(len(n.nodes) - 1)
}

// Weigh multiplies by absent where the node is absent and by present where it is present, as on the machine before any repair.
func (n *Network) Weigh(v belief.Node, absent, present float64) {
	ok := func(w float64) bool { return w >= 0 && !math.IsInf(w, 1) }
	if !n.has(v) || !ok(absent) || !ok(present) {
		n.fail("evidence on node %d: weights %v and %v; name a node and write numbers from 0 up", v, absent, present)
		return
	}
	n.own[v][0] *= absent
	n.own[v][1] *= present
}

// Seen says that the node was present before any repair.
func (n *Network) Seen(v belief.Node) { n.Weigh(v, 0, 1) }

// NotSeen says that somebody looked and the node was absent.
func (n *Network) NotSeen(v belief.Node) { n.Weigh(v, 1, 0) }

// Likelihood is a doubtful report: notSo is its probability where v is absent, so where it is present.
func (n *Network) Likelihood(v belief.Node, notSo, so float64) { n.Weigh(v, notSo, so) }

// Joint weighs the joint pattern of some findings: weights[b] applies where fs[i] is present exactly if bit i of b is set. A finding may
// stand in one Joint only.
func (n *Network) Joint(fs []belief.Node, weights []float64) {
	if err := n.checkPattern(fs, weights); err != nil {
		n.fail("joint %d: %w", len(n.joints), err)
		return
	}
	n.joints = append(n.joints, netJoint{slices.Clone(fs), slices.Clone(weights)})
}

// Complaint says that the machine misbehaves as long as any of these effects or findings is present.
func (n *Network) Complaint(nodes ...belief.Node) {
	for _, v := range nodes {
		if !n.has(v) || n.nodes[v].kind == netCause {
			n.fail("complaint: node %d is not an effect or a finding", v)
			continue
		}
		if !slices.Contains(n.complaint, v) {
			n.complaint = append(n.complaint, v)
		}
	}
}

// Test adds a test and returns its number. It shows some findings: outcome k has probability outcomes[k][b] when they are in the pattern
// b, as in Joint, and over all k these sum to one. A finding belongs to one test at most, to no complaint, and has no evidence yet.
func (n *Network) Test(findings []belief.Node, outcomes ...[]float64) int {
	t := len(n.tests)
	sum := make([]float64, 1<<min(len(findings), belief.MaxJoint))
	for k, w := range outcomes {
		if err := n.checkPattern(findings, w); err != nil {
			n.fail("test %d: outcome %d: %w", t, k, err)
			return t
		}
		for b, x := range w {
			sum[b] += x
		}
	}
	for b, x := range sum {
		if math.Abs(x-1) > 1e-9 {
			n.fail("test %d: the outcomes have probabilities with sum %v when the findings are in pattern %b; they must sum to 1", t, x, b)
			break
		}
	}
	n.tests = append(n.tests, netTest{slices.Clone(findings), outcomes})
	return t
}

// YesNo adds a test that shows whether one finding is present: outcome 1, or absent: outcome 0. It returns its number.
func (n *Network) YesNo(finding belief.Node) int {
	return n.Test([]belief.Node{finding}, []float64{1, 0}, []float64{0, 1})
}

// Repair adds a repair and returns its number. Cure.Fault is the node of a cause; each is cured with its own chance.
func (n *Network) Repair(cures ...Cure) int {
	for _, c := range cures {
		v := belief.Node(c.Fault)
		if !n.has(v) || n.nodes[v].kind != netCause || !(c.Chance >= 0 && c.Chance <= 1) {
			n.fail("repair %d: cures node %d with chance %v; name a cause and a number from 0 to 1", len(n.repairs), c.Fault, c.Chance)
			return len(n.repairs)
		}
	}
	n.repairs = append(n.repairs, slices.Clone(cures))
	return len(n.repairs) - 1
}

func (n *Network) has(v belief.Node) bool { return v >= 0 && int(v) < len(n.nodes) }

func (n *Network) finding(v belief.Node) bool { return n.has(v) && n.nodes[v].kind == netFinding }

// joined tells whether a finding stands in a Joint.
func (n *Network) joined(f belief.Node) bool {
	return slices.ContainsFunc(n.joints, func(j netJoint) bool { return slices.Contains(j.nodes, f) })
}

func (n *Network) checkPattern(fs []belief.Node, weights []float64) error {
	if len(fs) == 0 || len(fs) > belief.MaxJoint || len(weights) != 1<<len(fs) {
		return fmt.Errorf("%d findings with %d weights; give 1 to %d findings and 1<<findings weights", len(fs), len(weights), belief.MaxJoint)
	}
	for i, f := range fs {
		if !n.finding(f) || slices.Contains(fs[:i], f) {
			return fmt.Errorf("node %d is not a finding or is named twice", f)
		}
	}
	for _, w := range weights {
		if !(w >= 0) || math.IsInf(w, 1) {
			return fmt.Errorf("weight %v; write a number from 0 up", w)
		}
	}
	return nil
}

// check finds what only shows when everything was said.
func (n *Network) check() error {
	if n.err != nil {
		return n.err
	}
	if len(n.complaint) == 0 {
		return errors.New("plan: the network has no complaint; name the nodes that have to go away")
	}
	if len(n.tests) > maxActions || len(n.repairs) > maxActions {
		return fmt.Errorf("plan: %d tests and %d repairs; at most %d of each", len(n.tests), len(n.repairs), maxActions)
	}
	used := make([]string, len(n.nodes))
	take := func(what string, fs []belief.Node) error {
		for _, f := range fs {
			if used[f] != "" {
				return fmt.Errorf("plan: finding %d stands in %s and in %s", f, used[f], what)
			}
			used[f] = what
		}
		return nil
	}
	for i, j := range n.joints {
		if err := take(fmt.Sprintf("joint %d", i), j.nodes); err != nil {
			return err
		}
	}
	for i, t := range n.tests {
		if err := take(fmt.Sprintf("test %d", i), t.findings); err != nil {
			return err
		}
		for _, f := range t.findings {
			if n.own[f] != [2]float64{1, 1} || slices.Contains(n.complaint, f) {
				return fmt.Errorf("plan: test %d: finding %d has evidence already or is a complaint", i, f)
			}
		}
	}
	return nil
}

func (n *Network) fail(format string, args ...any) {
	if n.err == nil {
		n.err = fmt.Errorf("plan: "+format, args...)
	}
}
