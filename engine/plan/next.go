package plan

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// DefaultBudget is the number of questions put to a belief that answers quickly.
const DefaultBudget = 5_000_000

const (
	defaultTests   = 6
	defaultRepairs = 8
)

// budgeter is a belief that knows how many questions about it are affordable.
type budgeter interface{ Budget() int }

// Next plans the job and says what to do first. It does not change its arguments; the same arguments give the same result, and the order
// in which the table lists actions makes no difference. Errors are those of the table and of the belief.
func Next(b Belief, t *Table, o Options) (*Result, error) {
	p, err := compile(t)
	if err != nil {
		return nil, err
	}
	o = o.withDefaults(b)
	a := &asker{p: p, views: map[string]*view{}, limit: math.MaxInt}
	pl := &planner{o: o, s: newSolver(a), r: &Result{}}
	pl.root = pl.s.node(place{v: a.view(b), open: p.open})
	if err := pl.plan(); err != nil {
		return nil, err
	}
	return pl.r, nil
}

func (o Options) withDefaults(b Belief) Options {
	if k, ok := b.(budgeter); ok && o.Budget == 0 {
		o.Budget = k.Budget()
	}
	o.Budget = cmp.Or(o.Budget, DefaultBudget)
	o.Tests = cmp.Or(o.Tests, defaultTests)
	o.Repairs = cmp.Or(o.Repairs, defaultRepairs)
	return o
}

type planner struct {
	o     Options
	s     *solver
	root  *node
	r     *Result
	steps int // that were looked ahead
}

func (pl *planner) plan() error {
	left, err := pl.s.good(pl.root.v, pl.s.usable(pairs{}).repairs)
	if err != nil {
		return err
	}
	pl.r.Left = max(0, 1-left)
	plain, err := pl.s.greedy(pl.root)
	if err != nil {
		return err
	}
	pl.r.Greedy = plain.cost
	if pl.r.Bound, err = pl.s.bound(pl.root); err != nil {
		return err
	}
	first, err := pl.lookAhead()
	if err != nil {
		return err
	}
	pl.publish(first)
	if err := pl.without(first[0].step); err != nil {
		return err
	}
	if pl.o.Tree > 0 {
		pl.r.Tree, err = pl.tree(pl.root, first[0], pl.steps, 1, 0)
	}
	pl.r.Questions = pl.s.asked
	return err
}

// lookAhead weighs the first steps, cheapest first: to the end if that is affordable, else as far as the budget goes.
func (pl *planner) lookAhead() ([]choice, error) {
	if pl.o.Steps == 0 {
		states, err := pl.states()
		if err != nil {
			return nil, err
		}
		if states <= float64(pl.o.Budget) {
			first, err := pl.affordable(toTheEnd)
			if err == nil {
				pl.steps = toTheEnd
				pl.r.Exact = !pl.s.partial
				return first, nil
			}
			if !errors.Is(err, errBudget{}) {
				return nil, err
			}
		}
	}
	return pl.deepen()
}

// states is an upper bound on the number of questions that a plan to the end takes: every test done with each outcome or not, every
// repair done or not, and all actions weighed in each state.
func (pl *planner) states() (float64, error) {
	p := pl.s.p
	n := math.Exp2(float64(len(p.repairs))) * float64(len(p.repairs)+len(p.tests))
	for t := range p.tests {
		ps, err := pl.s.outcomes(pl.root.v, t)
		if err != nil {
			return 0, err
		}
		n *= float64(1 + len(ps))
	}
	return n, nil
}

// affordable weighs the first steps within the budget.
func (pl *planner) affordable(steps int) ([]choice, error) {
	pl.s.limit = pl.s.asked + pl.o.Budget
	first, err := pl.weighAll(steps)
	pl.s.limit = math.MaxInt
	return first, err
}

// deepen looks one step ahead, then two, and so on as long as the budget lasts and it may lead to something.
func (pl *planner) deepen() ([]choice, error) {
	first, err := pl.weighAll(1)
	if err != nil {
		return nil, err
	}
	all := pl.s.kept
	for pl.steps = 1; pl.steps != pl.o.Steps && anyCut(first); pl.steps++ {
		if pl.steps == 1 {
			pl.keep(first)
		}
		deeper, err := pl.affordable(pl.steps + 1)
		if errors.Is(err, errBudget{}) {
			break
		}
		if err != nil {
			return nil, err
		}
		first = deeper
	}
	if pl.steps == 1 {
		pl.s.kept, pl.r.LeftOut = all, nil
	}
	pl.r.Exact = !anyCut(first) && !pl.s.partial && len(pl.r.LeftOut) == 0
	return first, nil
}

func anyCut(first []choice) bool {
	return slices.ContainsFunc(first, func(c choice) bool { return c.cut })
}

// weighAll weighs every first step that may be of use, cheapest first.
func (pl *planner) weighAll(steps int) ([]choice, error) {
	over, err := pl.s.over(pl.root)
	if err != nil {
		return nil, err
	}
	if over {
		c, err := pl.s.best(pl.root, steps)
		return []choice{c}, err
	}
	moves, err := pl.s.moves(pl.root, pairs{math.MaxUint64, math.MaxUint64})
	if err != nil {
		return nil, err
	}
	if plain := pl.root.plain; plain != nil && !slices.Contains(moves, plain.step) {
		moves = append(moves, plain.step) // a batch too large to be among them
	}
	var first []choice
	for _, st := range moves {
		c, err := pl.s.weigh(pl.root, st, steps, math.Inf(1))
		if err != nil {
			return nil, err
		}
		at := len(first)
		for at > 0 && less(c.cost, first[at-1].cost) {
			at--
		}
		first = slices.Insert(first, at, c)
	}
	return first, nil
}

// keep chooses what is considered after the first step: the best of each kind so far, and what has to be done before them.
func (pl *planner) keep(first []choice) {
	var kept pairs
	tests, repairs := 0, 0
	p := pl.s.p
	for _, c := range first {
		switch {
		case c.step.kind == Repair && repairs < pl.o.Repairs && c.step.repairs&(c.step.repairs-1) == 0:
			repairs++
			kept.repairs |= c.step.repairs
		case (c.step.kind == Check || c.step.kind == Change) && tests < pl.o.Tests:
			tests++
			kept.tests |= 1 << c.step.test
		}
	}
	for t := range p.all() { // what only waits for others was not weighed
		if !t.ready(pairs{}) {
			if t.kind == Repair && repairs < pl.o.Repairs {
				repairs++
				kept = kept.or(t.set())
			}
			if t.kind != Repair && tests < pl.o.Tests {
				tests++
				kept = kept.or(t.set())
			}
		}
	}
	for t := range p.in(kept) {
		kept = kept.or(t.after)
	}
	pl.s.kept = kept
	for t := range p.all() {
		if !kept.meets(t.set()) {
			pl.r.LeftOut = append(pl.r.LeftOut, t.id)
		}
	}
}

func (pl *planner) publish(first []choice) {
	for _, c := range first {
		pl.r.Choices = append(pl.r.Choices, Choice{pl.s.p.export(c.step, pl.root.open), c.cost})
	}
	pl.r.Next = pl.r.Choices[0]
	if pl.steps != toTheEnd && !pl.r.Exact {
		pl.r.Steps = pl.steps
	}
}

// without finds out what the job is expected to cost if a step is not available at all.
func (pl *planner) without(st step) error {
	s := newSolver(pl.s.asker)
	s.kept = pl.s.kept
	switch st.kind {
	case Check, Change:
		s.banned.tests = 1 << st.test
	case Repair:
		s.banned.repairs = st.repairs
	case HandOver:
		s.noLast = true
	}
	root := s.node(pl.root.place)
	good, err := s.good(root.v, s.usable(pairs{}).repairs)
	if err != nil {
		return err
	}
	if st.kind == Stop {
		return nil
	}
	before := 1 - pl.r.Left
	if st.kind == HandOver {
		before = 1 // handing over ends every job
	}
	if !s.hasLast() && before-good > negligible {
		pl.r.Without = math.Inf(1)
		return nil
	}
	s.limit = s.asked + pl.o.Budget
	c, err := s.best(root, pl.steps)
	s.limit = math.MaxInt
	if errors.Is(err, errBudget{}) {
		c, err = s.best(root, 1)
	}
	pl.r.Without = c.cost
	return err
}

// tree writes down the plan that begins with a choice; steps is how far ahead it was made to look, level how deep in the tree it is.
func (pl *planner) tree(n *node, c choice, steps int, reach float64, level int) (*Node, error) {
	out := &Node{Reach: reach, Belief: n.v.b, Step: pl.s.p.export(c.step, n.open), Expected: c.cost}
	bs, err := pl.s.branches(n, c.step)
	if err != nil {
		return nil, err
	}
	if steps > 0 && !pl.o.Replan {
		steps--
	}
	deeper := level+1 < pl.o.Tree
	sum := out.Step.Cost
	for _, b := range bs {
		br := Branch{Outcome: b.outcome, P: b.p, Ends: b.to == nil}
		if b.to != nil && deeper {
			next, err := pl.s.best(b.to, steps)
			if err != nil {
				return nil, err
			}
			if br.Node, err = pl.tree(b.to, next, steps, reach*b.p, level+1); err != nil {
				return nil, err
			}
			sum += b.p * br.Node.Expected
		}
		out.Branches = append(out.Branches, br)
	}
	if deeper {
		out.Expected = sum
	}
	return out, nil
}
