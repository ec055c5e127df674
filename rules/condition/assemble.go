package condition

import (
	"math"
	"math/bits"
	"slices"
)

// An assembler makes a program from checked nodes.
type assembler struct {
	env     *Env
	program *program
	groups  []*draft // of the program, inner ones first
}

// A draft is a group whose bits are not given out yet.
type draft struct {
	bits, limits, others []int // places in the program
	groups               []int
}

// assemble returns the program of a checked condition.
func assemble(e *Env, root *node) program {
	a := &assembler{env: e, program: &program{}}
	a.program.negate = root.op == opOr
	whole := a.draft([]*node{root}, a.program.negate)
	p := a.program
	for i, d := range a.groups {
		p.groups = append(p.groups, group{members: a.members(d), bit: a.groupBit(i)})
	}
	p.whole = group{members: a.members(whole)}
	p.span()
	return *p
}

// span finds how far the symbols of a program reach.
func (p *program) span() {
	all := slices.Clone(p.turns)
	for i := range p.others {
		for _, r := range p.others[i].reads {
			all = append(all, r.turn)
		}
	}
	p.oneWord = true
	for _, t := range all {
		p.highest = max(p.highest, t.symbol)
		p.oneWord = p.oneWord && t.word == all[0].word
	}
}

func turnOf(symbol int) turn { return turn{symbol, symbol >> 6, 1 << (symbol & 63)} }

// members gives out the bits: tests in their order, then groups.
func (a *assembler) members(d *draft) uint64 {
	var m uint64
	limits := len(a.program.bits)
	others := limits + len(a.program.limits)
	for _, i := range d.bits {
		m |= 1 << i
	}
	for _, i := range d.limits {
		m |= 1 << (limits + i)
	}
	for _, i := range d.others {
		m |= 1 << (others + i)
	}
	for _, i := range d.groups {
		m |= a.groupBit(i)
	}
	return m
}

func (a *assembler) groupBit(i int) uint64 {
	return 1 << (len(a.program.bits) + len(a.program.limits) + len(a.program.others) + i)
}

// draft makes a group from conditions, or from their negations.
func (a *assembler) draft(kids []*node, negated bool) *draft {
	d := &draft{}
	for _, kid := range kids {
		a.add(d, kid, negated)
	}
	return d
}

// add puts a condition, or its negation, into a group.
func (a *assembler) add(d *draft, n *node, negated bool) {
	switch n.op {
	case opNot:
		a.add(d, n.kids[0], !negated)
	case opAnd, opOr:
		if (n.op == opOr) == negated { // a conjunction in a conjunction
			for _, kid := range n.kids {
				a.add(d, kid, negated)
			}
			return
		}
		a.addGroup(d, a.draft(n.kids, !negated))
	case opAsk:
		a.addBit(d, n.symbol, bitTest{mask: yesBit}, negated)
	case opOneOf:
		a.addBit(d, n.symbol, bitTest{mask: n.words}, negated)
	case opHas: // each word of a set is a yes or no
		a.addBit(d, n.symbol, bitTest{mask: yesBit, at: bits.TrailingZeros64(n.words)}, negated)
	default:
		a.addComparison(d, n, negated)
	}
}

func (a *assembler) addBit(d *draft, symbol int, l bitTest, negated bool) {
	if negated {
		l.mask = ^l.mask
	}
	l.at += a.env.slots[symbol]
	i := len(a.program.bits)
	d.bits = append(d.bits, i)
	a.program.bits = append(a.program.bits, l)
	a.program.turns = slices.Insert(a.program.turns, i, turnOf(symbol))
}

// mirrored gives the relation with its sides exchanged, opposite its negation.
var (
	mirrored = map[op]op{opLess: opGreater, opLessEqual: opGreaterEqual, opGreater: opLess, opGreaterEqual: opLessEqual, opEqual: opEqual, opNotEqual: opNotEqual}
	opposite = map[op]op{opLess: opGreaterEqual, opLessEqual: opGreater, opGreater: opLessEqual, opGreaterEqual: opLess, opEqual: opNotEqual, opNotEqual: opEqual}
)

// addComparison puts a comparison of numbers into a group.
func (a *assembler) addComparison(d *draft, n *node, negated bool) {
	relation, number, v := n.op, n.kids[0], n.kids[1]
	if negated {
		relation = opposite[relation]
	}
	if number.fixed {
		relation, number, v = mirrored[relation], v, number
	}
	switch {
	case number.op != opRead || !v.fixed:
		a.addOther(d, n, negated)
	case relation == opEqual: // a point is equal if it is neither below nor above
		a.addLimit(d, opLessEqual, number, v.value)
		a.addLimit(d, opGreaterEqual, number, v.value)
	case relation == opNotEqual:
		inner := &draft{}
		a.addLimit(inner, opLessEqual, number, v.value)
		a.addLimit(inner, opGreaterEqual, number, v.value)
		a.addGroup(d, inner)
	default:
		a.addLimit(d, relation, number, v.value)
	}
}

func (a *assembler) addGroup(d, inner *draft) {
	d.groups = append(d.groups, len(a.groups))
	a.groups = append(a.groups, inner)
}

func (a *assembler) addLimit(d *draft, order op, number *node, v float64) {
	d.limits = append(d.limits, len(a.program.limits))
	a.program.limits = append(a.program.limits, a.limitTest(order, number, v))
	a.program.turns = append(a.program.turns, turnOf(number.symbol))
}

func (a *assembler) addOther(d *draft, n *node, negated bool) {
	truth, flipped := a.comparison(n)
	l := otherTest{truth: truth, flip: 1}
	for _, symbol := range n.numbers(nil) {
		l.reads = append(l.reads, numberRead{turnOf(symbol), a.env.slots[symbol]})
	}
	l.a, l.b = l.reads[0].at, l.reads[len(l.reads)-1].at
	if negated != flipped {
		l.flip = -1
	}
	d.others = append(d.others, len(a.program.others))
	a.program.others = append(a.program.others, l)
}

// limitTest brings an order between a number and a constant to y < limit.
func (a *assembler) limitTest(order op, number *node, v float64) limitTest {
	l := limitTest{limit: v, at: a.env.slots[number.symbol]}
	if order == opGreater || order == opGreaterEqual {
		l.limit, l.at = -v, l.at+1
	}
	if order == opLessEqual || order == opGreaterEqual {
		l.limit = math.Nextafter(l.limit, math.Inf(1))
	}
	return l
}

// numbers collects the symbols that a comparison reads, each once.
func (n *node) numbers(reads []int) []int {
	if n.op == opRead && !slices.Contains(reads, n.symbol) {
		return append(reads, n.symbol)
	}
	for _, kid := range n.kids {
		reads = kid.numbers(reads)
	}
	return reads
}
