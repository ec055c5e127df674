package condition

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

	turns   []turn // of each of bits and limits
	highest int    // symbol of all tests
	oneWord bool   // all of them are in one word of a Set
	negate  bool   // the whole is a disjunction
}

// size is the number of tests and groups, the whole apart.
func (p *program) size() int { return len(p.turns) + len(p.others) + len(p.groups) }

// A turn is a symbol on which a test turns as long as it is open. In a Set it is that bit of that word.
type turn struct {
	symbol, word int
	bit          uint64
}

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
	a, b  int // where a Case keeps the first and the last number that is read
}

// unknown reports that the comparison is sure to be unknown: what is computed from an unknown number is unknown. Most comparisons read
// one number or two.
func (l *otherTest) unknown(k *Case) bool {
	return k.numbers[l.a].isUnknown() || k.numbers[l.b].isUnknown()
}

// A numberRead is a number that a comparison reads, and where a Case keeps it.
type numberRead struct {
	turn
	at int
}

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

// run evaluates all tests and groups, and the whole. All in one: a call more would take a tenth of its time.
func (p *program) run(k *Case) (yes, no uint64, t Truth) {
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
	t = p.whole.truth(yes, no)
	if p.negate {
		t = -t
	}
	return yes, no, t
}

// runOthers evaluates the tests that are closures. It is apart because a call inside
// run would push the registers of its loops to the stack.
func (p *program) runOthers(k *Case, yes, no uint64) (uint64, uint64) {
	bit := uint64(1) << len(p.turns)
	for i := range p.others {
		if l := &p.others[i]; !l.unknown(k) {
			t := l.flip * l.truth(k)
			if t > 0 {
				yes |= bit
			}
			if t < 0 {
				no |= bit
			}
		}
		bit <<= 1
	}
	return yes, no
}

// decide returns the truth, and adds to s the symbols that an unknown one turns on.
func (p *program) decide(k *Case, s *Set) Truth {
	yes, no, t := p.run(k)
	if t != Unknown {
		return t
	}
	undecided := ^(yes | no)
	open := p.whole.members & undecided
	for i := len(p.groups) - 1; i >= 0; i-- { // no branch on what is open, here and below: it is hard to predict
		g := &p.groups[i]
		below := uint64(0)
		if open&g.bit != 0 { // a conditional move
			below = g.members & undecided
		}
		open = open&^g.bit | below
	}
	s.grow(p.highest)
	if !p.oneWord {
		p.turnOn(k, s, open)
		return Unknown
	}
	on := uint64(0)
	for i := range p.turns {
		on |= p.turns[i].bit & -(open & 1)
		open >>= 1
	}
	for i := range p.others {
		for j := range p.others[i].reads {
			r := &p.others[i].reads[j]
			on |= r.bit & -(open & k.numbers[r.at].spread())
		}
		open >>= 1
	}
	s.bits[p.highest>>6] |= on // once: to touch it for each symbol would take longer than the tests
	return Unknown
}

// turnOn adds the symbols that open tests turn on, in any words of a Set; a comparison of several numbers turns on those that are no points.
func (p *program) turnOn(k *Case, s *Set, open uint64) {
	for i := range p.turns {
		t := &p.turns[i]
		s.bits[t.word] |= t.bit & -(open & 1)
		open >>= 1
	}
	for i := range p.others {
		for j := range p.others[i].reads {
			r := &p.others[i].reads[j]
			s.bits[r.word] |= r.bit & -(open & k.numbers[r.at].spread())
		}
		open >>= 1
	}
}
