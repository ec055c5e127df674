package symptoms

import (
	"math"
	"slices"
)

// BandWeights returns for each band, in the order of o.Bands, how probable the value is
// as a reading if the true value lies in that band, up to a common factor: the largest
// weight is 1, and only ratios carry meaning. around is what the bands' limits are
// relative to, in SI base units: the spec value, the median of the other places, or 0 for
// absolute limits. The result is nil for an observation without bands.
//
// The true value is taken as equally probable everywhere within a band, as far as the band
// lies in the plausible range; a band outside it is reached by blunders only. A point r
// with standard uncertainty u is read with a normal error, and a share e of the readings
// is wrong and lies anywhere in the range:
//
//	w = (1-e)·(Φ((hi-r)/u) - Φ((lo-r)/u))/(hi-lo) + e/(range)
//
// This is the likelihood of the reading with the flat prior of JCGM 100:2008, 4.3.7, and
// the normal error of 4.3.4 (both cited from memory).
//
// A range or bound is a judged statement and not an instrument's reading: no blunder is
// reckoned with. Its weight is the share of the band that it covers; if it lies inside one
// band it decides, as that band's word does: 1 for the band, 0 for the others. A value that
// says nothing gives 1 everywhere. A point without uncertainty decides too; a limit itself
// belongs to the upper band.
func (o *Observation) BandWeights(value Value, around float64) []float64 {
	if len(o.Bands) == 0 {
		return nil
	}
	w := make([]float64, len(o.Bands))
	unit, _ := LookupUnit(o.Unit)
	lo, hi := unit.SI(o.Range[0]), unit.SI(o.Range[1])
	switch {
	case len(value.Words) > 0:
		for i, b := range o.Bands {
			if slices.Contains(value.Words, b.Word) {
				w[i] = 1
			}
		}
	case value.Lo == value.Hi && value.U <= 0:
		w[slices.IndexFunc(o.Bands, func(b Band) bool { return value.Lo-around < b.Hi || math.IsInf(b.Hi, 1) })] = 1
	case value.Lo == value.Hi:
		for i, b := range o.Bands {
			w[i] = pointWeight(value.Lo, value.U, max(lo, around+b.Lo), min(hi, around+b.Hi), lo, hi, o.Blunder)
		}
	default:
		for i, b := range o.Bands {
			w[i] = share(value, max(lo, around+b.Lo), min(hi, around+b.Hi))
		}
	}
	return scaled(w)
}

// pointWeight is the density of the reading r if the true value lies in [a, b], in
// parts of the density of a blunder in the range [lo, hi].
func pointWeight(r, u, a, b, lo, hi, blunder float64) float64 {
	if a >= b {
		return blunder
	}
	return (1-blunder)*meanDensity((a-r)/u, (b-r)/u)/u*(hi-lo) + blunder
}

// meanDensity is the standard normal density averaged over [x, y], x < y. Far out on one
// side the difference of two tails would cancel, so the tails of that side are used; over
// a narrow stretch the middle stands for the mean, with an error of (y-x)²/24.
func meanDensity(x, y float64) float64 {
	if y-x < 1e-5 {
		m := x + (y-x)/2
		return math.Exp(-m*m/2) / math.Sqrt(2*math.Pi)
	}
	if x > 0 {
		x, y = -y, -x
	}
	if y <= 0 {
		return (math.Erfc(-y/math.Sqrt2) - math.Erfc(-x/math.Sqrt2)) / 2 / (y - x)
	}
	return (math.Erf(y/math.Sqrt2) - math.Erf(x/math.Sqrt2)) / 2 / (y - x)
}

// share is the part of [a, b] that a range or bound covers.
func share(v Value, a, b float64) float64 {
	if a >= b {
		return 0
	}
	return max(0, min(v.Hi, b)-max(v.Lo, a)) / (b - a)
}

// scaled divides by the largest weight. Should all be zero (a value outside every band,
// which the decoder refuses) nothing is known: 1 everywhere.
func scaled(w []float64) []float64 {
	top := slices.Max(w)
	for i := range w {
		if top > 0 && !math.IsInf(top, 0) && !math.IsNaN(top) {
			w[i] /= top
		} else {
			w[i] = 1
		}
	}
	return w
}

// AroundOthers returns what a reading of an observation with bands around "others" is
// compared with: the median of the readings at the other places, and the standard
// uncertainty of that median, both in SI base units. The caller adds the latter to the
// reading's own, as the root of the sum of squares. A range counts as its middle with half
// its width over √3; bounds and words are left out, and if nothing is left ok is false.
//
// Of two readings the median is their mean; from three on, its variance is taken as π/2
// times that of a mean, the value for many readings with a normal error.
func AroundOthers(others []Value) (median, uncertainty float64, ok bool) {
	var at []float64
	variance := 0.0
	for _, v := range others {
		half := (v.Hi - v.Lo) / 2
		if math.IsInf(half, 0) || math.IsNaN(half) {
			continue
		}
		at = append(at, v.Lo+half)
		variance += v.U*v.U + half*half/3
	}
	n := len(at)
	if n == 0 {
		return 0, 0, false
	}
	slices.Sort(at)
	median = at[n/2]
	if n%2 == 0 {
		median = (at[n/2-1] + at[n/2]) / 2
	}
	if n > 2 {
		variance *= math.Pi / 2
	}
	return median, math.Sqrt(variance) / float64(n), true
}
