package plan

import (
	"math"
	"math/bits"
)

// solver finds plans. Several of them can share what was asked.
type solver struct {
	*asker
	banned pairs // what may not be done
	noLast bool  // nor may the job be handed over
	// kept are considered after the first step, the others only as first steps and in the plain plan.
	kept  pairs
	nodes map[place]*node
	// partial is set when not every batch was tried.
	partial bool
}

// node is a place with what was found out about it.
type node struct {
	place
	plain *choice  // the plain plan
	ahead []choice // by number of steps looked ahead; the zero choice where not known
	exact *choice
}

// choice is a step and the expected cost of a plan that begins with it.
type choice struct {
	cost  float64
	step  step
	cut   bool // the plan was not followed to the end everywhere, so that there may be a better one
	known bool
}

func newSolver(a *asker) *solver {
	return &solver{asker: a, nodes: map[place]*node{}, kept: pairs{math.MaxUint64, math.MaxUint64}}
}

func (s *solver) hasLast() bool { return s.p.last >= 0 && !s.noLast }

func (s *solver) node(at place) *node {
	n := s.nodes[at]
	if n == nil {
		n = &node{place: at}
		s.nodes[at] = n
	}
	return n
}

// toTheEnd stands for the number of steps when a plan is followed to the end.
const toTheEnd = -1

// best finds the best plan that looks so many steps ahead and goes on with the plain plan, or the best of all plans. This is the
// programme V(n) = min over steps of cost + sum over outcomes of p V(next).
func (s *solver) best(n *node, steps int) (choice, error) {
	if steps == 0 {
		return s.greedy(n)
	}
	if steps == toTheEnd && n.exact != nil {
		return *n.exact, nil
	}
	if steps > 0 && steps < len(n.ahead) && n.ahead[steps].known {
		return n.ahead[steps], nil
	}
	c, err := s.search(n, steps)
	if err != nil {
		return choice{}, err
	}
	c.known = true
	if steps == toTheEnd {
		n.exact = &c
		return c, nil
	}
	for len(n.ahead) <= steps {
		n.ahead = append(n.ahead, choice{})
	}
	n.ahead[steps] = c
	return c, nil
}

func (s *solver) search(n *node, steps int) (choice, error) {
	best := choice{cost: math.Inf(1)}
	over, err := s.over(n)
	if err != nil {
		return choice{}, err
	}
	switch {
	case over && s.hasLast():
		return choice{cost: s.p.lastCost, step: step{kind: HandOver}}, nil
	case over:
		return choice{step: step{kind: Stop}}, nil
	case steps != toTheEnd:
		if best, err = s.greedy(n); err != nil {
			return choice{}, err
		}
	}
	moves, err := s.moves(n, s.kept)
	if err != nil {
		return choice{}, err
	}
	cut := false
	for _, st := range moves {
		c, err := s.weigh(n, st, steps, best.cost)
		if err != nil {
			return choice{}, err
		}
		cut = cut || c.cut
		if less(c.cost, best.cost) {
			best = c
		}
	}
	best.cut = cut
	return best, nil
}

// over tells that nothing can cure the machine any more.
func (s *solver) over(n *node) (bool, error) {
	good, err := s.good(n.v, s.usable(n.done).repairs)
	return good <= negligible, err
}

// weigh finds the expected cost of a plan that begins with a step. It stops, with a cost that is too low, as soon as the cost is known to
// be no better than another plan's.
func (s *solver) weigh(n *node, st step, steps int, other float64) (choice, error) {
	c := choice{step: st}
	c.cost, _ = s.p.price(st, n.open)
	if !less(c.cost, other) {
		return c, nil
	}
	bs, err := s.branches(n, st)
	if err != nil {
		return choice{}, err
	}
	for _, b := range bs {
		if b.to == nil {
			continue
		}
		next, err := s.best(b.to, rest(steps))
		if err != nil {
			return choice{}, err
		}
		c.cost += b.p * next.cost
		c.cut = c.cut || next.cut
		if !less(c.cost, other) {
			break
		}
	}
	return c, nil
}

func rest(steps int) int {
	if steps == toTheEnd {
		return toTheEnd
	}
	return steps - 1
}

// moves lists what can be done next and may be of use, in the order in which equals are preferred: single repairs, several repairs at
// once, tests, handing over.
func (s *solver) moves(n *node, among pairs) ([]step, error) {
	u, err := s.useful(n)
	if err != nil {
		return nil, err
	}
	u = pairs{u.tests & among.tests, u.repairs & among.repairs}
	var out []step
	for m := u.repairs; m != 0; m &= m - 1 {
		if i := bits.TrailingZeros64(m); s.p.repairs[i].ready(n.done) {
			out = append(out, step{kind: Repair, repairs: 1 << i})
		}
	}
	if out, err = s.batches(out, n, u.repairs); err != nil {
		return nil, err
	}
	for m := u.tests; m != 0; m &= m - 1 {
		if i := bits.TrailingZeros64(m); s.p.tests[i].ready(n.done) {
			out = append(out, step{kind: s.p.tests[i].kind, test: i})
		}
	}
	if s.hasLast() {
		out = append(out, step{kind: HandOver})
	}
	return out, nil
}

// useful lists what can cure or tell something, and what has to be done before such a thing.
func (s *solver) useful(n *node) (pairs, error) {
	usable := s.usable(n.done)
	var use pairs
	for t := range s.p.in(usable) {
		var of bool
		var err error
		if t.kind == Repair {
			var c float64
			c, err = s.chance(n.v, t.at)
			of = c > negligible
		} else {
			of, err = s.informs(n.v, t.at)
		}
		if err != nil {
			return pairs{}, err
		}
		if of {
			use = use.or(t.set()).or(t.after)
		}
	}
	return use.minus(n.done), nil
}

// allSubsets is the number of repairs up to which every set of them is tried as a batch.
const allSubsets = 6

// batches adds the sets of two or more repairs that can be done together before the machine is tried: all of them while there are few to
// choose from, otherwise the first two, three, … by cost for their chance.
func (s *solver) batches(out []step, n *node, repairs uint64) ([]step, error) {
	for k := range s.p.clusters {
		if s.p.shut>>k&1 == 0 || s.p.clusters[k].with&s.p.shut != 1<<k {
			continue // not a cluster that closes, or inside another one that does
		}
		var in uint64
		for m := repairs; m != 0; m &= m - 1 {
			if i := bits.TrailingZeros64(m); s.p.repairs[i].needs>>k&1 == 1 {
				in |= 1 << i
			}
		}
		if bits.OnesCount64(in) > allSubsets {
			first, err := s.inside(n, pairs{repairs: in}, k)
			if err != nil {
				return nil, err
			}
			s.partial = true
			out = prefixes(out, first)
			continue
		}
		// Every subset, smaller numbers first, so that equals are tried in the order of ids.
		for sub := in & -in; sub != 0; sub = (sub - in) & in {
			if sub&(sub-1) != 0 && s.together(n, sub) {
				out = append(out, step{kind: Repair, repairs: sub})
			}
		}
	}
	return out, nil
}

func prefixes(out []step, repairs []int) []step {
	var set uint64
	for i, r := range repairs {
		set |= 1 << r
		if i > 0 {
			out = append(out, step{kind: Repair, repairs: set})
		}
	}
	return out
}

// together tells whether repairs wait for nothing but each other.
func (s *solver) together(n *node, repairs uint64) bool {
	done := n.done.or(pairs{repairs: repairs})
	for m := repairs; m != 0; m &= m - 1 {
		if !s.p.repairs[bits.TrailingZeros64(m)].ready(done) {
			return false
		}
	}
	return true
}
