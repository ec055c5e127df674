package report_test

import (
	"fmt"
	"os"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/symptoms"
)

func ExampleChainText() {
	d := flooding()
	left := engine.Place{Level: symptoms.Carburetor, Name: "left"}
	cause := engine.Node{Kind: "cause", ID: "needle-leaks", Title: "Float needle valve does not seal", Place: left}
	high := engine.Node{Kind: "effect", ID: "level-high", Title: "Fuel stands too high", Place: left}
	d.Ranked[0].Chain = []engine.Step{
		{From: cause, To: high, Word: "almost always", Chance: 0.95, Probability: 0.93},
		{From: high, To: engine.Node{Kind: "finding", ID: "overflow", Title: "Fuel runs from the overflow", Place: left},
			Word: "usually", Chance: 0.85, State: engine.Seen, Answer: "yes"},
		{From: high, To: engine.Node{Kind: "finding", ID: "level", Title: "Fuel level measures too high", Place: left},
			Word: "almost always", Chance: 0.95},
	}
	c, err := report.ChainOfDiagnosis(d, nil, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := report.ChainText(os.Stdout, c, report.Style{Width: 76}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Job 1042
	// ========
	// Parallel twin (four-stroke, 2 cylinders, carburetors left and right)
	//
	// From the likeliest cause to what is seen
	// ----------------------------------------
	// - Float needle valve does not seal at left 86 %
	//   - almost always -> fuel stands too high at left 93 %
	//     - usually seen: fuel runs from the overflow at left; observed (yes)
	//     - almost always seen: fuel level measures too high at left; not asked
	//
	// "Almost always" and the like say how often the upper thing makes the lower
	// happen, whatever else does.
	//
	// A percentage is the chance that it is so, all that is on the sheet being
	// known. Chances are rounded to whole percent; "under 1 %" and "over 99 %"
	// stand for all that is nearer to never and always than that.
	//
	// Local codes and licensed practice come first.
}
