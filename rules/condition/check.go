package condition

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/expr-lang/expr/ast"
)

// An operand is what stands on one side of a comparison.
type operand struct {
	what   what
	symbol int    // of a symbol
	word   string // of a word in quotes
	number *node  // of a number
	at     ast.Node
}

// what tells operands apart.
type what uint8

const (
	aTruth   what = iota // a condition, or a yes-no symbol
	aConst               // true or false
	aChoice              // a symbol of kind Word
	aSeveral             // a symbol of kind Words
	aNumber
	aWord // a word in quotes
	aList
)

// formsHint goes with whatever nothing better is known about.
const formsHint = "use names, words, numbers, comparisons, and, or, not, in"

// condition checks a node that has to be true, false or unknown.
func (b *builder) condition(n ast.Node) (*node, *Error) {
	switch n := n.(type) {
	case *ast.UnaryNode:
		if n.Operator == "not" || n.Operator == "!" {
			kid, err := b.condition(n.Node)
			if err != nil {
				return nil, err
			}
			return b.negation(kid), nil
		}
	case *ast.BinaryNode:
		switch n.Operator {
		case "and", "&&":
			return b.junction(opAnd, n)
		case "or", "||":
			return b.junction(opOr, n)
		case "in":
			return b.membership(n)
		case "==", "!=", "<", "<=", ">", ">=":
			return b.comparison(n)
		}
	}
	o, err := b.operand(n)
	if err != nil {
		return nil, err
	}
	if o.what != aTruth {
		return nil, b.notACondition(o)
	}
	if o.symbol < 0 {
		return nil, b.failAt(n, "this form is not part of the language", formsHint)
	}
	b.read(o.symbol)
	return &node{op: opAsk, symbol: o.symbol}, nil
}

// junction joins the operands of a chain of the same operator into one node: "and"
// and "or" are associative in three values too.
func (b *builder) junction(op op, n *ast.BinaryNode) (*node, *Error) {
	joined := &node{op: op}
	for _, side := range []ast.Node{n.Left, n.Right} {
		kid, err := b.condition(side)
		if err != nil {
			return nil, err
		}
		if kid.op == op {
			joined.kids = append(joined.kids, kid.kids...)
		} else {
			joined.kids = append(joined.kids, kid)
		}
	}
	return joined, nil
}

// negation turns "not" around a choice into the other words, and takes two of them
// away; both are the same in three values. expr has one tree for "x not in [...]"
// and "not (x in [...])", so the two have to print alike.
func (b *builder) negation(kid *node) *node {
	switch kid.op {
	case opNot:
		return kid.kids[0]
	case opOneOf:
		kid.words ^= allWords(len(b.env.symbols[kid.symbol].Words))
		return kid
	}
	return &node{op: opNot, kids: []*node{kid}}
}

// operand finds out what a node is, and checks it as far as it can alone.
func (b *builder) operand(n ast.Node) (operand, *Error) {
	o := operand{at: n, symbol: -1}
	switch n := n.(type) {
	case *ast.IdentifierNode, *ast.MemberNode:
		return b.symbol(n)
	case *ast.StringNode:
		o.what, o.word = aWord, n.Value
		return o, nil
	case *ast.BoolNode:
		o.what = aConst
		return o, nil
	case *ast.ArrayNode:
		o.what = aList
		return o, nil
	case *ast.UnaryNode:
		if n.Operator == "not" || n.Operator == "!" {
			return o, nil
		}
	case *ast.BinaryNode:
		if !isArithmetic(n.Operator) {
			return o, nil
		}
	}
	var err *Error
	o.what = aNumber
	o.number, err = b.number(n)
	return o, err
}

func isArithmetic(operator string) bool {
	return operator == "+" || operator == "-" || operator == "*" || operator == "/"
}

// symbol looks up a name.
func (b *builder) symbol(n ast.Node) (operand, *Error) {
	name, err := b.name(n)
	if err != nil {
		return operand{}, err
	}
	i, ok := b.env.index[name]
	if !ok {
		return operand{}, b.unknownName(n, name)
	}
	o := operand{at: n, symbol: i}
	switch b.env.symbols[i].Kind {
	case YesNo:
		o.what = aTruth
	case Word:
		o.what = aChoice
	case Words:
		o.what = aSeveral
	case Number:
		o.what = aNumber
		o.number = b.readNumber(i)
	}
	return o, nil
}

// name returns "x" or "group.x".
func (b *builder) name(n ast.Node) (string, *Error) {
	if id, ok := n.(*ast.IdentifierNode); ok {
		return id.Value, nil
	}
	member := n.(*ast.MemberNode)
	group, ok := member.Node.(*ast.IdentifierNode)
	field, ok2 := member.Property.(*ast.StringNode)
	if !ok || !ok2 || member.Optional || member.Method {
		return "", b.failAt(n, "a name has one dot at most", "write a name of the vocabulary")
	}
	return group.Value + "." + field.Value, nil
}

// comparison checks == != < <= > >=.
func (b *builder) comparison(n *ast.BinaryNode) (*node, *Error) {
	l, err := b.operand(n.Left)
	if err != nil {
		return nil, b.perhapsAWord(err, n.Left, n.Right)
	}
	r, err := b.operand(n.Right)
	if err != nil {
		return nil, b.perhapsAWord(err, n.Right, n.Left)
	}
	if l.what == aWord {
		l, r = r, l
	}
	isEquality := n.Operator == "==" || n.Operator == "!="
	switch {
	case l.what == aNumber && r.what == aNumber:
		return b.compareNumbers(n, l.number, r.number)
	case l.what == aChoice && r.what == aWord && isEquality:
		leaf, err := b.oneOf(l, r.at)
		if err == nil && n.Operator == "!=" {
			leaf = b.negation(leaf)
		}
		return leaf, err
	}
	return nil, b.notComparable(n, l, r)
}

// membership checks "in"; "not in" arrives as a negation of it.
func (b *builder) membership(n *ast.BinaryNode) (*node, *Error) {
	l, err := b.operand(n.Left)
	if err != nil {
		return nil, err
	}
	r, err := b.operand(n.Right)
	if err != nil {
		return nil, err
	}
	switch {
	case l.what == aChoice && r.what == aList:
		return b.oneOf(l, r.at.(*ast.ArrayNode).Nodes...)
	case l.what == aWord && r.what == aSeveral:
		return b.has(r, l.at)
	}
	return nil, b.notAMember(n, l, r)
}

// oneOf makes the leaf that is true when the choice has one of the words.
func (b *builder) oneOf(choice operand, words ...ast.Node) (*node, *Error) {
	if len(words) == 0 {
		return nil, b.failAt(choice.at, "the list of words is empty", "write one word at least")
	}
	b.read(choice.symbol)
	leaf := &node{op: opOneOf, symbol: choice.symbol}
	for _, w := range words {
		mask, err := b.word(choice.symbol, w)
		if err != nil {
			return nil, err
		}
		if leaf.words&mask != 0 {
			return nil, b.failAt(w, "the word is in the list twice", "write it once")
		}
		leaf.words |= mask
	}
	return leaf, nil
}

// has makes the leaf that is true when the word holds.
func (b *builder) has(several operand, word ast.Node) (*node, *Error) {
	b.read(several.symbol)
	mask, err := b.word(several.symbol, word)
	if err != nil {
		return nil, err
	}
	return &node{op: opHas, symbol: several.symbol, words: mask}, nil
}

// word returns the bit of a word of a symbol.
func (b *builder) word(symbol int, n ast.Node) (uint64, *Error) {
	s := &b.env.symbols[symbol]
	text, ok := n.(*ast.StringNode)
	if !ok {
		return 0, b.failAt(n, fmt.Sprintf("a list holds words of %s", s.Name), "write the words in quotes: "+quoteAll(s.Words))
	}
	for i, w := range s.Words {
		if w == text.Value {
			return 1 << i, nil
		}
	}
	hint := "its words are " + quoteAll(s.Words)
	if near := nearest(text.Value, s.Words); near != "" {
		hint = "write " + strconv.Quote(near)
	}
	return 0, b.failAt(n, fmt.Sprintf("%s has no word %q", s.Name, text.Value), hint)
}

func quoteAll(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = strconv.Quote(w)
	}
	return enumerate(quoted)
}

// unknownName suggests the nearest name.
func (b *builder) unknownName(n ast.Node, name string) *Error {
	if _, ok := b.env.calls[name]; ok {
		return b.failAt(n, fmt.Sprintf("%s is a function", name), fmt.Sprintf("write %s(…)", name))
	}
	var fields []string
	names := make([]string, len(b.env.symbols))
	for i := range b.env.symbols {
		names[i] = b.env.symbols[i].Name
		if field, ok := strings.CutPrefix(names[i], name+"."); ok {
			fields = append(fields, field)
		}
	}
	if len(fields) > 0 {
		return b.failAt(n, fmt.Sprintf("%s is not an observation by itself", name),
			fmt.Sprintf("write %s. and one of %s", name, enumerate(fields)))
	}
	hint := ""
	if near := nearest(name, names); near != "" {
		hint = "write " + near
	} else if group, _, _ := strings.Cut(name, "."); b.env.groups[group] {
		hint = "the names are " + enumerate(slices.DeleteFunc(names, func(s string) bool { return !strings.HasPrefix(s, group+".") }))
	}
	return b.failAt(n, fmt.Sprintf("unknown name %q", name), hint)
}
