package belief_test

import (
	"errors"
	"fmt"

	"diagnose.example/engine/belief"
)

// Explaining away: a finding makes both of its causes likelier; finding one of them makes the other unlikely again.
func Example() {
	n := belief.NewNet()
	worn := n.Cause(0.04, 0)
	dirt := n.Cause(0.08, 0)
	overflow := n.Finding(0.01, 0)
	n.Link(worn, overflow, 0.9)
	n.Link(dirt, overflow, 0.6)
	if err := n.Err(); err != nil {
		fmt.Println(err)
		return
	}
	print := func(what string, e *belief.Evidence) {
		s, err := belief.Plan(n, e, belief.Options{})
		if err != nil {
			fmt.Println(err)
			return
		}
		r, err := s.Posterior()
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-22s worn %.3f  dirt %.3f\n", what, r.P[worn], r.P[dirt])
	}
	e := new(belief.Evidence)
	print("nothing known", e)
	e.Seen(overflow)
	print("overflow seen", e)
	e.Seen(dirt)
	print("and dirt found", e)
	// Output:
	// nothing known          worn 0.040  dirt 0.080
	// overflow seen          worn 0.396  dirt 0.541
	// and dirt found         worn 0.062  dirt 1.000
}

// A reading cut into bands, near a limit: the bands are findings in masking order, and every pattern gets the probability of the reading
// in the band that the pattern shows.
func ExampleEvidence_Joint() {
	n := belief.NewNet()
	high := n.Cause(0.1, 0)
	muchTooHigh, tooHigh := n.Finding(0.01, 0), n.Finding(0.05, 0)
	n.Link(high, muchTooHigh, 0.3)
	n.Link(high, tooHigh, 0.9)
	const inMuch, inHigh, inRight = 0.01, 0.5, 0.49 // P(reading | band)
	e := new(belief.Evidence)
	e.Joint([]belief.Node{muchTooHigh, tooHigh}, []float64{
		0b00: inRight,
		0b01: inMuch,
		0b10: inHigh,
		0b11: inMuch, // much too high hides too high
	})
	s, err := belief.Plan(n, e, belief.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := s.Posterior()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("too high %.2f, the cause %.3f\n", r.P[tooHigh], r.P[high])
	// Output: too high 0.11, the cause 0.074
}

// Evidence that contradicts the network is an error that names the items.
func ExampleImpossible() {
	n := belief.NewNet()
	pump := n.Cause(0.1, 0)
	other := n.Cause(0.2, 0)
	fuelInOil := n.Finding(0, 0)
	n.Link(pump, fuelInOil, 0.8)
	e := new(belief.Evidence)
	e.Weigh(other, 1, 2)
	e.NotSeen(pump)
	e.Seen(fuelInOil)
	s, err := belief.Plan(n, e, belief.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = s.Posterior()
	var imp *belief.Impossible
	if errors.As(err, &imp) {
		fmt.Println(imp.Items)
	}
	fmt.Println(err)
	// Output:
	// [1 2]
	// belief: impossible evidence: items 1 2 cannot all be true
}

// A limit on the work: the item of least weight is set aside, the rest is exact.
func ExampleSchedule_SetAside() {
	n := belief.NewNet()
	a, b := n.Cause(0.1, 0), n.Cause(0.1, 0)
	strong, weak := n.Finding(0.01, 0), n.Finding(0.4, 0)
	for _, c := range []belief.Node{a, b} {
		n.Link(c, strong, 0.9)
		n.Link(c, weak, 0.2)
	}
	e := new(belief.Evidence)
	e.Seen(strong)
	e.Seen(weak)
	for _, limit := range []float64{0, 10} {
		s, err := belief.Plan(n, e, belief.Options{Limit: limit})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("cost %v, set aside %v\n", s.Cost(), s.SetAside())
	}
	// Output:
	// cost 16, set aside []
	// cost 0, set aside [1]
}
