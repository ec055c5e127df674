package condition

// Numbers, and comparisons that are not simply with a constant, run as closures:
// functions that have their operands, places and constants at hand.
type (
	truthFunc  func(*Case) Truth
	numberFunc func(*Case) interval
)

// A shifted number is a symbol, or its negative, plus a constant: the commonest
// operand, for which no closure need be called.
type shifted struct {
	at   int
	plus float64
}

func (s shifted) in(k *Case) interval {
	a := &k.numbers[s.at]
	return bounded(a.lo+s.plus, a.hi+s.plus)
}

// shifted returns the node in that form, if it has it. In float64, x-c is x+(-c)
// and c-x is -x+c.
func (a *assembler) shifted(n *node) (shifted, bool) {
	switch {
	case n.op == opRead:
		return shifted{at: a.env.slots[n.symbol]}, true
	case n.op == opNegate && n.kids[0].op == opRead:
		return shifted{at: a.env.slots[n.kids[0].symbol] + 1}, true
	case n.op != opAdd && n.op != opSub:
		return shifted{}, false
	}
	l, r := n.kids[0], n.kids[1]
	switch {
	case l.op == opRead && r.fixed && n.op == opAdd:
		return shifted{a.env.slots[l.symbol], r.value}, true
	case l.op == opRead && r.fixed:
		return shifted{a.env.slots[l.symbol], -r.value}, true
	case l.fixed && r.op == opRead && n.op == opAdd:
		return shifted{a.env.slots[r.symbol], l.value}, true
	case l.fixed && r.op == opRead:
		return shifted{a.env.slots[r.symbol] + 1, l.value}, true
	}
	return shifted{}, false
}

// comparison brings the six comparisons to two: a > b is b < a, and a <= b is the
// negation of b < a. It reports whether the closure has to be negated.
func (a *assembler) comparison(n *node) (truthFunc, bool) {
	l, r := n.kids[0], n.kids[1]
	switch n.op {
	case opLess, opGreaterEqual:
		return a.lessThan(l, r), n.op == opGreaterEqual
	case opGreater, opLessEqual:
		return a.lessThan(r, l), n.op == opLessEqual
	}
	return a.equals(l, r), n.op == opNotEqual
}

// lessThan returns the closure of l < r.
func (a *assembler) lessThan(l, r *node) truthFunc {
	ls, ok := a.shifted(l)
	rs, ok2 := a.shifted(r)
	switch {
	case ok && ok2:
		return func(k *Case) Truth { return less(ls.in(k), rs.in(k)) }
	case r.fixed:
		f, v := a.number(l), point(r.value)
		return func(k *Case) Truth { return less(f(k), v) }
	case l.fixed:
		v, g := point(l.value), a.number(r)
		return func(k *Case) Truth { return less(v, g(k)) }
	}
	f, g := a.number(l), a.number(r)
	return func(k *Case) Truth { return less(f(k), g(k)) }
}

// equals returns the closure of l == r.
func (a *assembler) equals(l, r *node) truthFunc {
	f, g := a.number(l), a.number(r)
	return func(k *Case) Truth { return equal(f(k), g(k)) }
}

// number returns the closure of a number.
func (a *assembler) number(n *node) numberFunc {
	if n.fixed {
		v := point(n.value)
		return func(*Case) interval { return v }
	}
	if s, ok := a.shifted(n); ok {
		return s.in
	}
	switch n.op {
	case opNegate:
		f := a.number(n.kids[0])
		return func(k *Case) interval { return f(k).negate() }
	case opCall:
		return a.callOf(n)
	}
	l, ok := a.shifted(n.kids[0])
	r, ok2 := a.shifted(n.kids[1])
	if ok && ok2 {
		return pair(n.op, l, r)
	}
	return binary(n.op, a.number(n.kids[0]), a.number(n.kids[1]))
}

// pair is binary for two shifted operands.
func pair(op op, l, r shifted) numberFunc {
	switch op {
	case opAdd:
		return func(k *Case) interval { return l.in(k).add(r.in(k)) }
	case opSub:
		return func(k *Case) interval { return l.in(k).sub(r.in(k)) }
	case opMul:
		return func(k *Case) interval { return l.in(k).mul(r.in(k)) }
	}
	return func(k *Case) interval { return l.in(k).div(r.in(k)) }
}

func binary(op op, f, g numberFunc) numberFunc {
	switch op {
	case opAdd:
		return func(k *Case) interval { return f(k).add(g(k)) }
	case opSub:
		return func(k *Case) interval { return f(k).sub(g(k)) }
	case opMul:
		return func(k *Case) interval { return f(k).mul(g(k)) }
	}
	return func(k *Case) interval { return f(k).div(g(k)) }
}

// callOf returns the closure of a function call.
func (a *assembler) callOf(n *node) numberFunc {
	fs := make([]numberFunc, len(n.kids))
	for i, kid := range n.kids {
		fs[i] = a.number(kid)
	}
	call := n.call
	return func(k *Case) interval {
		var at [maxArgs]interval // the arguments may call functions themselves
		points := true
		for i, f := range fs {
			if at[i] = f(k); at[i].isUnknown() {
				return unknownNumber()
			}
			points = points && at[i].isPoint()
		}
		switch {
		case points:
			return call.corner(k, &at, 0)
		case call.Monotone:
			return call.corners(k, &at)
		}
		return unknownNumber()
	}
}

// corner calls the function at one corner of its arguments: bit i of which picks
// the upper end of argument i.
func (f *Function) corner(k *Case, at *[maxArgs]interval, which uint) interval {
	args := k.args[:len(f.Args)]
	for i := range args {
		args[i] = at[i].lo
		if which>>i&1 == 1 {
			args[i] = at[i].hi
		}
	}
	v := f.Call(args)
	return bounded(v, v)
}

// corners calls the function at every corner. It rises or falls steadily in each
// argument, so its least and largest values are among those. One NaN makes all NaN.
func (f *Function) corners(k *Case, at *[maxArgs]interval) interval {
	all := f.corner(k, at, 0)
	for which := uint(1); which < 1<<len(f.Args); which++ {
		v := f.corner(k, at, which)
		all = interval{min(all.lo, v.lo), max(all.hi, v.hi)}
	}
	return all
}
