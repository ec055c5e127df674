package report_test

import (
	"encoding/json"
	"fmt"
	"os"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// flooding is a small diagnosis, as the engine would return it.
func flooding() *engine.Diagnosis {
	cause := &rules.Cause{ID: "needle-leaks", Title: "Float needle valve does not seal", About: symptoms.Carburetor, System: "float"}
	left := &engine.Cause{Cause: cause, Place: engine.Place{Level: symptoms.Carburetor, Name: "left"}, Probability: 0.86, Prior: 0.03, Anywhere: 0.87}
	right := &engine.Cause{Cause: cause, Place: engine.Place{Level: symptoms.Carburetor, Name: "right"}, Probability: 0.03, Prior: 0.03, Anywhere: 0.87}
	check := &rules.Check{
		ID: "measure-level", Title: "Measure the fuel level", Minutes: 12, Tools: []string{"clear hose", "rule"},
		How: "Hold a clear hose from the drain against the body and read the level.", Caution: "Fuel runs free: no flame, no sparks, air the room.",
	}
	return &engine.Diagnosis{
		Sheet: &symptoms.Sheet{Job: "1042", Machine: symptoms.Machine{
			Name: "parallel twin", Strokes: 4, Carburetors: []string{"left", "right"}, Cylinders: []string{"left", "right"},
		}},
		Causes: []*engine.Cause{left, right},
		Ranked: []*engine.Ranked{{Cause: cause, Anywhere: 0.87, Prior: 0.06, Places: []*engine.Cause{left, right}}},
		Checks: []engine.Check{{Check: check, Place: left.Place}},
	}
}

func ExampleText() {
	if err := report.Text(os.Stdout, flooding(), nil, report.Style{Width: 76}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Job 1042: parallel twin (four-stroke, carburetors left and right)
	//
	// Likely causes (chance of being present; where; strongest reason)
	//  87 % #######. Float needle valve does not seal: left 86 %, right 3 %
	//
	// Next check: Measure the fuel level (left, 12 minutes; clear hose, rule)
	//   Hold a clear hose from the drain against the body and read the level.
	//   ! Caution: Fuel runs free: no flame, no sparks, air the room.
	//
	// All the rest: --details; about one entry: explain needle-leaks
	// Local codes and licensed practice come first.
}

func ExampleJSON() {
	data, err := json.Marshal(report.JSON(flooding(), nil))
	if err != nil {
		fmt.Println(err)
		return
	}
	var d struct {
		Job    string
		Causes []struct {
			Cause, At             string
			Probability, Anywhere float64
		}
	}
	if err := json.Unmarshal(data, &d); err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range d.Causes {
		fmt.Println(d.Job, c.Cause, c.At, c.Probability, c.Anywhere)
	}
	// Output:
	// 1042 needle-leaks left 0.86 0.87
	// 1042 needle-leaks right 0.03 0.87
}
