package report

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"diagnose.example/carburetor"
	"diagnose.example/symptoms"
)

// A Calculator is one calculation at the bench, as a documented value: what goes in, what is taken where nothing is said
// and where that comes from, which formulas of package carburetor do the work, and how the result reads in a workshop.
// [Calculators] lists them.
type Calculator struct {
	// ID is the word for it, such as "float-level"; Also are other words by which people look for it.
	ID   string
	Also []string
	// Title says in a few words what it answers.
	Title string
	// Text says what goes in, what comes out and what it does not know.
	Text string
	// Inputs in the order in which they are asked.
	Inputs []Input
	// Formulas names the formulas that it rests on, as [carburetor.LookupFormula] takes them.
	Formulas []string
	// Caution stands beside every result; it is empty where the work has nothing to do with petrol or a running engine.
	Caution string
	// Worked tells in words what the first of the examples asks and what comes out, for the help; a test compares its figures.
	Worked string
	// Examples are sets of flags that work, for help and tests.
	Examples []string

	// blames says which flags a quantity of the model comes from, for errors.
	blames map[string]string
	model  func(g *given) ([]Result, error)
	tell   func(g *given, r *Reckoning)
	// picture draws the float bowl, for those that are about it; nil for the others.
	picture func(g *given, r *Reckoning) (*bowl, error)
	// curve puts a plot into r, if there is one.
	curve func(g *given, r *Reckoning) error
}

// A Result is one number that comes out.
type Result struct {
	// Key is its name in JSON without the unit, such as "level_shift".
	Key string
	// Name is the quantity in words.
	Name string
	// Unit is that of Value and Uncertainty: a unit of package symptoms where it has one, "" for plain numbers.
	Unit  string
	Value float64
	// Uncertainty is the standard uncertainty that the inputs give it: 0 where none of them has one, NaN where it could not be
	// worked out, because the inputs stand so near to the end of the model's range.
	Uncertainty float64
	// More and Less are the words for a value above and below 0, where the sign is told in words; Same is for neither.
	More, Less, Same string
	// Digits is how many digits count when there is no uncertainty; 0 means 3.
	Digits int
}

// A Reckoning is what a calculator makes of its inputs.
type Reckoning struct {
	*Calculator
	Results []Result
	// Meaning says in one sentence or two what that means at the bench.
	Meaning string
	// Notes are what was left out, and what else should be known.
	Notes []string
	// Curve is the plot, with Here the point of these inputs on it; nil where there is none.
	Curve *carburetor.Curve
	Here  carburetor.Point

	// fromZero: the curve means something by its distance from zero, which the plot therefore shows.
	fromZero bool
	given    *given
}

// Calculators returns all calculators in the order in which they are listed, in a fresh slice.
func Calculators() []*Calculator {
	return []*Calculator{
		floatLevel(), floatValve(), jetChange(), weather(), airLeak(), tapFlow(), tankVent(), fuelBlend(), exhaustGas(),
	}
}

// LookupCalculator finds a calculator by its id or one of its other words.
func LookupCalculator(word string) (*Calculator, bool) {
	for _, c := range Calculators() {
		if c.ID == word || slices.Contains(c.Also, word) {
			return c, true
		}
	}
	return nil, false
}

// Input returns the input of that name.
func (c *Calculator) Input(name string) (*Input, bool) {
	for i := range c.Inputs {
		if c.Inputs[i].Name == name {
			return &c.Inputs[i], true
		}
	}
	return nil, false
}

// Reckon works out the results for what was written for each input, by its name; what is not there is taken from the
// defaults. What cannot be is an error that holds an [InputFault] for every mistake. A state that is possible but outside the
// range of the model is an [OutOfRange].
func (c *Calculator) Reckon(written map[string]string) (*Reckoning, error) {
	g, err := c.read(written)
	if err != nil {
		return nil, err
	}
	results, err := c.model(g)
	if err != nil {
		return nil, c.fault(err)
	}
	r := &Reckoning{Calculator: c, Results: results, given: g}
	for i := range r.Results {
		r.Results[i].Uncertainty = c.uncertainty(g, r.Results[i].Key)
	}
	c.tell(g, r)
	if err := c.curve(g, r); err != nil {
		return nil, c.fault(err)
	}
	return r, nil
}

// Result returns the result of that key.
func (r *Reckoning) Result(key string) (Result, bool) {
	i := slices.IndexFunc(r.Results, func(x Result) bool { return x.Key == key })
	if i < 0 {
		return Result{}, false
	}
	return r.Results[i], true
}

// drop takes results out.
func (r *Reckoning) drop(keys ...string) {
	r.Results = slices.DeleteFunc(slices.Clone(r.Results), func(x Result) bool { return slices.Contains(keys, x.Key) })
}

// note adds a note.
func (r *Reckoning) note(format string, args ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, args...))
}

// uncertainty is what the uncertainties of the inputs make of one result; NaN where the model does not answer beside them.
func (c *Calculator) uncertainty(g *given, key string) float64 {
	var names []string
	var inputs []carburetor.Uncertain
	for _, in := range c.Inputs {
		if x, ok := g.entries[in.Name]; ok && x.uncertainty > 0 && g.used[in.Name] {
			names = append(names, in.Name)
			inputs = append(inputs, carburetor.Uncertain{Value: x.si, Uncertainty: x.uncertainty})
		}
	}
	if len(inputs) == 0 {
		return 0
	}
	u, err := carburetor.Propagate(func(x []float64) (float64, error) {
		beside := g.with(names, x)
		results, err := c.model(beside)
		if err != nil {
			return 0, err
		}
		for _, r := range results {
			if r.Key == key {
				return r.Value, nil
			}
		}
		return 0, errNoResult
	}, inputs...)
	if err != nil {
		return math.NaN()
	}
	return u.Uncertainty
}

// errNoResult says that a result is not there for inputs beside the given ones.
var errNoResult = errors.New("no such result here")

// plotSteps is the number of stretches of a curve.
const plotSteps = 60

// sweepFromZero is sweep for results of which the distance from zero counts.
func (r *Reckoning) sweepFromZero(input string, from, to float64, key string) error {
	r.fromZero = true
	return r.sweep(input, from, to, key)
}

// sweep makes a plot of one result over one input, from and to in the input's unit. Where the model does not answer the curve has
// no points; with less than two of them there is no plot.
func (r *Reckoning) sweep(input string, from, to float64, key string) error {
	in, _ := r.Input(input)
	y, ok := r.Result(key)
	if !ok {
		return nil
	}
	unit, _ := symptoms.LookupUnit(in.Unit)
	curve := &carburetor.Curve{X: carburetor.Axis{Name: upperFirst(in.name()), Unit: in.Unit}, Y: carburetor.Axis{Name: y.axis(), Unit: y.Unit}}
	for i := range plotSteps + 1 {
		x := from + (to-from)*float64(i)/plotSteps
		results, err := r.model(r.given.with([]string{input}, []float64{unit.SI(x)}))
		if err != nil {
			curve.Ends = err
			continue
		}
		if i := slices.IndexFunc(results, func(o Result) bool { return o.Key == key }); i >= 0 {
			curve.Points = append(curve.Points, carburetor.Point{X: x, Y: results[i].Value})
		}
	}
	if len(curve.Points) < 2 {
		return nil
	}
	r.Curve, r.Here = curve, carburetor.Point{X: unit.FromSI(r.given.entries[input].si), Y: y.Value}
	return nil
}

// axis names the quantity along an axis, where words cannot tell the sign.
func (r Result) axis() string {
	if r.More == "" {
		return r.Name
	}
	return r.Name + " (+ " + r.More + ")"
}

// OutOfRange says that the inputs are possible but the model does not answer there.
type OutOfRange struct {
	// Flags names the inputs that it hangs on, as flags; it may be empty.
	Flags string
	Err   error
	// Hint says what to do about it; it may be empty.
	Hint string
}

// Error says what is out of range, and what the range is.
func (e *OutOfRange) Error() string { return e.Err.Error() }

// Unwrap returns the error of the model.
func (e *OutOfRange) Unwrap() error { return e.Err }

// fault turns an error of the model into one that names flags.
func (c *Calculator) fault(err error) error {
	var fault *InputFault
	var outside *carburetor.RangeError
	var known *OutOfRange
	switch {
	case errors.As(err, &fault), errors.As(err, &known):
		return err
	case errors.As(err, &outside):
		return &OutOfRange{Flags: c.blame(outside.Quantity), Err: err}
	case errors.Is(err, carburetor.ErrCannotClose), errors.Is(err, carburetor.ErrNoFuel), errors.Is(err, carburetor.ErrNoDifference):
		return &OutOfRange{Err: err}
	}
	var list interface{ Unwrap() []error }
	if errors.As(err, &list) {
		var faults []error
		for _, one := range list.Unwrap() {
			faults = append(faults, c.fault(one))
		}
		return errors.Join(faults...)
	}
	var input *carburetor.InputError
	if errors.As(err, &input) {
		return &InputFault{Flags: c.blame(input.Quantity), Message: fmt.Sprintf("%s %s is not possible", input.Quantity, input.Got), Hint: "it must be " + input.Want}
	}
	return err
}

// blame returns the flags that a quantity of the model comes from, the longest name that fits first; "" for none known.
func (c *Calculator) blame(quantity string) string {
	best, flags := -1, ""
	for name, f := range c.blames {
		if strings.Contains(quantity, name) && len(name) > best {
			best, flags = len(name), f
		}
	}
	return flags
}
