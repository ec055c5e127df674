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
	env     *Env
	truths  []Truth
	words   []held
	numbers []interval
	args    [maxArgs]float64 // on the Case, so that calling a function allocates nothing
	err     error
}

// held is what is known about the words of one symbol: the words that hold and
// the words that do not. Both are empty when nothing is known.
type held struct{ yes, no uint64 }

// NewCase returns a case in which every symbol is unknown.
func (e *Env) NewCase() *Case {
	c := &Case{
		env:     e,
		truths:  make([]Truth, e.slotCount[YesNo]),
		words:   make([]held, e.slotCount[Word]),
		numbers: make([]interval, e.slotCount[Number]),
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
	c.truths[slot] = False
	if v {
		c.truths[slot] = True
	}
}

// SetWord sets the choice i to its word of that number, counted from 0 in the
// order of Symbol.Words. A symbol of Kind Words then has that word alone.
func (c *Case) SetWord(i, word int) {
	slot, ok := c.slot(i, "a word", Word, Words)
	if !ok {
		return
	}
	c.words[slot] = held{}
	if n := len(c.env.symbols[i].Words); word < 0 || word >= n {
		c.misuse("word %d of %q: it has %d words", word, c.env.symbols[i].Name, n)
		return
	}
	c.words[slot] = held{1 << word, ^(1 << word)}
}

// SetWords sets the words that hold of symbol i, of Kind Words: bit k stands for
// its word k. The words outside the mask are known not to hold; a mask of 0 says
// that somebody looked and found none of them.
func (c *Case) SetWords(i int, mask uint64) {
	slot, ok := c.slot(i, "words", Words, Words)
	if !ok {
		return
	}
	c.words[slot] = held{}
	if extra := mask &^ allWords(len(c.env.symbols[i].Words)); extra != 0 {
		c.misuse("words %#x of %q: it has %d words", mask, c.env.symbols[i].Name, len(c.env.symbols[i].Words))
		return
	}
	c.words[slot] = held{mask, ^mask}
}

// SetNumber says that the number i lies between lo and hi, both included, in SI
// base units. A point has lo == hi; a side without a bound is an infinity, and two
// of them say nothing.
func (c *Case) SetNumber(i int, lo, hi float64) {
	slot, ok := c.slot(i, "a number", Number, Number)
	if !ok {
		return
	}
	c.numbers[slot] = unknownNumber()
	if !(lo <= hi) || lo > math.MaxFloat64 || hi < -math.MaxFloat64 {
		c.misuse("range %v to %v of %q is not a range of numbers", lo, hi, c.env.symbols[i].Name)
		return
	}
	if !math.IsInf(lo, -1) || !math.IsInf(hi, 1) {
		c.numbers[slot] = interval{lo, hi}
	}
}

// Clear makes symbol i unknown.
func (c *Case) Clear(i int) {
	if i < 0 || i >= len(c.env.symbols) {
		c.misuse("symbol %d: there are %d", i, len(c.env.symbols))
		return
	}
	switch slot := c.env.slots[i]; c.env.symbols[i].Kind {
	case YesNo:
		c.truths[slot] = Unknown
	case Word, Words:
		c.words[slot] = held{}
	case Number:
		c.numbers[slot] = unknownNumber()
	}
}

// Reset makes every symbol unknown and forgets the error.
func (c *Case) Reset() {
	clear(c.truths)
	clear(c.words)
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
	case YesNo:
		return c.truths[slot] != Unknown
	case Number:
		return !c.numbers[slot].isUnknown()
	default:
		return c.words[slot] != held{}
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
