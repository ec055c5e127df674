package plan

import "math"

// negligible is the probability up to which a branch is not followed: rounding leaves such traces where there should be zero.
const negligible = 1e-12

// tie is the relative difference up to which two costs count as equal, so that rounding does not decide between them.
const tie = 1e-12

// less compares costs; it is false for a tie.
func less(a, b float64) bool { return a < b-tie*math.Abs(b) || math.IsInf(b, 1) && !math.IsInf(a, 1) }

// asker puts questions to beliefs, each one only once, and counts them.
type asker struct {
	p     *problem
	views map[string]*view
	asked int
	limit int
}

// view is a belief with what it was asked already. Sets and positions are those of the problem. Most beliefs are asked little: the maps are
// made when they are needed.
type view struct {
	b       Belief
	chances []float64 // NaN where not asked yet
	goods   map[uint64]float64
	out     [][]float64
	kids    map[kid]*view
}

// kid names what leads from one belief to the next: a test with its outcome, or a set of repairs.
type kid struct {
	test, outcome int // -1 for repairs
	repairs       uint64
}

func (a *asker) view(b Belief) *view {
	key := b.Key()
	v := a.views[key]
	if v == nil {
		v = &view{b: b, chances: make([]float64, len(a.p.repairs)), out: make([][]float64, len(a.p.tests))}
		for i := range v.chances {
			v.chances[i] = math.NaN()
		}
		a.views[key] = v
	}
	return v
}

// errBudget is how a search ends that has asked too much.
type errBudget struct{}

func (errBudget) Error() string { return "plan: the budget is used up" }

func (a *asker) count() error {
	if a.asked >= a.limit {
		return errBudget{}
	}
	a.asked++
	return nil
}

func (a *asker) chance(v *view, repair int) (float64, error) {
	if !math.IsNaN(v.chances[repair]) {
		return v.chances[repair], nil
	}
	if err := a.count(); err != nil {
		return 0, err
	}
	x, err := v.b.Chance(a.p.repairs[repair].number)
	if err != nil {
		return 0, err
	}
	v.chances[repair] = x
	return x, nil
}

func (a *asker) good(v *view, repairs uint64) (float64, error) {
	if x, ok := v.goods[repairs]; ok || repairs == 0 {
		return x, nil
	}
	if err := a.count(); err != nil {
		return 0, err
	}
	x, err := v.b.Good(a.p.numbers(repairs))
	if err != nil {
		return 0, err
	}
	if v.goods == nil {
		v.goods = map[uint64]float64{}
	}
	v.goods[repairs] = x
	return x, nil
}

func (a *asker) outcomes(v *view, test int) ([]float64, error) {
	if v.out[test] != nil {
		return v.out[test], nil
	}
	if err := a.count(); err != nil {
		return nil, err
	}
	x, err := v.b.Outcomes(a.p.tests[test].number)
	if err != nil {
		return nil, err
	}
	v.out[test] = x
	return x, nil
}

func (a *asker) observe(v *view, test, outcome int) (*view, error) {
	k := kid{test: test, outcome: outcome}
	if next := v.kids[k]; next != nil {
		return next, nil
	}
	b, err := v.b.Observe(a.p.tests[test].number, outcome)
	if err != nil {
		return nil, err
	}
	return a.leads(v, k, b), nil
}

func (a *asker) fail(v *view, repairs uint64) (*view, error) {
	k := kid{-1, -1, repairs}
	if next := v.kids[k]; next != nil {
		return next, nil
	}
	b, err := v.b.Fail(a.p.numbers(repairs))
	if err != nil {
		return nil, err
	}
	return a.leads(v, k, b), nil
}

// leads notes the belief that something leads to.
func (a *asker) leads(v *view, k kid, b Belief) *view {
	if v.kids == nil {
		v.kids = map[kid]*view{}
	}
	next := a.view(b)
	v.kids[k] = next
	return next
}

// informs tells whether a test can come out in more than one way.
func (a *asker) informs(v *view, test int) (bool, error) {
	p, err := a.outcomes(v, test)
	ways := 0
	for _, x := range p {
		if x > negligible {
			ways++
		}
	}
	return ways > 1, err
}
