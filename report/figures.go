package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// nbsp keeps a figure and its unit on one line; the page writers turn it into a plain space.
const nbsp = "\u00a0"

// percent writes a probability as a whole percentage, rounded half up. Nothing is ever called 0 % or 100 %: below one
// percent it says "under 1 %", above 99 "over 99 %". A value that was not inferred (NaN) is "unknown".
func percent(p float64) string {
	switch {
	case math.IsNaN(p):
		return "unknown"
	case p < 0.01:
		return "under" + nbsp + "1" + nbsp + "%"
	case p > 0.99:
		return "over" + nbsp + "99" + nbsp + "%"
	}
	return strconv.Itoa(int(math.Floor(100*p+0.5))) + nbsp + "%"
}

// roundingRule states what percent does, for the reader.
const roundingRule = "Chances are rounded to whole percent; \"under 1 %\" and \"over 99 %\" stand for all that is nearer to " +
	"never and always than that."

// weightRule states what likelier means.
const weightRule = "\"About 9 times likelier\" is the factor by which a finding changes the odds of the cause, alone or when all other " +
	"findings are known; dB is ten times its common logarithm, so that 10 dB is a factor of 10."

// bar draws a probability with n letters, at least one of them filled when p is not under 1 percent.
func bar(p float64, n int) string {
	full := 0
	if !math.IsNaN(p) {
		full = int(math.Floor(p*float64(n) + 0.5))
	}
	if p >= 0.01 {
		full = max(full, 1)
	}
	full = min(max(full, 0), n)
	return strings.Repeat("#", full) + strings.Repeat(".", n-full)
}

// likelier puts a factor on the odds into words: "about 9 times likelier", "about 4 times less likely". A factor within a
// tenth of 1 "hardly matters".
func likelier(factor float64) string {
	switch {
	case math.IsNaN(factor):
		return "weight unknown"
	case factor >= 1:
		return times(factor, "likelier")
	case factor <= 0:
		return times(math.Inf(1), "less likely")
	}
	return times(1/factor, "less likely")
}

func times(f float64, word string) string {
	switch {
	case f < 1.1:
		return "hardly matters"
	case f < 1.95:
		return fmt.Sprintf("about%[1]s%.1[2]f%[1]stimes %[3]s", nbsp, f, word)
	case f <= 1000:
		return fmt.Sprintf("about%[1]s%[2]d%[1]stimes %[3]s", nbsp, roundFactor(f), word)
	}
	return fmt.Sprintf("more than%[1]s1000%[1]stimes %[2]s", nbsp, word)
}

// roundFactor rounds to one digit below 10, to steps of 5 below 100 and of 50 above: a likelihood word carries no more.
func roundFactor(f float64) int {
	step := 1.0
	switch {
	case f >= 100:
		step = 50
	case f >= 10:
		step = 5
	}
	return int(step * math.Floor(f/step+0.5))
}

// decibans is 10·log10 of a factor on the odds (I. J. Good, Weight of Evidence: A Brief Survey, in Bayesian Statistics 2,
// 1985, p. 249-270). It is infinite for 0 and infinity.
func decibans(factor float64) float64 { return 10 * math.Log10(factor) }

// signed writes decibans with their sign and one digit, never "-0.0".
func signed(db float64) string {
	if math.IsNaN(db) {
		return "unknown"
	}
	if math.Abs(db) < 0.05 {
		return "0.0" + nbsp + "dB"
	}
	return fmt.Sprintf("%+.1f%sdB", db, nbsp)
}

// minutes writes a time of work: "1 minute", "12 minutes", "1.5 minutes".
func minutes(m float64) string {
	if m == 1 {
		return "1" + nbsp + "minute"
	}
	return number(m) + nbsp + "minutes"
}

// number writes a figure with at most four digits that matter, without an exponent where people can read it without.
func number(v float64) string {
	if v != 0 && (math.Abs(v) >= 1e6 || math.Abs(v) < 1e-4) {
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	digits := 0
	if a := math.Abs(v); a < 1000 && a > 0 {
		digits = 3 - int(math.Floor(math.Log10(a)))
	}
	s := strconv.FormatFloat(v, 'f', min(max(digits, 0), 8), 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// oneIn writes a small probability as a frequency, "1 in 50"; large ones as percent.
func oneIn(p float64) string {
	if p > 0 && p <= 0.2 {
		return "1 in " + number(math.Floor(1/p+0.5))
	}
	return percent(p)
}
