package engine_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// TestChainsHangTogether wants every effect of a chain to be reached from the cause it is the chain of, trimmed or whole.
func TestChainsHangTogether(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob("../testdata/sheets/*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("%d sheets, %v", len(paths), err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		s, err := symptoms.Decode(path, data, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
		if err != nil {
			t.Fatal(err)
		}
		for _, whole := range []bool{false, true} {
			d, err := engine.Diagnose(set, s, engine.Options{Questions: -1, WholeChain: whole})
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range d.Ranked[:5] {
				reached := map[engine.Node]bool{}
				for _, step := range r.Chain {
					if step.From.Kind == "cause" {
						reached[step.From] = true
					}
				}
				for range r.Chain { // a chain of n steps is at most n long
					for _, step := range r.Chain {
						reached[step.To] = reached[step.To] || reached[step.From]
					}
				}
				for _, step := range r.Chain {
					if !reached[step.From] {
						t.Errorf("%s: chain of %s (whole: %v): nothing leads to %s at %q", path, r.ID, whole, step.From.ID, step.From.Place.Name)
					}
				}
			}
		}
	}
}

// TestWholeChain compares the two kinds on a sheet with one answer.
func TestWholeChain(t *testing.T) {
	set := small(t)
	s := sheet(t, set, twin+"observed: {tap_open: \"yes\"}\nat: {left: {wet: drips}}\n")
	count := func(o engine.Options) (asked, open int) {
		d, err := engine.Diagnose(set, s, o)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(d.Ranked, func(r *engine.Ranked) bool { return r.ID == "float-heavy" })
		for _, step := range d.Ranked[i].Chain {
			switch {
			case step.To.Kind != "finding":
			case step.State == engine.NotAsked:
				open++
			default:
				asked++
			}
		}
		return asked, open
	}
	asked, open := count(engine.Options{})
	if asked == 0 || open != 0 {
		t.Errorf("trimmed chain has %d findings asked and %d open; want some and none", asked, open)
	}
	wholeAsked, wholeOpen := count(engine.Options{WholeChain: true})
	if wholeAsked != asked || wholeOpen == 0 {
		t.Errorf("whole chain has %d findings asked and %d open; want %d and some", wholeAsked, wholeOpen, asked)
	}
}
