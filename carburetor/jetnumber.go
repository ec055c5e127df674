package carburetor

import "math"

// A BoreNumber is the number on a jet stamped by its bore, in hundredths of a millimetre: 100
// is 1.00 mm. Many makers do so, not all (MEMORY); a FlowNumber is something else, and no
// conversion between them exists, because it would depend on the maker's rig.
type BoreNumber float64

// A FlowNumber is the number on a jet stamped by its flow, such as cubic centimetres per minute
// under the maker's head (MEMORY). Only ratios of numbers of one maker mean anything.
type FlowNumber float64

// String prints the number.
func (n BoreNumber) String() string { return show(float64(n), "") }

// String prints the number.
func (n FlowNumber) String() string { return show(float64(n), "") }

// Bore returns the bore that the number stands for.
func (n BoreNumber) Bore() Length { return Length(n) * Millimetre / 100 }

// FlowRatio returns the flow of jet n over that of jet from, at equal discharge coefficients.
//
//	q/q_from = (n/n_from)^2
//
// Source: own derivation (area rule). Numbers above 0.
func (n BoreNumber) FlowRatio(from BoreNumber) (float64, error) {
	var bad faults
	positive(&bad, "jet number", n)
	positive(&bad, "jet number", from)
	if bad != nil {
		return 0, bad.err()
	}
	return float64(n/from) * float64(n/from), nil
}

// FlowRatio returns the flow of jet n over that of jet from.
//
//	q/q_from = n/n_from
//
// Source: definition of a flow-stamped jet. Numbers above 0.
func (n FlowNumber) FlowRatio(from FlowNumber) (float64, error) {
	var bad faults
	positive(&bad, "jet number", n)
	positive(&bad, "jet number", from)
	if bad != nil {
		return 0, bad.err()
	}
	return float64(n / from), nil
}

// Scale returns the number of a jet of the same kind that passes ratio times as much.
//
//	n' = n sqrt(ratio)
//
// Source: own derivation (area rule).
func (n BoreNumber) Scale(ratio float64) (BoreNumber, error) {
	var bad faults
	positive(&bad, "jet number", n)
	positive(&bad, "flow ratio", number(ratio))
	if bad != nil {
		return 0, bad.err()
	}
	return n * BoreNumber(math.Sqrt(ratio)), nil
}

// Scale returns the number of a jet of the same kind that passes ratio times as much.
//
//	n' = n ratio
//
// Source: definition of a flow-stamped jet.
func (n FlowNumber) Scale(ratio float64) (FlowNumber, error) {
	var bad faults
	positive(&bad, "jet number", n)
	positive(&bad, "flow ratio", number(ratio))
	if bad != nil {
		return 0, bad.err()
	}
	return n * FlowNumber(ratio), nil
}
