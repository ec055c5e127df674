package condition

// An op is the form of a node.
type op uint8

// The forms.
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
}
