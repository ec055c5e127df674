package condition

import (
	"fmt"
	"strings"
)

// A Dim is the dimension of a number: the exponents of length, mass, time,
// temperature, electric current and turn (angle), in this order. The zero Dim is
// a plain number, such as a count or a ratio. Values are held in the SI base
// units m, kg, s, K, A, and in turns.
type Dim [6]int8

// maxPower bounds every exponent that a product or quotient may reach, so that
// no chain of multiplications can wrap an int8. Workshop quantities stay below 5.
const maxPower = 12

// baseNames are in the order of the exponents.
var baseNames = [len(Dim{})]string{"length", "mass", "time", "temperature", "current", "turn"}

// String writes the dimension in words: "length", "length^3 / time", "1 / time",
// and "plain number" for the zero Dim.
func (d Dim) String() string {
	if d == (Dim{}) {
		return "plain number"
	}
	above, below := d.factors(1), d.factors(-1)
	switch {
	case below == "":
		return above
	case above == "":
		return "1 / " + below
	}
	return above + " / " + below
}

// factors writes the bases whose exponent has the given sign.
func (d Dim) factors(sign int8) string {
	var words []string
	for i, power := range d {
		switch power *= sign; {
		case power == 1:
			words = append(words, baseNames[i])
		case power > 1:
			words = append(words, fmt.Sprintf("%s^%d", baseNames[i], power))
		}
	}
	return strings.Join(words, " ")
}

// plus returns the dimension of a quantity of dimension d times one of dimension
// o to the power of sign, and whether every exponent stays within maxPower.
func (d Dim) plus(o Dim, sign int) (Dim, bool) {
	for i := range d {
		power := int(d[i]) + sign*int(o[i])
		if power > maxPower || power < -maxPower {
			return Dim{}, false
		}
		d[i] = int8(power)
	}
	return d, true
}
