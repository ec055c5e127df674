// Package condition evaluates three-valued, typed conditions over observations.
package condition

import (
	"errors"
	"fmt"
)

// Dim holds the exponents of length, mass, time, temperature, electric current and turn.
type Dim [6]int8

// Kind says what values a symbol takes.
type Kind uint8

// The kinds of symbol.
const (
	YesNo Kind = iota
	Word
	Words
	Number
)

// Symbol is something a condition can read.
type Symbol struct {
	Name  string
	Kind  Kind
	Words []string
	Dim   Dim
	Unit  string
}

// Function is a typed function that conditions may call.
type Function struct {
	Name     string
	Args     []Dim
	Result   Dim
	Monotone bool
	Call     func([]float64) float64
	Doc      string
}

// Env is a typed environment.
type Env struct {
	symbols []Symbol
	index   map[string]int
}

// NewEnv returns an environment.
func NewEnv(symbols []Symbol, functions []Function) (*Env, error) {
	e := &Env{symbols: symbols, index: map[string]int{}}
	for i, s := range symbols {
		e.index[s.Name] = i
	}
	return e, nil
}

// Index returns the number of the named symbol.
func (e *Env) Index(name string) (int, bool) { i, ok := e.index[name]; return i, ok }

// Symbols returns the symbols.
func (e *Env) Symbols() []Symbol { return e.symbols }

// NewCase returns a case in which everything is unknown.
func (e *Env) NewCase() *Case { return &Case{} }

// Compile compiles a condition.
func (e *Env) Compile(src string) (*Condition, error) {
	return nil, errors.New("not there yet")
}

// Case holds what is known about one place.
type Case struct{}

// SetYesNo sets a yes-no symbol.
func (c *Case) SetYesNo(i int, v bool) {}

// SetWord sets a word symbol.
func (c *Case) SetWord(i, word int) {}

// SetWords sets a symbol of several words.
func (c *Case) SetWords(i int, mask uint64) {}

// SetNumber sets a number to lie in lo..hi.
func (c *Case) SetNumber(i int, lo, hi float64) {}

// Clear makes a symbol unknown.
func (c *Case) Clear(i int) {}

// Reset makes all symbols unknown.
func (c *Case) Reset() {}

// Err returns the first wrong setting.
func (c *Case) Err() error { return nil }

// Set is a set of symbols.
type Set struct{ bits []uint64 }

// Has reports whether symbol i is in the set.
func (s *Set) Has(i int) bool { return i>>6 < len(s.bits) && s.bits[i>>6]>>(i&63)&1 == 1 }

// Len returns the number of symbols in the set.
func (s *Set) Len() int { return 0 }

// List returns the symbols in the set, ascending.
func (s *Set) List() []int { return nil }

// Reset empties the set.
func (s *Set) Reset() { clear(s.bits) }

// Condition is a compiled condition.
type Condition struct{}

// Eval evaluates the condition.
func (c *Condition) Eval(k *Case) Truth { return Unknown }

// Deciding adds to s the symbols that would decide the condition.
func (c *Condition) Deciding(k *Case, s *Set) Truth { return Unknown }

// Reads returns the symbols read, ascending.
func (c *Condition) Reads() []int { return nil }

// String returns the canonical text.
func (c *Condition) String() string { return "" }

// Seen is a value that a condition read.
type Seen struct {
	Symbol  int
	Known   bool
	Words   uint64
	Lo, Hi  float64
	Carries bool
}

// Values returns the values read.
func (c *Condition) Values(k *Case) []Seen { return nil }

// Finding is a condition about one symbol.
type Finding struct {
	Symbol int
	Words  uint64
}

// Finding returns the condition as a finding about one symbol, if it is one.
func (c *Condition) Finding() (Finding, bool) { return Finding{}, false }

// Error is a fault in the source of a condition.
type Error struct {
	Line, Column          int
	Message, Hint, Source string
}

func (e *Error) Error() string { return fmt.Sprintf("%d:%d: %s", e.Line, e.Column, e.Message) }
