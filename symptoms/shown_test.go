package symptoms

import (
	"math"
	"testing"
)

func TestIn(t *testing.T) {
	units := func(names ...string) (out []Unit) {
		for _, n := range names {
			u, ok := LookupUnit(n)
			if !ok {
				t.Fatalf("no unit %q", n)
			}
			out = append(out, u)
		}
		return out
	}
	height := &Observation{ID: "float_height", Kind: Number, Unit: "mm", Range: [2]float64{5.08, 50.8}, Uncertainty: 0.254}
	air := &Observation{ID: "air_temperature", Kind: Number, Unit: "°C", Range: [2]float64{-20, 40}, Uncertainty: 1}
	tests := []struct {
		name        string
		o           *Observation
		units       []Unit
		unit        string
		lo, hi, unc float64
	}{
		{"length in inches", height, units("psi", "in"), "in", 0.2, 2, 0.01},
		{"temperature keeps its zero apart from its degree", air, units("°F"), "°F", -4, 104, 1.8},
		{"no unit of that dimension", height, units("psi"), "mm", 5.08, 50.8, 0.254},
		{"its own unit", height, units("mm"), "mm", 5.08, 50.8, 0.254},
		{"a count", &Observation{Kind: Number, Range: [2]float64{1, 6}}, units("in"), "", 1, 6, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			before := *tt.o
			got := tt.o.In(tt.units)
			for _, pair := range [][2]float64{{got.Range[0], tt.lo}, {got.Range[1], tt.hi}, {got.Uncertainty, tt.unc}} {
				if math.Abs(pair[0]-pair[1]) > 1e-9 {
					t.Errorf("In(%v) = %v %v ± %v; want %v %v ± %v", tt.units, got.Range, got.Unit, got.Uncertainty, tt.lo, tt.hi, tt.unc)
				}
			}
			if got.Unit != tt.unit {
				t.Errorf("In(%v).Unit = %q; want %q", tt.units, got.Unit, tt.unit)
			}
			if tt.o.Unit != before.Unit || tt.o.Range != before.Range {
				t.Error("In changed the observation itself")
			}
		})
	}
}
