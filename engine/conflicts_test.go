package engine_test

import (
	"bytes"
	"maps"
	"regexp"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"go.yaml.in/yaml/v3"
)

// conflictFile is testdata/conflicts.yaml.
type conflictFile struct {
	Conflicts []conflict
	Elsewhere []struct{ ID, Why string }
}

type conflict struct {
	ID, Question string
	Sheet        map[string]yaml.Node
	One, Other   conflictSide
}

type conflictSide struct {
	Says, Source string
	Is           []string
	Class        string
}

// mostByConflict is the largest factor by which a disputed observation may change the odds between the two sides.
const mostByConflict = 3

// TestConflictsBetweenSources enters the disputed observation, and nothing else.
func TestConflictsBetweenSources(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	var f conflictFile
	d := yaml.NewDecoder(bytes.NewReader(read(t, "testdata/conflicts.yaml")))
	d.KnownFields(true)
	if err := d.Decode(&f); err != nil {
		t.Fatal(err)
	}
	classes := charts(t)
	for _, c := range f.Conflicts {
		t.Run(c.ID, func(t *testing.T) {
			side := func(s conflictSide) []string {
				if s.Source == "" {
					t.Fatalf("conflicts.yaml: %q has no source", s.Says)
				}
				return classes.members(t, set, chartItem{Says: s.Says, Is: s.Is, Class: s.Class})
			}
			d, err := engine.Diagnose(set, sheet(t, set, c.text(t)), engine.Options{Explain: -1, Questions: -1})
			if err != nil {
				t.Fatal(err)
			}
			oneBefore, oneAfter, _ := chance(d, side(c.One))
			otherBefore, otherAfter, _ := chance(d, side(c.Other))
			factor := oneAfter / otherAfter / (oneBefore / otherBefore)
			t.Logf("%s %q %.3f to %.3f, %q %.3f to %.3f: odds times %.2f", c.Question, c.One.Says, oneBefore, oneAfter,
				c.Other.Says, otherBefore, otherAfter, factor)
			if factor > mostByConflict || factor < 1.0/mostByConflict {
				t.Errorf("%s The observation changes the odds of %q against %q by a factor %.2f; want less than %d either way",
					c.Question, c.One.Says, c.Other.Says, factor, mostByConflict)
			}
		})
	}
	for _, e := range f.Elsewhere {
		if e.Why == "" {
			t.Errorf("conflicts.yaml: %s is left out without a reason", e.ID)
		}
	}
}

// text is the disputed observation on the sheet of a twin with a carburetor for each side.
func (c conflict) text(t *testing.T) string {
	t.Helper()
	at := maps.Clone(c.Sheet)
	machine := map[string]any{}
	if m, ok := at["machine"]; ok {
		if err := m.Decode(&machine); err != nil {
			t.Fatal(err)
		}
	}
	machine["carburetors"], machine["cylinders"] = []string{"left", "right"}, 2
	var node yaml.Node
	if err := node.Encode(machine); err != nil {
		t.Fatal(err)
	}
	at["machine"] = node
	return chartRow{Sheet: at}.text(t)
}

// superseded are means of old handbooks that must no longer be advised: wire and drills in jets (Rathbun; Rolls), abrasives on a
// seat (Rathbun), a match or torch to warm or to see by (Rathbun; Whitman 1910), starting mixtures (Whitman 1920), shellac on floats
// (Whitman 1920), carbon tetrachloride on fires and chamois in funnels (Putnam), petrol for washing parts (TM 9-879, par. 72).
var superseded = regexp.MustCompile(`(?i)\b(wire|drill|emery|abrasive|lap|match|torch|ether|tetrachloride|chamois|shellac|solder|` +
	`(wash|rinse|clean)\w* (it |parts )?(in|with) (petrol|gasoline|fuel)|by mouth)\b`)

// forbidding are the words that turn a mention into a warning.
var forbidding = regexp.MustCompile(`(?i)\b(no|not|never|nor|catch fire)\b`)

// TestNothingSupersededIsAdvised looks at every sentence that tells somebody to do something.
func TestNothingSupersededIsAdvised(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	mentions := 0
	say := func(id, text string) {
		for _, sentence := range regexp.MustCompile(`[.;:]\s+`).Split(strings.ReplaceAll(text, "\n", " "), -1) {
			if !superseded.MatchString(sentence) {
				continue
			}
			mentions++
			if !forbidding.MatchString(sentence) {
				t.Errorf("%s: %q advises %q; want the safer way, or a warning", id, sentence, superseded.FindString(sentence))
			}
		}
	}
	for _, o := range set.Vocabulary.All() {
		say(o.ID, o.How+" "+o.Caution)
	}
	for _, c := range set.Checks {
		say(c.ID, c.How+" "+c.Caution)
	}
	for _, r := range set.Repairs {
		say(r.ID, r.How+" "+r.Caution)
	}
	for _, s := range set.Stops {
		say(s.ID, s.Do+" "+s.Caution)
	}
	if mentions == 0 {
		t.Error("no sentence mentions anything superseded; the pattern no longer fits the texts")
	}
}
