package engine

import (
	"cmp"
	"math"
)

// Descending orders numbers for slices.SortFunc, the largest first. What agrees to nine digits is equal, and what to do then is for the
// caller to say: two places that are alike differ by rounding only, and which of them comes first must not hang on the order in which
// numbers were added up.
func Descending(x, y float64) int { return cmp.Compare(toNineDigits(y), toNineDigits(x)) }

// toNineDigits rounds to 30 binary digits.
func toNineDigits(x float64) float64 {
	const cut = 52 - 29
	return math.Float64frombits((math.Float64bits(x) + 1<<(cut-1)) &^ (1<<cut - 1))
}
