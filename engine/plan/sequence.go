package plan

import (
	"fmt"
	"math"
)

// Sequence returns the expected cost of a fixed order of repairs, numbers of Table.Repairs: the machine is tried after each, and handed over
// at the end if it still misbehaves and there is a last resort. It is what an order given by other rules costs, to compare with.
func Sequence(b Belief, t *Table, order []int) (float64, error) {
	p, err := compile(t)
	if err != nil {
		return 0, err
	}
	at := map[int]*task{} // by number
	for i := range p.repairs {
		at[p.repairs[i].number] = &p.repairs[i]
	}
	s := newSolver(&asker{p: p, views: map[string]*view{}, limit: math.MaxInt})
	n := s.node(place{v: s.view(b), open: p.open})
	sum, reach := 0.0, 1.0
	for _, number := range order {
		r := at[number]
		if r == nil || n.done.meets(r.set()) || !r.ready(n.done) {
			return 0, fmt.Errorf("plan: sequence %v: repair %d does not exist, stands twice, or comes before what it has to come after", order, number)
		}
		st := step{kind: Repair, repairs: r.set().repairs}
		cost, _ := p.price(st, n.open)
		sum += reach * cost
		bs, err := s.branches(n, st)
		if err != nil {
			return 0, err
		}
		n = nil
		for _, b := range bs {
			if b.to != nil {
				n = b.to
				reach *= b.p
			}
		}
		if n == nil {
			return sum, nil // the machine is good for certain
		}
	}
	if p.last >= 0 {
		sum += reach * p.lastCost
	}
	return sum, nil
}
