package rules

import (
	"fmt"
	"math"
	"strings"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// bandPrefix makes the name of the symbol that holds the band of a number.
const bandPrefix = "band."

// Symbol says what one symbol of the conditions stands for.
type Symbol struct {
	// Index is its number in [Set.Env].
	Index       int
	Observation *symptoms.Observation
	// Band is true for the band of a number, false for the value as it is read.
	Band bool
}

// BuildEnv returns the environment for conditions over a vocabulary. Its symbols are every fact, spec value and
// observation by id, and band.<id> for every number with bands, whose words stand in the order of Observation.Words; its
// functions are the units, each turning a bare number into a quantity, mm(3), and those of the physical model (Models). History words are no symbols, since
// history changes priors and is no finding.
func BuildEnv(v *symptoms.Vocabulary) (*condition.Env, error) {
	_, symbols := environment(v)
	env, err := condition.NewEnv(symbols, append(unitFunctions(), modelFunctions()...))
	if err != nil {
		return nil, fmt.Errorf("vocabulary: %w", err)
	}
	return env, nil
}

// environment lists the symbols of a vocabulary, each with what it stands for.
func environment(v *symptoms.Vocabulary) ([]Symbol, []condition.Symbol) {
	var meanings []Symbol
	var symbols []condition.Symbol
	add := func(o *symptoms.Observation, band bool, c condition.Symbol) {
		meanings = append(meanings, Symbol{Index: len(symbols), Observation: o, Band: band})
		symbols = append(symbols, c)
	}
	for _, o := range v.All() {
		if o.Where == symptoms.History {
			continue
		}
		c := condition.Symbol{Name: o.ID}
		switch o.Kind {
		case symptoms.YesNo:
			c.Kind = condition.YesNo
		case symptoms.Choice:
			c.Kind, c.Words = condition.Word, words(o)
			if o.Several {
				c.Kind = condition.Words
			}
		case symptoms.Number:
			c.Kind = condition.Number
			if u, ok := symptoms.LookupUnit(o.Unit); ok {
				c.Dim, c.Unit = condition.Dim(u.Dim), u.Func
			}
		}
		add(o, false, c)
		if len(o.Bands) > 0 {
			add(o, true, condition.Symbol{Name: bandPrefix + o.ID, Kind: condition.Word, Words: words(o)})
		}
	}
	return meanings, symbols
}

// words keeps the order of the vocabulary, since bit i of a finding means word i.
func words(o *symptoms.Observation) []string {
	ws := make([]string, len(o.Words))
	for i, w := range o.Words {
		ws[i] = w.Word
	}
	return ws
}

// unitFunctions makes a function of every unit that can be named in a condition. A unit with an offset (degC) is as monotone
// as the others, so a reading with limits stays one with limits.
func unitFunctions() []condition.Function {
	var fs []condition.Function
	for _, u := range symptoms.Units() {
		if u.Func == "" {
			continue
		}
		factor, offset := u.Factor, u.Offset
		fs = append(fs, condition.Function{
			Name: u.Func, Args: []condition.Dim{{}}, Result: condition.Dim(u.Dim), Monotone: true,
			Call: func(a []float64) float64 { return a[0]*factor + offset },
			Doc:  "a number of " + u.Name,
		})
	}
	return fs
}

// modelFunctions makes the functions of the physical model callable.
func modelFunctions() []condition.Function {
	var fs []condition.Function
	for _, m := range Models() {
		fs = append(fs, m.function())
	}
	return fs
}

// Symbol returns what symbol i of [Set.Env] stands for.
func (s *Set) Symbol(i int) Symbol { return s.symbols[i] }

// SymbolsOf returns the indexes in [Set.Env] of an observation's value and of its band; -1 where it has none.
func (s *Set) SymbolsOf(observation string) (val, band int) {
	return s.indexOf(observation), s.indexOf(bandPrefix + observation)
}

// indexOf returns the index of a symbol, -1 when there is none.
func (s *Set) indexOf(name string) int {
	if i, ok := s.Env.Index(name); ok {
		return i
	}
	return -1
}

// Known enters a value into a case, as far as it is certain: a yes or no, the words, the interval of a number, and its band when the
// value, without its uncertainty, lies in one band only. Around is the value that the bands are relative to, in SI units; it is not
// looked at when they are absolute, and NaN leaves the band unknown. The words of a choice that can hold at once are entered as the
// full set: those not named do not hold.
func (s *Set) Known(c *condition.Case, o *symptoms.Observation, v symptoms.Value, around float64) {
	val, band := s.SymbolsOf(o.ID)
	if val < 0 {
		return
	}
	switch o.Kind {
	case symptoms.YesNo:
		c.SetYesNo(val, v.Yes)
	case symptoms.Choice:
		mask := mask(o, v.Words)
		if o.Several {
			c.SetWords(val, mask)
		} else if w := only(mask); w >= 0 {
			c.SetWord(val, w)
		}
	case symptoms.Number:
		if len(v.Words) == 0 {
			c.SetNumber(val, v.Lo, v.Hi)
		}
		if w := only(bandsOf(o, v, around)); band >= 0 && w >= 0 {
			c.SetWord(band, w)
		}
	}
}

// bandsOf returns the bands that a value can lie in, one bit per word of the observation.
func bandsOf(o *symptoms.Observation, v symptoms.Value, around float64) uint64 {
	if len(v.Words) > 0 {
		return mask(o, v.Words)
	}
	if !o.Relative() {
		around = 0
	}
	var words []string
	for _, b := range o.Bands {
		lo, hi := v.Lo-around, v.Hi-around
		switch {
		case math.IsNaN(lo) || math.IsNaN(hi):
			words = append(words, b.Word)
		case hi >= b.Lo && lo < b.Hi:
			words = append(words, b.Word)
		}
	}
	return mask(o, words)
}

// mask sets the bits of the named words of an observation.
func mask(o *symptoms.Observation, named []string) uint64 {
	var m uint64
	for i, w := range o.Words {
		for _, n := range named {
			if w.Word == n {
				m |= 1 << i
			}
		}
	}
	return m
}

// only returns the number of the only bit set, or -1.
func only(mask uint64) int {
	if mask == 0 || mask&(mask-1) != 0 {
		return -1
	}
	for i := 0; ; i++ {
		if mask>>i == 1 {
			return i
		}
	}
}

// parse reads a value of the symbol's observation from the words of an example.
func (y Symbol) parse(words []string) (symptoms.Value, error) {
	text := strings.Join(words, ", ")
	v, err := symptoms.ParseValue(y.Observation, text)
	if err == nil && y.Band && len(v.Words) == 0 {
		err = fmt.Errorf("%q is no band of %s", text, y.Observation.ID)
	}
	return v, err
}
