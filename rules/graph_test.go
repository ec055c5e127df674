package rules

import (
	"maps"
	"math"
	"testing"
)

// TestReach follows the chains of the invented pack by hand.
func TestReach(t *testing.T) {
	g := flooding(t).graph()
	tests := []struct {
		from string
		want map[string]float64
	}{
		{"float-valve-dirty", map[string]float64{"fuel-runs-over": 0.85, "fuel-pours-out": 0.85 * 0.75, "fuel-drips-out": 0.85 * 0.85}},
		// The direct link beats the one through the fuel level, 0.75 * 0.25; the level itself makes drips seldom.
		{"float-valve-worn", map[string]float64{
			"fuel-runs-over": 0.85, "fuel-level-high": 0.75, "fuel-pours-out": 0.85 * 0.75, "fuel-drips-out": 0.85 * 0.85,
		}},
		{"bad-idle", map[string]float64{"idle-dies": 0.85, "idle-dies-two-stroke": 0.75}},
		{"idle-dies", map[string]float64{}},
		{"nothing", map[string]float64{}},
	}
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }
	for _, tt := range tests {
		if got := g.reach(tt.from); !maps.EqualFunc(got, tt.want, near) {
			t.Errorf("reach(%s) = %v; want %v", tt.from, got, tt.want)
		}
	}
}
