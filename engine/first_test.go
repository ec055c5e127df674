package engine_test

import (
	"math"
	"path/filepath"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// TestFirstScreenGains compares what a first screen works out of fewer inferences with the answers inferred one by one.
func TestFirstScreenGains(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob("../testdata/sheets/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	least := 30
	if testing.Short() {
		paths, least = paths[:4], 8
	}
	compared := 0
	for _, path := range paths {
		s := sheet(t, set, string(read(t, path)))
		quick, err := engine.Diagnose(set, s, engine.Options{Detail: engine.FirstScreen, Questions: 4})
		if err != nil {
			t.Fatal(err)
		}
		whole, err := engine.Diagnose(set, s, engine.Options{Questions: 10})
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range quick.Unasked {
			if w := sameQuestion(whole.Unasked, q); w != nil {
				compared++
				compareQuestions(t, path, q, *w)
			}
		}
	}
	if compared < least {
		t.Errorf("%d questions compared; want %d at least", compared, least)
	}
}

func sameQuestion(all []engine.Question, q engine.Question) *engine.Question {
	for i, other := range all {
		if other.Observation == q.Observation && other.Place == q.Place {
			return &all[i]
		}
	}
	return nil
}

func compareQuestions(t *testing.T, path string, got, want engine.Question) {
	t.Helper()
	// Digits are lost in a difference at 1 in 1000 at worst, and the entropy of a near certain cause loses some more.
	const tolerance = 1e-10
	if math.Abs(got.Gain-want.Gain) > tolerance {
		t.Errorf("%s: %s: gain on the first screen = %v; want %v", path, got.Observation.ID, got.Gain, want.Gain)
	}
	if len(got.Answers) != len(want.Answers) {
		t.Fatalf("%s: %s: %d answers on the first screen; want %d", path, got.Observation.ID, len(got.Answers), len(want.Answers))
	}
	for i, a := range got.Answers {
		if w := want.Answers[i]; a.Text != w.Text || math.Abs(a.Probability-w.Probability) > tolerance {
			t.Errorf("%s: %s: answer %d = %s, %v; want %s, %v", path, got.Observation.ID, i, a.Text, a.Probability, w.Text, w.Probability)
		}
	}
}
