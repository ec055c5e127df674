package condition

// Conditions run as closures: each node becomes a function that has its operands,
// slots and constants at hand, so that no tree is walked and nothing is looked up
// at run time.
type (
	truthFunc  func(*Case) Truth
	numberFunc func(*Case) interval
)

// compile returns the closure of a node of the logic. It also completes the
// leaves, which Deciding and Values evaluate one by one.
func (c *Condition) compile(n *node) truthFunc {
	switch n.op {
	case opAnd:
		return and(c.compileAll(n.kids))
	case opOr:
		return or(c.compileAll(n.kids))
	case opNot:
		f := c.compile(n.kids[0])
		return func(k *Case) Truth { return -f(k) }
	}
	n.truth = c.leaf(n)
	n.reads = c.readsOf(n, nil)
	return n.truth
}

func (c *Condition) compileAll(nodes []*node) []truthFunc {
	fs := make([]truthFunc, len(nodes))
	for i, n := range nodes {
		fs[i] = c.compile(n)
	}
	return fs
}

// and stops at the first false. Two and three operands are by far the most
// frequent, and save the loop.
func and(fs []truthFunc) truthFunc {
	switch len(fs) {
	case 2:
		f, g := fs[0], fs[1]
		return func(k *Case) Truth {
			t := f(k)
			if t == False {
				return False
			}
			return min(t, g(k))
		}
	case 3:
		f, g, h := fs[0], fs[1], fs[2]
		return func(k *Case) Truth {
			t := f(k)
			if t == False {
				return False
			}
			if t = min(t, g(k)); t == False {
				return False
			}
			return min(t, h(k))
		}
	}
	return func(k *Case) Truth {
		t := True
		for _, f := range fs {
			if t = min(t, f(k)); t == False {
				return False
			}
		}
		return t
	}
}

// or stops at the first true.
func or(fs []truthFunc) truthFunc {
	switch len(fs) {
	case 2:
		f, g := fs[0], fs[1]
		return func(k *Case) Truth {
			t := f(k)
			if t == True {
				return True
			}
			return max(t, g(k))
		}
	case 3:
		f, g, h := fs[0], fs[1], fs[2]
		return func(k *Case) Truth {
			t := f(k)
			if t == True {
				return True
			}
			if t = max(t, g(k)); t == True {
				return True
			}
			return max(t, h(k))
		}
	}
	return func(k *Case) Truth {
		t := False
		for _, f := range fs {
			if t = max(t, f(k)); t == True {
				return True
			}
		}
		return t
	}
}

// leaf returns the closure of a comparison or of a test of a symbol.
func (c *Condition) leaf(n *node) truthFunc {
	switch n.op {
	case opAsk:
		slot := c.env.slots[n.symbol]
		return func(k *Case) Truth { return k.truths[slot] }
	case opHas:
		slot, word := c.env.slots[n.symbol], n.words
		return func(k *Case) Truth {
			h := &k.words[slot]
			return sign(h.yes&word != 0) - sign(h.no&word != 0)
		}
	case opOneOf:
		slot, words := c.env.slots[n.symbol], n.words
		return func(k *Case) Truth {
			w := k.words[slot].yes // one bit, or none if unknown
			return sign(w&words != 0) - sign(w&^words != 0)
		}
	}
	return c.comparison(n)
}

// comparison brings the six comparisons to "less" and "equal": a > b is b < a,
// and a <= b is the negation of b < a.
func (c *Condition) comparison(n *node) truthFunc {
	l, r := n.kids[0], n.kids[1]
	switch n.op {
	case opLess:
		return c.lessThan(l, r)
	case opGreater:
		return c.lessThan(r, l)
	case opLessEqual:
		return negated(c.lessThan(r, l))
	case opGreaterEqual:
		return negated(c.lessThan(l, r))
	case opEqual:
		return c.equals(l, r)
	}
	return negated(c.equals(l, r))
}

func negated(f truthFunc) truthFunc { return func(k *Case) Truth { return -f(k) } }

// lessThan compares; a symbol beside a constant is the commonest shape and needs
// no call for its operands.
func (c *Condition) lessThan(l, r *node) truthFunc {
	switch {
	case l.op == opRead && r.fixed:
		slot, v := c.env.slots[l.symbol], r.value
		return func(k *Case) Truth { a := &k.numbers[slot]; return sign(a.hi < v) - sign(a.lo >= v) }
	case l.fixed && r.op == opRead:
		slot, v := c.env.slots[r.symbol], l.value
		return func(k *Case) Truth { b := &k.numbers[slot]; return sign(v < b.lo) - sign(v >= b.hi) }
	}
	f, g := c.number(l), c.number(r)
	return func(k *Case) Truth { return less(f(k), g(k)) }
}

func (c *Condition) equals(l, r *node) truthFunc {
	if l.fixed {
		l, r = r, l
	}
	if l.op == opRead && r.fixed {
		slot, v := c.env.slots[l.symbol], point(r.value)
		return func(k *Case) Truth { return equal(k.numbers[slot], v) }
	}
	f, g := c.number(l), c.number(r)
	return func(k *Case) Truth { return equal(f(k), g(k)) }
}

// number returns the closure of a number.
func (c *Condition) number(n *node) numberFunc {
	if n.fixed {
		v := point(n.value)
		return func(*Case) interval { return v }
	}
	switch n.op {
	case opRead:
		slot := c.env.slots[n.symbol]
		return func(k *Case) interval { return k.numbers[slot] }
	case opNegate:
		f := c.number(n.kids[0])
		return func(k *Case) interval { return f(k).negate() }
	case opCall:
		return c.callOf(n)
	}
	f, g := c.number(n.kids[0]), c.number(n.kids[1])
	switch n.op {
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
func (c *Condition) callOf(n *node) numberFunc {
	fs := make([]numberFunc, len(n.kids))
	for i, kid := range n.kids {
		fs[i] = c.number(kid)
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
// argument, so its least and largest values are among those.
func (f *Function) corners(k *Case, at *[maxArgs]interval) interval {
	all := f.corner(k, at, 0)
	for which := uint(1); which < 1<<len(f.Args); which++ {
		v := f.corner(k, at, which)
		if v.isUnknown() || all.isUnknown() {
			return unknownNumber()
		}
		all = interval{min(all.lo, v.lo), max(all.hi, v.hi)}
	}
	return all
}

// readsOf collects what a leaf reads, each symbol once.
func (c *Condition) readsOf(n *node, reads []read) []read {
	switch n.op {
	case opAsk, opHas, opOneOf, opRead:
		r := read{bit: c.bit(n.symbol), slot: c.env.slots[n.symbol]}
		for _, seen := range reads {
			if seen == r {
				return reads
			}
		}
		return append(reads, r)
	}
	for _, kid := range n.kids {
		reads = c.readsOf(kid, reads)
	}
	return reads
}
