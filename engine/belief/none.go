package belief

import (
	"errors"
	"fmt"
	"slices"
)

// None returns P(evidence, and none of some causes is present), as [Schedule.Probability] does: one less its share of P(evidence) is
// the probability that one of them is there at least. Certain absence changes weights and nothing else, so what was laid out serves
// again, and it takes little more than a forward pass.
func (s *Schedule) None(causes ...Node) (z float64, exp int, err error) {
	var absent []int32
	unreached := 1.0
	for i, id := range causes {
		if slices.Contains(causes[:i], id) {
			continue
		}
		if id < 0 || int(id) >= len(s.core.g.at) || s.net.nodes[id].kind != cause {
			return 0, 0, fmt.Errorf("belief: none: node %d: %w", id, errNoCause)
		}
		if v := s.core.g.at[id]; v >= 0 {
			absent = append(absent, v)
		} else {
			unreached *= s.net.nodes[id].leak[0]
		}
	}
	g := s.core.g.without(absent)
	g.constant(unreached)
	return s.again(g).Probability()
}

var errNoCause = errors.New("not a cause of the net when this was planned")

// without strips a graph in the way it was stripped before, with some roots absent.
func (g *graph) without(absent []int32) *graph {
	h := &graph{at: g.at, v: slices.Clone(g.v), arcs: g.arcs, kids: g.kids, groups: g.groups, z: g.beginZ, sign: g.sign}
	for i := range h.v {
		h.v[i].n, h.v[i].w = g.begin[2*i], g.begin[2*i+1]
	}
	for _, v := range absent {
		h.v[v].w[1] = 0
	}
	for i := range g.log {
		r := &g.log[i]
		switch r.rule {
		case ruleRoot:
			h.constant(h.v[r.v].n.dot(h.v[r.v].w))
		case ruleDeny:
			h.deny(r.v)
		case ruleAbsorb:
			h.absorbed(r.v, r.arc)
		case ruleFold:
			h.folded(r.v, r.arc)
		case ruleGroup:
			h.grouped(r.v, r.to)
		}
	}
	return h
}

// again is the schedule with the weights of another graph that was stripped alike. It serves for a forward pass only.
func (s *Schedule) again(g *graph) *Schedule {
	c := *s.core
	c.g = g
	p := *s.program
	p.c, p.steps = &c, slices.Clone(p.steps)
	for i := range p.steps {
		st := &p.steps[i]
		if st.group != nil {
			group := *st.group
			st.group = &group
		}
		p.weigh(st)
	}
	return &Schedule{net: s.net, e: s.e, core: &c, program: &p, order: s.order}
}
