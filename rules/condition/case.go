package condition

import (
	"fmt"
	"math"
)

// A Case holds what is known about one place: a value for each symbol that
// somebody observed, and unknown for all the rest. It is made by Env.NewCase,
// filled with the Set methods, and can be emptied with Reset and used again;
// setting and evaluating allocate nothing. A Case is for one goroutine at a time.
//
// A setting that does not fit its symbol (another kind, a word it does not have,
// an index outside the environment, NaN, or lo above hi) leaves the symbol
// unknown and is kept for Err.
type Case struct {
	env *Env
	// bits holds, with one bit set, or none where nothing is known: for a yes-no symbol
	// no or yes, for a choice its word, and for a set of words no or yes of each word,
	// one after the other.
	bits []uint64
	// numbers holds two intervals for each number: itself and its negative.
	numbers []interval
	args    [maxArgs]float64 // on the Case, so that calling a function allocates nothing
	err     error
}

// The bits of a yes-no symbol.
const (
	noBit  = 1 << 0
	yesBit = 1 << 1
)

// NewCase returns a case in which every symbol is unknown.
func (e *Env) NewCase() *Case {
	c := &Case{
		env:     e,
		bits:    make([]uint64, e.bitSlots),
		numbers: make([]interval, e.numberSlots),
	}
	c.Reset()
	return c
}

// SetYesNo sets the yes-no symbol i.
func (c *Case) SetYesNo(i int, v bool) {
	slot, ok := c.slot(i, "yes or no", YesNo, YesNo)
	if !ok {
		return
	}
	c.bits[slot] = noBit
	if v {
		c.bits[slot] = yesBit
	}
}

// SetWord sets the choice i to its word of that number, counted from 0 in the
// order of Symbol.Words. A symbol of Kind Words then has that word alone.
func (c *Case) SetWord(i, word int) {
	slot, ok := c.slot(i, "a word", Word, Words)
	if !ok {
		return
	}
	c.Clear(i)
	if n := len(c.env.symbols[i].Words); word < 0 || word >= n {
		c.misuse("word %d of %q: it has %d words", word, c.env.symbols[i].Name, n)
		return
	}
	if c.env.symbols[i].Kind == Words {
		c.SetWords(i, 1<<word)
		return
	}
	c.bits[slot] = 1 << word
}

// SetWords sets the words that hold of symbol i, of Kind Words: bit k stands for
// its word k. The words outside the mask are known not to hold; a mask of 0 says
// that somebody looked and found none of them.
func (c *Case) SetWords(i int, mask uint64) {
	slot, ok := c.slot(i, "words", Words, Words)
	if !ok {
		return
	}
	c.Clear(i)
	n := len(c.env.symbols[i].Words)
	if extra := mask &^ allWords(n); extra != 0 {
		c.misuse("words %#x of %q: it has %d words", mask, c.env.symbols[i].Name, n)
		return
	}
	for w := range n {
		c.bits[slot+w] = noBit << (mask >> w & 1)
	}
}

// SetNumber says that the number i lies between lo and hi, both included, in SI
// base units. A point has lo == hi; a side without a bound is an infinity, and two
// of them say nothing.
func (c *Case) SetNumber(i int, lo, hi float64) {
	slot, ok := c.slot(i, "a number", Number, Number)
	if !ok {
		return
	}
	c.Clear(i)
	if !(lo <= hi) || lo > math.MaxFloat64 || hi < -math.MaxFloat64 {
		c.misuse("range %v to %v of %q is not a range of numbers", lo, hi, c.env.symbols[i].Name)
		return
	}
	if !math.IsInf(lo, -1) || !math.IsInf(hi, 1) {
		c.numbers[slot], c.numbers[slot+1] = interval{lo, hi}, interval{-hi, -lo}
	}
}

// Clear makes symbol i unknown.
func (c *Case) Clear(i int) {
	if i < 0 || i >= len(c.env.symbols) {
		c.misuse("symbol %d: there are %d", i, len(c.env.symbols))
		return
	}
	switch slot := c.env.slots[i]; c.env.symbols[i].Kind {
	case YesNo, Word:
		c.bits[slot] = 0
	case Words:
		clear(c.bits[slot : slot+len(c.env.symbols[i].Words)])
	case Number:
		c.numbers[slot], c.numbers[slot+1] = unknownNumber(), unknownNumber()
	}
}

// Reset makes every symbol unknown and forgets the error.
func (c *Case) Reset() {
	clear(c.bits)
	for i := range c.numbers {
		c.numbers[i] = unknownNumber()
	}
	c.err = nil
}

// Known reports whether symbol i has a value. A number known only to lie in a
// range is known.
func (c *Case) Known(i int) bool {
	if i < 0 || i >= len(c.env.symbols) {
		return false
	}
	switch slot := c.env.slots[i]; c.env.symbols[i].Kind {
	case Number:
		return !c.numbers[slot].isUnknown()
	default:
		return c.bits[slot] != 0
	}
}

// Err returns the first setting since Reset that did not fit its symbol, or nil.
func (c *Case) Err() error { return c.err }

// slot finds where symbol i is kept, if its kind is one of the two.
func (c *Case) slot(i int, value string, kind, or Kind) (int, bool) {
	if i < 0 || i >= len(c.env.symbols) {
		c.misuse("symbol %d: there are %d", i, len(c.env.symbols))
		return 0, false
	}
	if s := &c.env.symbols[i]; s.Kind != kind && s.Kind != or {
		c.misuse("%q set to %s: it is of kind %v", s.Name, value, s.Kind)
		c.Clear(i)
		return 0, false
	}
	return c.env.slots[i], true
}

func (c *Case) misuse(format string, args ...any) {
	if c.err == nil {
		c.err = fmt.Errorf(format, args...)
	}
}

// allWords is the mask of n words, n at most 64.
func allWords(n int) uint64 { return ^uint64(0) >> (64 - n) }
