package condition_test

import (
	"errors"
	"strings"
	"testing"

	"diagnose.example/rules/condition"
)

// FuzzCompile: no input makes the compiler panic; an error has a position within
// the source; expr's type checker agrees with ours; what compiles prints and
// compiles again to the same tree; and a truth decided from little stays when
// everything is known.
func FuzzCompile(f *testing.F) {
	for _, src := range faulty {
		f.Add(src)
	}
	for _, tt := range []string{
		`leaks and not motor_warm or "white" not in plug_deposits`,
		`plug_color not in ["wet", 'oily'] && !(screw_kind == "air")`,
		`mm(1) < float_height <= spec.float_height + inch(0.04) * 2`,
		`ring_area(mm(3), distance(needle_diameter, mm(1))) / disc_area(needle_diameter) >= -(1 - cylinders)`,
		"// remark\n/* and */ root(level_mm) != 1e3",
		strings.Repeat("(", 900) + "leaks" + strings.Repeat(")", 900), strings.Repeat("not ", 400) + "leaks",
		strings.Repeat("-", 900) + "level_mm > 1", strings.Repeat("!", 1900), "\xff", "leaks\x00", "a.b.c.d", "leaks and \ufeffleaks",
	} {
		f.Add(tt)
	}
	env := newEnv(f)
	some := newCase(f, env, values{"leaks": true, "plug_color": "wet", "float_height": [2]float64{0.001, 0.004}, "level_mm": [2]float64{-1, 2}})
	most := newCase(f, env, random(3).complete(env, values{"leaks": true, "plug_color": "wet", "float_height": [2]float64{0.002, 0.002}, "level_mm": [2]float64{0, 0}}, nil))
	f.Fuzz(func(t *testing.T, src string) {
		c, err := env.Compile(src)
		if err != nil {
			checkError(t, src, err)
			return
		}
		again, err := env.Compile(c.String())
		if err != nil {
			if len(c.String()) > len(src) { // spelled out, it may pass a limit
				return
			}
			t.Fatalf("Compile(%q), printed from %q:\n%v", c, src, err)
		}
		if !condition.SameTree(c, again) {
			t.Fatalf("the tree of %q changes when printed and compiled, to %q", c, again)
		}
		truth := condition.Unknown
		for _, k := range []*condition.Case{env.NewCase(), some, most} {
			var s condition.Set
			got := c.Eval(k)
			if truth != condition.Unknown && got != truth {
				t.Fatalf("Eval(%q) goes from %v to %v with more known", src, truth, got)
			}
			if d := c.Deciding(k, &s); d != got || got != condition.Unknown && s.Len() > 0 {
				t.Fatalf("Deciding(%q) = %v and %d open; Eval %v", src, d, s.Len(), got)
			}
			truth = got
		}
		c.Finding()
	})
}

func checkError(t *testing.T, src string, err error) {
	var e *condition.Error
	if !errors.As(err, &e) {
		t.Fatalf("Compile(%q) = %v; want a *condition.Error", src, err)
	}
	if lines := strings.Split(src, "\n"); len(src) <= 2000 && (e.Line < 1 || e.Line > len(lines) || e.Column < 1 || e.Column > len([]rune(lines[e.Line-1]))+1) {
		t.Fatalf("Compile(%q): the fault at %d:%d is outside the source", src, e.Line, e.Column)
	}
	if strings.HasPrefix(e.Message, "type check") || strings.HasPrefix(e.Message, "the condition cannot be read") {
		t.Fatalf("Compile(%q): %v", src, err)
	}
}
