package condition

import (
	"fmt"
	"math"

	"github.com/expr-lang/expr/ast"
)

// number checks a node that has to be a number.
func (b *builder) number(n ast.Node) (*node, *Error) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return literal(float64(n.Value)), nil
	case *ast.FloatNode:
		return literal(n.Value), nil
	case *ast.CallNode:
		return b.call(n)
	case *ast.UnaryNode:
		if n.Operator == "-" || n.Operator == "+" {
			return b.signed(n)
		}
	case *ast.BinaryNode:
		if isArithmetic(n.Operator) {
			return b.arithmetic(n)
		}
	case *ast.IdentifierNode, *ast.MemberNode, *ast.StringNode, *ast.BoolNode, *ast.ArrayNode:
		o, err := b.operand(n)
		if err != nil || o.what == aNumber {
			return o.number, err
		}
		return nil, b.notANumber(o)
	default:
		return nil, b.failAt(n, "this form is not part of the language", formsHint)
	}
	return nil, b.failAt(n, "a yes or no is not a number", "write a number here")
}

func (b *builder) notANumber(o operand) *Error {
	if o.symbol >= 0 {
		return b.failAt(o.at, fmt.Sprintf("%s is not a number", b.env.symbols[o.symbol].Name), "write a number here")
	}
	return b.failAt(o.at, "this is not a number", "write a number here")
}

func literal(v float64) *node { return &node{op: opLiteral, fixed: true, value: v} }

func (b *builder) readNumber(i int) *node {
	b.read(i)
	return &node{op: opRead, symbol: i, dim: b.env.symbols[i].Dim}
}

// signed checks a leading sign; a plus is dropped.
func (b *builder) signed(n *ast.UnaryNode) (*node, *Error) {
	kid, err := b.number(n.Node)
	if err != nil || n.Operator == "+" {
		return kid, err
	}
	return &node{op: opNegate, kids: []*node{kid}, dim: kid.dim, fixed: kid.fixed, value: -kid.value}, nil
}

var arithmeticOps = map[string]op{"+": opAdd, "-": opSub, "*": opMul, "/": opDiv}

// arithmetic checks + - * / and their dimensions.
func (b *builder) arithmetic(n *ast.BinaryNode) (*node, *Error) {
	l, err := b.number(n.Left)
	if err != nil {
		return nil, err
	}
	r, err := b.number(n.Right)
	if err != nil {
		return nil, err
	}
	x := &node{op: arithmeticOps[n.Operator], kids: []*node{l, r}, dim: l.dim, fixed: l.fixed && r.fixed}
	ok := true
	switch x.op {
	case opAdd, opSub:
		if err := b.sameDim(n, l, r); err != nil {
			return nil, err
		}
	case opMul:
		x.dim, ok = l.dim.plus(r.dim, +1)
	case opDiv:
		x.dim, ok = l.dim.plus(r.dim, -1)
		if r.fixed && r.value == 0 {
			return nil, b.failAt(n.Right, "division by zero", "divide by something that is not always zero")
		}
	}
	if !ok {
		return nil, b.fail(n.Location().From, fmt.Sprintf("the power of a dimension goes beyond %d", maxPower), "")
	}
	return b.fold(x, n)
}

// call checks a function and its arguments.
func (b *builder) call(n *ast.CallNode) (*node, *Error) {
	id, ok := n.Callee.(*ast.IdentifierNode)
	if !ok {
		return nil, b.failAt(n.Callee, "only a function by its name can be called", "")
	}
	i, ok := b.env.calls[id.Value]
	if !ok {
		return nil, b.failAt(n, fmt.Sprintf("%s is not a function", id.Value), "leave the brackets out")
	}
	f := &b.env.functions[i]
	if len(n.Arguments) != len(f.Args) {
		return nil, b.argumentCount(n, f)
	}
	x := &node{op: opCall, call: f, dim: f.Result, fixed: true}
	for k, a := range n.Arguments {
		kid, err := b.number(a)
		if err != nil {
			return nil, err
		}
		if kid.dim != f.Args[k] {
			return nil, b.argumentDim(a, f, k, kid)
		}
		x.kids = append(x.kids, kid)
		x.fixed = x.fixed && kid.fixed
	}
	return b.fold(x, n)
}

func (b *builder) argumentCount(n *ast.CallNode, f *Function) *Error {
	hint := ""
	if l, r, ok := twoNumbers(n.Arguments); ok && f.isUnit() {
		hint = fmt.Sprintf("write the decimal with a point: %s(%d.%d)", f.Name, l, r)
	}
	return b.failAt(n, fmt.Sprintf("%s takes %d argument%s, not %d", f.Name, len(f.Args), plural(len(f.Args)), len(n.Arguments)), hint)
}

func plural(n int) string {
	if n == 1 {
		return ""
	}
	return "s"
}

// twoNumbers recognizes 22,5 written with a decimal comma.
func twoNumbers(args []ast.Node) (l, r int, ok bool) {
	if len(args) != 2 {
		return 0, 0, false
	}
	left, ok := args[0].(*ast.IntegerNode)
	right, ok2 := args[1].(*ast.IntegerNode)
	if !ok || !ok2 {
		return 0, 0, false
	}
	return left.Value, right.Value, true
}

func (b *builder) argumentDim(at ast.Node, f *Function, k int, kid *node) *Error {
	hint := ""
	unit := b.unitFor(f.Args[k])
	if k < len(f.Units) && f.Units[k] != "" {
		unit = f.Units[k]
	}
	switch {
	case f.isUnit() && kid.dim == f.Result:
		hint = "it has its unit already: write " + b.print(kid)
	case kid.fixed && kid.dim == Dim{} && unit != "":
		hint = fmt.Sprintf("write %s(%s)", unit, b.print(kid))
	case unit != "" && f.Units != nil:
		hint = fmt.Sprintf("write something measured in %s(…) or the like", unit)
	}
	return b.failAt(at, fmt.Sprintf("argument %d of %s is a %v, not a %v", k+1, f.Name, f.Args[k], kid.dim), hint)
}

// compareNumbers checks a comparison of two numbers and their dimensions.
func (b *builder) compareNumbers(n *ast.BinaryNode, l, r *node) (*node, *Error) {
	if err := b.sameDim(n, l, r); err != nil {
		return nil, err
	}
	if l.fixed && r.fixed {
		return nil, b.failAt(n, "both sides are fixed, so nothing is observed", "name an observation on one side")
	}
	return &node{op: comparisonOps[n.Operator], kids: []*node{l, r}}, nil
}

var comparisonOps = map[string]op{
	"<": opLess, "<=": opLessEqual, ">": opGreater, ">=": opGreaterEqual, "==": opEqual, "!=": opNotEqual,
}

// sameDim refuses two sides of different dimension. If one is a bare number, the
// unit of the other is what is missing.
func (b *builder) sameDim(n *ast.BinaryNode, l, r *node) *Error {
	if l.dim == r.dim {
		return nil
	}
	bare, at, other := r, n.Right, l
	if l.fixed && l.dim == (Dim{}) {
		bare, at, other = l, n.Left, r
	}
	if bare.fixed && bare.dim == (Dim{}) {
		hint := ""
		if unit := b.unitOf(other); unit != "" {
			hint = fmt.Sprintf("write %s(%s)", unit, b.print(bare))
		}
		return b.failAt(at, fmt.Sprintf("%s is a %v, %s has no unit", b.print(other), other.dim, b.print(bare)), hint)
	}
	return b.fail(n.Location().From, fmt.Sprintf("%s does not join a %v and a %v", n.Operator, l.dim, r.dim), "compare and add only quantities of one kind")
}

// unitOf is the unit function to suggest for a quantity: that of the first symbol
// in it of the same dimension, or any for the dimension.
func (b *builder) unitOf(n *node) string {
	if n.op == opRead {
		if unit := b.env.symbols[n.symbol].Unit; unit != "" {
			return unit
		}
	}
	for _, kid := range n.kids {
		if kid.dim == n.dim && !kid.fixed {
			return b.unitOf(kid)
		}
	}
	return b.unitFor(n.dim)
}

// unitFor is the first registered unit function of the dimension.
func (b *builder) unitFor(d Dim) string {
	for i := range b.env.functions {
		if f := &b.env.functions[i]; f.isUnit() && f.Result == d {
			return f.Name
		}
	}
	return ""
}

// fold computes a number that reads nothing.
func (b *builder) fold(x *node, at ast.Node) (*node, *Error) {
	if !x.fixed {
		return x, nil
	}
	args := make([]float64, len(x.kids))
	for i, kid := range x.kids {
		args[i] = kid.value
	}
	switch x.op {
	case opAdd:
		x.value = args[0] + args[1]
	case opSub:
		x.value = args[0] - args[1]
	case opMul:
		x.value = args[0] * args[1]
	case opDiv:
		x.value = args[0] / args[1]
	case opCall:
		x.value = x.call.Call(args)
	}
	if math.IsNaN(x.value) || math.IsInf(x.value, 0) {
		return nil, b.failAt(at, fmt.Sprintf("%s cannot be computed", b.print(x)), "write a value within the reach of the function")
	}
	return x, nil
}
