package engine_test

import (
	"math"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// TestSameNumberOtherPlace: the raw number stays, and the band flips with what the model expects at the place.
func TestSameNumberOtherPlace(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, machine, observed, rule string
		want                          engine.State
	}{
		{"compression at sea level", "spec.compression: 1100 kPa, altitude: 0 m", "compression: 810 kPa", "compression-far-below", engine.Doubtful},
		{"compression at 2500 m", "spec.compression: 1100 kPa, altitude: 2500 m", "compression: 810 kPa", "compression-below", engine.NotSeen},
		{"vacuum at sea level", "spec.intake_vacuum: 55 kPa, altitude: 0 m", "intake_vacuum: 28 kPa", "vacuum-far-below-here", engine.Seen},
		{"vacuum at 2500 m", "spec.intake_vacuum: 55 kPa, altitude: 2500 m", "intake_vacuum: 28 kPa", "vacuum-far-below-here", engine.NotSeen},
		{"flow for a large engine", "spec.power: 40 kW", "tap_flow: 150 ml/min", "feed-below-demand", engine.Seen},
		{"flow for a small engine", "spec.power: 8 kW", "tap_flow: 150 ml/min", "feed-below-demand", engine.NotSeen},
		{"full compression at 2500 m", "spec.compression: 1100 kPa, altitude: 2500 m", "compression: 1090 kPa", "compression-below", engine.NotSeen},
	}
	for _, tt := range tests {
		text := "sheet: 1\nmachine: {carburetors: 1, cylinders: 1, " + tt.machine + "}\nobserved: {" + tt.observed + "}\n"
		d := diagnosed(t, set, text)
		got, found := engine.NotAsked, false
		for _, h := range d.Heard {
			for i, r := range h.Rules {
				if r.ID == tt.rule {
					got, found = h.States[i], true
				}
			}
		}
		if !found || got != tt.want {
			t.Errorf("%s: %s = %v (heard: %v); want %v", tt.name, tt.rule, got, found, tt.want)
		}
	}
}

// TestMeasured: what is measured is compared with what the model expects, with the uncertainty of what went in.
func TestMeasured(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	d := diagnosed(t, set, "sheet: 1\nmachine: {carburetors: 1, cylinders: 1, spec.compression: 1100 kPa, altitude: 2500 m, spec.power: 20 kW}\n"+
		"observed: {compression: 810 kPa, tap_flow: 150 ml/min}\n")
	seen := map[string]engine.Measured{}
	for _, m := range d.Measured {
		seen[m.Observation.ID] = m
	}
	c := seen["compression"]
	// 1100 kPa times 74.69/101.325, the ratio of the standard pressures.
	if want := 1100e3 * 74.6917 / 101.325; math.Abs(c.Expected-want) > 100 || math.Abs(c.DifferenceUncertainty-30e3) > 1 {
		t.Errorf("compression: expected %v, difference ± %v; want %v ± 30000", c.Expected, c.DifferenceUncertainty, want)
	}
	f := seen["feed_share"]
	// 0.1 of the model, and 10 of 150 ml/min.
	if want := math.Hypot(0.1, f.Value.Lo*10/150); !f.Computed || math.Abs(f.Value.U-want) > 1e-9 {
		t.Errorf("feed_share: %+v; want computed, uncertainty %v", f.Value, want)
	}
}

// TestNotComputed: without an input, or beyond the model's range, nothing is computed.
func TestNotComputed(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"tap_flow: 150 ml/min", "idle_co: \"1 %\", idle_co2: \"5 %\", idle_o2: \"12 %\", idle_hc: 300 ppm", "float_weight: 11 g"} {
		d := diagnosed(t, set, "sheet: 1\nobserved: {"+text+"}\n")
		for _, h := range d.Heard {
			if h.Used {
				t.Errorf("%s: %s is used; want it not computed", text, h.Reading.Observation.ID)
			}
		}
	}
}

func diagnosed(t *testing.T, set *rules.Set, text string) *engine.Diagnosis {
	t.Helper()
	s, err := symptoms.Decode("test.yaml", []byte(text), set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
	if err != nil {
		t.Fatal(err)
	}
	d, err := engine.Diagnose(set, s, engine.Options{Explain: -1, Questions: -1})
	if err != nil {
		t.Fatal(err)
	}
	return d
}
