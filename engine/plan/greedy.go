package plan

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// SingleFault is the index c/p by which repairs are ordered on a machine with exactly one fault, smallest first: c is the cost, p the
// probability that the repair cures it. The order is the cheapest if every fault is cured by one repair only, for sure, and every repair
// has its fixed cost. It is +Inf where p is 0.
func SingleFault(cost, p float64) float64 { return cost / p }

// ManyFaults is the index c(1-p)/p by which repairs are ordered on a machine that may have several faults, smallest first: p is the
// probability that the repair's fault is present when nothing is known about the others. The order is the cheapest if faults are
// independent of each other but for what is known, that there is at least one, and every one is cured by one repair only, for sure.
// With p from a posterior it is a guess, since evidence makes faults depend on each other. It is +Inf where p is 0.
func ManyFaults(cost, p float64) float64 {
	if p == 0 {
		return math.Inf(1)
	}
	return cost * (1 - p) / p
}

// block is a set of repairs weighed as one, with all that has to be done before them.
type block struct {
	need  pairs // what has to be done for it, the repairs included
	cost  float64
	bound float64 // of the probability that the machine is good after it
	order int     // among equals
}

// greedy is the plain plan: the block of least cost for its probability of success, then the next one, until the machine is good or handing
// over is cheaper. For a single repair this is the index: given that the machine misbehaves, and everything else that is known, the
// probability of success is p for one fault and proportional to p/(1-p) for several independent ones.
func (s *solver) greedy(n *node) (choice, error) {
	if n.plain != nil {
		return *n.plain, nil
	}
	st, err := s.greedyStep(n)
	if err != nil {
		return choice{}, err
	}
	c := choice{step: st}
	if st.kind != Stop {
		c.cut = true
		c.cost, _ = s.p.price(st, n.open)
		bs, err := s.branches(n, st)
		if err != nil {
			return choice{}, err
		}
		for _, b := range bs {
			if b.to == nil {
				continue
			}
			next, err := s.greedy(b.to)
			if err != nil {
				return choice{}, err
			}
			c.cost += b.p * next.cost
		}
	}
	if s.hasLast() && (st.kind == Stop || less(s.p.lastCost, c.cost)) {
		c = choice{cost: s.p.lastCost, step: step{kind: HandOver}, cut: st.kind != Stop}
	}
	n.plain = &c
	return c, nil
}

// greedyStep picks the block with the least cost for its probability of success and returns the first step of it.
func (s *solver) greedyStep(n *node) (step, error) {
	usable := s.usable(n.done)
	blocks, err := s.blocks(n, usable)
	if err != nil {
		return step{}, err
	}
	best, ratio := -1, math.Inf(1)
	for i, b := range blocks {
		if best >= 0 && less(ratio, b.cost/b.bound) {
			break // sorted by this ratio: no later one can be better
		}
		good, err := s.good(n.v, b.need.repairs)
		if err != nil {
			return step{}, err
		}
		if good <= negligible {
			continue
		}
		r := b.cost / good
		if best < 0 || less(r, ratio) || !less(ratio, r) && b.order < blocks[best].order {
			best, ratio = i, r
		}
	}
	if best < 0 {
		if best, err = s.necessary(n, usable, blocks); err != nil || best < 0 {
			return step{kind: Stop}, err
		}
	}
	return s.begin(n, blocks[best]), nil
}

// necessary picks a block where no single one can make the machine good but all together can: by cost for the probability that it cannot be
// done without. It returns -1 if nothing helps.
func (s *solver) necessary(n *node, usable pairs, blocks []block) (int, error) {
	all, err := s.good(n.v, usable.repairs)
	if err != nil || all <= negligible {
		return -1, err
	}
	best, ratio := -1, math.Inf(1)
	for i, b := range blocks {
		rest, err := s.good(n.v, usable.repairs&^b.need.repairs)
		if err != nil {
			return -1, err
		}
		// Where every one can be replaced by others, the cheapest is as good as any.
		r := b.cost / max(all-rest, negligible)
		if best < 0 || less(r, ratio) || !less(ratio, r) && b.order < blocks[best].order {
			best, ratio = i, r
		}
	}
	return best, nil
}

// blocks lists what the plain plan chooses from, by cost for the bound on the probability of success: every repair with what has to be
// done before it, and for every cluster that is not open the first two, three, … of what is inside.
func (s *solver) blocks(n *node, usable pairs) ([]block, error) {
	var out []block
	for m := usable.repairs; m != 0; m &= m - 1 {
		i := bits.TrailingZeros64(m)
		if err := s.addBlock(&out, n, pairs{repairs: 1 << i}.or(s.p.repairs[i].after)); err != nil {
			return nil, err
		}
	}
	for k := range s.p.clusters {
		if n.open>>k&1 == 1 {
			continue
		}
		inside, err := s.inside(n, usable, k)
		if err != nil {
			return nil, err
		}
		var need pairs
		for i, r := range inside {
			need.repairs |= 1 << r
			if i > 0 {
				if err := s.addBlock(&out, n, need); err != nil {
					return nil, err
				}
			}
		}
	}
	out = s.worthwhile(out, n, usable)
	slices.SortStableFunc(out, func(a, b block) int { return cmp.Compare(a.cost/a.bound, b.cost/b.bound) })
	return out, nil
}

// worthwhile leaves out what cannot pay when the job can be handed over for L. Let S bound the probability that anything cures the machine.
// Whenever a block is begun the machine still misbehaves, which has probability 1-S at least, so it costs c(1-S) at least; it saves handing
// over with the probability at most that it cures anything.
func (s *solver) worthwhile(blocks []block, n *node, usable pairs) []block {
	if !s.hasLast() {
		return blocks
	}
	sum := 0.0
	for m := usable.repairs; m != 0; m &= m - 1 {
		if c := n.v.chances[bits.TrailingZeros64(m)]; c > negligible {
			sum += c
		}
	}
	return slices.DeleteFunc(blocks, func(b block) bool { return b.cost*(1-min(sum, 1)) >= b.bound*s.p.lastCost })
}

func (s *solver) addBlock(out *[]block, n *node, need pairs) error {
	b := block{need: need.minus(n.done), order: len(*out)}
	var needs uint64
	for t := range s.p.in(b.need) {
		b.cost += t.cost
		needs |= t.needs
		if t.kind == Repair {
			c, err := s.chance(n.v, t.at)
			if err != nil {
				return err
			}
			b.bound += c
		}
	}
	b.cost += s.p.opening(needs, n.open)
	b.bound = min(b.bound, 1)
	if b.bound > negligible {
		*out = append(*out, b)
	}
	return nil
}

// inside lists the repairs inside a cluster that may help and wait for nothing else, by cost for their chance.
func (s *solver) inside(n *node, usable pairs, cluster int) ([]int, error) {
	var in []int
	var ratio [maxActions]float64
	for m := usable.repairs; m != 0; m &= m - 1 {
		i := bits.TrailingZeros64(m)
		r := &s.p.repairs[i]
		if r.needs>>cluster&1 == 0 || !r.ready(n.done) {
			continue
		}
		c, err := s.chance(n.v, i)
		if err != nil {
			return nil, err
		}
		if c > negligible {
			in = append(in, i)
			ratio[i] = r.cost / c
		}
	}
	slices.SortStableFunc(in, func(a, b int) int { return cmp.Compare(ratio[a], ratio[b]) })
	return in, nil
}

// begin returns the first step of a block: what has to be done first, or all of it where the machine is tried once only, or the
// repair of the block with the least cost for its chance.
func (s *solver) begin(n *node, b block) step {
	if b.need.tests == 0 && s.p.batch(b.need.repairs) {
		return step{kind: Repair, repairs: b.need.repairs}
	}
	first, ratio := step{kind: Stop}, math.Inf(1)
	for t := range s.p.in(b.need) {
		if !t.ready(n.done) {
			continue
		}
		if t.kind != Repair {
			return step{kind: t.kind, test: t.at}
		}
		r := (t.cost + s.p.opening(t.needs, n.open)) / max(n.v.chances[t.at], negligible)
		if first.kind == Stop || less(r, ratio) {
			first, ratio = step{kind: Repair, repairs: 1 << t.at}, r
		}
	}
	return first
}
