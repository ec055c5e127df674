package engine

import (
	"slices"
	"testing"

	"diagnose.example/engine/plan"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// TestSwapUnderAnAccess: carburetors that are changed over come off, are fitted again and the machine is run, so that nothing stays open after
// it and the whole time is its own. A plan over such a step has to be found.
func TestSwapUnderAnAccess(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	s, err := symptoms.Decode("s", []byte(`sheet: 1
machine: {cylinders: 2, carburetors: [left, right], carburetor_kind: slide, carburetors_separate: yes}
observed: {idle_report: uneven, misses: yes}
at: {left: {spits_back: yes}}
`), set.Vocabulary, symptoms.DecodeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	know, err := newKnowledge(set)
	if err != nil {
		t.Fatal(err)
	}
	a := askingOf(t, know, s)
	pl := &planning{work: a.work, o: StepOptions{}.withDefaults(), base: a.base}
	if err := pl.makeWorlds(); err != nil {
		t.Fatal(err)
	}
	pl.makeOptions()
	i := slices.IndexFunc(set.Checks, func(c *rules.Check) bool { return c.ID == "swap-the-carburetors" })
	swap := pl.testOption(set.Checks[i], pl.at[symptoms.Carburetor][0])
	if swap.inside == "" || swap.access <= 0 {
		t.Fatalf("%s lies inside %q, %v minutes; want an access", swap.id, swap.inside, swap.access)
	}
	pl.tests = []*option{swap}
	for _, op := range append(pl.repairs, swap) {
		op.after = nil // the checks that come first are not in this plan
	}
	pl.makeTable()
	got := pl.table.Tests[0]
	if want := swap.own + swap.access; got.Kind != plan.Change || !got.Running || got.Inside != "" || got.Cost.Minutes != want {
		t.Errorf("the swap is %v, running %t, inside %q, %v minutes; want %v, true, nothing, %v", got.Kind, got.Running, got.Inside, got.Cost.Minutes, plan.Change, want)
	}
	if _, err := pl.plan(plan.Options{Steps: 1}); err != nil {
		t.Errorf("no plan is found: %v", err)
	}
}
