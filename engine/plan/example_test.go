package plan_test

import (
	"fmt"

	"diagnose.example/engine/belief"
	"diagnose.example/engine/plan"
)

// A lamp does not light. It is the bulb, the fuse or the wiring, one of them. Looking at the fuse costs little and tells for certain.
func ExampleNext() {
	const bulb, fuse, wiring = 0, 1, 2
	b, err := plan.NewTabular(plan.TableModel{
		Worlds: plan.SingleFaults([]float64{bulb: 0.5, fuse: 0.3, wiring: 0.2}),
		Tests: []func(uint64) []float64{func(faults uint64) []float64 {
			blown := float64(faults >> fuse & 1)
			return []float64{1 - blown, blown}
		}},
		Repairs: [][]plan.Cure{{{Fault: bulb, Chance: 1}}, {{Fault: fuse, Chance: 1}}, {{Fault: wiring, Chance: 0.8}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	table := &plan.Table{
		Tests: []plan.Action{{ID: "look at the fuse", Cost: plan.Cost{Minutes: 1}}},
		Repairs: []plan.Action{
			{ID: "new bulb", Cost: plan.Cost{Minutes: 2, Money: 3}, Inside: "ladder up"},
			{ID: "new fuse", Cost: plan.Cost{Minutes: 4, Money: 1}},
			{ID: "new wiring", Cost: plan.Cost{Minutes: 90, Money: 20}, Inside: "ladder up"},
		},
		Clusters: []plan.Cluster{{ID: "ladder up", Cost: plan.Cost{Minutes: 10}}},
		Last:     []plan.Action{{ID: "send for somebody", Cost: plan.Cost{Minutes: 100}}},
		Rate:     1,
	}
	r, err := plan.Next(b, table, plan.Options{Tree: 4})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.1f minutes expected, %.1f without it; the runner-up, %s: %.1f\n",
		r.Next.IDs[0], r.Next.Expected, r.Without, r.Choices[1].IDs[0], r.Choices[1].Expected)
	fmt.Printf("exact: %v; knowing the fault beforehand it would be %.1f\n", r.Exact, r.Bound)
	show(r.Tree, "", table)
	// Output:
	// look at the fuse: 33.0 minutes expected, 35.5 without it; the runner-up, new fuse: 35.5
	// exact: true; knowing the fault beforehand it would be 29.0
	// look at the fuse (1 min, reached 1.00)
	//   0 with 0.70: new bulb (15 min, reached 0.70)
	//     1 with 0.71: done
	//     0 with 0.29: send for somebody (100 min, reached 0.20)
	//   1 with 0.30: new fuse (5 min, reached 0.30)
	//     1 with 1.00: done
}

func show(n *plan.Node, indent string, t *plan.Table) {
	fmt.Printf("%s (%.0f min, reached %.2f)\n", n.Step.IDs[0], n.Step.Cost, n.Reach)
	for _, b := range n.Branches {
		fmt.Printf("%s  %d with %.2f: ", indent, b.Outcome, b.P)
		if b.Ends {
			fmt.Println("done")
			continue
		}
		show(b.Node, indent+"  ", t)
	}
}

// With several faults possible the right index is c(1-p)/p. Ordered by c/p the two repairs would cost 11 % more.
func ExampleManyFaults() {
	cost, p := []float64{10, 17}, []float64{0.5, 0.8}
	b, err := plan.NewTabular(plan.TableModel{
		Worlds:  plan.IndependentFaults(p),
		Repairs: [][]plan.Cure{{{Fault: 0, Chance: 1}}, {{Fault: 1, Chance: 1}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	table := &plan.Table{Repairs: []plan.Action{{ID: "a", Cost: plan.Cost{Minutes: cost[0]}}, {ID: "b", Cost: plan.Cost{Minutes: cost[1]}}}}
	for i, order := range [][]int{{0, 1}, {1, 0}} {
		x, err := plan.Sequence(b, table, order)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s first: c/p %.1f, c(1-p)/p %.2f, expected cost %.2f\n", table.Repairs[i].ID,
			plan.SingleFault(cost[i], p[i]), plan.ManyFaults(cost[i], p[i]), x)
	}
	// Output:
	// a first: c/p 20.0, c(1-p)/p 10.00, expected cost 25.11
	// b first: c/p 21.2, c(1-p)/p 4.25, expected cost 22.56
}

// A failed repair is evidence: the fault may have been there and is gone now, but the machine still misbehaves, so there is another. What was
// seen before still speaks of the machine as it was then.
func ExampleNetworkBelief() {
	n := plan.NewNetwork()
	bulb, fuse := n.Cause(0.10, 0), n.Cause(0.05, 0)
	dark := n.Finding(0.001, 0)
	n.Link(bulb, dark, 1)
	n.Link(fuse, dark, 1)
	flickered := n.Finding(0.05, 0)
	n.Link(bulb, flickered, 0.7)
	n.Seen(dark)
	n.Seen(flickered)
	n.Complaint(dark)
	newBulb := n.Repair(plan.Cure{Fault: int(bulb), Chance: 0.98})
	newFuse := n.Repair(plan.Cure{Fault: int(fuse), Chance: 1})
	var b plan.Belief
	b, err := n.Belief(plan.NetworkOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, when := range []string{"at first:      ", "after new bulb:"} {
		cures, err := b.Good([]int{newFuse})
		if err != nil {
			fmt.Println(err)
			return
		}
		p, err := b.(*plan.NetworkBelief).Causes()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s bulb %.3f, fuse %.3f, a new fuse cures with %.3f\n", when, p[bulb], p[fuse], cures)
		if b, err = b.Fail([]int{newBulb}); err != nil {
			fmt.Println(err)
			return
		}
	}
	// Output:
	// at first:       bulb 0.969, fuse 0.079, a new fuse cures with 0.030
	// after new bulb: bulb 0.196, fuse 0.799, a new fuse cures with 0.788
}

// A swap from side to side is a test that nothing is repaired by: the complaint goes along with the part, or stays where it was.
func ExampleNetwork_Test() {
	n := plan.NewNetwork()
	part, rest := n.Cause(0.04, 0), n.Cause(0.04, 0)
	leftDark := n.Finding(0.002, 0)
	n.Link(part, leftDark, 0.95)
	n.Link(rest, leftDark, 0.95)
	n.Seen(leftDark)
	n.Complaint(leftDark)
	goesAlong, stays := n.Finding(0.002, 0), n.Finding(0.002, 0)
	n.Link(part, goesAlong, 0.95)
	n.Link(rest, stays, 0.95)
	swap := n.Test([]belief.Node{goesAlong, stays},
		[]float64{0, 1, 0, 0}, // only along
		[]float64{0, 0, 1, 0}, // only stays
		[]float64{1, 0, 0, 1}) // gone, or on both sides
	b, err := n.Belief(plan.NetworkOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := b.Outcomes(swap)
	fmt.Printf("along %.2f, stays %.2f, neither %.2f %v\n", p[0], p[1], p[2], err)
	// Output: along 0.45, stays 0.45, neither 0.09 <nil>
}
