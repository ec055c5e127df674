package condition

import "math/bits"

// A program is a condition in the form in which it runs: its tests in a row,
// without calls and branches for most of them, and then its groups.
//
//   - Each test sets a bit of its own in two masks, yes and no, if it is true or
//     false in the case.
//   - A yes or no, the word of a choice, and whether a word is among several are one
//     bit in a word of bits, no bit if unknown. A test is true for the bits of a mask
//     and false for others; its negation has the complement of the mask.
//   - A comparison of a number with a constant is brought to y < limit, where y is
//     the number or its negative; a Case holds both. In float64 y <= v is y < the
//     next number after v, so this covers the four orders and their negations.
//   - Other comparisons are closures.
//   - A group is a conjunction: a mask of tests and of groups before it. Its own bit
//     holds the negation, so that a group of negated operands is a disjunction (De
//     Morgan's laws hold in three values). The other negations go to the tests.
//
// So "a and (b or not c)" has the tests a, not b and c, the group {not b, c}, and the
// whole {a, that group}. The order of operands does not matter, because nothing has an
// effect.
type program struct {
	bits   []bitTest
	limits []limitTest
	others []otherTest
	groups []group // inner ones first
	whole  group

	symbol  []int // read by each of bits and limits
	highest int   // of those
	negate  bool  // the whole is a disjunction
}

// size is the number of tests and groups, the whole apart.
func (p *program) size() int { return len(p.symbol) + len(p.others) + len(p.groups) }

// A bitTest is true if the bit at its place is in the mask.
type bitTest struct {
	mask uint64
	at   int
}

// A limitTest is y < limit.
type limitTest struct {
	limit float64
	at    int
}

// An otherTest is any other comparison, negated if flip is -1.
type otherTest struct {
	truth truthFunc
	flip  Truth
	reads []numberRead
}

// A numberRead is a number that a comparison reads, and where a Case keeps it.
type numberRead struct{ symbol, at int }

// A group has its members as bits, and a bit of its own.
type group struct{ members, bit uint64 }

// truth of the conjunction, given the bits of its members.
func (g group) truth(yes, no uint64) Truth {
	t := sign(yes&g.members == g.members)
	if no&g.members != 0 {
		t = False
	}
	return t
}

// run evaluates all tests and groups.
func (p *program) run(k *Case) (yes, no uint64) {
	bit := uint64(1)
	for i := range p.bits {
		w := k.bits[p.bits[i].at]
		met := w & p.bits[i].mask
		if met != 0 {
			yes |= bit
		}
		if met != w {
			no |= bit
		}
		bit <<= 1
	}
	for i := range p.limits {
		l := &p.limits[i]
		y := &k.numbers[l.at]
		if y.hi < l.limit {
			yes |= bit
		}
		if y.lo >= l.limit {
			no |= bit
		}
		bit <<= 1
	}
	if len(p.others) > 0 {
		yes, no = p.runOthers(k, yes, no)
	}
	for _, g := range p.groups {
		if yes&g.members == g.members {
			no |= g.bit
		}
		if no&g.members != 0 {
			yes |= g.bit
		}
	}
	return yes, no
}

// runOthers evaluates the tests that are closures. It is apart because a call inside
// run would push the registers of its loops to the stack.
func (p *program) runOthers(k *Case, yes, no uint64) (uint64, uint64) {
	bit := uint64(1) << len(p.symbol)
	for i := range p.others {
		l := &p.others[i]
		switch l.flip * l.truth(k) {
		case True:
			yes |= bit
		case False:
			no |= bit
		}
		bit <<= 1
	}
	return yes, no
}

// eval returns the truth of the condition.
func (p *program) eval(k *Case) Truth {
	yes, no := p.run(k)
	t := p.whole.truth(yes, no)
	if p.negate {
		t = -t
	}
	return t
}

// decide returns the truth, and adds to s the symbols that an unknown one turns on.
func (p *program) decide(k *Case, s *Set) Truth {
	yes, no := p.run(k)
	t := p.whole.truth(yes, no)
	if t != Unknown {
		if p.negate {
			t = -t
		}
		return t
	}
	undecided := ^(yes | no)
	open := p.whole.members & undecided
	for i := len(p.groups) - 1; i >= 0; i-- {
		if g := p.groups[i]; open&g.bit != 0 {
			open = open&^g.bit | g.members&undecided
		}
	}
	s.grow(p.highest)
	set := s.bits
	for i, symbol := range p.symbol { // no branch on what is open: it is hard to predict
		set[symbol>>6] |= (open >> i & 1) << (symbol & 63)
	}
	for open >>= len(p.symbol); open != 0; open &= open - 1 {
		p.others[bits.TrailingZeros64(open)].addOpen(k, s)
	}
	return Unknown
}

// addOpen adds the numbers that an undecided comparison turns on: those that are
// not points.
func (l *otherTest) addOpen(k *Case, s *Set) {
	for _, r := range l.reads {
		if !k.numbers[r.at].isPoint() {
			s.Add(r.symbol)
		}
	}
}
