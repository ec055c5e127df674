package condition_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"diagnose.example/rules/condition"
)

// kleeneTables is testdata/kleene.json, which names its sources.
type kleeneTables struct {
	Source      string
	Tables      map[string]map[string]string
	Expressions []struct {
		Expr           string
		Env            map[string]string
		Kleene         string
		Supervaluation string
	}
	Comparisons []struct {
		Expr  string
		Env   map[string]json.RawMessage
		Value string
		Note  string
	} `json:"comparison_examples"`
}

func readKleene(t testing.TB) kleeneTables {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "kleene.json"))
	if err != nil {
		t.Fatal(err)
	}
	var k kleeneTables
	if err := json.Unmarshal(data, &k); err != nil {
		t.Fatal(err)
	}
	if len(k.Tables) != 4 || len(k.Expressions) == 0 || len(k.Comparisons) == 0 || k.Source == "" {
		t.Fatalf("testdata/kleene.json: %d tables, %d expressions, %d comparisons, source %q", len(k.Tables), len(k.Expressions), len(k.Comparisons), k.Source)
	}
	return k
}

var letters = map[string]condition.Truth{"F": condition.False, "U": condition.Unknown, "T": condition.True}

var truths = []condition.Truth{condition.False, condition.Unknown, condition.True}

// xyz is an environment of three yes-no symbols.
func xyz(t testing.TB) *condition.Env {
	t.Helper()
	env, err := condition.NewEnv([]condition.Symbol{{Name: "x"}, {Name: "y"}, {Name: "z"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return env
}

func setTruth(k *condition.Case, i int, v condition.Truth) {
	k.Clear(i)
	if v != condition.Unknown {
		k.SetYesNo(i, v == condition.True)
	}
}

// TestKleeneTables compares the operators of the language, the methods of Truth
// and the published tables, entry by entry.
func TestKleeneTables(t *testing.T) {
	tables := readKleene(t).Tables
	methods := map[string]func(a, b condition.Truth) condition.Truth{
		"not":     func(a, _ condition.Truth) condition.Truth { return a.Not() },
		"and":     condition.Truth.And,
		"or":      condition.Truth.Or,
		"implies": func(a, b condition.Truth) condition.Truth { return a.Not().Or(b) },
	}
	sources := map[string][]string{
		"not": {"not x", "!x"}, "and": {"x and y", "x && y", "not (not x or not y)"},
		"or": {"x or y", "x || y", "not (not x and not y)"}, "implies": {"not x or y", "not (x and not y)"},
	}
	env := xyz(t)
	k := env.NewCase()
	for name, table := range tables {
		if want := map[string]int{"not": 3, "and": 9, "or": 9, "implies": 9}[name]; len(table) != want {
			t.Fatalf("table %s has %d entries; want %d", name, len(table), want)
		}
		for row, letter := range table {
			want := letters[letter]
			a, b := letters[row[:1]], condition.Unknown
			if len(row) > 1 {
				b = letters[row[1:]]
			}
			if got := methods[name](a, b); got != want {
				t.Errorf("Truth: %s of %v, %v = %v; want %v", name, a, b, got, want)
			}
			setTruth(k, 0, a)
			setTruth(k, 1, b)
			for _, src := range sources[name] {
				if got := compile(t, env, src).Eval(k); got != want {
					t.Errorf("Eval(%q) with x %v, y %v = %v; want %v", src, a, b, got, want)
				}
			}
		}
	}
}

// TestKleeneNested checks every formula of two operators over three variables at
// all 27 points against the tables, composed by hand.
func TestKleeneNested(t *testing.T) {
	tables := readKleene(t).Tables
	env := xyz(t)
	k := env.NewCase()
	look := func(name string, args ...condition.Truth) condition.Truth {
		row := ""
		for _, a := range args {
			row += string("FUT"[a+1])
		}
		return letters[tables[name][row]]
	}
	signs := []string{"", "not "}
	for outer := range 2 {
		for inner := range 2 {
			for mask := range 16 {
				op := []string{"and", "or"}
				src := fmt.Sprintf("%s(%sx %s %s(%sy %s z))", signs[mask&1], signs[mask>>1&1], op[outer], signs[mask>>2&1], signs[mask>>3&1], op[inner])
				c := compile(t, env, src)
				signed := func(bit int, v condition.Truth) condition.Truth {
					if mask>>bit&1 == 1 {
						return look("not", v)
					}
					return v
				}
				for _, x := range truths {
					for _, y := range truths {
						for _, z := range truths {
							setTruth(k, 0, x)
							setTruth(k, 1, y)
							setTruth(k, 2, z)
							want := signed(0, look(op[outer], signed(1, x), signed(2, look(op[inner], signed(3, y), z))))
							if got := c.Eval(k); got != want {
								t.Fatalf("Eval(%q) at %v %v %v = %v; want %v", src, x, y, z, got, want)
							}
						}
					}
				}
			}
		}
	}
}

// TestKleeneExpressions records what strong Kleene logic decides, and what it does
// not although every completion agrees (supervaluation): "x or not x" stays
// unknown while x is.
func TestKleeneExpressions(t *testing.T) {
	env := xyz(t)
	undecided := 0
	for _, e := range readKleene(t).Expressions {
		k := env.NewCase()
		var open []int
		for name, letter := range e.Env {
			i := index(t, env, name)
			setTruth(k, i, letters[letter])
			if letter == "U" {
				open = append(open, i)
			}
		}
		c := compile(t, env, e.Expr)
		if got, want := c.Eval(k), letters[e.Kleene]; got != want {
			t.Errorf("Eval(%q) in %v = %v; want %v", e.Expr, e.Env, got, want)
		}
		if got, want := supervaluation(c, k, open), letters[e.Supervaluation]; got != want {
			t.Errorf("all completions of %q in %v: %v; want %v", e.Expr, e.Env, got, want)
		}
		if e.Kleene != e.Supervaluation {
			undecided++
		}
	}
	if undecided == 0 {
		t.Error("no expression in the fixture tells Kleene logic from supervaluation")
	}
}

// supervaluation is the truth on which all completions of the open symbols agree.
func supervaluation(c *condition.Condition, k *condition.Case, open []int) condition.Truth {
	if len(open) == 0 {
		return c.Eval(k)
	}
	setTruth(k, open[0], condition.False)
	no := supervaluation(c, k, open[1:])
	setTruth(k, open[0], condition.True)
	yes := supervaluation(c, k, open[1:])
	setTruth(k, open[0], condition.Unknown)
	if no != yes {
		return condition.Unknown
	}
	return no
}

func TestKleeneComparisons(t *testing.T) {
	env := newEnv(t)
	for _, e := range readKleene(t).Comparisons {
		k := env.NewCase()
		for name, raw := range e.Env {
			var ends []float64
			if err := json.Unmarshal(raw, &ends); err != nil {
				t.Fatal(err)
			}
			if ends != nil {
				k.SetNumber(index(t, env, name), ends[0], ends[1])
			}
		}
		if got, want := compile(t, env, e.Expr).Eval(k), letters[e.Value]; got != want {
			t.Errorf("Eval(%q) with %s (%s) = %v; want %v", e.Expr, envText(e.Env), e.Note, got, want)
		}
	}
}

func envText(env map[string]json.RawMessage) string {
	var s []string
	for name, raw := range env {
		s = append(s, name+"="+strings.Join(strings.Fields(string(raw)), ""))
	}
	return strings.Join(s, " ")
}

func TestTruthString(t *testing.T) {
	for want, v := range map[string]condition.Truth{"false": condition.False, "unknown": condition.Unknown, "true": condition.True} {
		if got := v.String(); got != want {
			t.Errorf("Truth(%d).String() = %q; want %q", v, got, want)
		}
	}
}
