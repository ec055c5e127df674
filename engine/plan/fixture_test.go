package plan_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"os"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine/plan"
)

// tolerance is the relative difference allowed between a result in float64 and an exact one.
const tolerance = 1e-12

func near(a, b float64) bool { return math.Abs(a-b) <= tolerance*max(1, math.Abs(b)) }

// fixture is a case of testdata/troubleshooting.json; the file says where its numbers are from.
type fixture struct {
	Name, Model, Note string
	Cost, P           []string
	RepairCost        []string `json:"repair_cost"`
	Fixes             [][]int
	Tests             []struct {
		Cost     string
		Positive []string `json:"p_positive_given_cause"`
	}
	CallService string `json:"call_service_cost"`
	Inside      []int
	K           string

	OrderSingle []int   `json:"optimal_order_by_c_over_p"`
	OrderMany   []int   `json:"optimal_order_by_c(1-p)/p"`
	Order       []int   `json:"optimal_order"`
	ThenCall    []int   `json:"optimal_actions_then_call"`
	Expected    string  `json:"expected_cost"`
	Optimal     string  `json:"optimal_expected_cost"`
	ByCost      float64 `json:"order_by_cost_cost"`
	ByP         float64 `json:"order_by_probability_cost"`
	Mean        float64 `json:"mean_over_all_orders"`
	Worst       float64
	SingleOrder []int     `json:"single_fault_rule_order"`
	SingleCost  float64   `json:"single_fault_rule_cost"`
	GreedyOrder []int     `json:"greedy_updating_p_over_c_order"`
	GreedyCost  string    `json:"greedy_expected_cost"`
	First       string    `json:"first_step"`
	Policy      *policy   `json:"policy_first_levels"`
	RepairsOnly float64   `json:"repairs_only_c_over_p"`
	OneTest     []float64 `json:"one_test_then_c_over_p"`
}

// policy is a node of the policy written down in the fixture.
type policy struct {
	Reach    float64 `json:"p_reach"`
	Do       string
	Expected float64 `json:"expected_cost_from_here"`
	Positive *policy `json:"if_positive"`
	Negative *policy `json:"if_negative"`
	NotFixed *policy `json:"if_not_fixed"`
}

func fixtures(t testing.TB) []*fixture {
	t.Helper()
	data, err := os.ReadFile("testdata/troubleshooting.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []*fixture }
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) != 14 {
		t.Fatalf("%d cases in the fixture file, want 14", len(file.Cases))
	}
	return file.Cases
}

func rat(t testing.TB, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("%q is not a fraction", s)
	}
	return r
}

func floats(t testing.TB, list []string) []float64 {
	t.Helper()
	out := make([]float64, len(list))
	for i, s := range list {
		out[i], _ = rat(t, s).Float64()
	}
	return out
}

func (f *fixture) many() bool { return strings.HasPrefix(f.Name, "multi_") }

func (f *fixture) costs() []string {
	if f.RepairCost != nil {
		return f.RepairCost
	}
	return f.Cost
}

// cures lists the faults that a repair of the fixture cures.
func (f *fixture) cures(repair int) []int {
	if f.Fixes != nil {
		return f.Fixes[repair]
	}
	return []int{repair}
}

// build makes the fixture a table and a belief. Ids keep the order of numbers.
func (f *fixture) build(t testing.TB) (*plan.Tabular, *plan.Table) {
	t.Helper()
	p := floats(t, f.P)
	m := plan.TableModel{Worlds: plan.SingleFaults(p)}
	if f.many() {
		m.Worlds = plan.IndependentFaults(p)
	}
	table := &plan.Table{}
	for i, c := range floats(t, f.costs()) {
		var cures []plan.Cure
		for _, fault := range f.cures(i) {
			cures = append(cures, plan.Cure{Fault: fault, Chance: 1})
		}
		m.Repairs = append(m.Repairs, cures)
		a := plan.Action{ID: fmt.Sprintf("repair %d", i), Cost: plan.Cost{Minutes: c}}
		if slices.Contains(f.Inside, i) {
			a.Inside = "unit"
		}
		table.Repairs = append(table.Repairs, a)
	}
	for i, test := range f.Tests {
		row := floats(t, test.Positive)
		m.Tests = append(m.Tests, func(faults uint64) []float64 {
			for fault, x := range row {
				if faults == 1<<fault {
					return []float64{1 - x, x}
				}
			}
			return []float64{1, 0}
		})
		c, _ := rat(t, test.Cost).Float64()
		table.Tests = append(table.Tests, plan.Action{ID: fmt.Sprintf("test %d", i), Cost: plan.Cost{Minutes: c}})
	}
	if f.K != "" {
		k, _ := rat(t, f.K).Float64()
		table.Clusters = []plan.Cluster{{ID: "unit", Cost: plan.Cost{Minutes: k}}}
	}
	if f.CallService != "" {
		c, _ := rat(t, f.CallService).Float64()
		table.Last = []plan.Action{{ID: "call", Cost: plan.Cost{Minutes: c}}}
	}
	b, err := plan.NewTabular(m)
	if err != nil {
		t.Fatal(err)
	}
	return b, table
}

// exactly computes the expected cost of a plan in fractions, from the numbers of the fixture alone: of the plan only the steps are used.
func (f *fixture) exactly(t testing.TB, n *plan.Node) *big.Rat {
	t.Helper()
	worlds := map[uint64]*big.Rat{}
	for set := uint64(1); set < 1<<len(f.P); set++ {
		w := big.NewRat(1, 1)
		for i, s := range f.P {
			p := rat(t, s)
			switch {
			case set>>i&1 == 1:
				w.Mul(w, p)
			case f.many():
				w.Mul(w, p.Sub(big.NewRat(1, 1), p))
			}
		}
		if f.many() || set&(set-1) == 0 {
			worlds[set] = w
		}
	}
	all := total(worlds)
	return new(big.Rat).Quo(f.weighed(t, n, worlds), all)
}

func total(worlds map[uint64]*big.Rat) *big.Rat {
	sum := new(big.Rat)
	for _, w := range worlds {
		sum.Add(sum, w)
	}
	return sum
}

// weighed is the expected cost times the weight of the worlds.
func (f *fixture) weighed(t testing.TB, n *plan.Node, worlds map[uint64]*big.Rat) *big.Rat {
	t.Helper()
	z := total(worlds)
	if z.Sign() == 0 {
		return z
	}
	if n == nil {
		t.Fatalf("the plan has no step for worlds of weight %v", z)
	}
	cost := new(big.Rat)
	if len(n.Step.Opens) > 0 {
		cost.Add(cost, rat(t, f.K))
	}
	sum := new(big.Rat)
	switch n.Step.Kind {
	case plan.Repair:
		var cured uint64
		for _, r := range n.Step.Numbers {
			cost.Add(cost, rat(t, f.costs()[r]))
			for _, fault := range f.cures(r) {
				cured |= 1 << fault
			}
		}
		next := map[uint64]*big.Rat{}
		for set, w := range worlds {
			if rest := set &^ cured; rest != 0 {
				if next[rest] == nil {
					next[rest] = new(big.Rat)
				}
				next[rest].Add(next[rest], w)
			}
		}
		sum = f.weighed(t, after(n, 0), next)
	case plan.Check:
		test := f.Tests[n.Step.Numbers[0]]
		cost.Add(cost, rat(t, test.Cost))
		for o := range 2 {
			next := map[uint64]*big.Rat{}
			for set, w := range worlds {
				x := rat(t, test.Positive[fault(set)])
				if o == 0 {
					x.Sub(big.NewRat(1, 1), x)
				}
				next[set] = x.Mul(x, w)
			}
			sum.Add(sum, f.weighed(t, after(n, o), next))
		}
	case plan.HandOver:
		cost.Add(cost, rat(t, f.CallService))
	default:
		t.Fatalf("the plan has the step %v for worlds of weight %v", n.Step.Kind, z)
	}
	return sum.Add(sum, cost.Mul(cost, z))
}

func after(n *plan.Node, outcome int) *plan.Node {
	for _, b := range n.Branches {
		if b.Outcome == outcome {
			return b.Node
		}
	}
	return nil
}

// fault is the number of the only fault of a set.
func fault(set uint64) int {
	n := 0
	for ; set > 1; set >>= 1 {
		n++
	}
	return n
}

// repairs lists the repairs of a plan without tests, in order.
func repairs(n *plan.Node) []int {
	var out []int
	for ; n != nil && n.Step.Kind == plan.Repair; n = after(n, 0) {
		out = append(out, n.Step.Numbers...)
	}
	return out
}

func next(t testing.TB, b plan.Belief, table *plan.Table, o plan.Options) *plan.Result {
	t.Helper()
	r, err := plan.Next(b, table, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestFixtures checks that the expected cost of every case comes out exactly, as a fraction computed along the plan, and within
// rounding in the plan itself.
func TestFixtures(t *testing.T) {
	for _, f := range fixtures(t) {
		t.Run(f.Name, func(t *testing.T) {
			b, table := f.build(t)
			r := next(t, b, table, plan.Options{Tree: 20})
			want := f.Expected + f.Optimal // only one of them is given
			if got := f.exactly(t, r.Tree); got.Cmp(rat(t, want)) != 0 {
				t.Errorf("the plan costs %v; want %v", got, want)
			}
			if w, _ := rat(t, want).Float64(); !near(r.Next.Expected, w) || !near(r.Tree.Expected, w) {
				t.Errorf("Next().Next.Expected = %v, of the tree %v; want %v", r.Next.Expected, r.Tree.Expected, w)
			}
			if !r.Exact || r.Gap() != 0 {
				t.Errorf("Next() is exact: %v, gap %v; want exact", r.Exact, r.Gap())
			}
			f.checkOrders(t, r)
			f.checkFigures(t, b, table, r)
		})
	}
}

func (f *fixture) checkOrders(t *testing.T, r *plan.Result) {
	t.Helper()
	for _, want := range [][]int{f.OrderSingle, f.OrderMany, f.Order, f.ThenCall} {
		if got := repairs(r.Tree); want != nil && !slices.Equal(got, want) {
			t.Errorf("repairs in the order %v; want %v", got, want)
		}
	}
	if f.First != "" && r.Next.IDs[0] != f.First {
		t.Errorf("Next().Next = %v; want %s", r.Next.IDs, f.First)
	}
	if f.Policy != nil {
		f.Policy.check(t, r.Tree, "first")
	}
}

// check compares a plan with the policy of the fixture, node by node.
func (p *policy) check(t *testing.T, n *plan.Node, at string) {
	t.Helper()
	if n == nil {
		t.Errorf("%s: the plan ends; want %s", at, p.Do)
		return
	}
	if n.Step.IDs[0] != p.Do || !near(n.Reach, p.Reach) || !near(n.Expected, p.Expected) {
		t.Errorf("%s: %v, reached with %v, expected %v; want %s, %v, %v",
			at, n.Step.IDs, n.Reach, n.Expected, p.Do, p.Reach, p.Expected)
	}
	for _, c := range []struct {
		outcome int
		p       *policy
		word    string
	}{{1, p.Positive, ", positive"}, {0, p.Negative, ", negative"}, {0, p.NotFixed, ", not fixed"}} {
		if c.p != nil {
			c.p.check(t, after(n, c.outcome), at+c.word)
		}
	}
}

// checkFigures checks what the fixture says about other plans.
func (f *fixture) checkFigures(t *testing.T, b plan.Belief, table *plan.Table, r *plan.Result) {
	t.Helper()
	c, p := floats(t, f.costs()), floats(t, f.P)
	sequence := func(what string, order []int, want float64) {
		t.Helper()
		if got, err := plan.Sequence(b, table, order); err != nil || !near(got, want) {
			t.Errorf("%s: Sequence(%v) = %v, %v; want %v", what, order, got, err, want)
		}
	}
	if f.ByCost != 0 {
		sequence("by cost", sorted(c, func(i int) float64 { return c[i] }), f.ByCost)
		sequence("by probability", sorted(c, func(i int) float64 { return -p[i] }), f.ByP)
		f.checkAllOrders(t, b, table)
	}
	if f.SingleOrder != nil {
		order := sorted(c, func(i int) float64 { return plan.SingleFault(c[i], p[i]) })
		if !slices.Equal(order, f.SingleOrder) {
			t.Errorf("order by c/p = %v; want %v", order, f.SingleOrder)
		}
		sequence("by c/p", order, f.SingleCost)
	}
	if f.OrderMany != nil {
		if order := sorted(c, func(i int) float64 { return plan.ManyFaults(c[i], p[i]) }); !slices.Equal(order, f.OrderMany) {
			t.Errorf("order by c(1-p)/p = %v; want %v", order, f.OrderMany)
		}
	}
	if f.GreedyCost != "" {
		want, _ := rat(t, f.GreedyCost).Float64()
		sequence("greedy", f.GreedyOrder, want)
		if !near(r.Greedy, want) {
			t.Errorf("Next().Greedy = %v; want %v", r.Greedy, want)
		}
	}
	if f.RepairsOnly != 0 && !near(r.Greedy, f.RepairsOnly) {
		t.Errorf("Next().Greedy = %v; want %v", r.Greedy, f.RepairsOnly)
	}
	one := next(t, b, table, plan.Options{Steps: 1})
	for i, want := range f.OneTest {
		if got := costOf(one, fmt.Sprintf("test %d", i)); !near(got, want) {
			t.Errorf("test %d, then the plain plan: %v; want %v", i, got, want)
		}
	}
}

func (f *fixture) checkAllOrders(t *testing.T, b plan.Belief, table *plan.Table) {
	t.Helper()
	sum, worst, n := 0.0, 0.0, 0
	permutations(len(f.P), func(order []int) {
		x, err := plan.Sequence(b, table, order)
		if err != nil {
			t.Fatal(err)
		}
		sum += x
		worst = max(worst, x)
		n++
	})
	if !near(sum/float64(n), f.Mean) || !near(worst, f.Worst) {
		t.Errorf("over all orders: mean %v, worst %v; want %v, %v", sum/float64(n), worst, f.Mean, f.Worst)
	}
}

func costOf(r *plan.Result, id string) float64 {
	for _, c := range r.Choices {
		if len(c.IDs) == 1 && c.IDs[0] == id {
			return c.Expected
		}
	}
	return math.NaN()
}

// sorted lists 0, 1, … by a key, equals in their order.
func sorted(list []float64, key func(int) float64) []int {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case key(a) < key(b):
			return -1
		case key(a) > key(b):
			return 1
		}
		return 0
	})
	return order
}

// permutations calls f with every order of 0 … n-1; f must not keep it.
func permutations(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var rec func(k int)
	rec = func(k int) {
		if k == n {
			f(order)
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			rec(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	rec(0)
}
