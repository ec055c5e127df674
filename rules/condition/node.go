package condition

import (
	"fmt"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/parser/lexer"
)

// An op is the form of a node.
type op uint8

// The forms. Those up to opOneOf are leaves of the logic: what they say about the
// case comes from observations, not from other conditions.
const (
	opAnd op = iota
	opOr
	opNot

	opLess // comparisons of two numbers
	opLessEqual
	opGreater
	opGreaterEqual
	opEqual
	opNotEqual
	opAsk   // a yes-no symbol
	opHas   // a word is among those that hold of a symbol
	opOneOf // the word of a choice is one of several

	opLiteral // numbers
	opRead
	opNegate
	opAdd
	opSub
	opMul
	opDiv
	opCall
)

// spelling is how the operators are written.
var spelling = [...]string{
	opAnd: "and", opOr: "or", opNot: "not ",
	opLess: "<", opLessEqual: "<=", opGreater: ">", opGreaterEqual: ">=", opEqual: "==", opNotEqual: "!=",
	opNegate: "-", opAdd: "+", opSub: "-", opMul: "*", opDiv: "/",
}

// A node is a checked part of a condition.
type node struct {
	op     op
	kids   []*node   // and, or: two or more; others: the operands in order
	symbol int       // opAsk, opHas, opOneOf, opRead: index in the environment
	words  uint64    // opHas: one word; opOneOf: those that make it true
	call   *Function // opCall

	fixed bool    // a number that reads nothing
	value float64 // of a fixed number
	dim   Dim     // of a number

	truth truthFunc // of a leaf of the logic
	reads []read    // of a leaf of the logic
}

// A read is a symbol that a leaf reads, as a bit in the sets of one condition.
type read struct {
	bit  uint64
	slot int // of a number in a Case
}

func (n *node) isLeaf() bool { return n.op > opNot && n.op <= opOneOf }

// maxReads is the number of symbols one condition may read: one bit each.
const maxReads = 64

// A builder turns source into checked nodes.
type builder struct {
	env    *Env
	source string
	tokens []lexer.Token
	tree   *parser.Tree
	order  []int // symbols in the order in which they are first read
}

// Compile parses and checks a condition. An error is of type *Error.
func (e *Env) Compile(src string) (c *Condition, err error) {
	b := &builder{env: e, source: src}
	if len(src) > maxSource {
		b.source = strings.ToValidUTF8(src[:60], "") + " …"
		return nil, b.fail(0, fmt.Sprintf("the condition is %d bytes long, more than %d", len(src), maxSource), "split it into several rules")
	}
	// No input is known to make expr's parser or checker panic within the limit;
	// if one does, the author of the condition gets an error and not a crash.
	defer func() {
		if r := recover(); r != nil {
			c, err = nil, b.fail(0, fmt.Sprintf("the condition cannot be read: %v", r), "")
		}
	}()
	root, fault := b.build()
	if fault != nil {
		return nil, fault
	}
	if err := e.typeCheck(b.tree); err != nil {
		return nil, b.fail(0, "type check: "+err.Error(), "")
	}
	return newCondition(e, root, b.order), nil
}

// build checks by our own rules. expr's type checker runs after it, on a tree that
// is right by then, because it forgets positions and knows nothing of words,
// dimensions and what to write instead.
func (b *builder) build() (*node, *Error) {
	tree, err := b.parse()
	if err != nil {
		return nil, err
	}
	return b.condition(tree)
}

func (b *builder) fail(offset int, message, hint string) *Error {
	return errorAt(b.source, offset, message, hint)
}

func (b *builder) failAt(n ast.Node, message, hint string) *Error {
	return b.fail(start(n), message, hint)
}

// read notes that the symbol is read.
func (b *builder) read(symbol int, at ast.Node) *Error {
	if slices.Contains(b.order, symbol) {
		return nil
	}
	if len(b.order) == maxReads {
		return b.failAt(at, fmt.Sprintf("the condition reads more than %d observations", maxReads), "split it into several rules")
	}
	b.order = append(b.order, symbol)
	return nil
}

// start is the offset of the first rune of a node that expr places at its
// operator.
func start(n ast.Node) int {
	from := n.Location().From
	switch n := n.(type) {
	case *ast.UnaryNode: // "not" of "x not in" stands after x
		from = min(from, start(n.Node))
	case *ast.BinaryNode:
		from = min(from, start(n.Left))
	case *ast.MemberNode:
		from = min(from, start(n.Node))
	}
	return from
}
