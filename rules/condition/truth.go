package condition

// A Truth is one of the three values of strong Kleene logic. The values are
// ordered false < unknown < true, so that "and" is the smaller of two, "or" the
// larger, and "not" changes the sign (Kleene, Introduction to Metamathematics,
// 1952, pp. 332-335). The zero value is Unknown: nobody looked.
type Truth int8

// The three values.
const (
	False   Truth = -1
	Unknown Truth = 0
	True    Truth = +1
)

// And returns the conjunction: false as soon as one of the two is false, true
// when both are true, unknown otherwise.
func (t Truth) And(u Truth) Truth { return min(t, u) }

// Or returns the disjunction: true as soon as one of the two is true, false when
// both are false, unknown otherwise.
func (t Truth) Or(u Truth) Truth { return max(t, u) }

// Not returns the negation; the negation of unknown is unknown.
func (t Truth) Not() Truth { return -t }

// String returns "false", "unknown" or "true".
func (t Truth) String() string {
	switch {
	case t < Unknown:
		return "false"
	case t > Unknown:
		return "true"
	}
	return "unknown"
}
