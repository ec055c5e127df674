package symptoms

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// A numberForm is how a written number bounds its quantity.
type numberForm uint8

const (
	point   numberForm = iota
	around             // 22 ± 1 mm
	between            // 20 to 23 mm
	under              // < 200 ml/min
	over               // > 3 bar
)

// An amount is a number with the unit written behind it, "" if none is.
type amount struct {
	number float64
	unit   string
}

// A writtenNumber is a number as it stands on a sheet, units not yet looked up.
type writtenNumber struct {
	form numberForm
	a, b amount // b: the figure after ±, or the upper end
}

// A commaMeaning says how "1,200" is read.
type commaMeaning uint8

const (
	decimalComma commaMeaning = iota
	groupComma
)

// boundWords are the signs and words before a bound, longer ones before their beginnings.
var boundWords = []struct {
	text string
	form numberForm
}{
	{"<=", under}, {">=", over}, {"≤", under}, {"≥", over}, {"<", under}, {">", over},
	{"less than ", under}, {"more than ", over}, {"at most ", under}, {"at least ", over},
	{"under ", under}, {"below ", under}, {"up to ", under}, {"over ", over}, {"above ", over},
}

// separators stand between two amounts.
var separators = []struct {
	text string
	form numberForm
}{
	{"±", around}, {"+/-", around}, {"+-", around}, {" to ", between}, {"...", between}, {"..", between},
	{"…", between}, {"–", between}, {"—", between}, {" - ", between},
}

// plainText replaces the characters that look like plain ones.
var plainText = strings.NewReplacer("\u00a0", " ", "\u2009", " ", "\u202f", " ", "−", "-", "⁄", "/", "\t", " ",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⅓", " 1/3", "⅔", " 2/3")

// readNumber reads the forms "22.5 mm", "7/8 in", "1 1/2 turns", "22 ± 1 mm",
// "20 to 23 mm", "< 200 ml/min". The error says what is wrong in a few words.
func readNumber(text string, comma commaMeaning) (writtenNumber, error) {
	s := strings.TrimSpace(plainText.Replace(text))
	var w writtenNumber
	low := strings.ToLower(s)
	for _, b := range boundWords {
		if strings.HasPrefix(low, b.text) && len(low) == len(s) {
			w.form, s = b.form, strings.TrimSpace(s[len(b.text):])
			break
		}
	}
	number, rest, err := scanNumber(s, comma)
	if err != nil {
		return w, err
	}
	w.a.number = number
	form, unit, rest := splitAmounts(rest)
	w.a.unit = unit
	if rest == "" && form == point {
		return w, nil
	}
	if w.form != point {
		return w, fmt.Errorf("a bound takes one number")
	}
	w.form = form
	number, rest, err = scanNumber(rest, comma)
	if err != nil {
		return w, err
	}
	w.b = amount{number, strings.TrimSpace(rest)}
	if _, _, more := splitAmounts(rest); more != "" {
		return w, fmt.Errorf("there are more than two numbers in it")
	}
	return w, nil
}

// splitAmounts cuts what follows a number into its unit and the second amount.
func splitAmounts(s string) (form numberForm, unit, rest string) {
	trimmed := strings.TrimSpace(s)
	if _, ok := LookupUnit(trimmed); ok || trimmed == "" {
		return point, trimmed, ""
	}
	at, sep := len(s), ""
	for _, p := range separators {
		if i := strings.Index(s, p.text); i >= 0 && i < at {
			at, sep, form = i, p.text, p.form
		}
	}
	if i := hyphenBefore(s); i >= 0 && i < at {
		at, sep, form = i, "-", between
	}
	if sep == "" {
		return point, trimmed, ""
	}
	return form, strings.TrimSpace(s[:at]), strings.TrimSpace(s[at+len(sep):])
}

// hyphenBefore finds a hyphen with a figure on its right, as in 20-23 mm.
func hyphenBefore(s string) int {
	for i := 0; i+1 < len(s); i++ {
		if s[i] == '-' && isDigit(s[i+1]) {
			return i
		}
	}
	return -1
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// digits returns the length of the run of figures at the start of s.
func digits(s string) int {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n
}

// scanNumber reads one number at the start of s and returns what follows it.
func scanNumber(s string, comma commaMeaning) (float64, string, error) {
	sign, body := 1.0, s
	if strings.HasPrefix(body, "-") {
		sign, body = -1, body[1:]
	} else {
		body = strings.TrimPrefix(body, "+")
	}
	body = strings.TrimLeft(body, " ")
	if v, rest, ok, err := scanFraction(body); ok || err != nil {
		return sign * v, rest, err
	}
	v, rest, err := scanDecimal(body, comma)
	return sign * v, rest, err
}

// scanFraction reads 7/8, 1 1/2 and 1-1/2.
func scanFraction(s string) (value float64, rest string, ok bool, err error) {
	n := digits(s)
	if n == 0 {
		return 0, s, false, nil
	}
	whole, rest := s[:n], s[n:]
	if strings.HasPrefix(rest, "/") {
		return ratio(whole, rest[1:], 0)
	}
	if !strings.HasPrefix(rest, " ") && !strings.HasPrefix(rest, "-") {
		return 0, s, false, nil
	}
	top := strings.TrimLeft(rest[1:], " ")
	m := digits(top)
	if m == 0 || !strings.HasPrefix(top[m:], "/") {
		return 0, s, false, nil
	}
	base, _ := strconv.ParseFloat(whole, 64)
	value, tail, ok, err := ratio(top[:m], top[m+1:], base)
	if rest[0] == '-' && value-base >= 1 { // 1-5/4 is no mixed number
		return 0, s, false, nil
	}
	return value, tail, ok, err
}

// ratio returns base + top/bottom, where s begins with bottom.
func ratio(top, s string, base float64) (float64, string, bool, error) {
	n := digits(s)
	if n == 0 { // "4000 1/min": the figure belongs to the unit
		return 0, "", false, nil
	}
	a, _ := strconv.ParseFloat(top, 64)
	b, _ := strconv.ParseFloat(s[:n], 64)
	if v := base + a/b; b > 0 && !math.IsInf(b, 0) && !math.IsInf(v, 0) {
		return v, s[n:], true, nil
	}
	return 0, "", false, fmt.Errorf("%s/%s is not a fraction", top, s[:n])
}

// scanDecimal reads 22.5, 22,5, .5, 1e3, 1 200 and, by the meaning of the comma, 1,200.
func scanDecimal(s string, comma commaMeaning) (float64, string, error) {
	n := digits(s)
	text, rest := s[:n], s[n:]
	for n <= 3 && n > 0 && len(rest) >= 4 && rest[0] == ' ' && digits(rest[1:]) == 3 && !strings.HasPrefix(rest[4:], "/") {
		text, rest = text+rest[1:4], rest[4:]
	}
	if comma == groupComma {
		for n > 0 && strings.HasPrefix(rest, ",") && digits(rest[1:]) == 3 {
			text, rest = text+rest[1:4], rest[4:]
		}
	}
	if rest != "" && (rest[0] == '.' || rest[0] == ',') && !strings.HasPrefix(rest, "..") {
		if m := digits(rest[1:]); m > 0 || n > 0 {
			text, rest = text+"."+rest[1:1+m], rest[1+m:]
		}
	}
	if text == "" || text == "." {
		return 0, s, notNumber(s)
	}
	if text == "0" && strings.HasPrefix(strings.ToLower(rest), "x") {
		return 0, s, notNumber(s)
	}
	text, rest = scanExponent(text, rest)
	if rest != "" && (isDigit(rest[0]) || strings.ContainsRune(",.:_'", rune(rest[0])) && len(rest) > 1 && isDigit(rest[1]) && !isRatio(rest)) {
		return 0, s, notNumber(s)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, s, fmt.Errorf("the number is too large")
	}
	return v, rest, nil
}

// isRatio reports whether the text after a number is ":1", as in 13.5:1.
func isRatio(rest string) bool { return strings.HasPrefix(rest, ":1") && digits(rest[1:]) == 1 }

func scanExponent(text, rest string) (string, string) {
	if rest == "" || rest[0] != 'e' && rest[0] != 'E' {
		return text, rest
	}
	tail, sign := rest[1:], ""
	if strings.HasPrefix(tail, "-") || strings.HasPrefix(tail, "+") {
		sign, tail = tail[:1], tail[1:]
	}
	n := digits(tail)
	if n == 0 {
		return text, rest
	}
	return text + "e" + sign + tail[:n], tail[n:]
}

// notNumber says why a text is no number, as exactly as the common slips allow.
func notNumber(s string) error {
	first, _ := utf8.DecodeRuneInString(s)
	switch {
	case s == "":
		return fmt.Errorf("a number is missing")
	case strings.HasPrefix(strings.ToLower(s), "0x"):
		return fmt.Errorf("%q is not a decimal number", short(s))
	case strings.ContainsRune("~≈", first):
		return fmt.Errorf("%q says about; write how sure it is: 22 ± 1", short(s))
	case isDigit(s[0]) && strings.Contains(s, ":"):
		return fmt.Errorf("%q looks like a time of day or minutes and seconds", short(s))
	case isDigit(s[0]):
		return fmt.Errorf("%q is not one number; write 1200 or 12.5, without other signs inside", short(s))
	}
	return fmt.Errorf("%q is not a number", short(s))
}
