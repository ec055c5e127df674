// Package random makes random conditions and cases, and writes each condition down
// in the language of rules/condition, in CEL and in Go. Nothing in it uses
// rules/condition to evaluate, so that what it writes can be compared.
package random

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"diagnose.example/rules/condition"
)

var (
	yesNo   = []string{"leaks", "motor_warm", "plug_has_run", "choke_on", "idles", "tap_open", "vent_clear", "starts"}
	choices = map[string][]string{
		"plug_color": {"wet", "oily", "black", "white", "tan"}, "screw_kind": {"air", "fuel"},
		"band.float_height": {"much-too-low", "low", "high", "much-too-high", "right"},
		"exhaust_smoke":     {"black", "blue", "white", "none"},
	}
	choiceNames = []string{"plug_color", "screw_kind", "band.float_height", "exhaust_smoke"}
	deposits    = []string{"black", "white", "glazed"}
	lengths     = []string{"float_height", "spec.float_height", "needle_diameter"}
	counts      = []string{"cylinders", "level_mm", "turns_out"}
)

// Env returns the environment of the random conditions.
func Env() (*condition.Env, error) {
	var symbols []condition.Symbol
	for _, name := range yesNo {
		symbols = append(symbols, condition.Symbol{Name: name})
	}
	for _, name := range choiceNames {
		symbols = append(symbols, condition.Symbol{Name: name, Kind: condition.Word, Words: choices[name]})
	}
	symbols = append(symbols, condition.Symbol{Name: "plug_deposits", Kind: condition.Words, Words: deposits})
	for _, name := range lengths {
		symbols = append(symbols, condition.Symbol{Name: name, Kind: condition.Number, Dim: condition.Dim{1}, Unit: "mm"})
	}
	for _, name := range counts {
		symbols = append(symbols, condition.Symbol{Name: name, Kind: condition.Number})
	}
	unit := func(name string, factor float64) condition.Function {
		return condition.Function{Name: name, Args: []condition.Dim{{}}, Result: condition.Dim{1}, Monotone: true,
			Call: func(a []float64) float64 { return a[0] * factor }}
	}
	return condition.NewEnv(symbols, []condition.Function{unit("mm", 1e-3), unit("inch", 25.4e-3)})
}

// A Form is a condition or a number.
type Form struct {
	Op   string // and or not | ask oneof has | < <= > >= == != | literal read neg + - * / mm inch
	Kids []Form
	Name string
	List []string
	Neg  bool // not in
	Num  float64
}

// A Pick returns a number from 0 to n-1.
type Pick func(n int) int

// New returns a Pick with a fixed seed.
func New(seed uint64) Pick { return rand.New(rand.NewPCG(seed, 0)).IntN }

func (p Pick) of(list ...string) string { return list[p(len(list))] }

// Condition makes a condition of at most the given depth.
func (p Pick) Condition(depth int) Form {
	if depth > 0 && p(4) > 0 {
		if p(4) == 0 {
			return Form{Op: "not", Kids: []Form{p.Condition(depth - 1)}}
		}
		f := Form{Op: p.of("and", "or")}
		for range 2 + p(2) {
			f.Kids = append(f.Kids, p.Condition(depth-1))
		}
		return f
	}
	switch p(7) {
	case 0, 1:
		return Form{Op: "ask", Name: p.of(yesNo...)}
	case 2, 3:
		name := p.of(choiceNames...)
		return Form{Op: "oneof", Name: name, Neg: p(3) == 0, List: p.some(choices[name])}
	case 4:
		return Form{Op: "has", Name: "plug_deposits", Neg: p(3) == 0, List: []string{p.of(deposits...)}}
	}
	relation := p.of("<", "<=", ">", ">=", "==", "!=")
	if p(2) == 0 {
		return Form{Op: relation, Kids: []Form{{Op: "read", Name: p.of(lengths...)}, p.length(2)}}
	}
	return Form{Op: relation, Kids: []Form{{Op: "read", Name: p.of(counts...)}, p.count(2)}}
}

func (p Pick) some(list []string) []string {
	var part []string
	for _, w := range list {
		if p(3) == 0 {
			part = append(part, w)
		}
	}
	if part == nil {
		part = []string{p.of(list...)}
	}
	return part
}

func (p Pick) length(depth int) Form {
	if depth > 0 {
		switch p(8) {
		case 0:
			return Form{Op: p.of("+", "-"), Kids: []Form{p.length(depth - 1), p.length(depth - 1)}}
		case 1:
			return Form{Op: "*", Kids: []Form{p.length(depth - 1), p.count(depth - 1)}}
		case 2:
			return Form{Op: "/", Kids: []Form{p.length(depth - 1), {Op: "read", Name: p.of(counts...)}}}
		}
	}
	if p(2) == 0 {
		return Form{Op: "read", Name: p.of(lengths...)}
	}
	return Form{Op: p.of("mm", "inch"), Kids: []Form{{Op: "literal", Num: float64(1 + p(5))}}}
}

func (p Pick) count(depth int) Form {
	if depth > 0 {
		switch p(8) {
		case 0:
			return Form{Op: p.of("+", "-"), Kids: []Form{{Op: "read", Name: p.of(counts...)}, p.count(depth - 1)}}
		case 1:
			return Form{Op: "/", Kids: []Form{p.length(depth - 1), {Op: "read", Name: p.of(lengths...)}}}
		case 2:
			return Form{Op: "neg", Kids: []Form{p.count(depth - 1)}}
		}
	}
	if p(2) == 0 {
		return Form{Op: "read", Name: p.of(counts...)}
	}
	return Form{Op: "literal", Num: float64(p(7)) / 2}
}

// String writes the form in the language of rules/condition.
func (f Form) String() string {
	switch f.Op {
	case "and", "or":
		return "(" + join(f.Kids, " "+f.Op+" ", Form.String) + ")"
	case "not":
		return "not (" + f.Kids[0].String() + ")"
	case "ask", "read":
		return f.Name
	case "oneof":
		return f.Name + map[bool]string{true: " not in ", false: " in "}[f.Neg] + quoted(f.List)
	case "has":
		return strconv.Quote(f.List[0]) + map[bool]string{true: " not in ", false: " in "}[f.Neg] + f.Name
	case "literal":
		return strconv.FormatFloat(f.Num, 'f', -1, 64)
	case "neg":
		return "-(" + f.Kids[0].String() + ")"
	case "mm", "inch":
		return f.Op + "(" + f.Kids[0].String() + ")"
	case "+", "-", "*", "/":
		return "(" + f.Kids[0].String() + " " + f.Op + " " + f.Kids[1].String() + ")"
	}
	return f.Kids[0].String() + " " + f.Op + " " + f.Kids[1].String()
}

// CEL writes the form in CEL. Names have an underscore for the dot, and a quantity
// with a unit is its value in SI units.
func (f Form) CEL() string {
	switch f.Op {
	case "and", "or":
		return "(" + join(f.Kids, map[string]string{"and": " && ", "or": " || "}[f.Op], Form.CEL) + ")"
	case "not":
		return "!(" + f.Kids[0].CEL() + ")"
	case "ask", "read":
		return Variable(f.Name)
	case "oneof":
		return not(f.Neg) + "(" + Variable(f.Name) + " in " + quoted(f.List) + ")"
	case "has":
		return not(f.Neg) + "(" + strconv.Quote(f.List[0]) + " in " + Variable(f.Name) + ")"
	case "literal":
		return double(f.Num)
	case "neg":
		return "-(" + f.Kids[0].CEL() + ")"
	case "mm", "inch":
		return double(f.value())
	case "+", "-", "*", "/":
		return "(" + f.Kids[0].CEL() + " " + f.Op + " " + f.Kids[1].CEL() + ")"
	}
	return f.Kids[0].CEL() + " " + f.Op + " " + f.Kids[1].CEL()
}

// value of a number with a unit.
func (f Form) value() float64 {
	return f.Kids[0].Num * map[string]float64{"mm": 1e-3, "inch": 25.4e-3}[f.Op]
}

// Variable is the name of a symbol in CEL and in Go.
func Variable(name string) string { return strings.ReplaceAll(name, ".", "_") }

func not(neg bool) string {
	if neg {
		return "!"
	}
	return ""
}

func double(v float64) string {
	s := strconv.FormatFloat(v, 'g', -1, 64)
	if !strings.ContainsAny(s, ".e") {
		s += ".0"
	}
	return s
}

func quoted(words []string) string {
	q := make([]string, len(words))
	for i, w := range words {
		q[i] = strconv.Quote(w)
	}
	return "[" + strings.Join(q, ", ") + "]"
}

func join(kids []Form, sep string, text func(Form) string) string {
	parts := make([]string, len(kids))
	for i, kid := range kids {
		parts[i] = text(kid)
	}
	return strings.Join(parts, sep)
}

// Facts are what is known in a case: bool, string, []string or float64 by name.
type Facts map[string]any

// Facts makes a case in which a symbol is unknown with the given chance, in
// hundredths. Numbers are points and positive, so that no quotient is by zero: CEL
// gives infinity there, and this language unknown.
func (p Pick) Facts(unknown int) Facts {
	facts := Facts{}
	known := func() bool { return p(100) >= unknown }
	for _, name := range yesNo {
		if known() {
			facts[name] = p(2) == 0
		}
	}
	for _, name := range choiceNames {
		if known() {
			facts[name] = p.of(choices[name]...)
		}
	}
	if known() {
		facts["plug_deposits"] = []string{}
		if p(4) > 0 {
			facts["plug_deposits"] = p.some(deposits)
		}
	}
	for _, name := range lengths {
		if known() {
			facts[name] = float64(1+p(10)) / 2 * 1e-3
		}
	}
	for _, name := range counts {
		if known() {
			facts[name] = float64(1+p(8)) / 2
		}
	}
	return facts
}

// Fill sets what is known in a case of the environment.
func (facts Facts) Fill(env *condition.Env, k *condition.Case) error {
	k.Reset()
	for i, s := range env.Symbols() {
		switch v := facts[s.Name].(type) {
		case bool:
			k.SetYesNo(i, v)
		case string:
			k.SetWord(i, int(bits(s.Words, v)))
		case []string:
			var mask uint64
			for _, w := range v {
				mask |= 1 << bits(s.Words, w)
			}
			k.SetWords(i, mask)
		case float64:
			k.SetNumber(i, v, v)
		case nil:
		default:
			return fmt.Errorf("%s: no value of type %T", s.Name, v)
		}
	}
	return k.Err()
}

// bits is the number of a word.
func bits(words []string, word string) uint {
	for i, w := range words {
		if w == word {
			return uint(i)
		}
	}
	return 64
}
