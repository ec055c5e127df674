package condition

import "slices"

// A Condition is a compiled condition. It is immutable and safe to share between
// goroutines. Its methods take cases of the environment that compiled it.
type Condition struct {
	env     *Env
	root    *node
	program program
	order   []int // symbols in the order in which they are first read
}

// Eval returns the truth of the condition in a case. It allocates nothing.
func (c *Condition) Eval(k *Case) Truth {
	_, _, t := c.program.run(k)
	return t
}

// Deciding adds to s the symbols that the condition still turns on, and returns
// its truth. Nothing is added when it is decided.
//
// The symbols are those that nobody observed, and numbers known only as a range
// too wide to decide. Once each of them has a value (a number: a point), the
// condition is decided, whatever the others are; and no observation of another
// symbol changes it before that. The one exception is a number that cannot be
// computed, such as a quotient by zero: it stays unknown, with nothing to ask.
//
// Deciding allocates nothing once s has grown to its size.
func (c *Condition) Deciding(k *Case, s *Set) Truth { return c.program.decide(k, s) }

// Reads returns the symbols that the condition reads, ascending, in a slice of the
// caller's own.
func (c *Condition) Reads() []int {
	reads := slices.Clone(c.order)
	slices.Sort(reads)
	return reads
}

// String returns the condition in one line: with and, or, not in words, no
// brackets but those that are needed, the words of a list in the order of the
// vocabulary, a single word with == or !=. Compiling it gives an equal condition,
// with the same String.
func (c *Condition) String() string { return (&printer{env: c.env}).line(c.root) }
