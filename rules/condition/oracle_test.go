package condition_test

import (
	"math"
	"slices"
	"testing"
)

// An oracle evaluates forms by walking them, with the published truth tables for
// the logic and textbook interval arithmetic over ends.
type oracle struct {
	tables map[string]map[string]string
	facts  values
}

// truth returns 'F', 'U' or 'T'.
func (o oracle) truth(n form) byte {
	switch n.op {
	case "and", "or":
		t := o.truth(n.kids[0])
		for _, kid := range n.kids[1:] {
			t = o.tables[n.op][string([]byte{t, o.truth(kid)})][0]
		}
		return t
	case "not":
		return o.tables["not"][string(o.truth(n.kids[0]))][0]
	case "yes-no":
		v, known := o.facts[n.name]
		return letter(known, known && v.(bool))
	case "oneof":
		v, known := o.facts[n.name]
		return letter(known, known && slices.Contains(n.list, v.(string)) != n.neg)
	case "has":
		v, known := o.facts[n.name]
		return letter(known, known && slices.Contains(v.([]string), n.list[0]) != n.neg)
	}
	a, known := o.number(n.kids[0])
	b, known2 := o.number(n.kids[1])
	if !known || !known2 {
		return 'U'
	}
	return relation(n.op, a, b)
}

func letter(known, v bool) byte {
	switch {
	case !known:
		return 'U'
	case v:
		return 'T'
	}
	return 'F'
}

// relation asks whether some pair of values in a and b is in the relation, and
// whether some pair is not.
func relation(op string, a, b [2]float64) byte {
	var can, cannot bool
	switch op {
	case "<":
		can, cannot = a[0] < b[1], a[1] >= b[0]
	case "<=":
		can, cannot = a[0] <= b[1], a[1] > b[0]
	case ">":
		can, cannot = a[1] > b[0], a[0] <= b[1]
	case ">=":
		can, cannot = a[1] >= b[0], a[0] < b[1]
	case "==":
		can, cannot = a[0] <= b[1] && b[0] <= a[1], a[0] != a[1] || b[0] != b[1] || a[0] != b[0]
	case "!=":
		cannot, can = a[0] <= b[1] && b[0] <= a[1], a[0] != a[1] || b[0] != b[1] || a[0] != b[0]
	}
	return letter(can != cannot, can)
}

// number returns the ends of a number, and whether anything is known of it.
func (o oracle) number(n form) ([2]float64, bool) {
	var none [2]float64
	switch n.op {
	case "literal":
		return [2]float64{n.num, n.num}, true
	case "read":
		v, known := o.facts[n.name]
		if !known {
			return none, false
		}
		return v.([2]float64), true
	}
	ends := make([][2]float64, len(n.kids))
	for i, kid := range n.kids {
		var known bool
		if ends[i], known = o.number(kid); !known {
			return none, false
		}
	}
	switch n.op {
	case "neg":
		return [2]float64{-ends[0][1], -ends[0][0]}, true
	case "call":
		return callOracle(n.name, ends)
	}
	a, b := ends[0], ends[1]
	if n.op == "/" && b[0] <= 0 && b[1] >= 0 {
		return none, false
	}
	var corners []float64
	for _, x := range a {
		for _, z := range b {
			corners = append(corners, map[string]float64{"+": x + z, "-": x - z, "*": x * z, "/": x / z}[n.op])
		}
	}
	return [2]float64{slices.Min(corners), slices.Max(corners)}, true
}

func callOracle(name string, ends [][2]float64) ([2]float64, bool) {
	scale := map[string]float64{"mm": 1e-3, "inch": 25.4e-3}[name]
	if scale != 0 {
		return [2]float64{ends[0][0] * scale, ends[0][1] * scale}, true
	}
	if ends[0][0] != ends[0][1] || ends[1][0] != ends[1][1] { // distance is not monotone
		return [2]float64{}, false
	}
	d := math.Abs(ends[0][0] - ends[1][0])
	return [2]float64{d, d}, true
}

// TestOracle compares 3000 random conditions in 17 random cases each.
func TestOracle(t *testing.T) {
	const conditions, cases = 3000, 17
	env := newEnv(t)
	tables := readKleene(t).Tables
	p := random(1)
	count := map[byte]int{}
	for range conditions {
		n := p.condition(3)
		src := p.text(n)
		if len(src) > 2000 {
			continue
		}
		c := compile(t, env, src)
		for range cases {
			facts := p.facts(p(10))
			want := oracle{tables, facts}.truth(n)
			count[want]++
			if got := c.Eval(newCase(t, env, facts)); got != letters[string(want)] {
				t.Fatalf("Eval(%q) with %v = %v; want %c", src, facts, got, want)
			}
		}
	}
	if total := count['F'] + count['U'] + count['T']; total < 50000 || min(count['F'], count['U'], count['T']) < 5000 {
		t.Errorf("%d pairs, of them %d false, %d unknown, %d true; want 50000, 5000 of each", total, count['F'], count['U'], count['T'])
	}
	t.Logf("false %d, unknown %d, true %d", count['F'], count['U'], count['T'])
}
