package belief

import "slices"

// weighed is a weight on the presence of a vertex.
type weighed struct {
	at int32
	w  float64
}

// restripped strips a graph in the way it was stripped before, with some nodes weighed once more. Weights change numbers and nothing
// else: what was laid out serves again.
func (g *graph) restripped(ws []weighed) *graph {
	h := &graph{at: g.at, v: slices.Clone(g.v), arcs: g.arcs, kids: g.kids, groups: g.groups, log: slices.Clone(g.log), z: g.beginZ,
		begin: g.begin, beginZ: g.beginZ, sign: g.sign}
	for i := range h.v {
		h.v[i].n, h.v[i].w = g.begin[2*i], g.begin[2*i+1]
	}
	for _, x := range ws {
		h.v[x.at].w[1] *= x.w
	}
	for i := range h.log {
		r := &h.log[i]
		switch r.rule {
		case ruleRoot:
			h.constant(h.v[r.v].n.dot(h.v[r.v].w))
		case ruleDeny:
			h.deny(r.v)
		case ruleSure:
			if r.to < 0 {
				h.constant(h.v[r.v].n[1] * h.v[r.v].w[1])
			} else {
				h.raised(r.to, r.arc)
			}
		case ruleAbsorb:
			r.old = h.v[r.to].n
			h.absorbed(r.v, r.arc)
		case ruleFold:
			r.old = h.v[r.to].w
			h.folded(r.v, r.arc)
		case ruleGroup:
			if r.to >= 0 {
				r.old = h.v[r.to].w
			}
			h.grouped(r.v, r.to)
		}
	}
	return h
}

// again is the schedule with the weights of another graph that was stripped alike.
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
	return &Schedule{net: s.net, e: s.e, skip: s.skip, core: &c, program: &p, order: s.order}
}
