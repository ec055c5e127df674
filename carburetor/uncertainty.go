package carburetor

import "math"

// An Uncertain is a number with its standard uncertainty, both in the same unit.
type Uncertain struct{ Value, Uncertainty float64 }

// Propagate returns the result of a model with the uncertainty that its inputs give it, taken
// as independent. The inputs have their standard uncertainty, 0 or more; the model is called
// twice per uncertain input, with the others at their values.
//
//	u^2 = sum of ((f(x_i + u_i) - f(x_i - u_i))/2)^2
//
// Source: first-order propagation as in JCGM 100:2008, 5.1.2, with the differences of its note
// (MEMORY for the clause numbers).
func Propagate(model func(x []float64) (float64, error), inputs ...Uncertain) (Uncertain, error) {
	var bad faults
	x := make([]float64, len(inputs))
	for i, in := range inputs {
		finite(&bad, "input", number(in.Value))
		notNegative(&bad, "uncertainty", number(in.Uncertainty))
		x[i] = in.Value
	}
	if bad != nil {
		return Uncertain{}, bad.err()
	}
	y, err := model(x)
	if err != nil {
		return Uncertain{}, err
	}
	square := 0.0
	for i, in := range inputs {
		d, err := halfDifference(model, x, i, in.Uncertainty)
		if err != nil {
			return Uncertain{}, err
		}
		square += d * d
	}
	return Uncertain{y, math.Sqrt(square)}, nil
}

func halfDifference(model func(x []float64) (float64, error), x []float64, i int, u float64) (float64, error) {
	if u == 0 {
		return 0, nil
	}
	middle := x[i]
	defer func() { x[i] = middle }()
	x[i] = middle + u
	high, err := model(x)
	if err != nil {
		return 0, err
	}
	x[i] = middle - u
	low, err := model(x)
	return (high - low) / 2, err
}
