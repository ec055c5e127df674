package condition

import (
	"fmt"
	"slices"
	"strings"
)

// A Quantity is a compiled number: what stands on one side of a comparison, by
// itself, such as spec.float_height + mm(1) or a call of a function. It is immutable
// and safe to share. Its methods take cases of the environment that compiled it.
type Quantity struct {
	env   *Env
	root  *node
	value numberFunc
	order []int
}

// CompileNumber parses and checks a number. An error is of type *Error. Unlike a
// condition it may read nothing and be the same always.
func (e *Env) CompileNumber(src string) (q *Quantity, err error) {
	b := &builder{env: e, source: src}
	if len(src) > maxSource {
		b.source = strings.ToValidUTF8(src[:60], "") + " …"
		return nil, b.fail(0, fmt.Sprintf("the number is %d bytes long, more than %d", len(src), maxSource), "split it")
	}
	defer func() { // as in Compile
		if r := recover(); r != nil {
			q, err = nil, b.fail(0, fmt.Sprintf("the number cannot be read: %v", r), "")
		}
	}()
	tree, fault := b.parse()
	if fault != nil {
		return nil, fault
	}
	root, fault := b.number(tree)
	if fault != nil {
		return nil, fault
	}
	if err := e.typeCheck(b.tree); err != nil {
		return nil, b.fail(0, "type check: "+err.Error(), "")
	}
	return &Quantity{env: e, root: root, value: (&assembler{env: e}).number(root), order: b.order}, nil
}

// Eval returns the range of values that the number can have in a case, in SI base
// units; a point has lo == hi. It is false when nothing is known, or when it cannot
// be computed. It allocates nothing.
func (q *Quantity) Eval(k *Case) (lo, hi float64, known bool) {
	v := q.value(k)
	return v.lo, v.hi, !v.isUnknown()
}

// Dim returns the dimension of the number.
func (q *Quantity) Dim() Dim { return q.root.dim }

// Reads returns the symbols that the number reads, ascending, in a slice of the
// caller's own.
func (q *Quantity) Reads() []int {
	reads := slices.Clone(q.order)
	slices.Sort(reads)
	return reads
}

// String returns the number in one line; compiling it gives an equal one.
func (q *Quantity) String() string { return (&printer{env: q.env}).line(q.root) }

// A Call is one call of a function in a condition or number.
type Call struct {
	Function string
	// Args are the arguments as numbers of their own.
	Args []*Quantity
}

// Calls returns the calls of functions in the number that are no units, outer ones
// first.
func (q *Quantity) Calls() []Call { return q.env.calledBy(q.root, nil) }

// Calls returns the calls of functions in the condition that are no units, in the
// order in which they stand.
func (c *Condition) Calls() []Call { return c.env.calledBy(c.root, nil) }

func (e *Env) calledBy(n *node, found []Call) []Call {
	if n.op == opCall && !n.call.isUnit() {
		call := Call{Function: n.call.Name}
		for _, kid := range n.kids {
			call.Args = append(call.Args, e.part(kid))
		}
		found = append(found, call)
	}
	for _, kid := range n.kids {
		found = e.calledBy(kid, found)
	}
	return found
}

// part makes a number of its own of a part of one.
func (e *Env) part(n *node) *Quantity {
	q := &Quantity{env: e, root: n, value: (&assembler{env: e}).number(n)}
	q.order = n.numbers(nil)
	return q
}
