package plan

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// bound finds a cost that no plan can be below: a lower bound on the expected cost with perfect information, when it is known beforehand
// which repairs will cure the machine. It is the larger of two bounds.
//
// What cannot be done without. Let n(x) be the probability that the machine can be cured, but not without x, where x is a repair, a cluster
// or a test that others come after. All such x have to be paid for: sum of c(x) n(x), and the last resort for what cannot be cured. With
// one fault, cured by one repair only, this is the sum of c p. When all together can cost more than the last resort, the sum is
// lowered in proportion, min(S, L) >= S L/max(S) for S up to max(S).
//
// What is dear enough. A cure that costs at most t uses only repairs that cost at most t each, with what they need. So the
// probability that the cure costs more than t is at least that of not being cured by all of these together; the integral over t is
// a bound on the mean. cured is the share of machines that have to be paid for to the end.
func (s *solver) bound(n *node) (float64, error) {
	all := s.usable(n.done)
	left, err := s.good(n.v, all.repairs)
	if err != nil {
		return 0, err
	}
	left = 1 - left
	must, err := s.necessities(n, all, 1-left)
	if err != nil {
		return 0, err
	}
	cured := 1 - left // without a last resort, a machine that nothing cures may turn out to cost nothing
	if s.hasLast() {
		cured = 1
	}
	dear, err := s.dearness(n, all, cured)
	if err != nil {
		return 0, err
	}
	if s.hasLast() {
		must += left * s.p.lastCost
	}
	return max(must, dear), nil
}

// necessities is the first bound, without the last resort.
func (s *solver) necessities(n *node, all pairs, cured float64) (float64, error) {
	sum, most := 0.0, 0.0
	add := func(cost float64, without uint64) error {
		if s.hasLast() {
			cost = min(cost, s.p.lastCost)
		}
		if cost == 0 || without == all.repairs {
			return nil
		}
		rest, err := s.good(n.v, without)
		sum += cost * max(0, cured-rest)
		most += cost
		return err
	}
	for t := range s.p.in(all) {
		if err := add(t.cost, s.without(all.repairs, t)); err != nil {
			return 0, err
		}
	}
	for k := range s.p.clusters {
		if n.open>>k&1 == 1 {
			continue
		}
		without := all.repairs
		for m := all.repairs; m != 0; m &= m - 1 {
			if i := bits.TrailingZeros64(m); s.p.needs(&s.p.repairs[i])>>k&1 == 1 {
				without &^= 1 << i
			}
		}
		if err := add(s.p.clusters[k].cost, without); err != nil {
			return 0, err
		}
	}
	if s.hasLast() && most > s.p.lastCost {
		sum *= s.p.lastCost / most
	}
	return sum, nil
}

// without takes out of a set of repairs a task and what comes after it.
func (s *solver) without(repairs uint64, t *task) uint64 {
	for m := repairs; m != 0; m &= m - 1 {
		i := bits.TrailingZeros64(m)
		if s.p.repairs[i].after.or(s.p.repairs[i].set()).meets(t.set()) {
			repairs &^= 1 << i
		}
	}
	return repairs
}

// needs lists the clusters that have to be opened for a repair and for what comes before it.
func (p *problem) needs(t *task) uint64 {
	needs := t.needs
	for u := range p.in(t.after) {
		needs |= u.needs
	}
	return needs
}

// dearness is the second bound: the integral of the probability that a cure costs more than t.
func (s *solver) dearness(n *node, all pairs, cured float64) (float64, error) {
	type priced struct {
		repair int
		cost   float64
	}
	var list []priced
	for m := all.repairs; m != 0; m &= m - 1 {
		i := bits.TrailingZeros64(m)
		r := &s.p.repairs[i]
		need := r.after.minus(n.done).or(r.set())
		var needs uint64
		cost := 0.0
		for t := range s.p.in(need) {
			cost += t.cost
			needs |= t.needs
		}
		list = append(list, priced{i, cost + s.p.opening(needs, n.open)})
	}
	slices.SortStableFunc(list, func(a, b priced) int { return cmp.Compare(a.cost, b.cost) })
	end := math.Inf(1)
	if s.hasLast() {
		end = s.p.lastCost
	}
	sum, from := 0.0, 0.0
	var set uint64
	for _, x := range list {
		good, err := s.good(n.v, set)
		if err != nil {
			return 0, err
		}
		to := min(x.cost, end)
		sum += (to - from) * (cured - good)
		from = to
		set |= 1 << x.repair
	}
	if s.hasLast() {
		good, err := s.good(n.v, set)
		if err != nil {
			return 0, err
		}
		sum += (end - from) * (cured - good)
	}
	return sum, nil
}
