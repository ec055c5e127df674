package plan_test

import (
	"fmt"
	"testing"

	"diagnose.example/engine/belief"
	"diagnose.example/engine/plan"
)

// bench makes a single-fault problem with noisy tests; numbers are invented and spread evenly.
func bench(b *testing.B, tests, repairs int) (*plan.Tabular, *plan.Table) {
	b.Helper()
	var p []float64
	var sets [][]int
	table := &plan.Table{Last: []plan.Action{action("last", 300)}}
	for i := range repairs {
		p = append(p, float64(1+i*5%7))
		sets = append(sets, []int{i})
		table.Repairs = append(table.Repairs, action(fmt.Sprintf("repair %02d", i), float64(10+i*37%50)))
	}
	m := plan.TableModel{Worlds: plan.SingleFaults(p), Repairs: cures(sets...)}
	for t := range tests {
		m.Tests = append(m.Tests, func(faults uint64) []float64 {
			shows := 0.1
			for f := range repairs {
				if faults>>f&1 == 1 && (f+t)*(t+3)%5 < 2 {
					shows = 0.85
				}
			}
			return []float64{1 - shows, shows}
		})
		table.Tests = append(table.Tests, action(fmt.Sprintf("test %02d", t), float64(3+t*5%11)))
	}
	return tabular(b, m), table
}

// BenchmarkNext measures planning to the end, and so many steps ahead, on a table.
func BenchmarkNext(b *testing.B) {
	for _, c := range []struct{ tests, repairs, steps int }{
		{3, 5, 0}, {4, 6, 0}, {6, 8, 0}, {6, 8, 1}, {6, 8, 2}, {6, 8, 3}, {20, 30, 1}, {20, 30, 2},
	} {
		b.Run(fmt.Sprintf("tests=%d/repairs=%d/steps=%d", c.tests, c.repairs, c.steps), func(b *testing.B) {
			t, table := bench(b, c.tests, c.repairs)
			b.ReportAllocs()
			var r *plan.Result
			for b.Loop() {
				r = next(b, t, table, plan.Options{Steps: c.steps, Budget: 20_000_000})
			}
			b.ReportMetric(float64(r.Questions), "questions")
			b.ReportMetric(r.Next.Expected, "expected-min")
			b.ReportMetric(r.Gap(), "gap-min")
		})
	}
}

// twins is an invented machine of two halves with causes, effects and findings of their own, and a summary of both that is the complaint.
func twins(b *testing.B) (*plan.NetworkBelief, *plan.Table) {
	b.Helper()
	n := plan.NewNetwork()
	table := &plan.Table{Last: []plan.Action{action("last", 240)}}
	type later struct {
		cause belief.Node
		name  string
		cost  float64
	}
	var repairs []later
	summary := []belief.Node{}
	shared := n.Cause(0.03, 0)
	for half := range 2 {
		var effects []belief.Node
		var causes []belief.Node
		for c := range 8 {
			causes = append(causes, n.Cause(0.01+0.01*float64(c), 1+half))
		}
		for e := range 4 {
			v := n.Effect(0.005, 1+half)
			n.Link(shared, v, 0.3)
			for c := range 3 {
				n.Link(causes[(2*e+c)%8], v, 0.5+0.1*float64(c))
			}
			if e > 0 {
				n.Link(effects[e-1], v, 0.4)
			}
			effects = append(effects, v)
		}
		for f := range 6 {
			v := n.Finding(0.02, 1+half)
			n.Link(effects[f%4], v, 0.8)
			n.Link(effects[(f+1)%4], v, 0.3)
			switch {
			case f == 0 && half == 0:
				n.Seen(v)
			case f < 3:
				n.NotSeen(v)
			default:
				n.YesNo(v)
				table.Tests = append(table.Tests, action(fmt.Sprintf("look %d.%d", half, f), float64(3+f)))
			}
		}
		summary = append(summary, effects[3])
		for c := range 3 {
			repairs = append(repairs, later{causes[2*c+1], fmt.Sprintf("repair %d.%d", half, c), float64(15 + 10*c)})
		}
	}
	bad := n.Effect(0.01, 3)
	complaint := n.Finding(0.01, 3)
	for _, v := range summary {
		n.Link(v, bad, 0.9)
	}
	n.Link(bad, complaint, 0.9)
	n.Seen(complaint)
	n.Complaint(complaint)
	for _, r := range repairs {
		n.Repair(plan.Cure{Fault: int(r.cause), Chance: 0.9})
		table.Repairs = append(table.Repairs, action(r.name, r.cost))
	}
	nb, err := n.Belief(plan.NetworkOptions{})
	if err != nil {
		b.Fatal(err)
	}
	return nb, table
}

// BenchmarkNetwork measures planning on a network, six tests and six repairs; every iteration starts with nothing known.
func BenchmarkNetwork(b *testing.B) {
	for _, steps := range []int{1, 2} {
		b.Run(fmt.Sprintf("steps=%d", steps), func(b *testing.B) {
			b.ReportAllocs()
			var r *plan.Result
			for b.Loop() {
				nb, table := twins(b)
				r = next(b, nb, table, plan.Options{Steps: steps, Budget: 100_000})
			}
			b.ReportMetric(float64(r.Questions), "questions")
			b.ReportMetric(r.Next.Expected, "expected-min")
			b.ReportMetric(r.Gap(), "gap-min")
		})
	}
}
