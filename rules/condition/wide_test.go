package condition_test

import (
	"fmt"
	"testing"

	"diagnose.example/rules/condition"
)

// A vocabulary is larger than a word of a Set. What a condition turns on is the same however far its symbols lie apart.
func TestDecidingInWideVocabulary(t *testing.T) {
	env := newEnv(t)
	var wide []condition.Symbol
	for i, s := range symbols() {
		for k := range 40 {
			wide = append(wide, condition.Symbol{Name: fmt.Sprintf("other_%d_%d", i, k)})
		}
		wide = append(wide, s)
	}
	wideEnv, err := condition.NewEnv(wide, functions())
	if err != nil {
		t.Fatal(err)
	}
	p := random(11)
	undecided, several := 0, 0
	for range 3000 {
		src := p.text(p.condition(2))
		near, err := env.Compile(src)
		if err != nil {
			continue
		}
		far := compile(t, wideEnv, src)
		facts := p.facts(6)
		var want, got condition.Set
		truth := near.Deciding(newCase(t, env, facts), &want)
		k := newCase(t, wideEnv, facts)
		if far.Eval(k) != truth || far.Deciding(k, &got) != truth {
			t.Fatalf("%q with %v = %v with symbols far apart; want %v", src, facts, far.Eval(k), truth)
		}
		if names(wideEnv, got.List()) != names(env, want.List()) {
			t.Fatalf("%q with %v turns on %s with symbols far apart; want %s", src, facts, names(wideEnv, got.List()), names(env, want.List()))
		}
		if truth == condition.Unknown {
			undecided++
		}
		if got.Len() > 2 {
			several++
		}
	}
	if undecided < 500 || several < 100 {
		t.Errorf("%d conditions undecided, %d on more than two symbols; the test shows little", undecided, several)
	}
}
