package belief

import (
	"math"
	"testing"
)

func TestNetErrors(t *testing.T) {
	tests := []struct {
		name  string
		build func(n *Net)
		want  string
	}{
		{"prior above one", func(n *Net) { n.Cause(1.5, 0) },
			"belief: cause 0: prior 1.5 is not a probability; write a number from 0 to 1"},
		{"leak not a number", func(n *Net) { n.Effect(math.NaN(), 0) },
			"belief: effect 0: leak NaN is not a probability; write a number from 0 to 1"},
		{"negative leak", func(n *Net) { n.Finding(-0.1, 0) },
			"belief: finding 0: leak -0.1 is not a probability; write a number from 0 to 1"},
		{"no such node", func(n *Net) { n.Link(n.Cause(0.1, 0), 7, 0.5) },
			"belief: link 0 to 7: there is no such node; add both nodes first"},
		{"negative node", func(n *Net) { n.Link(-1, n.Finding(0.1, 0), 0.5) },
			"belief: link -1 to 0: there is no such node; add both nodes first"},
		{"child before parent", func(n *Net) { f := n.Finding(0.1, 0); n.Link(n.Cause(0.1, 0), f, 0.5) },
			"belief: link 1 to 0: the parent must be added before the child"},
		{"to itself", func(n *Net) { e := n.Effect(0.1, 0); n.Link(e, e, 0.5) },
			"belief: link 0 to 0: the parent must be added before the child"},
		{"from a finding", func(n *Net) { f := n.Finding(0.1, 0); n.Link(f, n.Effect(0.1, 0), 0.5) },
			"belief: link 0 to 1: a finding produces nothing; link from a cause or an effect"},
		{"to a cause", func(n *Net) { c := n.Cause(0.1, 0); n.Link(c, n.Cause(0.1, 0), 0.5) },
			"belief: link 0 to 1: a cause has no parents; make 1 an effect"},
		{"strength below zero", func(n *Net) { c := n.Cause(0.1, 0); n.Link(c, n.Finding(0.1, 0), -0.5) },
			"belief: link 0 to 1: strength -0.5 is not a probability; write a number from 0 to 1"},
		{"pool of an effect", func(n *Net) { n.Pool([]Node{n.Effect(0.1, 0)}) },
			"belief: pool 1: node 0 is not a finding of this net"},
		{"empty pool", func(n *Net) { n.Pool(nil) },
			"belief: pool 0: no findings; name at least one"},
		{"the first error stays", func(n *Net) { n.Cause(2, 0); n.Cause(3, 0) },
			"belief: cause 0: prior 2 is not a probability; write a number from 0 to 1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n := NewNet()
			tt.build(n)
			if err := n.Err(); err == nil || err.Error() != tt.want {
				t.Errorf("Err = %v; want %s", err, tt.want)
			}
			if _, err := Plan(n, new(Evidence), Options{}); err == nil || err.Error() != tt.want {
				t.Errorf("Plan: error %v; want %s", err, tt.want)
			}
		})
	}
}

func TestEvidenceErrors(t *testing.T) {
	const c, f, g, pool = 0, 1, 2, 3 // the nodes of the net below
	tests := []struct {
		name string
		give func(e *Evidence)
		want string
	}{
		{"no such node", func(e *Evidence) { e.Ask(c); e.Seen(9) },
			"belief: evidence item 1 (seen): there is no node 9"},
		{"negative weight", func(e *Evidence) { e.Weigh(c, 1, -1) },
			"belief: evidence item 0 (weigh): weight -1; write a number from 0 up"},
		{"infinite weight", func(e *Evidence) { e.Likelihood(f, math.Inf(1), 1) },
			"belief: evidence item 0 (likelihood): weight +Inf; write a number from 0 up"},
		{"weights that do not fit", func(e *Evidence) { e.Joint([]Node{f, g}, []float64{1, 2, 3}) },
			"belief: evidence item 0 (joint): 2 findings with 3 weights; give 1 to 12 findings and 1<<findings weights"},
		{"empty joint", func(e *Evidence) { e.Joint(nil, nil) },
			"belief: evidence item 0 (joint): 0 findings with 0 weights; give 1 to 12 findings and 1<<findings weights"},
		{"joint over a cause", func(e *Evidence) { e.Joint([]Node{f, c}, make([]float64, 4)) },
			"belief: evidence item 0 (joint): node 0 is not a finding"},
		{"twice in one joint", func(e *Evidence) { e.Joint([]Node{f, f}, make([]float64, 4)) },
			"belief: evidence item 0 (joint): finding 1 is named twice"},
		{"weight in a joint", func(e *Evidence) { e.Joint([]Node{f, g}, []float64{1, 1, math.NaN(), 1}) },
			"belief: evidence item 0 (joint): weight NaN; write a number from 0 up"},
		{"in two joints", func(e *Evidence) { e.Joint([]Node{f}, []float64{1, 1}); e.Joint([]Node{g, f}, make([]float64, 4)) },
			"belief: evidence item 1 (joint): finding 1 stands in item 0 already; put both in one joint"},
		{"a pool and a member", func(e *Evidence) { e.NotSeen(g); e.Seen(pool) },
			"belief: evidence item 1 is about the pool 3 and item 0 about its member 2; use one joint over the members"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n := NewNet()
			n.Cause(0.1, 0)
			n.Pool([]Node{n.Finding(0.1, 0), n.Finding(0.1, 0)})
			e := new(Evidence)
			tt.give(e)
			if _, err := Plan(n, e, Options{}); err == nil || err.Error() != tt.want {
				t.Errorf("Plan: error %v; want %s", err, tt.want)
			}
			for i := range e.Len() {
				e = e.Without(i)
			}
			if _, err := Plan(n, e, Options{}); err != nil {
				t.Errorf("Plan with all items left out: error %v; want none", err)
			}
		})
	}
}

// Asking for a member is no evidence, so it may go with evidence on the pool; items left out clash with nothing.
func TestPoolAndMemberAsked(t *testing.T) {
	n := NewNet()
	c := n.Cause(0.25, 0)
	f, g := n.Finding(0, 0), n.Finding(0, 0)
	n.Link(c, f, 0.5)
	n.Link(c, g, 0.5)
	e := new(Evidence)
	e.NotSeen(n.Pool([]Node{f, g}))
	e.Ask(f)
	e.Seen(f)
	_, r := posterior(t, n, e.Without(2, -1, 99))
	if want := 0.0625 / 0.8125; math.Abs(r.P[c]-want) > 1e-16 {
		t.Errorf("P[cause] = %v; want %v", r.P[c], want)
	}
}

// A second link between two nodes is one more independent chance.
func TestSecondLink(t *testing.T) {
	n := NewNet()
	c := n.Cause(0.5, 0)
	f := n.Finding(0, 0)
	n.Link(c, f, 0.5)
	n.Link(c, f, 0.5)
	e := new(Evidence)
	e.NotSeen(f)
	_, r := posterior(t, n, e)
	if r.P[c] != 0.2 {
		t.Errorf("P[cause] = %v; want 0.2: 0.5 against 0.5 * 0.25", r.P[c])
	}
	if n.Len() != 2 {
		t.Errorf("Len = %d; want 2", n.Len())
	}
}
