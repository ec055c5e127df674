package condition_test

import (
	"strings"
	"testing"

	"diagnose.example/rules/condition"
	"pgregory.net/rapid"
)

// drawCondition draws a condition that fits the size limit.
func drawCondition(t *rapid.T, env *condition.Env) *condition.Condition {
	p := drawn(t)
	src := p.text(p.condition(3))
	if len(src) > 2000 {
		t.Skip("longer than a condition may be")
	}
	c, err := env.Compile(src)
	if err != nil && strings.Contains(err.Error(), "tests and groups") {
		t.Skip("more tests than a condition may have")
	}
	if err != nil {
		t.Fatalf("Compile(%q):\n%v", src, err)
	}
	return c
}

// TestMonotone: what is decided stays so under any completion.
func TestMonotone(t *testing.T) {
	env := newEnv(t)
	rapid.Check(t, func(rt *rapid.T) {
		c, p := drawCondition(rt, env), drawn(rt)
		facts := p.facts(p(10))
		before := c.Eval(newCase(t, env, facts))
		for range 3 {
			more := p.complete(env, facts, nil)
			if after := c.Eval(newCase(t, env, more)); before != condition.Unknown && after != before {
				rt.Fatalf("Eval(%v) with %v = %v; with %v = %v", c, facts, before, more, after)
			}
		}
	})
}

// TestDecidingDecides: answering the deciding set decides, and no answer outside it
// matters. What cannot be computed has nothing to ask and stays unknown.
func TestDecidingDecides(t *testing.T) {
	env := newEnv(t)
	rapid.Check(t, func(rt *rapid.T) {
		c, p := drawCondition(rt, env), drawn(rt)
		facts := p.facts(1 + p(9))
		var open, left condition.Set
		k := newCase(t, env, facts)
		truth := c.Deciding(k, &open)
		if want := c.Eval(k); truth != want {
			rt.Fatalf("Deciding(%v) with %v = %v; Eval %v", c, facts, truth, want)
		}
		if truth != condition.Unknown && open.Len() != 0 {
			rt.Fatalf("Deciding(%v) with %v is %v and leaves %s open", c, facts, truth, names(env, open.List()))
		}

		outside := new(condition.Set)
		for i := range env.Symbols() {
			if !open.Has(i) {
				outside.Add(i)
			}
		}
		others := p.complete(env, facts, outside)
		if got := c.Eval(newCase(t, env, others)); got != truth {
			rt.Fatalf("Eval(%v) with %v = %v; without the answers outside the deciding set %v", c, others, got, truth)
		}
		answered := p.complete(env, facts, &open)
		if got := c.Deciding(newCase(t, env, answered), &left); got == condition.Unknown && left.Len() != 0 {
			rt.Fatalf("Deciding(%v) with %v leaves %s open after %s", c, answered, names(env, left.List()), names(env, open.List()))
		}
	})
}

// TestValuesCarry: the values that carry a truth give it alone, and those of an
// unknown condition are its deciding set.
func TestValuesCarry(t *testing.T) {
	env := newEnv(t)
	rapid.Check(t, func(rt *rapid.T) {
		c, p := drawCondition(rt, env), drawn(rt)
		facts := p.facts(p(10))
		k := newCase(t, env, facts)
		var open, carriers condition.Set
		truth := c.Deciding(k, &open)
		for _, v := range c.Values(k) {
			if v.Carries {
				carriers.Add(v.Symbol)
			}
		}
		if truth == condition.Unknown {
			if !carriers.Equal(&open) {
				rt.Fatalf("Values(%v) with %v: %s carry; Deciding %s", c, facts, names(env, carriers.List()), names(env, open.List()))
			}
			return
		}
		for i := range env.Symbols() {
			if !carriers.Has(i) {
				k.Clear(i)
			}
		}
		if got := c.Eval(k); got != truth {
			rt.Fatalf("Eval(%v) from %s alone of %v = %v; want %v", c, names(env, carriers.List()), facts, got, truth)
		}
	})
}

// TestPrintAgain: printing and compiling gives the same tree, which reads and says
// the same.
func TestPrintAgain(t *testing.T) {
	env := newEnv(t)
	rapid.Check(t, func(rt *rapid.T) {
		c, p := drawCondition(rt, env), drawn(rt)
		again, err := env.Compile(c.String())
		if err != nil {
			rt.Fatalf("Compile(%q), as printed:\n%v", c, err)
		}
		if !condition.SameTree(c, again) {
			rt.Fatalf("the tree of %q changes when printed and compiled, to %q", c, again)
		}
		facts := p.facts(p(10))
		k := newCase(t, env, facts)
		if got, want := again.Eval(k), c.Eval(k); got != want {
			rt.Fatalf("Eval(%q) with %v = %v; before printing %v", c, facts, got, want)
		}
	})
}

// TestFindingMatches: a finding is true for its words and no others, and unknown
// without one.
func TestFindingMatches(t *testing.T) {
	env := newEnv(t)
	symbols := env.Symbols()
	found := 0
	rapid.Check(t, func(rt *rapid.T) {
		p := drawn(rt)
		c, err := env.Compile(p.text(p.condition(2)))
		if err != nil {
			rt.Fatal(err)
		}
		f, ok := c.Finding()
		if !ok || symbols[f.Symbol].Kind == condition.Words {
			return
		}
		found++
		k := env.NewCase()
		if got := c.Eval(k); got != condition.Unknown {
			rt.Fatalf("Eval(%v) with nothing known = %v", c, got)
		}
		for w := range max(2, len(symbols[f.Symbol].Words)) {
			if symbols[f.Symbol].Kind == condition.YesNo {
				k.SetYesNo(f.Symbol, w == 1)
			} else {
				k.SetWord(f.Symbol, w)
			}
			want := condition.False
			if f.Words>>w&1 == 1 {
				want = condition.True
			}
			if got := c.Eval(k); got != want {
				rt.Fatalf("Eval(%v) for word %d of %s = %v; want %v", c, w, symbols[f.Symbol].Name, got, want)
			}
		}
	})
	if found == 0 {
		t.Error("no random condition was a finding")
	}
}
