package engine_test

import (
	"bytes"
	"path/filepath"
	"slices"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
	"go.yaml.in/yaml/v3"
)

// tellingCase is one entry of testdata/telling.yaml: a complaint and what was then found.
type tellingCase struct {
	// Cause must lead the ranking, or be among the first Within where a finding is no proof.
	Cause  string
	Within int
	// Sheet is what was told and found, in the parts of an intake sheet.
	Sheet map[string]yaml.Node
}

func tellingCases(t *testing.T) []tellingCase {
	t.Helper()
	var f struct{ Cases []tellingCase }
	d := yaml.NewDecoder(bytes.NewReader(read(t, "testdata/telling.yaml")))
	d.KnownFields(true)
	if err := d.Decode(&f); err != nil {
		t.Fatal(err)
	}
	return f.Cases
}

// TestTellingFindings gives a complaint and the finding that decides it. The cause that it tells of must lead.
func TestTellingFindings(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{}
	for _, c := range tellingCases(t) {
		told[c.Cause] = true
		got := ranked(t, set, sheet(t, set, chartRow{Sheet: c.Sheet}.text(t)))
		place := 1 + slices.IndexFunc(got, func(r *engine.Ranked) bool { return r.ID == c.Cause })
		if within := max(c.Within, 1); place == 0 || place > within {
			t.Errorf("telling.yaml: %s is number %d, behind %s with %.3f; want among the first %d", c.Cause, place, got[0].ID, got[0].Anywhere, within)
		}
	}
	for _, c := range set.Causes {
		if !told[c.ID] {
			t.Errorf("telling.yaml has no case for %s", c.ID)
		}
	}
}

// TestEveryRuleIsFiredByACase lists the rules that no sheet of the tests fires. A rule's own examples do not count.
func TestEveryRuleIsFiredByACase(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	fired := map[string]bool{}
	hear := func(s *symptoms.Sheet) {
		t.Helper()
		d, err := engine.Diagnose(set, s, engine.Options{Explain: -1, Questions: -1})
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range d.Heard {
			for i, r := range h.Rules {
				if h.States[i] == engine.Seen {
					fired[r.ID] = true
				}
			}
		}
	}
	for _, folder := range []string{shopSheets, "../testdata/cases/"} {
		paths, err := filepath.Glob(folder + "*.yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range paths {
			if filepath.Base(p) == "truth.yaml" {
				continue // what the cases turned out to be, no sheet
			}
			s, err := symptoms.Decode(p, read(t, p), set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
			if err != nil {
				t.Fatal(err)
			}
			hear(s)
		}
	}
	for _, r := range charts(t).Rows {
		hear(sheet(t, set, r.text(t)))
	}
	for _, c := range tellingCases(t) {
		hear(sheet(t, set, chartRow{Sheet: c.Sheet}.text(t)))
	}
	for _, r := range set.Rules {
		if !fired[r.ID] {
			t.Errorf("no sheet of the tests fires %s", r.ID)
		}
	}
}
