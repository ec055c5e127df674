package plan

import "math/bits"

// step is a thing to do, in the sets of the problem.
type step struct {
	kind    Kind
	test    int
	repairs uint64
}

// place is a point in a job: what is believed, what was done and what stands open.
type place struct {
	v    *view
	done pairs
	open uint64
}

// branch is one way for a step to come out.
type branch struct {
	outcome int
	p       float64
	to      *node // nil where the machine is good or was handed over
}

// price returns what a step costs where these clusters are open, and what is open after it.
func (p *problem) price(st step, open uint64) (cost float64, after uint64) {
	switch st.kind {
	case Check, Change:
		t := &p.tests[st.test]
		if t.running {
			open &^= p.shut
		}
		return t.cost + p.opening(t.needs, open), open | t.needs
	case Repair:
		var needs uint64
		for m := st.repairs; m != 0; m &= m - 1 {
			r := &p.repairs[bits.TrailingZeros64(m)]
			cost += r.cost
			needs |= r.needs
		}
		return cost + p.opening(needs, open), (open | needs) &^ p.shut
	case HandOver:
		return p.lastCost, open
	}
	return 0, open
}

// branches follows a step. Ways of negligible probability are left out.
func (s *solver) branches(n *node, st step) ([]branch, error) {
	_, open := s.p.price(st, n.open)
	switch st.kind {
	case Check, Change:
		return s.testBranches(n, st, open)
	case Repair:
		good, err := s.good(n.v, st.repairs)
		if err != nil {
			return nil, err
		}
		var out []branch
		if good > negligible {
			out = append(out, branch{1, good, nil})
		}
		if 1-good > negligible {
			v, err := s.fail(n.v, st.repairs)
			if err != nil {
				return nil, err
			}
			done := n.done.or(pairs{repairs: st.repairs})
			out = append(out, branch{0, 1 - good, s.node(place{v, done, open})})
		}
		return out, nil
	}
	return nil, nil
}

func (s *solver) testBranches(n *node, st step, open uint64) ([]branch, error) {
	ps, err := s.outcomes(n.v, st.test)
	if err != nil {
		return nil, err
	}
	var out []branch
	for o, p := range ps {
		if p <= negligible {
			continue
		}
		v, err := s.observe(n.v, st.test, o)
		if err != nil {
			return nil, err
		}
		done := n.done.or(pairs{tests: 1 << st.test})
		out = append(out, branch{o, p, s.node(place{v, done, open})})
	}
	return out, nil
}

// usable lists what was not done and can still be done.
func (s *solver) usable(done pairs) pairs {
	u := pairs{full(len(s.p.tests)), full(len(s.p.repairs))}.minus(done).minus(s.banned)
	for t := range s.p.in(u) {
		if t.after.minus(done).meets(s.banned) {
			u = u.minus(t.set())
		}
	}
	return u
}

// ready tells whether all that a task comes after has been done.
func (t *task) ready(done pairs) bool { return t.after.minus(done).empty() }

// batch tells whether several repairs can be done together before the machine is tried: they stand inside the same cluster that has to be
// closed for trying.
func (p *problem) batch(repairs uint64) bool {
	same := p.shut
	for m := repairs; m != 0; m &= m - 1 {
		same &= p.repairs[bits.TrailingZeros64(m)].needs
	}
	return same != 0
}

// export turns a step into words and numbers of the table.
func (p *problem) export(st step, open uint64) Step {
	out := Step{Kind: st.kind}
	var tasks []*task
	switch st.kind {
	case Check, Change:
		t := &p.tests[st.test]
		tasks = []*task{t}
		if t.running {
			open &^= p.shut
		}
	case Repair:
		tasks = p.inOrder(st.repairs)
	case HandOver:
		out.Numbers, out.IDs = []int{p.last}, []string{p.lastID}
	}
	var needs uint64
	for _, t := range tasks {
		out.Numbers = append(out.Numbers, t.number)
		out.IDs = append(out.IDs, t.id)
		needs |= t.needs
	}
	out.Opens = p.outermostFirst(needs &^ open)
	out.Cost, _ = p.price(st, open)
	return out
}

// inOrder lists repairs by id, but each after those it comes after.
func (p *problem) inOrder(repairs uint64) []*task {
	var out []*task
	done := pairs{full(len(p.tests)), full(len(p.repairs)) &^ repairs}
	for left := repairs; left != 0; {
		for m := left; m != 0; m &= m - 1 {
			i := bits.TrailingZeros64(m)
			if t := &p.repairs[i]; t.ready(done) {
				out = append(out, t)
				left &^= 1 << i
				done.repairs |= 1 << i
				break
			}
		}
	}
	return out
}

// outermostFirst lists clusters so that each comes after those it is inside of.
func (p *problem) outermostFirst(clusters uint64) []string {
	var out []string
	for depth := 1; clusters != 0; depth++ {
		for m := clusters; m != 0; m &= m - 1 {
			i := bits.TrailingZeros64(m)
			if bits.OnesCount64(p.clusters[i].with) == depth {
				out = append(out, p.clusters[i].id)
				clusters &^= 1 << i
			}
		}
	}
	return out
}
