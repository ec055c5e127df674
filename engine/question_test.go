package engine

import (
	"math"
	"os"
	"slices"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// sampleSheet reads one of the sheets that all packages share.
func sampleSheet(t *testing.T, set *rules.Set, name string) *symptoms.Sheet {
	t.Helper()
	data, err := os.ReadFile("../testdata/sheets/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := symptoms.Decode(name, data, set.Vocabulary, symptoms.DecodeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestAskAgreesWithDiagnose wants the gains of Ask where Diagnose works out the same question, and the same stop notices.
func TestAskAgreesWithDiagnose(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"rider-only", "one-side-floods", "four-intake-leak", "single-height-too-low"} {
		t.Run(name, func(t *testing.T) {
			sheet := sampleSheet(t, set, name)
			d, err := Diagnose(set, sheet, Options{Questions: 8, Explain: -1})
			if err != nil {
				t.Fatal(err)
			}
			asked, err := Ask(set, sheet, AskOptions{Most: 20})
			if err != nil {
				t.Fatal(err)
			}
			if got, want := len(asked.Stops), len(d.Stops); got != want {
				t.Errorf("%d stop notices; want %d", got, want)
			}
			compared := 0
			for _, w := range asked.Questions {
				i := slices.IndexFunc(d.Unasked, func(q Question) bool {
					return q.Observation == w.Observation && q.Place == w.Place && !q.Circumstance
				})
				if i < 0 || w.Estimated {
					continue
				}
				compared++
				if got, want := w.Gain, d.Unasked[i].Gain; math.Abs(got-want) > 1e-12 {
					t.Errorf("%s at %q: gain %g; want %g", w.Observation.ID, w.Place.Name, got, want)
				}
			}
			if compared == 0 {
				t.Errorf("no question in common with Diagnose")
			}
		})
	}
}

// TestAskWeighs wants what has no weight left out, and the rest in the order of gain times weight.
func TestAskWeighs(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	sheet := sampleSheet(t, set, "rider-only")
	weight := func(o *symptoms.Observation, p Place) float64 {
		if o.Who != symptoms.Rider {
			return 0
		}
		return 1 / (1 + o.Minutes)
	}
	asked, err := Ask(set, sheet, AskOptions{Weight: weight, Detail: Everything})
	if err != nil {
		t.Fatal(err)
	}
	if len(asked.Questions) == 0 {
		t.Fatal("no questions")
	}
	for i, w := range asked.Questions {
		if w.Observation.Who != symptoms.Rider {
			t.Errorf("asks %s, which has no weight", w.Observation.ID)
		}
		if got, want := w.Worth, w.Gain*weight(w.Observation, w.Place); math.Abs(got-want) > 1e-15 {
			t.Errorf("%s: worth %g; want %g", w.Observation.ID, got, want)
		}
		if i > 0 && w.Worth > asked.Questions[i-1].Worth {
			t.Errorf("%s comes after %s, which is worth less", w.Observation.ID, asked.Questions[i-1].Observation.ID)
		}
		for _, a := range w.Answers {
			if len(a.Top) == 0 {
				t.Errorf("%s: nothing is foretold of %q", w.Observation.ID, a.Text)
			}
		}
	}
}

// TestAskNeeds wants the fact named without which a question says nothing.
func TestAskNeeds(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, sheet, question, need string
		estimated                   bool
	}{
		{"book's figure", "sheet: 1\nobserved: {fades_at_speed: yes}\nhistory: [after-rebuild]\n", "float_height", "spec.float_height", false},
		{"circumstance", "sheet: 1\nobserved: {idle_report: uneven, choke_helps_warm: yes}\nmachine: {spec.mixture_screw_turns: 1.5}\n",
			"mixture_screw_turns", "mixture_screw_kind", true},
		{"construction", "sheet: 1\nobserved: {fuel_overflow: drips}\nhistory: [after-rebuild]\n", "seat_moves", "float_seat", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			sheet, err := symptoms.Decode("test", []byte(tt.sheet), set.Vocabulary, symptoms.DecodeOptions{})
			if err != nil {
				t.Fatal(err)
			}
			asked, err := Ask(set, sheet, AskOptions{Most: 60})
			if err != nil {
				t.Fatal(err)
			}
			i := slices.IndexFunc(asked.Questions, func(w Wanted) bool { return w.Observation.ID == tt.question })
			if i < 0 {
				t.Fatalf("%s is not asked", tt.question)
			}
			w := asked.Questions[i]
			if !slices.ContainsFunc(w.Needs, func(o *symptoms.Observation) bool { return o.ID == tt.need }) || w.Estimated != tt.estimated {
				t.Errorf("%s needs %v, estimated %v; want %s, %v", tt.question, w.Needs, w.Estimated, tt.need, tt.estimated)
			}
			if w.Gain <= 0 {
				t.Errorf("%s: gain %g; want more than 0", tt.question, w.Gain)
			}
		})
	}
}
