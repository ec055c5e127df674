package condition

import "math/bits"

// A Finding is a condition about one symbol, as the set of words that make it
// true.
type Finding struct {
	Symbol int
	// Words has bit k set if word k of the symbol makes the condition true. Of a
	// yes-no symbol bit 0 stands for no and bit 1 for yes.
	Words uint64
}

// Finding returns the condition as a finding, if it is one: a yes-no symbol or a
// choice, alone, with ==, !=, in or not in, or joined from such parts about the
// same symbol; or "word" in a symbol of several words. It is false for everything
// else: conditions that read two symbols or a number, that say a word is absent
// from several, or that no word or every word makes true.
func (c *Condition) Finding() (Finding, bool) {
	if len(c.order) != 1 {
		return Finding{}, false
	}
	f := Finding{Symbol: c.order[0]}
	values := uint64(0)
	switch s := &c.env.symbols[f.Symbol]; s.Kind {
	case YesNo:
		values = allWords(2)
		f.Words = c.root.trueFor(values, 2)
	case Word:
		values = allWords(len(s.Words))
		f.Words = c.root.trueFor(values, 0)
	case Words:
		if c.root.op != opHas {
			return Finding{}, false
		}
		f.Words = c.root.words
		return f, true
	}
	return f, f.Words != 0 && f.Words != values
}

// trueFor returns the values, of one symbol, for which the node is true; yes is
// the value of opAsk. Since a known value decides every leaf, "not" is the
// complement.
func (n *node) trueFor(values, yes uint64) uint64 {
	switch n.op {
	case opAsk:
		return yes
	case opOneOf:
		return n.words
	case opNot:
		return values &^ n.kids[0].trueFor(values, yes)
	}
	words := n.kids[0].trueFor(values, yes)
	for _, kid := range n.kids[1:] {
		if n.op == opAnd {
			words &= kid.trueFor(values, yes)
		} else {
			words |= kid.trueFor(values, yes)
		}
	}
	return words
}

// Single returns the number of the one word that makes the condition true, if
// there is exactly one.
func (f Finding) Single() (int, bool) {
	return bits.TrailingZeros64(f.Words), bits.OnesCount64(f.Words) == 1
}
