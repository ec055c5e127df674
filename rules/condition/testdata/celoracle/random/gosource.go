package random

import (
	"fmt"
	"strconv"
	"strings"
)

// Go writes a condition as a Go expression over the fields of a struct c: int8 -1,
// 0, 1 for yes or no, int8 word numbers with -1 for unknown, float64 with NaN. The
// helpers it calls are in package floorbench.
func (f Form) Go() string {
	switch f.Op {
	case "and", "or":
		return map[string]string{"and": "min", "or": "max"}[f.Op] + "(" + join(f.Kids, ", ", Form.Go) + ")"
	case "not":
		return "-(" + f.Kids[0].Go() + ")"
	case "ask", "read":
		return "c." + Variable(f.Name)
	case "oneof":
		return minus(f.Neg) + fmt.Sprintf("among(c.%s, %d)", Variable(f.Name), mask(choices[f.Name], f.List))
	case "has":
		return minus(f.Neg) + fmt.Sprintf("c.holds(%d)", mask(deposits, f.List))
	case "literal":
		return strconv.FormatFloat(f.Num, 'g', -1, 64)
	case "neg":
		return "(-" + f.Kids[0].Go() + ")"
	case "mm", "inch":
		return strconv.FormatFloat(f.value(), 'g', -1, 64)
	case "/":
		return "quotient(" + f.Kids[0].Go() + ", " + f.Kids[1].Go() + ")"
	case "+", "-", "*":
		return "(" + f.Kids[0].Go() + " " + f.Op + " " + f.Kids[1].Go() + ")"
	}
	l, r := f.Kids[0].Go(), f.Kids[1].Go()
	switch f.Op {
	case "<":
		return "above(" + r + ", " + l + ")"
	case ">":
		return "above(" + l + ", " + r + ")"
	case "<=":
		return "-above(" + l + ", " + r + ")"
	case ">=":
		return "-above(" + r + ", " + l + ")"
	case "==":
		return "same(" + l + ", " + r + ")"
	}
	return "-same(" + l + ", " + r + ")"
}

func minus(neg bool) string {
	if neg {
		return "-"
	}
	return ""
}

func mask(words, list []string) int {
	m := 0
	for _, w := range list {
		m |= 1 << bits(words, w)
	}
	return m
}

// GoDeciding writes the body of a Go function that returns the truth of a condition
// and its deciding set, as bits by the index of the symbol in the environment: each
// part gets a variable, and only undecided parts are asked what they leave open.
func (f Form) GoDeciding(index func(name string) int) string {
	w := &goWriter{index: index}
	root := w.evaluate(f)
	fmt.Fprintf(&w.text, "if %s != 0 {\nreturn %s, 0\n}\nvar s uint64\n", root.variable, root.variable)
	w.collect(root)
	w.text.WriteString("return 0, s\n")
	return w.text.String()
}

type goWriter struct {
	text  strings.Builder
	index func(name string) int
	count int
}

// A part is a condition whose truth a variable holds.
type part struct {
	form     Form
	variable string
	kids     []part
}

// evaluate writes the variables, inner ones first.
func (w *goWriter) evaluate(f Form) part {
	p := part{form: f}
	if f.Op == "and" || f.Op == "or" || f.Op == "not" {
		for _, kid := range f.Kids {
			p.kids = append(p.kids, w.evaluate(kid))
		}
	}
	value := f.Go()
	if p.kids != nil {
		names := make([]string, len(p.kids))
		for i, kid := range p.kids {
			names[i] = kid.variable
		}
		value = map[string]string{"and": "min", "or": "max", "not": "-"}[f.Op] + "(" + strings.Join(names, ", ") + ")"
	}
	w.count++
	p.variable = fmt.Sprintf("t%d", w.count)
	fmt.Fprintf(&w.text, "%s := %s\n", p.variable, value)
	return p
}

// collect writes what gathers the open symbols of an undecided part.
func (w *goWriter) collect(p part) {
	for _, kid := range p.kids {
		fmt.Fprintf(&w.text, "if %s == 0 {\n", kid.variable)
		w.collect(kid)
		w.text.WriteString("}\n")
	}
	switch {
	case p.kids != nil:
	case p.form.Name != "":
		fmt.Fprintf(&w.text, "s |= 1 << %d\n", w.index(p.form.Name))
	default:
		for _, name := range p.form.numbers(nil) {
			fmt.Fprintf(&w.text, "if c.%[1]s != c.%[1]s {\ns |= 1 << %[2]d\n}\n", Variable(name), w.index(name))
		}
	}
}

func (f Form) numbers(names []string) []string {
	if f.Op == "read" {
		for _, name := range names {
			if name == f.Name {
				return names
			}
		}
		return append(names, f.Name)
	}
	for _, kid := range f.Kids {
		names = kid.numbers(names)
	}
	return names
}
