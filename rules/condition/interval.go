package condition

import "math"

// An interval is what is known about a number: that it lies between lo and hi,
// both included. A point has lo == hi. An end may be infinite, which means that
// there is no bound on that side; infinity itself is never a value. Nothing
// known, or nothing computable, is NaN at both ends: every comparison with NaN is
// false in Go, so the comparisons below give unknown without asking.
//
// Soundness. IEEE 754 rounding is monotone, and each operation here evaluates the
// ends with the same rounded operation that a point would meet. So the result
// for any points within the operands lies within the result for the operands, and
// a comparison that is decided for an interval is decided the same way for every
// point in it.
type interval struct{ lo, hi float64 }

func unknownNumber() interval { return interval{math.NaN(), math.NaN()} }

func point(v float64) interval { return interval{v, v} }

// isPoint is false for what is unknown.
func (a interval) isPoint() bool { return a.lo == a.hi }

// spread is 0 for a point and 1 for everything else, without a branch.
func (a interval) spread() uint64 {
	var n uint64
	if a.lo != a.hi {
		n = 1
	}
	return n
}

func (a interval) isUnknown() bool { return a.lo != a.lo }

// bounded mends overflow: a result beyond the largest float64 is known only to be
// beyond it, so infinity stays a bound and does not become a value.
func bounded(lo, hi float64) interval {
	if lo > math.MaxFloat64 {
		lo = math.MaxFloat64
	}
	if hi < -math.MaxFloat64 {
		hi = -math.MaxFloat64
	}
	return interval{lo, hi}
}

func (a interval) negate() interval { return interval{-a.hi, -a.lo} }

func (a interval) add(b interval) interval { return bounded(a.lo+b.lo, a.hi+b.hi) }

func (a interval) sub(b interval) interval { return bounded(a.lo-b.hi, a.hi-b.lo) }

func (a interval) mul(b interval) interval {
	if a.isPoint() && b.isPoint() {
		p := a.lo * b.lo
		return bounded(p, p)
	}
	if a.isUnknown() || b.isUnknown() {
		return unknownNumber()
	}
	return hull(a.lo*b.lo, a.lo*b.hi, a.hi*b.lo, a.hi*b.hi)
}

// div is unknown when the divisor may be zero.
func (a interval) div(b interval) interval {
	if a.isUnknown() || b.isUnknown() || b.lo <= 0 && b.hi >= 0 {
		return unknownNumber()
	}
	if a.isPoint() && b.isPoint() {
		q := a.lo / b.lo
		return bounded(q, q)
	}
	return hull(a.lo/b.lo, a.lo/b.hi, a.hi/b.lo, a.hi/b.hi)
}

// hull returns the smallest interval that holds four corners. A corner that is
// NaN comes from 0*Inf or Inf/Inf; since infinity is a bound and not a value, the
// products and quotients near it come as close to 0 as one likes and the other
// corners bound them on the far side, so it counts as 0.
func hull(corners ...float64) interval {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range corners {
		if v != v {
			v = 0
		}
		lo, hi = min(lo, v), max(hi, v)
	}
	return bounded(lo, hi)
}

// sign is +1 or 0. The compiler makes it a flag-to-register move, which keeps the
// comparisons below free of branches.
func sign(b bool) Truth {
	var t Truth
	if b {
		t = True
	}
	return t
}

// less is true when all of a lies below all of b, false when none of it does.
func less(a, b interval) Truth { return sign(a.hi < b.lo) - sign(a.lo >= b.hi) }

// equal is true when both are the same point, false when they have no point in
// common. Since lo <= hi, the two crossed equalities hold for points only.
func equal(a, b interval) Truth {
	return sign(a.lo == b.hi && a.hi == b.lo) - sign(a.hi < b.lo || b.hi < a.lo)
}
