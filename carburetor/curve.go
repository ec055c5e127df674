package carburetor

import "errors"

// An Axis says what one coordinate of a curve is.
type Axis struct {
	// Name is the quantity in words, Unit the unit of the numbers; Unit is empty for ratios.
	Name, Unit string
}

// A Point is one point of a curve or of a drawing.
type Point struct{ X, Y float64 }

// A Curve is a sampled result, ready for a plot: numbers in the units of its axes.
type Curve struct {
	// X and Y describe the coordinates.
	X, Y Axis
	// Points are in the order of the span. The caller owns them.
	Points []Point
	// Ends says why points are missing at an end: the model gave no answer there. Nil when
	// every sample has a point.
	Ends error
}

// A Span is a stretch to sample: Steps+1 points from From to To, both included.
type Span[Q ~float64] struct {
	From, To Q
	// Steps is the number of intervals, 1 to 10000; zero means 50.
	Steps int
}

const (
	defaultSteps = 50
	mostSteps    = 10000
)

// sample evaluates f over the span. Samples outside the validated range or without an answer
// are left out and noted in Ends; any other error ends the sampling.
func sample[Q quantity](s Span[Q], x, y Axis, f func(Q) (Point, error)) (Curve, error) {
	if s.Steps == 0 {
		s.Steps = defaultSteps
	}
	var bad faults
	between(&bad, "number of steps", number(s.Steps), 1, mostSteps)
	finite(&bad, "start of the span", s.From)
	finite(&bad, "end of the span", s.To)
	if bad != nil {
		return Curve{}, bad.err()
	}
	c := Curve{X: x, Y: y, Points: make([]Point, 0, s.Steps+1)}
	for i := range s.Steps + 1 {
		t := Q(i) / Q(s.Steps)
		p, err := f(s.From*(1-t) + s.To*t)
		switch {
		case err == nil:
			c.Points = append(c.Points, p)
		case hasNoAnswer(err):
			c.Ends = err
		default:
			return Curve{}, err
		}
	}
	if len(c.Points) == 0 {
		return Curve{}, c.Ends
	}
	return c, nil
}

// hasNoAnswer tells a state without an answer from an impossible input.
func hasNoAnswer(err error) bool {
	var out *RangeError
	return errors.As(err, &out) || errors.Is(err, ErrCannotClose) || errors.Is(err, ErrNoFuel)
}
