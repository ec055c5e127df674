package condition_test

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"diagnose.example/rules/condition"
	"pgregory.net/rapid"
)

// A form is a random condition or number, written down and evaluated here without
// any code of the package.
type form struct {
	op   string // and or not | yes-no oneof has | < <= > >= == != | literal read neg + - * / call
	kids []form
	name string
	list []string
	neg  bool // not in, !=
	num  float64
}

// A pick returns a number from 0 to n-1.
type pick func(n int) int

func (p pick) of(list ...string) string { return list[p(len(list))] }

var (
	yesNoNames  = []string{"leaks", "motor_warm", "plug_has_run", "choke_on"}
	choiceWords = map[string][]string{
		"plug_color": {"wet", "oily", "black", "white", "tan"}, "screw_kind": {"air", "fuel"},
		"band.float_height": {"much-too-low", "low", "high", "much-too-high", "right"},
	}
	severalWords = map[string][]string{"plug_deposits": {"black", "white", "glazed"}}
	lengthNames  = []string{"float_height", "spec.float_height", "needle_diameter"}
	countNames   = []string{"cylinders", "level_mm"}
)

// condition makes a condition of at most the given depth.
func (p pick) condition(depth int) form {
	if depth > 0 {
		switch p(5) {
		case 0, 1:
			kids := make([]form, 2+p(2))
			for i := range kids {
				kids[i] = p.condition(depth - 1)
			}
			return form{op: p.of("and", "or"), kids: kids}
		case 2:
			return form{op: "not", kids: []form{p.condition(depth - 1)}}
		}
	}
	switch p(6) {
	case 0, 1:
		return form{op: "yes-no", name: p.of(yesNoNames...)}
	case 2:
		name := p.of("plug_color", "screw_kind", "band.float_height")
		words := choiceWords[name]
		return form{op: "oneof", name: name, neg: p(2) == 0, list: p.some(words)}
	case 3:
		return form{op: "has", name: "plug_deposits", neg: p(3) == 0, list: []string{p.of(severalWords["plug_deposits"]...)}}
	}
	relation := p.of("<", "<=", ">", ">=", "==", "!=")
	if p(2) == 0 {
		return form{op: relation, kids: []form{p.length(2), {op: "read", name: p.of(lengthNames...)}}}
	}
	return form{op: relation, kids: []form{{op: "read", name: p.of(countNames...)}, p.count(2)}}
}

// some picks a part of a list, not empty, without repetition.
func (p pick) some(list []string) []string {
	var part []string
	for _, w := range list {
		if p(3) == 0 {
			part = append(part, w)
		}
	}
	if len(part) == 0 {
		part = []string{p.of(list...)}
	}
	return part
}

// length makes a number with the dimension of a length.
func (p pick) length(depth int) form {
	if depth > 0 {
		switch p(8) {
		case 0:
			return form{op: p.of("+", "-"), kids: []form{p.length(depth - 1), p.length(depth - 1)}}
		case 1:
			if p(2) == 0 {
				return form{op: "/", kids: []form{p.length(depth - 1), {op: "read", name: p.of(countNames...)}}}
			}
			return form{op: "*", kids: []form{p.length(depth - 1), p.count(depth - 1)}}
		case 2:
			return form{op: "neg", kids: []form{p.length(depth - 1)}}
		case 3:
			return form{op: "call", name: "distance", kids: []form{p.length(depth - 1), p.length(depth - 1)}}
		}
	}
	if p(2) == 0 {
		return form{op: "read", name: p.of(lengthNames...)}
	}
	return form{op: "call", name: p.of("mm", "inch"), kids: []form{{op: "literal", num: float64(1 + p(5))}}}
}

// count makes a plain number. It never divides by a fixed zero, which the
// language refuses.
func (p pick) count(depth int) form {
	if depth > 0 {
		switch p(8) {
		case 0:
			return form{op: p.of("+", "-"), kids: []form{{op: "read", name: p.of(countNames...)}, p.count(depth - 1)}}
		case 1:
			return form{op: "*", kids: []form{p.count(depth - 1), p.count(depth - 1)}}
		case 2:
			return form{op: "/", kids: []form{p.length(depth - 1), {op: "read", name: p.of(lengthNames...)}}}
		case 3:
			return form{op: "neg", kids: []form{p.count(depth - 1)}}
		}
	}
	if p(2) == 0 {
		return form{op: "read", name: p.of(countNames...)}
	}
	return form{op: "literal", num: float64(p(7)) / 2}
}

// text writes a form; the picks vary spelling, and put brackets where none are needed.
func (p pick) text(n form) string {
	switch n.op {
	case "and", "or":
		parts := make([]string, len(n.kids))
		for i, kid := range n.kids {
			parts[i] = p.text(kid)
		}
		op := n.op
		if p(4) == 0 {
			op = map[string]string{"and": "&&", "or": "||"}[op]
		}
		return "(" + strings.Join(parts, p.of(" ", "\n", "  ")+op+" ") + ")"
	case "not":
		return p.of("not ", "!", "not") + "(" + p.text(n.kids[0]) + ")"
	case "yes-no", "read":
		return n.name
	case "oneof":
		return p.oneOf(n)
	case "has":
		if n.neg {
			return p.quote(n.list[0]) + " not in " + n.name
		}
		return p.quote(n.list[0]) + " in " + n.name
	case "literal":
		return strconv.FormatFloat(n.num, 'g', -1, 64)
	case "neg":
		return "-(" + p.text(n.kids[0]) + ")"
	case "call":
		parts := make([]string, len(n.kids))
		for i, kid := range n.kids {
			parts[i] = p.text(kid)
		}
		return n.name + "(" + strings.Join(parts, ", ") + ")"
	}
	l, r := p.text(n.kids[0]), p.text(n.kids[1])
	if strings.ContainsAny(n.op, "<>=") {
		return l + " " + n.op + " " + r
	}
	return "(" + l + n.op + r + ")"
}

func (p pick) oneOf(n form) string {
	if len(n.list) == 1 && p(2) == 0 {
		op := " == "
		if n.neg {
			op = " != "
		}
		return n.name + op + p.quote(n.list[0])
	}
	quoted := make([]string, len(n.list))
	for i, w := range n.list {
		quoted[len(n.list)-1-i] = p.quote(w)
	}
	op := " in ["
	if n.neg {
		op = " not in ["
	}
	return n.name + op + strings.Join(quoted, ", ") + "]"
}

func (p pick) quote(w string) string { q := p.of(`"`, `'`, "`"); return q + w + q }

// facts is a case as the oracle sees it: bool, string, []string or [2]float64, and
// nothing for what is unknown. It is also what newCase takes.
func (p pick) facts(unknownInTen int) values {
	vs := values{}
	known := func() bool { return p(10) >= unknownInTen }
	for _, name := range yesNoNames {
		if known() {
			vs[name] = p(2) == 0
		}
	}
	for _, name := range []string{"plug_color", "screw_kind", "band.float_height"} {
		if known() {
			vs[name] = p.of(choiceWords[name]...)
		}
	}
	if known() {
		vs["plug_deposits"] = []string{}
		if p(4) > 0 {
			vs["plug_deposits"] = p.some(severalWords["plug_deposits"])
		}
	}
	for _, name := range lengthNames {
		if known() {
			vs[name] = p.interval(1e-3)
		}
	}
	for _, name := range countNames {
		if known() {
			vs[name] = p.interval(1)
		}
	}
	return vs
}

// interval is a point mostly; zero and negative ends occur.
func (p pick) interval(unit float64) [2]float64 {
	lo := float64(p(12)-2) / 2 * unit
	if p(3) > 0 {
		return [2]float64{lo, lo}
	}
	return [2]float64{lo, lo + float64(1+p(5))/2*unit}
}

// random returns a pick with a fixed seed.
func random(seed uint64) pick {
	r := rand.New(rand.NewPCG(seed, 0))
	return r.IntN
}

// drawn returns a pick that rapid can shrink.
func drawn(t *rapid.T) pick {
	return func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "pick") }
}

// complete gives values to some of the symbols that a case leaves open, and
// narrows ranges to points within them. Only those in the set, unless it is nil.
func (p pick) complete(env *condition.Env, vs values, only *condition.Set) values {
	all, more := p.facts(0), values{}
	for i, s := range env.Symbols() {
		old, known := vs[s.Name]
		if known {
			more[s.Name] = old
		}
		if only != nil && !only.Has(i) {
			continue
		}
		ends, isNumber := old.([2]float64)
		switch {
		case known && isNumber:
			v := ends[0] + (ends[1]-ends[0])*float64(p(5))/4
			more[s.Name] = [2]float64{v, v}
		case !known && all[s.Name] != nil:
			more[s.Name] = all[s.Name]
			if ends, ok := more[s.Name].([2]float64); ok {
				more[s.Name] = [2]float64{ends[0], ends[0]}
			}
		}
	}
	return more
}

func (n form) String() string {
	return fmt.Sprintf("%s %s %v %v %v", n.op, n.name, n.list, n.num, n.kids)
}
