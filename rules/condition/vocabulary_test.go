package condition_test

import (
	"flag"
	"math"
	"strings"
	"testing"

	"diagnose.example/rules/condition"
)

var update = flag.Bool("update", false, "rewrite golden files")

// Dimensions in the order length, mass, time, temperature, current, turn.
var (
	plain  = condition.Dim{}
	length = condition.Dim{1}
	area   = condition.Dim{2}
	flow   = condition.Dim{3, 0, -1}
	speed  = condition.Dim{0, 0, -1, 0, 0, 1}
	degree = condition.Dim{0, 0, 0, 1}
)

// symbols is an invented vocabulary with every kind in it.
func symbols() []condition.Symbol {
	return []condition.Symbol{
		{Name: "leaks"},
		{Name: "motor_warm"},
		{Name: "plug_has_run"},
		{Name: "choke_on"},
		{Name: "plug_color", Kind: condition.Word, Words: []string{"wet", "oily", "black", "white", "tan"}},
		{Name: "screw_kind", Kind: condition.Word, Words: []string{"air", "fuel"}},
		{Name: "band.float_height", Kind: condition.Word, Words: []string{"much-too-low", "low", "high", "much-too-high", "right"}},
		{Name: "plug_deposits", Kind: condition.Words, Words: []string{"black", "white", "glazed"}},
		{Name: "float_height", Kind: condition.Number, Dim: length, Unit: "mm"},
		{Name: "spec.float_height", Kind: condition.Number, Dim: length, Unit: "mm"},
		{Name: "idle_speed", Kind: condition.Number, Dim: speed, Unit: "rpm"},
		{Name: "fuel_flow", Kind: condition.Number, Dim: flow, Unit: "ml_per_min"},
		{Name: "air_temperature", Kind: condition.Number, Dim: degree, Unit: "degC"},
		{Name: "needle_diameter", Kind: condition.Number, Dim: length, Unit: "mm"},
		{Name: "cylinders", Kind: condition.Number},
		{Name: "level_mm", Kind: condition.Number},
	}
}

func functions() []condition.Function {
	unit := func(name string, dim condition.Dim, factor, offset float64) condition.Function {
		return condition.Function{Name: name, Args: []condition.Dim{plain}, Result: dim, Monotone: true,
			Call: func(a []float64) float64 { return a[0]*factor + offset }}
	}
	return []condition.Function{
		unit("mm", length, 1e-3, 0),
		unit("inch", length, 25.4e-3, 0),
		unit("rpm", speed, 1.0/60, 0),
		unit("ml_per_min", flow, 1e-6/60, 0),
		unit("degC", degree, 1, 273.15),
		{Name: "disc_area", Args: []condition.Dim{length}, Result: area, Monotone: true,
			Call: func(a []float64) float64 { return math.Pi / 4 * a[0] * math.Abs(a[0]) }},
		{Name: "ring_area", Args: []condition.Dim{length, length}, Result: area, Monotone: true,
			Call: func(a []float64) float64 { return math.Pi / 4 * (a[0]*math.Abs(a[0]) - a[1]*math.Abs(a[1])) }},
		{Name: "distance", Args: []condition.Dim{length, length}, Result: length, // not monotone
			Call: func(a []float64) float64 { return math.Abs(a[0] - a[1]) }},
		{Name: "root", Args: []condition.Dim{plain}, Result: plain, Monotone: true,
			Call: func(a []float64) float64 { return math.Sqrt(a[0]) }},
	}
}

func newEnv(t testing.TB) *condition.Env {
	t.Helper()
	env, err := condition.NewEnv(symbols(), functions())
	if err != nil {
		t.Fatal(err)
	}
	return env
}

func compile(t testing.TB, env *condition.Env, src string) *condition.Condition {
	t.Helper()
	c, err := env.Compile(src)
	if err != nil {
		t.Fatalf("Compile(%q):\n%v", src, err)
	}
	return c
}

// index returns the index of a symbol that is there.
func index(t testing.TB, env *condition.Env, name string) int {
	t.Helper()
	i, ok := env.Index(name)
	if !ok {
		t.Fatalf("Index(%q): not there", name)
	}
	return i
}

// set fills one symbol from text: yes, no, a word, words with +, a number, a range
// a..b in SI units. "unknown" clears it and "none" is an empty set of words.
func set(t testing.TB, env *condition.Env, k *condition.Case, name string, value any) {
	t.Helper()
	i := index(t, env, name)
	switch v := value.(type) {
	case bool:
		k.SetYesNo(i, v)
	case float64:
		k.SetNumber(i, v, v)
	case [2]float64:
		k.SetNumber(i, v[0], v[1])
	case string:
		k.SetWord(i, wordIndex(t, env, i, v))
	case []string:
		mask := uint64(0)
		for _, w := range v {
			mask |= 1 << wordIndex(t, env, i, w)
		}
		k.SetWords(i, mask)
	case nil:
		k.Clear(i)
	default:
		t.Fatalf("set %s: no value of type %T", name, value)
	}
	if err := k.Err(); err != nil {
		t.Fatal(err)
	}
}

func wordIndex(t testing.TB, env *condition.Env, i int, word string) int {
	t.Helper()
	for n, w := range env.Symbols()[i].Words {
		if w == word {
			return n
		}
	}
	t.Fatalf("symbol %d has no word %q", i, word)
	return 0
}

// values is a case written by names.
type values map[string]any

func newCase(t testing.TB, env *condition.Env, vs values) *condition.Case {
	t.Helper()
	k := env.NewCase()
	for name, v := range vs {
		set(t, env, k, name, v)
	}
	return k
}

func names(env *condition.Env, list []int) string {
	var s []string
	for _, i := range list {
		s = append(s, env.Symbols()[i].Name)
	}
	return strings.Join(s, " ")
}
