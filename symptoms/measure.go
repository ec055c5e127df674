package symptoms

import (
	"fmt"
	"math"
	"strings"
)

// rangeSlack is the relative error that a change of units may bring: a value exactly
// on a limit is inside.
const rangeSlack = 1e-9

// parseNumber reads a measurement and checks it against the plausible range.
func parseNumber(o *Observation, text string) (Value, error) {
	if startsWithLetter(text) && len(o.Bands) > 0 {
		if v, err := wordsValue(o, []string{text}); err == nil {
			v.Lo, v.Hi, v.Text = math.Inf(-1), math.Inf(1), text
			return v, nil
		}
	}
	v, err := measure(o, text, decimalComma)
	if !strings.Contains(text, ",") {
		return v, err
	}
	// "1,200" is one and a fifth or twelve hundred. The plausible range decides; if it
	// cannot, the writer must.
	grouped, groupErr := measure(o, text, groupComma)
	switch {
	case groupErr != nil, err == nil && v.Lo == grouped.Lo && v.Hi == grouped.Hi && v.U == grouped.U:
		return v, err
	case err != nil:
		return grouped, nil
	}
	return Value{}, refuse("write the figures without the comma, or a point in its place",
		"%q may mean two numbers", short(text))
}

func startsWithLetter(s string) bool {
	c := s[0] | 0x20
	return c >= 'a' && c <= 'z'
}

// measure reads a measurement with a given meaning of the comma.
func measure(o *Observation, text string, comma commaMeaning) (Value, error) {
	w, err := readNumber(text, comma)
	if err != nil {
		return Value{}, refuse(numberHint(o), "%s: %v", o.ID, err)
	}
	a, b, err := units(o, w)
	if err != nil {
		return Value{}, err
	}
	own, _ := LookupUnit(o.Unit)
	lo, hi := own.SI(o.Range[0]), own.SI(o.Range[1])
	v := Value{Text: text, U: own.SIDifference(o.Uncertainty)}
	x, y := a.SI(w.a.number), b.SI(w.b.number)
	switch w.form {
	case point:
		v.Lo, v.Hi = x, x
	case around:
		v.Lo, v.Hi, v.U = x, x, b.SIDifference(w.b.number)
		if v.U <= 0 {
			return Value{}, refuse("write the uncertainty, such as 22 ± 1, or leave it out", "%s: the figure after ± must be above 0", o.ID)
		}
	case between:
		v.Lo, v.Hi, v.U = min(x, y), max(x, y), 0
	case under:
		v.Lo, v.Hi, v.U = math.Inf(-1), x, 0
	case over:
		v.Lo, v.Hi, v.U = x, math.Inf(1), 0
	}
	slack := rangeSlack * max(math.Abs(lo), math.Abs(hi))
	if v.Hi < lo-slack || v.Lo > hi+slack {
		return Value{}, refuse(rangeHint(o, w), "%s: %q is out of the plausible range, %s", o.ID, short(text), span(o))
	}
	return clip(v, w.form, lo, hi), nil
}

// clip takes the ends of a range and the closed end of a bound back to the plausible
// range. An open end stays open, and a point stays as it was measured.
func clip(v Value, form numberForm, lo, hi float64) Value {
	switch form {
	case between:
		v.Lo, v.Hi = max(v.Lo, lo), min(v.Hi, hi)
	case under:
		v.Hi = min(v.Hi, hi)
	case over:
		v.Lo = max(v.Lo, lo)
	}
	return v
}

// units finds the units of the two amounts. An amount without a unit takes the other's,
// and if neither has one, the vocabulary's.
func units(o *Observation, w writtenNumber) (a, b Unit, err error) {
	first, second := w.a.unit, w.b.unit
	if first == "" {
		first = second
	}
	if second == "" {
		second = first
	}
	if a, err = unitFor(o, first); err == nil {
		b, err = unitFor(o, second)
	}
	return a, b, err
}

func unitFor(o *Observation, name string) (Unit, error) {
	own, _ := LookupUnit(o.Unit)
	if name == "" {
		return own, nil
	}
	u, ok := LookupUnit(name)
	takes := takesUnits(o, own)
	switch {
	case !ok:
		return u, refuse(takes, "%s: unknown unit %q", o.ID, short(name))
	case own.Name == "":
		return u, refuse(takes, "%s is a plain number, not one of %s", o.ID, u.Name)
	case u.Dim != own.Dim:
		return u, refuse(takes, "%s is %s, and %s measures %s", o.ID, dimName(own.Dim), u.Name, dimName(u.Dim))
	}
	return u, nil
}

func takesUnits(o *Observation, own Unit) string {
	if own.Name == "" {
		return "write the number without a unit"
	}
	names := []string{own.Name}
	for _, n := range sameDim(own.Dim) {
		if n != own.Name {
			names = append(names, n)
		}
	}
	return "write it in " + listed(names, "or")
}

// numberHint shows how a number for this observation may look.
func numberHint(o *Observation) string {
	if o.Unit == "" {
		return "write a number " + span(o)
	}
	lo, hi := decimalText(o.Range[0]), decimalText(o.Range[1])
	hint := fmt.Sprintf("write a number %s; a range as %s to %s %s, a bound as < %s %s", span(o), lo, hi, o.Unit, hi, o.Unit)
	if len(o.Bands) > 0 {
		hint += "; or " + listed(wordList(o), "or")
	}
	return hint
}

// mixedUp are the units that are taken for one another.
var mixedUp = []string{"mm", "in", "cm", "bar", "psi", "kPa", "inHg", "mmHg", "°C", "°F", "ml/min", "l/h", "turns", "°", "ohm", "kohm", "V", "kV"}

// rangeHint looks for the unit that the writer may have meant; a count has none.
func rangeHint(o *Observation, w writtenNumber) string {
	const ask = "check the reading and its unit"
	switch {
	case o.ID == "strokes":
		return "write 2 or 4"
	case o.Unit == "":
		return "check the figure"
	}
	own, ok := LookupUnit(o.Unit)
	if !ok || w.form != point || own.Name == "" {
		return ask
	}
	for _, name := range append([]string{own.Name}, mixedUp...) {
		u, _ := LookupUnit(name)
		v := own.FromSI(u.SI(w.a.number))
		if name != w.a.unit && u.Dim == own.Dim && v >= o.Range[0] && v <= o.Range[1] {
			return fmt.Sprintf("%s; did you mean %s %s?", ask, decimalText(w.a.number), name)
		}
	}
	return ask
}
