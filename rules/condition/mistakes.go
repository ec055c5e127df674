package condition

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/expr-lang/expr/ast"
)

// notACondition says what to write around something that is not true or false.
func (b *builder) notACondition(o operand) *Error {
	s := &Symbol{}
	if o.symbol >= 0 {
		s = &b.env.symbols[o.symbol]
	}
	switch o.what {
	case aConst:
		return b.failAt(o.at, "a condition that is always the same says nothing", "leave it out")
	case aChoice:
		return b.failAt(o.at, fmt.Sprintf("%s is a choice of words, not yes or no", s.Name), fmt.Sprintf("write %s == %q", s.Name, s.Words[0]))
	case aSeveral:
		return b.failAt(o.at, fmt.Sprintf("%s is a set of words, not yes or no", s.Name), fmt.Sprintf("write %q in %s", s.Words[0], s.Name))
	case aWord:
		return b.failAt(o.at, "a word by itself is not yes or no", fmt.Sprintf("write x == %q, or x in [%q, …] for one of several", o.word, o.word))
	case aList:
		return b.failAt(o.at, "a list by itself is not yes or no", "write x in [ … ]")
	}
	if o.number.fixed {
		return b.failAt(o.at, "a number is not yes or no", "name an observation and compare it with the number")
	}
	return b.failAt(o.at, "a number is not yes or no", fmt.Sprintf("compare it: %s > %s", b.print(o.number), b.sample(o.number)))
}

// sample is a quantity to compare a number with in a hint.
func (b *builder) sample(n *node) string {
	if unit := b.unitOf(n); unit != "" {
		return unit + "(3)"
	}
	return "3"
}

// rank orders operands by how much they tell about what the author meant.
func (o operand) rank() int {
	switch o.what {
	case aChoice, aSeveral:
		return 3
	case aTruth:
		return 2
	case aConst, aNumber:
		return 1
	}
	return 0
}

// notComparable says why the two sides of a comparison do not go together.
func (b *builder) notComparable(n *ast.BinaryNode, l, r operand) *Error {
	if l.rank() < r.rank() {
		l, r = r, l
	}
	name := ""
	if l.symbol >= 0 {
		name = b.env.symbols[l.symbol].Name
	}
	switch l.what {
	case aTruth, aConst:
		return b.notTested(n, l, r)
	case aSeveral:
		word := b.env.symbols[l.symbol].Words[0]
		if r.what == aWord {
			word = r.word
		}
		return b.failAt(n, fmt.Sprintf("several words of %s can hold at once", name), fmt.Sprintf("write %q in %s", word, name))
	case aChoice:
		if r.what == aWord {
			return b.fail(n.Location().From, fmt.Sprintf("words have no order, so %s does not fit", n.Operator), "write == or !=, or in with a list")
		}
		if r.what == aList {
			return b.fail(n.Location().From, fmt.Sprintf("%s has one word at a time, not a list", name), fmt.Sprintf("write %s in [ … ]", name))
		}
		return b.failAt(r.at, fmt.Sprintf("%s is compared with its words", name), "write one of "+quoteAll(b.env.symbols[l.symbol].Words))
	case aNumber:
		return b.numberAgainst(r, l)
	}
	return b.failAt(n, "no side of the comparison is an observation", "name an observation on one side")
}

// notTested explains x == true, x == y between yes and no, and not x == "w".
func (b *builder) notTested(n *ast.BinaryNode, l, r operand) *Error {
	if not, ok := l.at.(*ast.UnaryNode); ok && l.what == aTruth && r.what != aConst && r.what != aTruth {
		return b.failAt(not, "not binds more tightly than the comparison", "write != , or brackets around the comparison: not (…)")
	}
	if l.symbol >= 0 && r.what != aConst && r.what != aTruth {
		name := b.env.symbols[l.symbol].Name
		return b.failAt(r.at, fmt.Sprintf("%s is yes or no", name), fmt.Sprintf("write %s, or not %s", name, name))
	}
	if r.what != aConst {
		return b.failAt(n, "a yes or no is not compared", "write (a and b) or (not a and not b) for: both the same")
	}
	side, hint := "", "write the condition by itself"
	if l.symbol >= 0 {
		side = b.env.symbols[l.symbol].Name
		hint = "write " + side
		if r.at.(*ast.BoolNode).Value != (n.Operator == "==") {
			hint = "write not " + side
		}
	}
	return b.failAt(r.at, "a yes or no is not compared with true or false", hint)
}

// numberAgainst explains a number beside something that is none.
func (b *builder) numberAgainst(other, number operand) *Error {
	hint := fmt.Sprintf("compare it with a number: %s", b.sample(number.number))
	if band, ok := b.band(number); ok && other.what == aWord {
		hint = fmt.Sprintf("write %s == %q", band, other.word)
	}
	return b.failAt(other.at, fmt.Sprintf("%s is a number", b.print(number.number)), hint)
}

// band is the name of the choice that holds the bands of a number.
func (b *builder) band(number operand) (string, bool) {
	if number.symbol < 0 {
		return "", false
	}
	name := "band." + b.env.symbols[number.symbol].Name
	_, ok := b.env.index[name]
	return name, ok
}

// notAMember says what goes on the two sides of in.
func (b *builder) notAMember(n *ast.BinaryNode, l, r operand) *Error {
	nameOf := func(o operand) string { return b.env.symbols[o.symbol].Name }
	switch {
	case l.what == aSeveral:
		return b.failAt(n, fmt.Sprintf("several words of %s can hold at once", nameOf(l)),
			fmt.Sprintf("write %q in %s, once for each word", b.env.symbols[l.symbol].Words[0], nameOf(l)))
	case l.what == aWord && r.what == aChoice:
		return b.failAt(n, fmt.Sprintf("%s has one word at a time", nameOf(r)), fmt.Sprintf("write %s == %q", nameOf(r), l.word))
	case l.what == aChoice && r.what == aWord:
		return b.failAt(r.at, "in needs a list", fmt.Sprintf("write %s == %q, or in [%q, …]", nameOf(l), r.word, r.word))
	case l.what == aNumber && r.what == aList:
		if band, ok := b.band(l); ok {
			return b.failAt(n, "a list holds words, not numbers", fmt.Sprintf("write %s in [ … ]", band))
		}
		return b.failAt(n, "a list holds words, not numbers", fmt.Sprintf("write %s == 2 or %s == 4", b.print(l.number), b.print(l.number)))
	case l.what == aTruth:
		if _, ok := l.at.(*ast.UnaryNode); ok {
			return b.failAt(n, "not binds more tightly than in", "write x not in [ … ]")
		}
		return b.failAt(n, "a yes or no has no words", "write it by itself, or not before it")
	case l.what == aChoice:
		return b.failAt(r.at, "in needs a list", fmt.Sprintf("write %s in [%s]", nameOf(l), quoteAll(b.env.symbols[l.symbol].Words[:1])))
	}
	return b.failAt(n, "in needs an observation and its words", "write x in [\"a\", \"b\"], or \"a\" in x where several can hold")
}

// perhapsAWord improves the error for x == wet, in which the quotes are missing.
func (b *builder) perhapsAWord(err *Error, bare, other ast.Node) *Error {
	id, ok := bare.(*ast.IdentifierNode)
	if !ok {
		return err
	}
	o, fault := b.operand(other)
	if fault != nil || o.what != aChoice {
		return err
	}
	words := b.env.symbols[o.symbol].Words
	if slices.Contains(words, id.Value) {
		return b.failAt(bare, fmt.Sprintf("the word %s needs quotes", id.Value), "write "+strconv.Quote(id.Value))
	}
	if near := nearest(id.Value, words); near != "" && err.Hint == "" {
		err.Hint = "write " + strconv.Quote(near)
	}
	return err
}
