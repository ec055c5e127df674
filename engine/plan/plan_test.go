package plan_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine/plan"
)

func tabular(t testing.TB, m plan.TableModel) *plan.Tabular {
	t.Helper()
	b, err := plan.NewTabular(m)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func action(id string, minutes float64, after ...string) plan.Action {
	return plan.Action{ID: id, Cost: plan.Cost{Minutes: minutes}, After: after}
}

func inside(a plan.Action, cluster string) plan.Action {
	a.Inside = cluster
	return a
}

// cures lists repairs that each cure the faults of a set for certain.
func cures(sets ...[]int) [][]plan.Cure {
	var out [][]plan.Cure
	for _, set := range sets {
		var cs []plan.Cure
		for _, f := range set {
			cs = append(cs, plan.Cure{Fault: f, Chance: 1})
		}
		out = append(out, cs)
	}
	return out
}

// TestTwoFaultsForCertain: when both of two faults are there no single repair makes the machine good, but the plain plan goes on.
func TestTwoFaultsForCertain(t *testing.T) {
	b := tabular(t, plan.TableModel{Worlds: []plan.World{{Faults: 0b11, P: 1}}, Repairs: cures([]int{0}, []int{1}, []int{2})})
	table := &plan.Table{Repairs: []plan.Action{action("first", 10), action("second", 20), action("useless", 1)}}
	r := next(t, b, table, plan.Options{Steps: 1, Tree: 5})
	if r.Greedy != 30 || r.Next.Expected != 30 || r.Bound != 30 || r.Left != 0 {
		t.Errorf("Next() = plain %v, expected %v, bound %v, left %v; want 30, 30, 30, 0", r.Greedy, r.Next.Expected, r.Bound, r.Left)
	}
	if got := repairs(r.Tree); len(got) != 2 || slices.Contains(got, 2) {
		t.Errorf("repairs %v; want 0 and 1", got)
	}
}

// TestReplaceable: where each of two repairs can be replaced by another one none is necessary, and the plain plan still goes on.
func TestReplaceable(t *testing.T) {
	b := tabular(t, plan.TableModel{Worlds: []plan.World{{Faults: 0b11, P: 1}}, Repairs: cures([]int{0}, []int{1}, []int{0}, []int{1})})
	table := &plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 20), action("c", 11), action("d", 21)}}
	r := next(t, b, table, plan.Options{Tree: 5})
	if r.Greedy != 30 || r.Next.Expected != 30 {
		t.Errorf("Next() = plain %v, expected %v; want 30, 30", r.Greedy, r.Next.Expected)
	}
}

func TestBound(t *testing.T) {
	three := plan.SingleFaults([]float64{0.2, 0.3, 0.5})
	for _, c := range []struct {
		name   string
		worlds []plan.World
		cures  [][]plan.Cure
		table  plan.Table
		want   float64
	}{
		{"one fault: sum of c p", three, cures([]int{0}, []int{1}, []int{2}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 20), action("c", 40)}}, 0.2*10 + 0.3*20 + 0.5*40},
		{"what comes before is paid for", three, cures([]int{0}, []int{1}, []int{2}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 20, "a"), action("c", 40)}}, 0.5*10 + 0.3*20 + 0.5*40},
		{"a cluster is paid for once", three, cures([]int{0}, []int{1}, []int{2}),
			plan.Table{Repairs: []plan.Action{action("a", 10), inside(action("b", 20), "k"), inside(action("c", 40), "k")},
				Clusters: []plan.Cluster{{ID: "k", Cost: plan.Cost{Minutes: 100}}}}, 0.2*10 + 0.3*20 + 0.5*40 + 0.8*100},
		{"an open cluster costs nothing", three, cures([]int{0}, []int{1}, []int{2}),
			plan.Table{Repairs: []plan.Action{action("a", 10), inside(action("b", 20), "k"), inside(action("c", 40), "k")},
				Clusters: []plan.Cluster{{ID: "k", Cost: plan.Cost{Minutes: 100}, Open: true}}}, 0.2*10 + 0.3*20 + 0.5*40},
		{"the last resort for what nothing cures", three, cures([]int{0}, []int{1}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 20)}, Last: []plan.Action{action("last", 60)}},
			0.2*10 + 0.3*20 + 0.5*60},
		{"dear repairs are not used", three, cures([]int{0}, []int{1}, []int{2}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 20), action("c", 900)}, Last: []plan.Action{action("last", 30)}},
			0.2*10 + 0.3*20 + 0.5*30},
		{"overlapping: the cheapest that can do it", []plan.World{{Faults: 1, P: 1}}, cures([]int{0}, []int{0}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 25)}}, 10},
		{"overlapping, and the last resort for the rest", plan.SingleFaults([]float64{0.5, 0.5}), cures([]int{0}, []int{0}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 25)}, Last: []plan.Action{action("last", 60)}}, 0.5*10 + 0.5*60},
		{"several faults: all repairs", []plan.World{{Faults: 0b111, P: 1}}, cures([]int{0}, []int{1}, []int{2}),
			plan.Table{Repairs: []plan.Action{action("a", 10), action("b", 20), action("c", 40)}}, 70},
	} {
		b := tabular(t, plan.TableModel{Worlds: c.worlds, Repairs: c.cures})
		if got := next(t, b, &c.table, plan.Options{}).Bound; !near(got, c.want) {
			t.Errorf("%s: Bound = %v; want %v", c.name, got, c.want)
		}
	}
}

// TestClosingCluster: what has to be closed before the machine is tried is opened once for several repairs.
func TestClosingCluster(t *testing.T) {
	table := &plan.Table{
		Repairs: []plan.Action{inside(action("in 1", 5), "rack"), inside(action("in 2", 5), "rack"), action("out", 30)},
		Clusters: []plan.Cluster{
			{ID: "rack", Cost: plan.Cost{Minutes: 40}, Factor: 1.5, Closes: true},
		},
	}
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{0.4, 0.4, 0.2}), Repairs: cures([]int{0}, []int{1}, []int{2})})
	r := next(t, b, table, plan.Options{Tree: 5})
	// Both inside together, 70 minutes, then in one case of five the third.
	if !slices.Equal(r.Next.IDs, []string{"in 1", "in 2"}) || !near(r.Next.Expected, 70+0.2*30) {
		t.Errorf("Next() = %v, %v; want both inside repairs at once, 76", r.Next.IDs, r.Next.Expected)
	}
	if !slices.Equal(r.Next.Opens, []string{"rack"}) || r.Next.Cost != 70 {
		t.Errorf("Next() opens %v for %v minutes; want rack, 70", r.Next.Opens, r.Next.Cost)
	}
	if !near(r.Greedy, 76) {
		t.Errorf("Greedy = %v; want 76, both inside repairs at once too", r.Greedy)
	}
	table.Clusters[0].Closes = false
	// One after the other: the first cures two of five, and the cluster stays open.
	if r := next(t, b, table, plan.Options{}); len(r.Next.IDs) != 1 || !near(r.Next.Expected, 65+0.6*5+0.2*30) {
		t.Errorf("Next() without closing = %v, %v; want one repair, 74", r.Next.IDs, r.Next.Expected)
	}
}

// TestManyInside: with more repairs inside a closing cluster than all sets of them can be tried of, the plan does not call itself exact.
func TestManyInside(t *testing.T) {
	table := &plan.Table{Clusters: []plan.Cluster{{ID: "rack", Cost: plan.Cost{Minutes: 40}, Closes: true}}}
	var p []float64
	var sets [][]int
	for i := range 7 {
		table.Repairs = append(table.Repairs, inside(action(string(rune('a'+i)), float64(5+i)), "rack"))
		p = append(p, 1)
		sets = append(sets, []int{i})
	}
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults(p), Repairs: cures(sets...)})
	r := next(t, b, table, plan.Options{Tree: 10})
	if r.Exact || r.Gap() <= 0 || len(r.Next.IDs) < 2 {
		t.Errorf("Next() = %v, exact %v, gap %v; want several repairs, not exact", r.Next.IDs, r.Exact, r.Gap())
	}
}

// TestPrerequisiteChain: what has to be done first is found through others, whatever the order of ids.
func TestPrerequisiteChain(t *testing.T) {
	m := plan.TableModel{Worlds: plan.SingleFaults([]float64{0.5, 0.5}), Repairs: cures([]int{0}, []int{1})}
	for range 4 {
		m.Tests = append(m.Tests, func(uint64) []float64 { return []float64{1} })
	}
	b := tabular(t, m)
	table := &plan.Table{
		Tests:   []plan.Action{action("a", 1, "b"), action("b", 1, "c"), action("c", 1, "d"), action("d", 1, "done before")},
		Repairs: []plan.Action{action("deep", 4, "a"), action("other", 100)},
		Done:    []string{"done before"},
	}
	for _, o := range []plan.Options{{Tree: 9}, {Tree: 9, Steps: 1}} {
		r := next(t, b, table, o)
		want := []string{"check[d]", "check[c]", "check[b]", "check[a]", "repair[deep]", "-", "repair[other]", "-"}
		if got := steps(r.Tree); !slices.Equal(got, want) {
			t.Errorf("steps %v; want %v", got, want)
		}
		if want := 8 + 0.5*100; !near(r.Next.Expected, want) || !near(r.Greedy, want) {
			t.Errorf("Next() = %v, plain %v; want %v", r.Next.Expected, r.Greedy, want)
		}
	}
}

// TestRunningClosesFirst: a check with the machine running closes what stands open, so that it has to be opened again.
func TestRunningClosesFirst(t *testing.T) {
	b := tabular(t, plan.TableModel{
		Worlds:  plan.SingleFaults([]float64{1}),
		Tests:   []func(uint64) []float64{func(uint64) []float64 { return []float64{1} }},
		Repairs: cures([]int{0}),
	})
	table := &plan.Table{
		Tests:    []plan.Action{action("look", 1)},
		Repairs:  []plan.Action{inside(action("repair", 4, "look"), "rack")},
		Clusters: []plan.Cluster{{ID: "rack", Cost: plan.Cost{Minutes: 40}, Closes: true, Open: true}},
	}
	if r := next(t, b, table, plan.Options{}); r.Next.Expected != 5 {
		t.Errorf("Next() = %v with the rack open; want 5", r.Next.Expected)
	}
	table.Tests[0].Running = true
	if r := next(t, b, table, plan.Options{Tree: 3}); r.Next.Expected != 45 || !slices.Equal(after(r.Tree, 0).Step.Opens, []string{"rack"}) {
		t.Errorf("Next() = %v after running; want 45 with the rack opened again", r.Next.Expected)
	}
}

// TestPlainPlanOpensForSeveral: the plain plan weighs a cluster with all that is inside, not with one repair alone.
func TestPlainPlanOpensForSeveral(t *testing.T) {
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{0.2, 0.45, 0.35}), Repairs: cures([]int{0}, []int{1}, []int{2})})
	table := &plan.Table{
		Repairs:  []plan.Action{action("out", 22), inside(action("in 1", 10), "k"), inside(action("in 2", 12), "k")},
		Clusters: []plan.Cluster{{ID: "k", Cost: plan.Cost{Minutes: 45}}},
	}
	// out alone 22/.2 = 110, in 1 alone 55/.45 = 122, but both inside 67/.8 = 84.
	if r := next(t, b, table, plan.Options{}); !near(r.Greedy, 45+10+0.55*12+0.2*22) {
		t.Errorf("Greedy = %v; want 66", r.Greedy)
	}
}

// TestTabularKey checks that the key forgets the order of steps where it makes no difference, and only there.
func TestTabularKey(t *testing.T) {
	shows := func(f uint64) []float64 { return []float64{float64(1 - f&1), float64(f & 1)} }
	other := func(f uint64) []float64 { return []float64{0.5, 0.5} }
	m := plan.TableModel{
		Worlds:  []plan.World{{Faults: 0b10, P: 1}, {Faults: 0b11, P: 1}},
		Tests:   []func(uint64) []float64{shows, other},
		Repairs: cures([]int{0}),
	}
	then := func(b plan.Belief, err error) plan.Belief {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	b := tabular(t, m)
	failed := then(b.Fail([]int{0}))
	if x, y := then(failed.Observe(0, 0)), then(then(b.Observe(0, 0)).Fail([]int{0})); x.Key() == y.Key() {
		t.Error("a test before and after a repair that makes a difference to it: same key; want different ones")
	}
	if x, y := then(failed.Observe(1, 0)), then(then(b.Observe(1, 0)).Fail([]int{0})); x.Key() != y.Key() {
		t.Error("a test before and after a repair that makes no difference: different keys; want the same")
	}
	if _, err := failed.Observe(0, 1); !errors.Is(err, plan.ErrNoWay) {
		t.Errorf("Observe() of what cannot be = %v; want ErrNoWay", err)
	}
}

// TestFailedRepair: a machine that still misbehaves has the other fault, or the repair did not take.
func TestFailedRepair(t *testing.T) {
	b := tabular(t, plan.TableModel{
		Worlds:  plan.IndependentFaults([]float64{0.5, 0.5}),
		Repairs: [][]plan.Cure{{{Fault: 0, Chance: 0.9}}},
	})
	failed, err := b.Fail([]int{0})
	if err != nil {
		t.Fatal(err)
	}
	// Before: each of {0}, {1}, {0 1} one third. Left: {0} .1, {1} 1+.9, {0 1} .1.
	want := []plan.World{{Faults: 1, P: 0.1 / 2.1}, {Faults: 2, P: 1.9 / 2.1}, {Faults: 3, P: 0.1 / 2.1}}
	for i, w := range failed.(*plan.Tabular).Worlds() {
		if w.Faults != want[i].Faults || !near(w.P, want[i].P) {
			t.Errorf("after the failed repair: %v; want %v", w, want[i])
		}
	}
}

func TestTableErrors(t *testing.T) {
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{1}), Repairs: cures([]int{0}, []int{0})})
	for _, c := range []struct {
		name, want string
		table      plan.Table
	}{
		{"two with one id", `plan: repair 1: the id "a" is empty or stands twice; give each its own`,
			plan.Table{Repairs: []plan.Action{action("a", 1), action("a", 2)}}},
		{"no id", `plan: repair 0: the id "" is empty or stands twice; give each its own`,
			plan.Table{Repairs: []plan.Action{action("", 1)}}},
		{"negative minutes", `plan: "a": -1 minutes times 1 and money 0 at rate 0; write numbers from 0 up`,
			plan.Table{Repairs: []plan.Action{action("a", -1)}}},
		{"money without a rate", `plan: "a" costs money; give the table a rate`,
			plan.Table{Repairs: []plan.Action{{ID: "a", Cost: plan.Cost{Money: 5}}}}},
		{"unknown prerequisite", `plan: repair "a": after "b": there is no such test or repair; add it or list it as done`,
			plan.Table{Repairs: []plan.Action{action("a", 1, "b")}}},
		{"after each other", `plan: "a" comes after itself, by way of others; leave out one of them`,
			plan.Table{Repairs: []plan.Action{action("b", 1, "a"), action("a", 1, "b")}}},
		{"unknown cluster", `plan: repair "a": inside "k": there is no such cluster`,
			plan.Table{Repairs: []plan.Action{inside(action("a", 1), "k")}}},
		{"clusters in a circle", `plan: cluster "k": inside "k": clusters stand inside each other in a circle`,
			plan.Table{Clusters: []plan.Cluster{{ID: "k", Inside: "k"}}}},
		{"two clusters with one id", `plan: cluster 1: the id "k" is empty or stands twice; give each its own`,
			plan.Table{Clusters: []plan.Cluster{{ID: "k"}, {ID: "k"}}}},
		{"running inside what closes", `plan: test "a" needs the machine running and "k" open, which closes before the machine can run`,
			plan.Table{Tests: []plan.Action{{ID: "a", Kind: plan.Change, Inside: "k"}}, Clusters: []plan.Cluster{{ID: "k", Closes: true}}}},
		{"a test that repairs", `plan: test "a" is a repair; a test is a check or a change`,
			plan.Table{Tests: []plan.Action{{ID: "a", Kind: plan.Repair}}}},
		{"last resort after something", `plan: last resort 0 "a": needs an id of its own and comes after nothing and inside nothing`,
			plan.Table{Last: []plan.Action{action("a", 1, "b")}}},
		{"too many", `plan: 0 tests, 65 repairs and 0 clusters; at most 64 of each: leave out the least likely`,
			plan.Table{Repairs: make([]plan.Action, 65)}},
	} {
		if _, err := plan.Next(b, &c.table, plan.Options{}); err == nil || err.Error() != c.want {
			t.Errorf("%s: Next() = %v; want %s", c.name, err, c.want)
		}
	}
}

func TestTabularErrors(t *testing.T) {
	uneven := func(f uint64) []float64 { return make([]float64, f) }
	for _, c := range []struct {
		name, want string
		m          plan.TableModel
	}{
		{"no fault", "no world has a fault", plan.TableModel{Worlds: []plan.World{{Faults: 0, P: 1}}}},
		{"negative", "write a number from 0 up", plan.TableModel{Worlds: []plan.World{{Faults: 1, P: -1}}}},
		{"not a number", "write a number from 0 up", plan.TableModel{Worlds: []plan.World{{Faults: 1, P: math.NaN()}}}},
		{"chance", "a chance from 0 to 1", plan.TableModel{Repairs: [][]plan.Cure{{{Fault: 1, Chance: 2}}}}},
		{"outcomes", "sum 1", plan.TableModel{Worlds: plan.SingleFaults([]float64{1, 1}), Tests: []func(uint64) []float64{uneven}}},
	} {
		if _, err := plan.NewTabular(c.m); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: NewTabular() = %v; want %q in it", c.name, err, c.want)
		}
	}
}

// TestSequenceErrors checks orders that cannot be followed.
func TestSequenceErrors(t *testing.T) {
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{1, 1, 1}), Repairs: cures([]int{0}, []int{1})})
	table := &plan.Table{Repairs: []plan.Action{action("a", 1), action("b", 1, "a")}}
	for _, order := range [][]int{{2}, {0, 0}, {1, 0}} {
		if x, err := plan.Sequence(b, table, order); err == nil {
			t.Errorf("Sequence(%v) = %v; want an error", order, x)
		}
	}
}

// TestStop: without a last resort a plan ends where nothing cures any more, and says how likely that is.
func TestStop(t *testing.T) {
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{0.25, 0.75}), Repairs: cures([]int{0})})
	table := &plan.Table{Repairs: []plan.Action{action("a", 8)}}
	r := next(t, b, table, plan.Options{Tree: 3})
	if r.Left != 0.75 || r.Next.Expected != 8 || after(r.Tree, 0).Step.Kind != plan.Stop || !math.IsInf(r.Without, 1) {
		t.Errorf("Next() = left %v, expected %v, then %v, without %v; want 0.75, 8, stop, +Inf",
			r.Left, r.Next.Expected, after(r.Tree, 0).Step.Kind, r.Without)
	}
	failed, err := b.Fail([]int{0})
	if err != nil {
		t.Fatal(err)
	}
	if r := next(t, failed, &plan.Table{Repairs: []plan.Action{action("a", 8)}}, plan.Options{}); r.Next.Kind != plan.Stop || r.Next.Expected != 0 {
		t.Errorf("Next() where nothing cures = %v, %v; want stop, 0", r.Next.Kind, r.Next.Expected)
	}
}

// failing is a belief whose inference fails.
type failing struct{ *plan.Tabular }

var errInference = errors.New("inference failed")

func (failing) Good([]int) (float64, error) { return 0, errInference }

func TestBeliefError(t *testing.T) {
	b := failing{tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{1}), Repairs: cures([]int{0})})}
	if _, err := plan.Next(b, &plan.Table{Repairs: []plan.Action{action("a", 1)}}, plan.Options{}); !errors.Is(err, errInference) {
		t.Errorf("Next() = %v; want %v", err, errInference)
	}
}

// TestUnknownNumbers: a table that lists more than the belief knows is an error, not a panic.
func TestUnknownNumbers(t *testing.T) {
	n := plan.NewNetwork()
	cause, bad := n.Cause(0.1, 0), n.Finding(0.01, 0)
	n.Link(cause, bad, 0.9)
	n.Complaint(bad)
	network, err := n.Belief(plan.NetworkOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []plan.Belief{network, tabular(t, plan.TableModel{Worlds: plan.SingleFaults([]float64{1})})} {
		_, outcomes := b.Outcomes(0)
		_, observe := b.Observe(0, 0)
		_, good := b.Good([]int{0})
		_, fail := b.Fail([]int{-1})
		_, chance := b.Chance(0)
		for i, err := range []error{outcomes, observe, good, fail, chance} {
			if err == nil || !strings.Contains(err.Error(), "the belief has 0") {
				t.Errorf("%T, question %d = %v; want an error", b, i, err)
			}
		}
		if _, err := plan.Next(b, &plan.Table{Repairs: []plan.Action{action("a", 1)}}, plan.Options{}); err == nil {
			t.Errorf("%T: Next() accepts a repair that the belief does not know", b)
		}
	}
}

// TestFullTable plans with as many repairs as a table can hold.
func TestFullTable(t *testing.T) {
	table := &plan.Table{}
	var sets [][]int
	p := make([]float64, 64)
	for i := range 64 {
		p[i] = 1
		sets = append(sets, []int{i})
		table.Repairs = append(table.Repairs, action(string(rune('A'+i)), float64(1+i)))
	}
	b := tabular(t, plan.TableModel{Worlds: plan.SingleFaults(p), Repairs: cures(sets...)})
	r := next(t, b, table, plan.Options{Steps: 1})
	want := 0.0 // cheapest first: the k-th is needed with probability (64-k)/64
	for k := range 64 {
		want += float64(1+k) * float64(64-k) / 64
	}
	if !near(r.Greedy, want) || r.Left > 1e-12 {
		t.Errorf("Greedy = %v, Left = %v; want %v, 0", r.Greedy, r.Left, want)
	}
}
