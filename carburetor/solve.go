package carburetor

import "math"

// rootTolerance is the relative width of the bracket at which root stops: far below any
// uncertainty of the model, far above the rounding of the functions solved.
const rootTolerance = 1e-13

// root finds a zero of f between lo and hi, where f must differ in sign. It is regula falsi in
// the Illinois variant (M. Dowell, P. Jarratt, "A modified regula falsi method for computing
// the root of an equation", BIT 11 (1971) 168-174; recalled, not seen), with a halving of the
// bracket every third step so that it always ends.
func root(lo, hi float64, f func(float64) float64) float64 {
	flo, fhi := f(lo), f(hi)
	side := 0
	for i := range 200 {
		if flo == 0 {
			return lo
		}
		if fhi == 0 || math.Abs(hi-lo) <= rootTolerance*math.Max(math.Abs(lo), math.Abs(hi)) {
			return hi
		}
		x := (lo*fhi - hi*flo) / (fhi - flo)
		if i%3 == 2 || !(x > math.Min(lo, hi) && x < math.Max(lo, hi)) {
			x = lo + (hi-lo)/2
		}
		fx := f(x)
		if (fx > 0) == (fhi > 0) {
			hi, fhi = x, fx
			if side == 1 {
				flo /= 2
			}
			side = 1
			continue
		}
		lo, flo = x, fx
		if side == -1 {
			fhi /= 2
		}
		side = -1
	}
	return hi
}
