package condition

import (
	"math/bits"
	"strconv"
	"strings"
)

// Binding strengths, loosest first, as expr parses them.
const (
	bindOr = iota + 1
	bindAnd
	bindCompare
	bindAdd
	bindNot // "not a" takes more than a comparison, less than a product
	bindMul
	bindSign
	bindAtom
)

// binding is the strength of the operator of a node.
func (n *node) binding() int {
	switch n.op {
	case opOr:
		return bindOr
	case opAnd:
		return bindAnd
	case opLess, opLessEqual, opGreater, opGreaterEqual, opEqual, opNotEqual, opHas, opOneOf:
		return bindCompare
	case opAdd, opSub:
		return bindAdd
	case opNot:
		return bindNot
	case opMul, opDiv:
		return bindMul
	case opNegate:
		return bindSign
	}
	return bindAtom
}

// A printer writes nodes.
type printer struct {
	strings.Builder
	env *Env
}

// line writes a whole condition.
func (p *printer) line(n *node) string {
	p.node(n)
	return p.String()
}

// print writes a part of a condition for an error text.
func (b *builder) print(n *node) string { return (&printer{env: b.env}).line(n) }

// operand writes a node, in brackets if it binds more loosely than it has to.
func (p *printer) operand(n *node, atLeast int) {
	if n.binding() < atLeast {
		p.WriteByte('(')
		defer p.WriteByte(')')
	}
	p.node(n)
}

func (p *printer) node(n *node) {
	switch n.op {
	case opAnd, opOr:
		for i, kid := range n.kids {
			if i > 0 {
				p.WriteString(" " + spelling[n.op] + " ")
			}
			p.operand(kid, n.binding())
		}
	case opNot, opNegate:
		if kid := n.kids[0]; kid.op == opHas {
			p.has(kid, " not in ")
			return
		}
		p.WriteString(spelling[n.op])
		p.operand(n.kids[0], bindAtom)
	case opAsk, opRead:
		p.WriteString(p.env.symbols[n.symbol].Name)
	case opHas:
		p.has(n, " in ")
	case opOneOf:
		p.oneOf(n)
	case opLiteral:
		p.WriteString(number(n.value))
	case opCall:
		p.WriteString(n.call.Name + "(")
		for i, kid := range n.kids {
			if i > 0 {
				p.WriteString(", ")
			}
			p.operand(kid, 0)
		}
		p.WriteByte(')')
	default:
		// The right operand of - and / needs brackets at equal strength; so does
		// that of + and *, since rounding makes these not quite associative.
		p.operand(n.kids[0], n.binding())
		p.WriteString(" " + spelling[n.op] + " ")
		p.operand(n.kids[1], n.binding()+1)
	}
}

// has writes a word of several.
func (p *printer) has(n *node, in string) {
	s := &p.env.symbols[n.symbol]
	p.WriteString(quoteWords(s.Words, n.words) + in + s.Name)
}

// oneOf writes a choice: with == for one word, with != for all words but one, with
// in for at most half of the words, and with not in otherwise.
func (p *printer) oneOf(n *node) {
	s := &p.env.symbols[n.symbol]
	others := allWords(len(s.Words)) &^ n.words
	yes, no := bits.OnesCount64(n.words), bits.OnesCount64(others)
	p.WriteString(s.Name)
	switch {
	case yes == 1:
		p.WriteString(" == " + quoteWords(s.Words, n.words))
	case no == 1:
		p.WriteString(" != " + quoteWords(s.Words, others))
	case no == 0 || yes != 0 && yes <= no:
		p.WriteString(" in [" + quoteWords(s.Words, n.words) + "]")
	default:
		p.WriteString(" not in [" + quoteWords(s.Words, others) + "]")
	}
}

// quoteWords writes the words of a mask with commas.
func quoteWords(words []string, mask uint64) string {
	var quoted []string
	for ; mask != 0; mask &= mask - 1 {
		quoted = append(quoted, strconv.Quote(words[bits.TrailingZeros64(mask)]))
	}
	return strings.Join(quoted, ", ")
}

// number writes the shortest decimal that reads back as v.
func number(v float64) string {
	format := byte('f')
	if v >= 1e15 || v != 0 && v < 1e-6 {
		format = 'e'
	}
	return strconv.FormatFloat(v, format, -1, 64)
}
