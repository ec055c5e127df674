package report

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"diagnose.example/symptoms"
)

// An Input is one thing that a calculator wants to know.
type Input struct {
	// Name is that of its flag without the dashes, such as "float-height".
	Name string
	// Text is the quantity in a few words, Question asks for it.
	Text, Question string
	// Unit is the unit of package symptoms in which a bare number is read; "" for counts and ratios. For a choice it is unused.
	Unit string
	// Sample is an answer as it may be written, for errors and questions; it may be left out where there is a default.
	Sample string
	// Range holds the plausible limits in Unit. What lies outside is taken for a slip of the pen.
	Range [2]float64
	// Uncertainty is the standard uncertainty of one reading in Unit, taken where nobody writes one; 0 for none.
	Uncertainty float64
	// Words are the answers to a choice.
	Words []symptoms.Word
	// Default is taken where nothing is said, written as one would write it, with its uncertainty; Because says where it comes
	// from. Empty: nothing is taken.
	Default, Because string
	// Required: there is no answer without it, unless the input named by Unless is given.
	Required bool
	Unless   string
	// Detail: not asked for one by one, since the default does for most.
	Detail bool
}

// observation is the input as a question of the vocabulary, whose reading of answers is thereby the reading here.
func (in *Input) observation() *symptoms.Observation {
	o := &symptoms.Observation{
		ID: "--" + in.Name, Question: in.Question, Kind: symptoms.Number, Unit: in.Unit, Range: in.Range,
		Uncertainty: in.Uncertainty, Words: in.Words,
	}
	if len(in.Words) > 0 {
		o.Kind = symptoms.Choice
	}
	return o
}

// An InputFault is an input that cannot be, or is missing.
type InputFault struct {
	// Flags names the inputs, as flags, such as "--head and --inlet-pressure".
	Flags string
	// Message says what is wrong, Hint what to write instead.
	Message, Hint string
}

// Error returns the message behind the flags, unless it names them itself.
func (e *InputFault) Error() string {
	if e.Flags == "" || strings.Contains(e.Message, e.Flags) {
		return e.Message
	}
	return e.Flags + ": " + e.Message
}

// Check reads what somebody wrote for an input and says what is wrong with it: nil or an [InputFault].
func (in *Input) Check(written string) error {
	_, err := in.parse(written)
	return err
}

// inputEntry is the value of one input, in SI units.
type inputEntry struct {
	si, uncertainty float64
	word            string
	unit            string
	written         string
	taken           bool // a default
}

// parse reads one answer. Ranges and bounds decide a band on an intake sheet but are no number to reckon with.
func (in *Input) parse(written string) (inputEntry, error) {
	v, err := symptoms.ParseValue(in.observation(), written)
	var fault *symptoms.ValueError
	switch {
	case errors.Is(err, symptoms.ErrUnknown):
		return inputEntry{}, &InputFault{"--" + in.Name, "unknown is no value", "leave the flag out, or write " + in.sample()}
	case errors.As(err, &fault):
		// On a sheet ranges and bounds would do as well; here they would not.
		hint, _, _ := strings.Cut(fault.Hint, "; a range as ")
		return inputEntry{}, &InputFault{"--" + in.Name, fault.Message, hint}
	case err != nil:
		return inputEntry{}, err
	}
	e := inputEntry{written: strings.TrimSpace(written), unit: in.Unit}
	if len(in.Words) > 0 {
		e.word = v.Words[0]
		e.written = e.word
		return e, nil
	}
	if v.Lo != v.Hi || math.IsInf(v.Lo, 0) {
		return e, &InputFault{"--" + in.Name, fmt.Sprintf("%q is not one number", written), "write " + in.sample() + ", or a number ± its uncertainty"}
	}
	e.si, e.uncertainty = v.Lo, v.U
	return e, nil
}

// sample is an answer as it may be written.
func (in *Input) sample() string {
	if len(in.Words) > 0 {
		words := make([]string, len(in.Words))
		for i, w := range in.Words {
			words[i] = w.Word
		}
		return strings.Join(words, " or ")
	}
	if in.Sample != "" {
		return in.Sample
	}
	value, _, spread := strings.Cut(in.Default, "±")
	if spread {
		value += in.Unit
	}
	return strings.TrimSpace(value)
}

// Answers says in a few words what may be answered, and what an empty answer does.
func (in *Input) Answers() string {
	how := in.Unit
	if len(in.Words) > 0 {
		how = in.sample()
	}
	switch {
	case in.Default != "":
		how += "; Enter: " + in.Default
	case !in.Required:
		how += "; Enter: leave out"
	}
	return strings.TrimPrefix(how, "; ")
}

// Flag writes the input as a flag with an answer that works, to be typed.
func (in *Input) Flag() string {
	answer := in.sample()
	if len(in.Words) > 0 {
		answer = in.Words[0].Word
	}
	if strings.ContainsAny(answer, " ") {
		answer = `"` + answer + `"`
	}
	return "--" + in.Name + " " + answer
}

// given holds the values of all inputs of one reckoning. It remembers which ones the model asked for and by which formulas it works.
type given struct {
	entries  map[string]inputEntry
	used     map[string]bool
	formulas map[string][]string // with the numbers put in
}

// read takes what was written, and the defaults for the rest. All faults are told at once.
func (c *Calculator) read(written map[string]string) (*given, error) {
	g := &given{entries: map[string]inputEntry{}, used: map[string]bool{}, formulas: map[string][]string{}}
	var faults []error
	for _, name := range slices.Sorted(maps.Keys(written)) {
		if _, ok := c.Input(name); !ok {
			faults = append(faults, &InputFault{"--" + name, "no such input", "the inputs are listed by: diagnose reckon " + c.ID + " --help"})
		}
	}
	for _, in := range c.Missing(written) {
		faults = append(faults, c.missing(in))
	}
	for i := range c.Inputs {
		in := &c.Inputs[i]
		text, ok := written[in.Name]
		if !ok {
			text = in.Default
		}
		if text == "" && !ok {
			continue
		}
		e, err := in.parse(text)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		e.taken = !ok
		g.entries[in.Name] = e
	}
	return g, errors.Join(faults...)
}

func (c *Calculator) missing(in *Input) error {
	or := ""
	if other, ok := c.Input(in.Unless); ok {
		or = ", or " + other.Flag()
	}
	return &InputFault{"--" + in.Name, "it is missing: " + in.Text, "write " + in.Flag() + or}
}

// Missing returns the inputs without which there is no answer, of those that are not among what was written.
func (c *Calculator) Missing(written map[string]string) []*Input {
	var out []*Input
	for i := range c.Inputs {
		in := &c.Inputs[i]
		_, given := written[in.Name]
		_, instead := written[in.Unless]
		if in.Required && !given && !instead {
			out = append(out, in)
		}
	}
	return out
}

// si returns the value of an input in SI units, 0 where it has none.
func (g *given) si(name string) float64 {
	g.used[name] = true
	return g.entries[name].si
}

// fig writes the value of an input in its own unit, for a formula with the numbers put in.
func (g *given) fig(name string) string {
	g.used[name] = true
	e := g.entries[name]
	u, _ := symptoms.LookupUnit(e.unit)
	return measure(u.FromSI(e.si), e.unit)
}

// word returns the answer to a choice.
func (g *given) word(name string) string {
	g.used[name] = true
	return g.entries[name].word
}

// by notes a formula that the model works with, and how it looks with the numbers put in.
func (g *given) by(name, format string, numbers ...any) {
	if line := fmt.Sprintf(format, numbers...); !slices.Contains(g.formulas[name], line) {
		g.formulas[name] = append(g.formulas[name], line)
	}
}

// has says whether an input has a value.
func (g *given) has(name string) bool {
	_, ok := g.entries[name]
	return ok
}

// taken says whether an input has its default.
func (g *given) taken(name string) bool { return g.entries[name].taken }

// with returns a copy with other numbers for the named inputs.
func (g *given) with(names []string, si []float64) *given {
	other := &given{entries: make(map[string]inputEntry, len(g.entries)), used: map[string]bool{}, formulas: map[string][]string{}}
	for name, e := range g.entries {
		other.entries[name] = e
	}
	for i, name := range names {
		e := other.entries[name]
		e.si = si[i]
		other.entries[name] = e
	}
	return other
}
