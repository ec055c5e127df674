package condition

// decide returns the truth of a node and, if that is unknown, the reads that it
// still turns on, as a set of bits. One walk does both: a junction that turns out
// decided drops what its operands left open.
func (n *node) decide(k *Case) (Truth, uint64) {
	switch n.op {
	case opAnd:
		t, open := True, uint64(0)
		for _, kid := range n.kids {
			kt, ko := kid.decide(k)
			if kt == False {
				return False, 0
			}
			t, open = min(t, kt), open|ko
		}
		return t, open
	case opOr:
		t, open := False, uint64(0)
		for _, kid := range n.kids {
			kt, ko := kid.decide(k)
			if kt == True {
				return True, 0
			}
			t, open = max(t, kt), open|ko
		}
		return t, open
	case opNot:
		t, open := n.kids[0].decide(k)
		return -t, open
	}
	if t := n.truth(k); t != Unknown {
		return t, 0
	}
	return Unknown, n.open(k)
}

// open returns what an undecided leaf turns on. A yes or no and a choice are
// undecided only because they are unknown; a comparison of numbers turns on those
// that are not points.
func (n *node) open(k *Case) uint64 {
	if n.op >= opAsk {
		return n.reads[0].bit
	}
	var open uint64
	for _, r := range n.reads {
		if !k.numbers[r.slot].isPoint() {
			open |= r.bit
		}
	}
	return open
}

// carry returns the truth of a node and the reads that carry it: those which, with
// everything else unknown, still give the same truth. Of an undecided node it is
// what decide leaves open.
func (n *node) carry(k *Case) (Truth, uint64) {
	switch n.op {
	case opNot:
		t, carriers := n.kids[0].carry(k)
		return -t, carriers
	case opAnd, opOr:
		return n.carryJunction(k)
	}
	t := n.truth(k)
	if t == Unknown {
		return t, n.open(k)
	}
	var carriers uint64
	for _, r := range n.reads {
		carriers |= r.bit
	}
	return t, carriers
}

// carryJunction unites the carriers of the operands that have the truth of the
// whole: all of them where "and" is true, every false one where it is false.
func (n *node) carryJunction(k *Case) (Truth, uint64) {
	var carriers [3]uint64 // by the truth of the operand
	whole := True
	if n.op == opOr {
		whole = False
	}
	for _, kid := range n.kids {
		t, bits := kid.carry(k)
		carriers[t+1] |= bits
		if n.op == opAnd {
			whole = whole.And(t)
		} else {
			whole = whole.Or(t)
		}
	}
	return whole, carriers[whole+1]
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
	_, carriers := c.root.carry(k)
	seen := make([]Seen, len(c.order))
	for i, symbol := range c.order {
		seen[i] = k.seen(symbol)
		seen[i].Carries = carriers>>i&1 == 1
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
	case YesNo:
		s.Words = 1 << sign(k.truths[slot] == True)
	case Number:
		s.Lo, s.Hi = k.numbers[slot].lo, k.numbers[slot].hi
	default:
		s.Words = k.words[slot].yes
	}
	return s
}
