// Package condition evaluates typed conditions over observations in three values:
// true, false and unknown.
//
// A rule says when it applies and what it found in a condition such as
//
//	motor_warm and (plug_color in ["wet", "black"] or float_height > spec.float_height + mm(1))
//
// An observation that nobody made is unknown, never "no", and a condition is
// unknown exactly as far as that leaves it open (strong Kleene logic: Kleene,
// Introduction to Metamathematics, 1952, pp. 332-335). Package expr
// (github.com/expr-lang/expr) parses conditions and checks their types; this
// package adds words, units and positions to the check, and evaluates by itself,
// since expr has two values and one type for all words.
//
// # What the language is for
//
// It asks what was seen, heard or measured at one place of one machine. It is
// deliberately not a programming language: no variables, no choice (?:), no loops,
// no text functions, no powers, no assignment, nothing that could run long or have
// an effect. It also has no way to ask whether something is known. Such a
// question would let an answer turn true into false, while here more answers only
// ever turn unknown into true or false. It does not combine evidence either:
// probabilities are the work of other packages.
//
// # Words
//
// Names are letters, digits and underscores, as leaks or plug_color; some have two
// parts with a dot between, as spec.float_height (what the maker states) and
// band.float_height (the band in which a reading falls). Which names there are, of
// which kind, is up to the environment (Env):
//
//	yes-no   leaks               yes or no
//	word     plug_color          a choice: one word of a list
//	words    plug_deposits       any number of the words of a list, also none
//	number   float_height        a number with a dimension, known as a point or a range
//
// Literals are words in straight quotes, "wet" or 'wet', and numbers in decimal,
// 3, 0.5, 1e-3, 1_000. A number with a unit is written as a function of the
// environment: mm(3), degC(20).
//
// Operators, loosest first; the spelling in brackets means the same:
//
//	or (||)
//	and (&&)
//	==  !=  <  <=  >  >=  in  not in
//	+  -
//	not (!)
//	*  /
//	- and + as signs
//
// So not takes less than a comparison: write plug_color != "wet", or not
// (plug_color == "wet"). A comment runs from // to the end of the line, or from /*
// to */, and is not kept.
//
// # Forms and their meaning
//
// Each condition is true, false or unknown in a case. Below, x is a yes-no name, c
// a choice, s a set of words, m and n are numbers, a and b are conditions.
//
//	x              true if yes, false if no, unknown if nobody looked
//	not a          true if a is false, false if a is true, otherwise unknown
//	a and b        false if one is false, whatever the other; true if both are true;
//	               otherwise unknown
//	a or b         true if one is true, whatever the other; false if both are false;
//	               otherwise unknown
//	c == "w"       true if the word is w, false if it is another, unknown if none is
//	               known; "w" == c means the same
//	c != "w"       not (c == "w")
//	c in ["v","w"] true if the word is in the list, false if it is another, unknown
//	               if none is known
//	c not in […]   not (c in […])
//	"w" in s       true if w holds, false if somebody looked and it does not, unknown
//	               if nobody looked
//	"w" not in s   not ("w" in s)
//	m < n          true if all values that m may have lie below all that n may have,
//	               false if none does, otherwise unknown; <=, >, >= likewise
//	m == n         true if both are the same point, false if they have no value in
//	               common, otherwise unknown; != is its negation
//	l < m <= n     l < m and m <= n
//
// No value is guessed from the form of the condition: x or not x is unknown while x
// is, although it could not turn out false.
//
// # Numbers
//
// A number is known as an interval, both ends included; a point is an interval of
// no width; a reading such as "at least 3 mm" has no upper end. Arithmetic gives
// the interval of all results that the operands allow, computed at their ends in
// float64. It does not notice that a number occurs twice: m - m is not 0 unless m
// is a point.
//
// A number is unknown if a part of it is. It cannot be computed, and is unknown
// too, when the divisor may be zero, or when a function gives NaN or is given a
// range without having promised to be monotone. What is too large for float64 is
// known only to be beyond its largest value.
//
// Dimensions are checked: only numbers of the same dimension are compared, added
// or subtracted, and a function takes each argument in its own dimension. A bare
// number has no dimension; it goes with counts and ratios (cylinders == 2,
// float_height / spec.float_height > 1.1), and as a factor with anything.
//
// # What decides
//
// For an unknown condition, Condition.Deciding names the observations that it still
// turns on. Condition.Values lists what it read and which values carry the result.
//
// # Grammar
//
// In the notation of the Go specification; a production ends with a full stop.
//
//	condition  = conjunct { ( "or" | "||" ) conjunct } .
//	conjunct   = test { ( "and" | "&&" ) test } .
//	test       = ( "not" | "!" ) part | part | comparison | membership .
//	part       = name | "(" condition ")" | ( "not" | "!" ) part .
//	comparison = sum equality sum | sum order sum { order sum }
//	           | name equality word | word equality name .
//	equality   = "==" | "!=" .
//	order      = "<" | "<=" | ">" | ">=" .
//	membership = name [ "not" ] "in" list | word [ "not" ] "in" name .
//	list       = "[" word { "," word } [ "," ] "]" .
//	sum        = product { ( "+" | "-" ) product } .
//	product    = signed { ( "*" | "/" ) signed } .
//	signed     = [ "-" | "+" ] ( number | name | call | "(" sum ")" ) .
//	call       = identifier "(" sum { "," sum } [ "," ] ")" .
//	name       = identifier [ "." identifier ] .
//	word       = a string in double, single or back quotes .
//	number     = a decimal integer or floating-point literal .
//	identifier = letter { letter | digit } . /* "_" counts as a letter */
//
// # Limits
//
// A condition is at most 2000 bytes long and has at most 64 tests, counting the
// groups in brackets, and == and != of numbers two or three times. A choice has at
// most 64 words, a function at most 6 arguments. The exponent of a dimension stays
// within 12. Every test must read an observation: true, 3 > 2 and the like are
// refused.
//
// # Use
//
// Build an Env once, compile each condition once (a Condition is immutable), and
// fill one Case per place. See the examples.
package condition
