package engine_test

import (
	"math"
	"testing"

	"diagnose.example/engine"
)

func TestDescending(t *testing.T) {
	for _, c := range []struct {
		x, y float64
		want int
	}{
		{0.5, 0.25, -1}, {-0.5, -0.25, 1}, {-0.1, 0.1, 1}, {0.25, 0.5, 1}, {0.3, 0.3, 0}, {0, 0, 0}, {1, 0, -1},
		{0.1 + 0.2, 0.3, 0},
		{1e-7 * (1 + 1e-11), 1e-7, 0},
		{1e-7 * (1 + 1e-8), 1e-7, -1},
		{math.Nextafter(1, 0), 1, 0}, {math.SmallestNonzeroFloat64, 0, 0},
	} {
		if got := engine.Descending(c.x, c.y); got != c.want {
			t.Errorf("Descending(%v, %v) = %d, want %d", c.x, c.y, got, c.want)
		}
	}
}
