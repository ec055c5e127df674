package condition

import "math/bits"

// carry adds to s the symbols that carry the truth of the condition: those which,
// with all others unknown, still give the same truth. A true conjunction is carried
// by all members, a false one by every false member, and an unknown one by those
// that decide would name.
func (p *program) carry(k *Case, s *Set) {
	yes, no, _ := p.run(k)
	undecided := ^(yes | no)
	of := func(g group) uint64 {
		switch g.truth(yes, no) {
		case True:
			return g.members
		case False:
			return g.members & no
		}
		return g.members & undecided
	}
	carriers := of(p.whole)
	for i := len(p.groups) - 1; i >= 0; i-- {
		if g := p.groups[i]; carriers&g.bit != 0 {
			carriers = carriers&^g.bit | of(g)
		}
	}
	for ; carriers != 0; carriers &= carriers - 1 {
		i := bits.TrailingZeros64(carriers)
		if i < len(p.turns) {
			s.Add(p.turns[i].symbol)
			continue
		}
		l := &p.others[i-len(p.turns)]
		for _, r := range l.reads {
			if undecided>>i&1 == 0 || !k.numbers[r.at].isPoint() {
				s.Add(r.symbol)
			}
		}
	}
}

// A Seen is one value that a condition read, for an explanation.
type Seen struct {
	Symbol int
	Known  bool // somebody observed it
	// Carries says that the present truth of the condition rests on this value:
	// with the values that do not carry it unknown, the truth is the same. Of an
	// unknown condition, the values that carry it are those of Deciding.
	Carries bool
	Words   uint64  // the words that hold, a bit each; yes-no: bit 0 no, bit 1 yes
	Lo, Hi  float64 // a number lies between them, in SI base units
}

// Values returns what the condition reads in a case, in the order in which it
// reads it. What is not Known has zero values.
func (c *Condition) Values(k *Case) []Seen {
	var carriers Set
	c.program.carry(k, &carriers)
	seen := make([]Seen, len(c.order))
	for i, symbol := range c.order {
		seen[i] = k.seen(symbol)
		seen[i].Carries = carriers.Has(symbol)
	}
	return seen
}

// seen reads one symbol.
func (k *Case) seen(symbol int) Seen {
	s := Seen{Symbol: symbol, Known: k.Known(symbol)}
	if !s.Known {
		return s
	}
	switch slot := k.env.slots[symbol]; k.env.symbols[symbol].Kind {
	case Number:
		s.Lo, s.Hi = k.numbers[slot].lo, k.numbers[slot].hi
	case Words:
		for w := range k.env.symbols[symbol].Words {
			s.Words |= k.bits[slot+w] >> 1 << w
		}
	default:
		s.Words = k.bits[slot]
	}
	return s
}
