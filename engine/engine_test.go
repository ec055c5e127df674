package engine_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// small loads the invented pack of testdata.
func small(t testing.TB) *rules.Set {
	t.Helper()
	vocabulary, err := symptoms.ParseVocabulary("small-vocabulary.yaml", read(t, "testdata/small-vocabulary.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	set, err := rules.Load(vocabulary, []rules.File{{Name: "small-pack.yaml", Data: read(t, "testdata/small-pack.yaml")}})
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func sheet(t testing.TB, set *rules.Set, text string) *symptoms.Sheet {
	t.Helper()
	s, err := symptoms.Decode("test.yaml", []byte(text), set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func diagnose(t testing.TB, set *rules.Set, text string) *engine.Diagnosis {
	t.Helper()
	d, err := engine.Diagnose(set, sheet(t, set, text), engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const twin = "sheet: 1\nmachine: {carburetors: [left, right], cylinders: 2, spec.level: 20 mm}\n"

// tolerance is what exact means here: against enumeration in the same float64.
const tolerance = 1e-12

// TestDiagnoseAgainstEnumeration compares every posterior with the sum over all states of all causes and effects.
func TestDiagnoseAgainstEnumeration(t *testing.T) {
	set := small(t)
	tests := []struct{ name, sheet string }{
		{"nothing observed", twin},
		{"yes and no at the machine", twin + `observed: {smell: "yes", bad_run: "no"}`},
		{"a word at one place", twin + "observed: {tap_open: \"yes\"}\nat: {left: {wet: drips}}"},
		{"the first word hides the second", twin + "observed: {tap_open: \"yes\"}\nat: {left: {wet: pours}, right: {wet: dry}}"},
		{"circumstance unknown", twin + "at: {left: {wet: pours}}"},
		{"somewhere", twin + "observed: {tap_open: \"yes\", bad_run: \"yes\"}\nsomewhere: {wet: drips}"},
		{"every", twin + "every: {plug: black}\nobserved: {bad_run: \"yes\"}"},
		{"a reading near a limit", twin + "at: {left: {level: 21.8 mm}}"},
		{"a reading far off", twin + "at: {left: {level: 30 mm}, right: {level: 16 mm}}\nhistory: [after-work]"},
		{"scoped to machines built so", "sheet: 1\nmachine: {carburetors: 2, carburetor_kind: butterfly}\nevery: {plug: white}"},
		{"two cylinders on one carburetor", "sheet: 1\nmachine: {carburetors: 1, cylinders: [front, rear]}\nat: {front: {plug: black}, rear: {plug: tan}}"},
		{"everything", twin + "history: [after-work]\nobserved: {tap_open: \"yes\", bad_run: \"yes\", smell: \"no\"}\n" +
			"at: {left: {wet: drips, level: 22.3 mm}, right: {wet: dry, level: 19.9 mm}, \"1\": {plug: black}, \"2\": {plug: white}}"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := diagnose(t, set, tt.sheet)
			want := enumerate(t, set, d.Sheet)
			for _, c := range d.Causes {
				if got, want := c.Probability, want.posterior(c.ID, c.Place.Name); math.Abs(got-want) > tolerance {
					t.Errorf("Diagnose: P(%s at %q) = %.17g; want %.17g", c.ID, c.Place.Name, got, want)
				}
				if got, want := c.Anywhere, want.anywhere(c.ID); math.Abs(got-want) > tolerance {
					t.Errorf("Diagnose: P(%s anywhere) = %.17g; want %.17g", c.ID, got, want)
				}
			}
			for _, e := range d.Effects {
				if got, want := e.Probability, want.posterior(e.ID, e.Place.Name); math.Abs(got-want) > tolerance {
					t.Errorf("Diagnose: P(%s at %q) = %.17g; want %.17g", e.ID, e.Place.Name, got, want)
				}
			}
			if got, want := d.Effort.LogEvidence, math.Log(want.z); math.Abs(got-want) > tolerance {
				t.Errorf("Diagnose: ln P(evidence) = %.17g; want %.17g", got, want)
			}
		})
	}
}

// TestAnswersAgainstEnumeration checks what a question's answers are said to do by giving each answer.
func TestAnswersAgainstEnumeration(t *testing.T) {
	set := small(t)
	const base = twin + "observed: {tap_open: \"yes\", bad_run: \"yes\"}\nsomewhere: {wet: drips}\n"
	d := diagnose(t, set, base)
	if len(d.Unasked) == 0 {
		t.Fatal("Diagnose: no question; want some")
	}
	before := enumerate(t, set, d.Sheet)
	for _, q := range d.Unasked {
		if q.Observation.ID != "plug" && q.Observation.ID != "smell" {
			continue
		}
		total := 0.0
		for _, a := range q.Answers {
			answer := fmt.Sprintf("observed: {tap_open: \"yes\", bad_run: \"yes\", %s: %q}\nsomewhere: {wet: drips}\n", q.Observation.ID, a.Text)
			if q.Place.Name != "" {
				answer = base[len(twin):] + fmt.Sprintf("at: {%q: {%s: %q}}\n", q.Place.Name, q.Observation.ID, a.Text)
			}
			after := enumerate(t, set, sheet(t, set, twin+answer))
			if got, want := a.Probability, after.z/before.z; math.Abs(got-want) > tolerance {
				t.Errorf("Diagnose: P(%s = %s) = %.17g; want %.17g", q.Observation.ID, a.Text, got, want)
			}
			total += a.Probability
			for _, l := range a.Top {
				if got, want := l.Anywhere, after.anywhere(l.ID); math.Abs(got-want) > tolerance {
					t.Errorf("Diagnose: P(%s anywhere) after %s = %.17g; want %.17g", l.ID, a.Text, got, want)
				}
			}
		}
		if math.Abs(total-1) > tolerance {
			t.Errorf("Diagnose: the answers to %s have probability %.17g together; want 1", q.Observation.ID, total)
		}
	}
}

// TestSheetsThatMeanTheSame gives the same facts in different words.
func TestSheetsThatMeanTheSame(t *testing.T) {
	set := small(t)
	single := "sheet: 1\nmachine: {carburetors: 1, spec.level: 20 mm}\n"
	tests := []struct{ name, a, b string }{
		{"order of answers", twin + `observed: {smell: "yes", bad_run: "yes", tap_open: "yes"}`, twin + `observed: {tap_open: "yes", bad_run: "yes", smell: "yes"}`},
		{"every and at", twin + "every: {plug: black}", twin + `at: {"1": {plug: black}, "2": {plug: black}}`},
		{"somewhere on a single", single + "observed: {tap_open: \"yes\"}\nsomewhere: {wet: drips}", single + "observed: {tap_open: \"yes\", wet: drips}"},
		{"a number and its band", twin + "at: {left: {level: \"> 30 mm\"}}", twin + "at: {left: {level: high}}"},
		{"unknown and absent", twin + "observed: {smell: unknown}", twin},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, b := diagnose(t, set, tt.a), diagnose(t, set, tt.b)
			for i, c := range a.Causes {
				if got := b.Causes[i]; got.ID != c.ID || got.Place != c.Place || math.Abs(got.Probability-c.Probability) > tolerance {
					t.Errorf("Diagnose: place %d is %s at %v with %v; want %s at %v with %v", i, got.ID, got.Place, got.Probability,
						c.ID, c.Place, c.Probability)
				}
			}
		})
	}
}

// TestWeights checks that evidence shown multiplies the odds as it says.
func TestWeights(t *testing.T) {
	set := small(t)
	d := diagnose(t, set, twin+"observed: {tap_open: \"yes\", bad_run: \"yes\"}\nat: {left: {wet: pours, level: 24 mm}, \"2\": {plug: white}}")
	odds := func(p float64) float64 { return p / (1 - p) }
	checked := 0
	for _, r := range d.Ranked {
		for _, w := range slices.Concat(r.For, r.Against) {
			if w.Evidence.Observation.ID != "level" {
				continue
			}
			checked++
			without := diagnose(t, set, twin+"observed: {tap_open: \"yes\", bad_run: \"yes\"}\nat: {left: {wet: pours}, \"2\": {plug: white}}")
			alone := diagnose(t, set, twin+"at: {left: {level: 24 mm}}")
			c := r.Places[0]
			if got, want := w.Rest, odds(c.Probability)/odds(at(t, without, c).Probability); math.Abs(got/want-1) > 1e-9 {
				t.Errorf("Weight of %s for %s given the rest = %v; want %v", w.Evidence.Observation.ID, c.ID, got, want)
			}
			if got, want := w.Alone, odds(at(t, alone, c).Probability)/odds(c.Prior); math.Abs(got/want-1) > 1e-9 {
				t.Errorf("Weight of %s for %s alone = %v; want %v", w.Evidence.Observation.ID, c.ID, got, want)
			}
		}
	}
	if checked == 0 {
		t.Error("Diagnose shows no weight of the measured level; want one")
	}
}

func at(t *testing.T, d *engine.Diagnosis, c *engine.Cause) *engine.Cause {
	t.Helper()
	for _, other := range d.Causes {
		if other.ID == c.ID && other.Place == c.Place {
			return other
		}
	}
	t.Fatalf("no %s at %v", c.ID, c.Place)
	return nil
}

// TestTried checks the weight of a repair that was tried: no change speaks against what it cures, better for it.
func TestTried(t *testing.T) {
	set := small(t)
	base := twin + "observed: {tap_open: \"yes\"}\nat: {left: {wet: drips}}\n"
	before := diagnose(t, set, base)
	tests := []struct {
		after string
		sign  float64
	}{{"no-change", -1}, {"worse", -1}, {"better", +1}, {"cured-for-a-while", +1}}
	for _, tt := range tests {
		t.Run(tt.after, func(t *testing.T) {
			d := diagnose(t, set, base+"tried: [{did: renew-float, at: left, after: "+tt.after+"}]")
			for _, c := range before.Causes {
				got := at(t, d, c).Probability
				if c.ID == "float-heavy" && c.Place.Name == "left" {
					if (got-c.Probability)*tt.sign <= 0 || got == 0 {
						t.Errorf("P(float-heavy at left) goes from %v to %v", c.Probability, got)
					}
				}
				if c.Place.Name == "right" && math.Abs(got-c.Probability) > 1e-3 {
					t.Errorf("P(%s at right) moves from %v to %v", c.ID, c.Probability, got)
				}
			}
		})
	}
}

// TestTriedNoChangeIsBayes checks one weight by hand: the cause keeps 1 - 0.95 of its likelihood.
func TestTriedNoChangeIsBayes(t *testing.T) {
	d := diagnose(t, small(t), twin+"tried: [{did: renew-float, at: left, after: no-change}]")
	for _, c := range d.Causes {
		if c.ID == "float-heavy" && c.Place.Name == "left" {
			on, off := c.Prior*0.05, 1-c.Prior
			if want := on / (on + off); math.Abs(c.Probability-want) > tolerance {
				t.Errorf("P(float-heavy at left) = %v; want %v", c.Probability, want)
			}
		}
	}
}

func TestHistoryIsCapped(t *testing.T) {
	d := diagnose(t, small(t), twin+"history: [after-work]")
	for _, c := range d.Causes {
		want := 0.04
		if c.ID == "float-heavy" {
			odds := 0.04 / 0.96 * 4
			want = odds / (1 + odds)
			if math.Abs(c.Prior-want) > tolerance {
				t.Errorf("prior of %s = %v; want %v", c.ID, c.Prior, want)
			}
		}
	}
}

func TestStops(t *testing.T) {
	set := small(t)
	tests := []struct {
		name, sheet, place string
	}{
		{"at a place", twin + "at: {right: {wet: pours}}", "right"},
		{"somewhere", twin + "somewhere: {wet: pours}", ""},
		{"somewhere, and that is the left", twin + "somewhere: {wet: pours}\nat: {left: {wet: pours}}", "left"},
		{"none", twin + "at: {right: {wet: drips}}", "none"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := "none"
			if d := diagnose(t, set, tt.sheet); len(d.Stops) > 0 {
				got = d.Stops[0].Place.Name
				if len(d.Stops) != 1 || len(d.Stops[0].Because) == 0 {
					t.Errorf("Stops = %+v; want one with one reason", d.Stops)
				}
			}
			if got != tt.place {
				t.Errorf("Stops at %q; want %q", got, tt.place)
			}
		})
	}
}

func TestUnaskedNamesTheCircumstance(t *testing.T) {
	d := diagnose(t, small(t), twin+"at: {left: {wet: drips}}")
	if len(d.Unasked) == 0 || !d.Unasked[0].Circumstance || d.Unasked[0].Observation.ID != "tap_open" {
		t.Errorf("Unasked = %+v; want tap_open first, as a circumstance", d.Unasked)
	}
	if !slices.ContainsFunc(d.Warnings, func(w engine.Warning) bool { return w.Kind == engine.NotUsed && strings.Contains(w.Text, "tap_open") }) {
		t.Errorf("Warnings = %+v; want one that wet is not used without tap_open", d.Warnings)
	}
}

// TestRemedyNamesTheObservation holds to it that the remedy for a sheet that says little begins with what is written on the sheet.
func TestRemedyNamesTheObservation(t *testing.T) {
	d := diagnose(t, small(t), twin)
	for _, w := range d.Warnings {
		if want := "begin with " + d.Unasked[0].Observation.ID + ": "; w.Kind == engine.LittleSaid && !strings.HasPrefix(w.Remedy, want) {
			t.Errorf("Remedy = %q; want %q first", w.Remedy, want)
		}
	}
	if !slices.ContainsFunc(d.Warnings, func(w engine.Warning) bool { return w.Kind == engine.LittleSaid }) {
		t.Errorf("Warnings = %+v; want one that little is said", d.Warnings)
	}
}

// TestNotUsedNamesWhatIsMissingFirst holds to it that a warning cut short still tells what to write on the sheet.
func TestNotUsedNamesWhatIsMissingFirst(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	d := diagnose(t, set, "sheet: 1\nmachine: {cylinders: 1}\nobserved: {float_height: 22 mm}")
	want := "spec.float_height is not on the sheet, so float_height: 22 mm is not used"
	if !slices.ContainsFunc(d.Warnings, func(w engine.Warning) bool { return w.Kind == engine.NotUsed && w.Text == want }) {
		t.Errorf("Warnings = %+v; want %q", d.Warnings, want)
	}
}

func TestChainLeadsFromCauseToFinding(t *testing.T) {
	d := diagnose(t, small(t), twin+"observed: {tap_open: \"yes\", bad_run: \"yes\"}\nat: {left: {wet: drips}}")
	steps := d.Ranked[0].Chain
	if len(steps) == 0 {
		t.Fatal("no chain")
	}
	reached := map[engine.Node]bool{steps[0].From: true}
	findings := 0
	for _, s := range steps {
		if !reached[s.From] {
			t.Errorf("step from %v, which nothing led to", s.From)
		}
		reached[s.To] = true
		if s.To.Kind == "finding" {
			findings++
			if s.State == engine.NotAsked {
				t.Errorf("finding %v was not asked, and others were", s.To)
			}
		} else if !(s.Probability > 0 && s.Probability < 1) {
			t.Errorf("effect %v has probability %v", s.To, s.Probability)
		}
		if len(s.Cites) == 0 || s.Word == "" {
			t.Errorf("step %v -> %v has no citation or no word", s.From, s.To)
		}
	}
	if findings == 0 {
		t.Error("the chain reaches no finding")
	}
}

// TestRepairsCoverTheFirstCauses checks the probability of a repair against enumeration where it cures one cause.
func TestRepairsCoverTheFirstCauses(t *testing.T) {
	d := diagnose(t, small(t), twin+"observed: {tap_open: \"yes\"}\nat: {left: {wet: pours}}")
	if len(d.Repairs) == 0 {
		t.Fatal("no repairs")
	}
	for _, r := range d.Repairs {
		if want := r.For[0].Probability; math.Abs(r.Probability-want) > tolerance && len(r.Cures) == 1 && r.About == symptoms.Carburetor {
			t.Errorf("P(%s cures) = %v; want %v", r.ID, r.Probability, want)
		}
	}
	if len(d.Checks) == 0 {
		t.Error("no checks")
	}
}

func TestLimitSetsAside(t *testing.T) {
	set := small(t)
	s := sheet(t, set, twin+"observed: {tap_open: \"yes\", bad_run: \"yes\", smell: \"yes\"}\nat: {left: {wet: pours, level: 24 mm}, \"1\": {plug: black}, \"2\": {plug: white}}")
	d, err := engine.Diagnose(set, s, engine.Options{Limit: 30})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Effort.SetAside) == 0 || d.Effort.Entries > 30 {
		t.Errorf("Effort = %+v; want evidence set aside and at most 30 entries", d.Effort)
	}
	if !slices.ContainsFunc(d.Warnings, func(w engine.Warning) bool { return w.Kind == engine.SetAside }) {
		t.Errorf("Warnings = %+v; want one that names what was set aside", d.Warnings)
	}
}

func TestDiagnoseIsDeterministic(t *testing.T) {
	set := small(t)
	text := twin + "observed: {tap_open: \"yes\", bad_run: \"yes\"}\nat: {left: {wet: drips, level: 21 mm}}"
	first := fmt.Sprintf("%+v", digits(diagnose(t, set, text)))
	for range 5 {
		if again := fmt.Sprintf("%+v", digits(diagnose(t, set, text))); again != first {
			t.Fatalf("Diagnose differs between runs:\n%s\n%s", first, again)
		}
	}
}

func digits(d *engine.Diagnosis) []string {
	var out []string
	for _, c := range d.Causes {
		out = append(out, fmt.Sprint(c.ID, c.Place, c.Probability, c.Anywhere))
	}
	for _, q := range d.Unasked {
		out = append(out, fmt.Sprint(q.Observation.ID, q.Place, q.Gain))
	}
	for _, r := range d.Repairs {
		out = append(out, fmt.Sprint(r.ID, r.Place, r.Probability))
	}
	return out
}

func TestImpossibleNamesTheAnswers(t *testing.T) {
	err := error(&engine.Impossible{Evidence: []engine.Evidence{{Answer: "x", Pos: symptoms.Position{File: "a.yaml", Line: 3, Column: 4}}}})
	var imp *engine.Impossible
	if !errors.As(err, &imp) || !strings.Contains(err.Error(), "a.yaml:3:4") {
		t.Errorf("Error() = %q; want the position of the answer", err)
	}
}
