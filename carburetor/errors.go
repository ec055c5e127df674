package carburetor

import (
	"errors"
	"fmt"
	"math"
)

// Errors for states that have no answer, though the input is possible.
var (
	// ErrCannotClose says that the float, pushed fully under, cannot hold the valve shut: the
	// fuel finds no level and the bowl overflows.
	ErrCannotClose = errors.New("the float cannot close the valve at any level")
	// ErrNoFuel says that the depression does not lift the fuel to the outlet: no fuel flows,
	// and no air-fuel ratio exists.
	ErrNoFuel = errors.New("the depression does not lift the fuel to the outlet")
	// ErrNoDifference says that two pressures that must differ for an answer are equal.
	ErrNoDifference = errors.New("there is no pressure difference to work with")
)

// An InputError is an impossible input: a negative mass, a hole wider than its pipe.
type InputError struct {
	// Quantity names the input in words, such as "float mass".
	Quantity string
	// Got is the value with its unit.
	Got string
	// Want says what would be possible.
	Want string
}

// Error prints the quantity, the value and what would be possible.
func (e *InputError) Error() string {
	return fmt.Sprintf("%s %s: must be %s", e.Quantity, e.Got, e.Want)
}

// A RangeError says that the input is possible but lies outside the range for which the formula
// has been checked, or for which its author gives it. The model does not answer there.
type RangeError struct {
	// Formula names the formula in words.
	Formula string
	// Quantity names what is out of range; Got is its value with its unit.
	Quantity, Got string
	// Valid is the range in words.
	Valid string
	// Value is what the formula gives nevertheless, in SI units, or NaN where it gives nothing.
	// It is for showing how far out one is, not for use.
	Value float64
}

// Error prints the quantity, the value and the range.
func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %s %s is outside %s, where it has been checked", e.Formula, e.Quantity, e.Got, e.Valid)
}

// quantity is any number with a unit that can be printed.
type quantity interface {
	~float64
	String() string
}

// number is a plain number among the quantities.
type number float64

// String prints the number without a unit.
func (n number) String() string { return show(float64(n), "") }

// faults collects what is impossible about an input, so that all of it is told at once.
type faults []error

func (f *faults) add(name, got, want string) {
	*f = append(*f, &InputError{Quantity: name, Got: got, Want: want})
}

// name puts a name before the quantities of the faults from index on. Names are joined here and
// not in every call, because that would allocate when there is no fault.
func (f faults) name(index int, what string) {
	for _, e := range f[index:] {
		if input, ok := e.(*InputError); ok {
			input.Quantity = what + " " + input.Quantity
		}
	}
}

// err returns nil, the only fault, or all of them joined.
func (f faults) err() error {
	if len(f) == 1 {
		return f[0]
	}
	return errors.Join(f...)
}

// The checks below are generic functions and not methods over an interface, because boxing a
// number would cost an allocation in every rule that is evaluated.

// Nothing in a workshop, in SI units, is larger than hugest, or above 0 and smaller than
// tiniest. The bounds keep every formula of the model clear of overflow.
const (
	hugest  = 1e12
	tiniest = 1e-18
)

func finite[Q quantity](f *faults, name string, q Q) {
	if !(math.Abs(float64(q)) <= hugest) {
		f.add(name, q.String(), "a finite number")
	}
}

func positive[Q quantity](f *faults, name string, q Q) {
	if !(q >= tiniest && q <= hugest) {
		f.add(name, q.String(), "more than 0")
	}
}

func notNegative[Q quantity](f *faults, name string, q Q) {
	if !(q >= 0 && q <= hugest) {
		f.add(name, q.String(), "0 or more")
	}
}

func between[Q quantity](f *faults, name string, q, low, high Q) {
	if !(q >= low && q <= high) {
		f.add(name, q.String(), "from "+low.String()+" to "+high.String())
	}
}

// share checks a factor above 0 and at most 1.
func share(f *faults, name string, x float64) {
	if !(x >= tiniest && x <= 1) {
		f.add(name, number(x).String(), "more than 0, at most 1")
	}
}

func above[Q quantity](f *faults, name string, q, low Q) {
	if !(q > low && q <= hugest) {
		f.add(name, q.String(), "more than "+low.String())
	}
}

func below[Q quantity](f *faults, name string, q, high Q) {
	if !(q < high && q >= -hugest) {
		f.add(name, q.String(), "less than "+high.String())
	}
}

// within returns a RangeError if q is outside the range of a formula. value is what the formula
// gives there.
func within[Q quantity](formula, name string, q, low, high Q, value float64) error {
	// A change of units may bring a relative error of a few roundings; a value exactly on a
	// limit is inside.
	const slack = 1e-12
	margin := Q(slack * math.Max(math.Abs(float64(low)), math.Abs(float64(high))))
	if q >= low-margin && q <= high+margin {
		return nil
	}
	return &RangeError{
		Formula: formula, Quantity: name, Got: q.String(),
		Valid: low.String() + " to " + high.String(), Value: value,
	}
}

// or returns v, or the default where v is zero: in options, zero means the default.
func or[Q ~float64](v, otherwise Q) Q {
	if v == 0 {
		return otherwise
	}
	return v
}
