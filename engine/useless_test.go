package engine_test

import (
	"slices"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// What has no place on a machine is useless there, and the book's figure for it too; what is only not told yet is not.
func TestUseless(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, machine   string
		useless, useful []string
	}{
		{"two-stroke", "{cylinders: 1, carburetors: 1, strokes: 2}",
			[]string{"inlet_clearance", "exhaust_clearance", "cam_marks", "spec.inlet_clearance", "spec.exhaust_clearance"},
			[]string{"reed_look", "oil_mix", "float_height", "spec.float_height"}},
		{"four-stroke", "{cylinders: 1, carburetors: 1, strokes: 4}",
			[]string{"reed_look", "oil_mix", "crankcase_leaks"},
			[]string{"inlet_clearance", "spec.inlet_clearance", "float_height", "compression"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := symptoms.Decode("x.yaml", []byte("sheet: 1\nmachine: "+tt.machine+"\n"), set.Vocabulary, symptoms.DecodeOptions{})
			if err != nil {
				t.Fatal(err)
			}
			got, err := engine.Useless(set, s)
			if err != nil {
				t.Fatal(err)
			}
			for _, id := range tt.useless {
				if !slices.Contains(got, id) {
					t.Errorf("Useless = %v; want %s among them", got, id)
				}
			}
			for _, id := range tt.useful {
				if slices.Contains(got, id) {
					t.Errorf("Useless = %v; want %s not among them", got, id)
				}
			}
		})
	}
}
