package symptoms

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

const weightTolerance = 1e-12

// banded returns a number with bands at the given absolute limits; unit and range in m.
func banded(lo, hi, u, blunder float64, limits ...float64) *Observation {
	o := &Observation{ID: "x", Kind: Number, Unit: "m", Range: [2]float64{lo, hi}, Uncertainty: u, Blunder: blunder}
	low := math.Inf(-1)
	for _, l := range append(slices.Clone(limits), math.Inf(1)) {
		o.Bands = append(o.Bands, Band{Word: "b" + string(rune('a'+len(o.Bands))), Lo: low, Hi: l})
		low = l
	}
	return o
}

func pointAt(r, u float64) Value { return Value{Lo: r, Hi: r, U: u} }

// integrated is the formula of BandWeights by Simpson's rule over each band: the mean of
// the normal density, an independent way to the same number.
func integrated(o *Observation, v Value, around float64) []float64 {
	lo, hi := o.Range[0], o.Range[1]
	w := make([]float64, len(o.Bands))
	for i, b := range o.Bands {
		x, y := max(lo, around+b.Lo), min(hi, around+b.Hi)
		w[i] = o.Blunder / (hi - lo)
		if x >= y {
			continue
		}
		const n = 4000
		sum := 0.0
		for k := 0; k <= n; k++ {
			f := 2.0
			switch {
			case k == 0 || k == n:
				f = 1
			case k%2 == 1:
				f = 4
			}
			z := (v.Lo - (x + (y-x)*float64(k)/n)) / v.U
			sum += f * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / v.U
		}
		w[i] += (1 - o.Blunder) * sum / 3 / n
	}
	return scaled(w)
}

func TestBandWeightsAgainstIntegral(t *testing.T) {
	tests := []struct {
		name      string
		o         *Observation
		r, u      float64
		around    float64
		tolerance float64
	}{
		{"middle of a band", banded(0, 40, 1, 0.02, 10, 20), 15, 1, 0, 1e-9},
		{"on a limit", banded(0, 40, 1, 0.02, 10, 20), 20, 1, 0, 1e-9},
		{"wide error", banded(0, 40, 1, 0.02, 10, 20), 12, 30, 0, 1e-9},
		{"no blunders", banded(0, 40, 1, 0, 10, 20), 19, 2, 0, 1e-9},
		{"narrow band", banded(0, 40, 1, 0.02, 20, 20.001), 20, 1, 0, 1e-9},
		{"relative limits", banded(0, 40, 1, 0.02, -2, 2), 23, 1, 22, 1e-9},
		{"band outside of the range", banded(0, 40, 1, 0.02, -2, 2), 39.5, 1, 39, 1e-9},
		{"at the end of the range", banded(0, 40, 1, 0.02, 10, 20), 40, 1, 0, 1e-9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.o.BandWeights(pointAt(tt.r, tt.u), tt.around)
			want := integrated(tt.o, pointAt(tt.r, tt.u), tt.around)
			for i := range want {
				if math.Abs(got[i]-want[i]) > tt.tolerance {
					t.Errorf("BandWeights(%g, u %g)[%d] = %g; want %g by integration", tt.r, tt.u, i, got[i], want[i])
				}
			}
		})
	}
}

func TestBandWeightsDecide(t *testing.T) {
	o := banded(0, 40, 1, 0.02, 10, 20)
	inf := math.Inf(1)
	tests := []struct {
		name   string
		v      Value
		around float64
		want   []float64
	}{
		{"range inside a band", Value{Lo: 12, Hi: 18}, 0, []float64{0, 1, 0}},
		{"range over a limit, same share of both", Value{Lo: 15, Hi: 30}, 0, []float64{0, 1, 1}},
		{"range over a limit, half and quarter", Value{Lo: 15, Hi: 25}, 0, []float64{0, 1, 0.5}},
		{"range that covers a band", Value{Lo: 5, Hi: 25}, 0, []float64{0.5, 1, 0.25}},
		{"upper bound at a limit", Value{Lo: -inf, Hi: 10}, 0, []float64{1, 0, 0}},
		{"upper bound inside", Value{Lo: -inf, Hi: 15}, 0, []float64{1, 0.5, 0}},
		{"lower bound", Value{Lo: 20, Hi: inf}, 0, []float64{0, 0, 1}},
		{"bound that says nothing", Value{Lo: -inf, Hi: 40}, 0, []float64{1, 1, 1}},
		{"no number", Value{Lo: -inf, Hi: inf}, 0, []float64{1, 1, 1}},
		{"band's word", Value{Words: []string{"bb"}, Lo: -inf, Hi: inf}, 0, []float64{0, 1, 0}},
		{"exact point", pointAt(5, 0), 0, []float64{1, 0, 0}},
		{"exact point on a limit", pointAt(10, 0), 0, []float64{0, 1, 0}},
		{"exact point around", pointAt(5, 0), -10, []float64{0, 1, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := o.BandWeights(tt.v, tt.around)
			for i := range tt.want {
				if math.Abs(got[i]-tt.want[i]) > weightTolerance {
					t.Fatalf("BandWeights(%+v, %g) = %v; want %v", tt.v, tt.around, got, tt.want)
				}
			}
		})
	}
	if got := (&Observation{Kind: Number}).BandWeights(pointAt(1, 1), 0); got != nil {
		t.Errorf("BandWeights without bands = %v; want nil", got)
	}
}

// drawBanded draws an observation with three to five bands and a reading in its range.
func drawBanded(t *rapid.T, blunder float64) (*Observation, Value) {
	limits := rapid.SliceOfNDistinct(rapid.Float64Range(1, 99), 2, 4, rapid.ID[float64]).Draw(t, "limits")
	slices.Sort(limits)
	u := rapid.Float64Range(1e-3, 50).Draw(t, "u")
	o := banded(0, 100, u, blunder, limits...)
	return o, pointAt(rapid.Float64Range(0, 100).Draw(t, "r"), u)
}

func TestBandWeightsAreWeights(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, v := drawBanded(t, 0.02)
		w := o.BandWeights(v, rapid.Float64Range(-20, 20).Draw(t, "around"))
		if slices.Max(w) != 1 || slices.Min(w) <= 0 {
			t.Errorf("BandWeights(%+v) = %v; want all above 0 and the largest 1", v, w)
		}
	})
}

// TestBandWeightsAreMonotone: as the reading rises, no lower band gains on a higher one. A
// normal error has this property (monotone likelihood ratio), a blunder share blurs it, so
// it is tested without; with it, the most probable band still never falls.
func TestBandWeightsAreMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, v := drawBanded(t, 0)
		step := rapid.Float64Range(0, 100-v.Lo).Draw(t, "step")
		higher := pointAt(v.Lo+step, v.U)
		a, b := o.BandWeights(v, 0), o.BandWeights(higher, 0)
		for i := range len(a) - 1 {
			// Beyond 1e-290 figures are lost to underflow.
			if min(a[i], a[i+1], b[i], b[i+1]) > 1e-290 && a[i+1]/a[i] > b[i+1]/b[i]*(1+1e-6) {
				t.Errorf("from %g to %g, u %g: weights %v, then %v: band %d gained on band %d", v.Lo, higher.Lo, v.U, a, b, i, i+1)
			}
		}
		o.Blunder = 0.02
		a, b = o.BandWeights(v, 0), o.BandWeights(higher, 0)
		if top, next := slices.Index(a, 1), slices.Index(b, 1); next < top && a[next] < 1-1e-9 {
			t.Errorf("from %g to %g, u %g: most probable band falls from %d to %d", v.Lo, higher.Lo, v.U, top, next)
		}
	})
}

func TestBandWeightsAreSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, v := drawBanded(t, 0.02)
		var limits []float64
		for _, b := range o.Bands[1:] {
			limits = append(limits, 100-b.Lo)
		}
		slices.Reverse(limits)
		mirror := banded(0, 100, v.U, 0.02, limits...)
		a, b := o.BandWeights(v, 0), mirror.BandWeights(pointAt(100-v.Lo, v.U), 0)
		slices.Reverse(b)
		for i := range a {
			if math.Abs(a[i]-b[i]) > 1e-6 {
				t.Errorf("at %g, u %g: %v, mirrored %v", v.Lo, v.U, a, b)
			}
		}
	})
}

func TestAroundOthers(t *testing.T) {
	inf := math.Inf(1)
	tests := []struct {
		name      string
		others    []Value
		median, u float64
		ok        bool
	}{
		{"none", nil, 0, 0, false},
		{"only bounds", []Value{{Lo: -inf, Hi: 3}}, 0, 0, false},
		{"one", []Value{pointAt(3, 0.5)}, 3, 0.5, true},
		{"two", []Value{pointAt(3, 0.3), pointAt(5, 0.4)}, 4, 0.25, true},
		{"three", []Value{pointAt(9, 1), pointAt(3, 1), pointAt(5, 1)}, 5, math.Sqrt(math.Pi / 2 / 3), true},
		{"range", []Value{{Lo: 2, Hi: 8}}, 5, 3 / math.Sqrt(3), true},
		{"bound left out", []Value{{Lo: 4, Hi: inf}, pointAt(3, 0.5)}, 3, 0.5, true},
	}
	for _, tt := range tests {
		median, u, ok := AroundOthers(tt.others)
		if math.Abs(median-tt.median) > weightTolerance || math.Abs(u-tt.u) > weightTolerance || ok != tt.ok {
			t.Errorf("%s: AroundOthers(%v) = %g, %g, %v; want %g, %g, %v", tt.name, tt.others, median, u, ok, tt.median, tt.u, tt.ok)
		}
	}
}

func BenchmarkBandWeights(b *testing.B) {
	o := banded(0, 40, 1, 0.02, 10, 15, 20, 25)
	for b.Loop() {
		o.BandWeights(pointAt(17, 1), 0)
	}
}
