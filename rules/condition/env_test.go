package condition_test

import (
	"strings"
	"sync"
	"testing"

	"diagnose.example/rules/condition"
)

func TestNewEnvFaults(t *testing.T) {
	one := func(a []float64) float64 { return a[0] }
	tests := []struct {
		name      string
		symbols   []condition.Symbol
		functions []condition.Function
		want      string
	}{
		{"no name", []condition.Symbol{{}}, nil,
			`symbol "": a name is letters, digits and underscores, with one dot at most, and no word of the language`},
		{"hyphen", []condition.Symbol{{Name: "after-rebuild"}}, nil,
			`symbol "after-rebuild": a name is letters, digits and underscores, with one dot at most, and no word of the language`},
		{"two dots", []condition.Symbol{{Name: "a.b.c"}}, nil,
			`symbol "a.b.c": a name is letters, digits and underscores, with one dot at most, and no word of the language`},
		{"word of the language", []condition.Symbol{{Name: "not"}}, nil,
			`symbol "not": a name is letters, digits and underscores, with one dot at most, and no word of the language`},
		{"twice", []condition.Symbol{{Name: "a"}, {Name: "a"}}, nil, `symbol "a" is there twice`},
		{"name and group", []condition.Symbol{{Name: "spec"}, {Name: "spec.a"}}, nil, `symbol "spec" is also the first part of another name`},
		{"symbol and function", []condition.Symbol{{Name: "mm"}}, []condition.Function{{Name: "mm", Args: []condition.Dim{{}}, Call: one}},
			`symbol "mm" is also a function`},
		{"group and function", []condition.Symbol{{Name: "mm.x"}}, []condition.Function{{Name: "mm", Args: []condition.Dim{{}}, Call: one}},
			`function "mm" is also the first part of another name`},
		{"no words", []condition.Symbol{{Name: "a", Kind: condition.Word}}, nil, `symbol "a" has 0 words, not 1 to 64`},
		{"word twice", []condition.Symbol{{Name: "a", Kind: condition.Word, Words: []string{"x", "x"}}}, nil, `symbol "a" has the word "x" twice`},
		{"quote in a word", []condition.Symbol{{Name: "a", Kind: condition.Words, Words: []string{`x"y`}}}, nil,
			`symbol "a": word "x\"y" is empty or holds a quote, a backslash or a control character`},
		{"words of a number", []condition.Symbol{{Name: "a", Kind: condition.Number, Words: []string{"x"}}}, nil, `symbol "a" of kind number has words`},
		{"unknown unit", []condition.Symbol{{Name: "a", Kind: condition.Number, Unit: "mm"}}, nil, `symbol "a": its unit "mm" is not among the functions`},
		{"unknown kind", []condition.Symbol{{Name: "a", Kind: 9}}, nil, `symbol "a" has no known kind`},
		{"function without a name", nil, []condition.Function{{}}, `function "": a name is letters, digits and underscores, and no word of the language`},
		{"function twice", nil, []condition.Function{{Name: "f", Args: []condition.Dim{{}}, Call: one}, {Name: "f", Args: []condition.Dim{{}}, Call: one}},
			`function "f" is there twice`},
		{"function without Call", nil, []condition.Function{{Name: "f", Args: []condition.Dim{{}}}}, `function "f" has no Call`},
		{"no arguments", nil, []condition.Function{{Name: "f", Call: one}}, `function "f" has 0 arguments, not 1 to 6`},
		{"all faults at once", []condition.Symbol{{Name: "a"}, {Name: "a"}, {Name: "b", Kind: 9}}, []condition.Function{{Name: "f"}},
			"function \"f\" has no Call\nsymbol \"a\" is there twice\nsymbol \"b\" has no known kind"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := condition.NewEnv(tt.symbols, tt.functions)
			if err == nil || err.Error() != tt.want {
				t.Errorf("NewEnv(%v) = %v; want %s", tt.symbols, err, tt.want)
			}
		})
	}
}

// TestEnvCopies: what the caller does to its slices afterwards changes nothing.
func TestEnvCopies(t *testing.T) {
	list := symbols()
	env, err := condition.NewEnv(list, functions())
	if err != nil {
		t.Fatal(err)
	}
	list[0].Name, list[4].Words[0] = "changed", "changed"
	env.Symbols()[0].Name = "changed"
	if got := compile(t, env, `leaks and plug_color == "wet"`).String(); got != `leaks and plug_color == "wet"` {
		t.Errorf("String after the caller's change = %q", got)
	}
	if _, ok := env.Index("changed"); ok {
		t.Error(`Index("changed") is there after the caller's change`)
	}
}

// TestCompileTogether: an environment compiles for several goroutines, and they
// share conditions, each with a case of its own. It tells something under -race.
func TestCompileTogether(t *testing.T) {
	env := newEnv(t)
	shared := compile(t, env, `leaks and disc_area(needle_diameter) > disc_area(mm(2))`)
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			k := env.NewCase()
			for _, r := range handRules {
				c, err := env.Compile(r.src)
				if err != nil {
					t.Errorf("Compile(%q): %v", r.src, err)
					return
				}
				k.SetNumber(13, 0.001, 0.003)
				c.Eval(k)
				shared.Eval(k)
			}
		})
	}
	group.Wait()
}

func TestCaseMisuse(t *testing.T) {
	env := newEnv(t)
	number, choice, several := index(t, env, "level_mm"), index(t, env, "plug_color"), index(t, env, "plug_deposits")
	tests := []struct {
		name string
		set  func(k *condition.Case)
		want string
	}{
		{"no such symbol", func(k *condition.Case) { k.SetYesNo(99, true) }, "symbol 99: there are 16"},
		{"negative symbol", func(k *condition.Case) { k.Clear(-1) }, "symbol -1: there are 16"},
		{"another kind", func(k *condition.Case) { k.SetYesNo(number, true) }, `"level_mm" set to yes or no: it is of kind number`},
		{"a number for a choice", func(k *condition.Case) { k.SetNumber(choice, 1, 1) }, `"plug_color" set to a number: it is of kind word`},
		{"words for a choice", func(k *condition.Case) { k.SetWords(choice, 1) }, `"plug_color" set to words: it is of kind word`},
		{"no such word", func(k *condition.Case) { k.SetWord(choice, 5) }, `word 5 of "plug_color": it has 5 words`},
		{"no such words", func(k *condition.Case) { k.SetWords(several, 8) }, `words 0x8 of "plug_deposits": it has 3 words`},
		{"ends exchanged", func(k *condition.Case) { k.SetNumber(number, 2, 1) }, `range 2 to 1 of "level_mm" is not a range of numbers`},
		{"infinity", func(k *condition.Case) { k.SetNumber(number, 1/zero, 1/zero) }, `range +Inf to +Inf of "level_mm" is not a range of numbers`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			k := newCase(t, env, values{"plug_color": "wet", "level_mm": 1.0, "plug_deposits": []string{"black"}})
			tt.set(k)
			if err := k.Err(); err == nil || err.Error() != tt.want {
				t.Fatalf("Err() = %v; want %s", err, tt.want)
			}
			for i, s := range env.Symbols() {
				if strings.Contains(tt.want, `"`+s.Name+`"`) && k.Known(i) {
					t.Errorf("%s is known after a wrong setting", s.Name)
				}
			}
			k.Reset()
			if k.Err() != nil || k.Known(choice) {
				t.Errorf("after Reset: Err() = %v, plug_color known %v", k.Err(), k.Known(choice))
			}
		})
	}
}

func TestCaseSettings(t *testing.T) {
	env := newEnv(t)
	k := env.NewCase()
	several, number := index(t, env, "plug_deposits"), index(t, env, "level_mm")
	k.SetWord(several, 1) // one of several, alone
	if got := compile(t, env, `"white" in plug_deposits and "black" not in plug_deposits`).Eval(k); got != condition.True {
		t.Errorf("after SetWord of a set of words: %v; want true", got)
	}
	k.SetWords(several, 0b110)
	k.Clear(several)
	if got := compile(t, env, `"white" in plug_deposits or "glazed" in plug_deposits`).Eval(k); got != condition.Unknown || k.Known(several) {
		t.Errorf("after Clear of a set of words: %v, known %v; want unknown", got, k.Known(several))
	}
	k.SetNumber(number, -1/zero, 1/zero) // no bound at all says nothing
	if k.Known(number) || k.Err() != nil {
		t.Errorf("after SetNumber without bounds: known %v, %v; want unknown, no error", k.Known(number), k.Err())
	}
	if k.Known(-1) || k.Known(99) {
		t.Error("Known of no symbol = true; want false")
	}
}

var zero = 0.0
