package belief

import "math"

// tiny is the size below which weights are scaled up. Scaling is by powers of two, which is exact.
const tiny = 1.0 / (1 << 32)

// fit scales a pair so that no weight is above one and the sum is not below tiny, and returns the power of two taken out:
// p = result * 2^e. A zero pair stays as it is.
func (p pair) fit() (pair, int) {
	s := p[0] + p[1]
	if s >= tiny && p[0] <= 1 && p[1] <= 1 || s == 0 {
		return p, 0
	}
	_, e := math.Frexp(max(p[0], p[1]))
	return pair{math.Ldexp(p[0], -e), math.Ldexp(p[1], -e)}, e
}

// sign maps every positive weight to one.
func (p pair) sign() pair { return pair{sign(p[0]), sign(p[1])} }

func sign(x float64) float64 {
	if x > 0 {
		return 1
	}
	return 0
}

// times multiplies entry by entry.
func (p pair) times(q pair) pair { return pair{p[0] * q[0], p[1] * q[1]} }

// dot is the sum over both values.
func (p pair) dot(q pair) float64 { return p[0]*q[0] + p[1]*q[1] }

// ratio is the posterior of "so" from the two joint weights; never 1-x, so that small ones keep their digits.
func (p pair) ratio() float64 { return p[1] / (p[0] + p[1]) }

// A producer acts on what is known so far about one child, n = (not produced, produced): absent it leaves n alone, present it
// produces the child with chance l. raise and lower are that step and its transpose.
func (n pair) raise(l, q float64) pair { return pair{q * n[0], n[1] + l*n[0]} }
func (x pair) lower(l, q float64) pair { return pair{q*x[0] + l*x[1], x[1]} }

// magnitude is m * 2^e with m in [1/2, 1), or zero: a product that neither overflows nor underflows.
type magnitude struct {
	m float64
	e int
}

func one() magnitude { return magnitude{0.5, 1} }

// add adds b, which is not negative.
func (a *magnitude) add(b magnitude) {
	switch {
	case b.m == 0:
	case a.m == 0:
		*a = b
	default:
		x, y := *a, b
		if y.e > x.e {
			x, y = y, x
		}
		*a = magnitude{x.m + math.Ldexp(y.m, y.e-x.e), x.e}
		a.mul(1)
	}
}

func (a *magnitude) mul(x float64) {
	m, e := math.Frexp(a.m * x)
	a.m, a.e = m, a.e+e
}
