package condition

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// ends are where interval arithmetic goes wrong if it does: zero, the smallest and
// the largest numbers, and no bound at all.
var ends = []float64{
	math.Inf(-1), -math.MaxFloat64, -1e200, -3, -1, -math.SmallestNonzeroFloat64, 0,
	math.SmallestNonzeroFloat64, 0.1, 1, 3, 1e200, math.MaxFloat64, math.Inf(1),
}

func drawInterval(t *rapid.T) interval {
	i := rapid.IntRange(0, len(ends)-2).Draw(t, "lo")
	j := rapid.IntRange(i, len(ends)-1).Draw(t, "hi")
	if i == 0 && (j == 0 || j == len(ends)-1) {
		return unknownNumber()
	}
	return interval{ends[i], ends[j]}
}

// within draws a part of an interval, a point mostly.
func within(t *rapid.T, a interval) interval {
	if a.isUnknown() {
		a = interval{math.Inf(-1), math.Inf(1)}
	}
	inside := make([]float64, 0, len(ends))
	for _, v := range append([]float64{a.lo, a.hi, a.lo/2 + a.hi/2}, ends...) {
		if v >= a.lo && v <= a.hi && !math.IsInf(v, 0) {
			inside = append(inside, v)
		}
	}
	x, z := rapid.SampledFrom(inside).Draw(t, "from"), rapid.SampledFrom(inside).Draw(t, "to")
	if rapid.Bool().Draw(t, "point") {
		return point(x)
	}
	return interval{min(x, z), max(x, z)}
}

// TestIntervalsEnclose: what operations give for parts of their operands lies
// within what they give for the whole, at the edges of float64 too; so a comparison
// that is decided never changes.
func TestIntervalsEnclose(t *testing.T) {
	operations := map[string]func(a, b interval) interval{"+": interval.add, "-": interval.sub, "*": interval.mul, "/": interval.div,
		"negate": func(a, _ interval) interval { return a.negate() }}
	comparisons := map[string]func(a, b interval) Truth{"<": less, "==": equal}
	for name, op := range operations {
		rapid.Check(t, func(t *rapid.T) {
			a, b, c := drawInterval(t), drawInterval(t), drawInterval(t)
			pa, pb, pc := within(t, a), within(t, b), within(t, c)
			whole, part := op(a, b), op(pa, pb)
			if !whole.isUnknown() && !(part.lo >= whole.lo && part.hi <= whole.hi) {
				t.Fatalf("%v %s %v = %v; but %v %s %v = %v", a, name, b, whole, pa, name, pb, part)
			}
			if math.IsNaN(whole.lo) != math.IsNaN(whole.hi) || whole.lo > whole.hi || math.IsInf(whole.lo, 1) || math.IsInf(whole.hi, -1) {
				t.Fatalf("%v %s %v = %v, which is no interval", a, name, b, whole)
			}
			for relation, compare := range comparisons {
				if before, after := compare(whole, c), compare(part, pc); before != Unknown && after != before {
					t.Fatalf("%v %s %v is %v; but %v %s %v is %v", whole, relation, c, before, part, relation, pc, after)
				}
			}
		})
	}
}
