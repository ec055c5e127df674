package simulate_test

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/engine/simulate"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

func knowledge(tb testing.TB) *rules.Set {
	tb.Helper()
	set, err := rules.Default()
	if err != nil {
		tb.Fatal(err)
	}
	return set
}

func models(tb testing.TB, set *rules.Set, network simulate.Network) []*simulate.Model {
	tb.Helper()
	var out []*simulate.Model
	for _, machine := range simulate.Machines() {
		m, err := simulate.NewModel(set, machine, network)
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, m)
	}
	return out
}

// diagnose sends a sheet's text all the way.
func diagnose(set *rules.Set, text []byte) (*engine.Diagnosis, error) {
	s, err := symptoms.Decode("simulated", text, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
	if err != nil {
		return nil, fmt.Errorf("%w\n%s", err, text)
	}
	return engine.Diagnose(set, s, engine.Options{Detail: engine.FirstScreen, Explain: -1, Questions: -1})
}

// TestSheetsAreHeard draws bikes and holds every way of telling to three things: the sheet decodes, the same seed gives
// the same text, and every answer but a plain circumstance is used by the diagnosis.
func TestSheetsAreHeard(t *testing.T) {
	set := knowledge(t)
	used := 0
	for k, m := range models(t, set, simulate.Network{}) {
		for seed := range uint64(6) {
			history := m.History(seed)
			b, again := m.Draw(seed, history...), m.Draw(seed, history...)
			ways := map[string]func(*simulate.Bike) []simulate.Told{
				"everything":       func(b *simulate.Bike) []simulate.Told { return b.Tell() },
				"ten by lot":       func(b *simulate.Bike) []simulate.Told { return b.ByLot(10) },
				"a rider":          (*simulate.Bike).Rider,
				"rider, look-over": (*simulate.Bike).LookOver,
			}
			for name, tell := range ways {
				text := b.Sheet(tell(b))
				if other := again.Sheet(tell(again)); !bytes.Equal(text, other) {
					t.Fatalf("machine %d, seed %d, %s: two texts of one seed:\n%s\n%s", k, seed, name, text, other)
				}
				d, err := diagnose(set, text)
				if err != nil {
					t.Fatalf("machine %d, seed %d, %s: %v", k, seed, name, err)
				}
				for _, h := range d.Heard {
					if h.Used {
						used++
					} else if len(set.Evidence(h.Reading.Observation.ID)) > 0 && name == "everything" {
						t.Errorf("machine %d, seed %d: %s: %s is not used: %s", k, seed, h.Reading.Observation.ID, h.Reading.Value.Text, h.Why)
					}
				}
			}
		}
	}
	if used < 3000 {
		t.Errorf("answers used = %d; want 3000 at least, or the test shows nothing", used)
	}
}

// TestFrequencies compares how often each answer comes up with its exact probability, which is what the diagnosis gives as
// P(evidence) for a sheet with this one answer. Drawing and inference share no code but the reading of the knowledge. The
// statistic is chi-square over answers expected five times at least; the bound is its 1 - 1e-6 quantile by Wilson and
// Hilferty's cube-root approximation (from memory).
func TestFrequencies(t *testing.T) {
	set := knowledge(t)
	draws := 3000
	if testing.Short() {
		draws = 600
	}
	for k, m := range models(t, set, simulate.Network{}) {
		counts := map[simulate.Told]map[string]int{}
		for seed := range uint64(draws) {
			b := m.Draw(seed)
			for _, told := range b.Tell() {
				if counts[told] == nil {
					counts[told] = map[string]int{}
				}
				text, _ := b.Answer(told.Observation, told.Place)
				counts[told][text]++
			}
		}
		statistic, freedom := 0.0, 0.0
		for told, byText := range counts {
			o, _ := set.Vocabulary.Lookup(told.Observation)
			if o.Kind == symptoms.Number || o.Several || conditional(set, o.ID) || len(set.Evidence(o.ID)) == 0 {
				continue
			}
			x, n := chiSquare(t, set, m, told, o, byText, draws)
			statistic, freedom = statistic+x, freedom+n
		}
		bound := freedom * math.Pow(1-2/(9*freedom)+4.753*math.Sqrt(2/(9*freedom)), 3)
		t.Logf("machine %d: chi-square %.0f with %.0f degrees of freedom", k, statistic, freedom)
		if statistic > bound || freedom < 100 {
			t.Errorf("machine %d: chi-square %.1f with %.0f degrees of freedom; want below %.1f, 100 at least", k, statistic, freedom, bound)
		}
	}
}

// conditional reports whether a rule about the observation has a circumstance, so that its answers are not a plain draw.
func conditional(set *rules.Set, observation string) bool {
	return slices.ContainsFunc(set.Evidence(observation), func(r *rules.Rule) bool { return r.Given != nil })
}

func chiSquare(t *testing.T, set *rules.Set, m *simulate.Model, told simulate.Told, o *symptoms.Observation, byText map[string]int, draws int) (x, freedom float64) {
	t.Helper()
	texts := []string{"yes", "no"}
	if o.Kind == symptoms.Choice {
		texts = nil
		for _, w := range o.Words {
			texts = append(texts, w.Word)
		}
	}
	expectedElse, seenElse := float64(draws), draws
	for _, text := range texts {
		d, err := diagnose(set, oneAnswer(m, told, o, text))
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(d.Heard, func(h engine.Heard) bool { return slices.Contains(h.States, engine.Seen) }) {
			continue // no rule is about this word, or none on this machine
		}
		p := math.Exp(d.Effort.LogEvidence)
		if expected := p * float64(draws); expected >= 5 && text != o.Normal && shownWord(set, o, text) {
			x += (float64(byText[text]) - expected) * (float64(byText[text]) - expected) / expected
			freedom++
			expectedElse, seenElse = expectedElse-expected, seenElse-byText[text]
		}
	}
	switch {
	case freedom > 0 && expectedElse < 1e-6*float64(draws): // every answer was counted, so one of them is not free
		freedom--
	case freedom > 0 && expectedElse >= 5:
		x += (float64(seenElse) - expectedElse) * (float64(seenElse) - expectedElse) / expectedElse
	}
	return x, freedom
}

// shownWord reports whether a rule is about this very word alone, so that P(word) is P(evidence).
func shownWord(set *rules.Set, o *symptoms.Observation, text string) bool {
	return slices.ContainsFunc(set.Evidence(o.ID), func(r *rules.Rule) bool {
		word, single := r.Finding.Single()
		return single && (o.Kind == symptoms.YesNo || o.Words[word].Word == text)
	})
}

func oneAnswer(m *simulate.Model, told simulate.Told, o *symptoms.Observation, text string) []byte {
	sheet := string(m.Draw(0).Sheet(nil))
	if o.About == symptoms.WholeMachine {
		return fmt.Appendf(nil, "%sobserved: {%s: %s}\n", sheet, o.ID, text)
	}
	return fmt.Appendf(nil, "%sat: {%q: {%s: %s}}\n", sheet, told.Place, o.ID, text)
}

// TestApply repairs everything that can be repaired: what is left of the complaints has no fault behind it, nothing abnormal
// appears that was not there before, and answers that were normal stay what they were.
func TestApply(t *testing.T) {
	set := knowledge(t)
	cured := 0
	for k, m := range models(t, set, simulate.Network{}) {
		for seed := range uint64(30) {
			b, _ := m.DrawFaulty(seed)
			before := map[simulate.Told]string{}
			for _, told := range b.Tell() {
				before[told], _ = b.Answer(told.Observation, told.Place)
			}
			abnormal := abnormalAnswers(b)
			for range 10 {
				for _, r := range set.Repairs {
					for _, f := range b.Faults() {
						if cures(set, r, f.Cause) {
							gone, err := b.Apply(r.ID, placeFor(set, r, f))
							if err != nil {
								t.Fatal(err)
							}
							cured += len(gone)
						}
					}
				}
			}
			if len(b.Culprits()) > 0 {
				t.Errorf("machine %d, seed %d: culprits after ten rounds of all repairs = %v; want none", k, seed, b.Culprits())
			}
			for _, told := range abnormalAnswers(b) {
				if !slices.Contains(abnormal, told) && !masked(set, told) {
					t.Errorf("machine %d, seed %d: %v is abnormal after repairs; it was %q", k, seed, told, before[told])
				}
			}
		}
	}
	if cured < 100 {
		t.Errorf("causes cured = %d; want 100 at least, or the test shows nothing", cured)
	}
}

func abnormalAnswers(b *simulate.Bike) []simulate.Told {
	return slices.DeleteFunc(b.Tell(), func(t simulate.Told) bool { return !b.Abnormal(t.Observation, t.Place) })
}

func cures(set *rules.Set, r *rules.Repair, cause string) bool {
	return slices.ContainsFunc(r.Cures, func(l rules.Link) bool { return l.To == cause })
}

// masked reports whether an answer may turn up when another one goes: its circumstance holds only then.
func masked(set *rules.Set, told simulate.Told) bool { return conditional(set, told.Observation) }

// placeFor is the place of a repair that reaches a fault; on the machines used here places of one name belong together.
func placeFor(set *rules.Set, r *rules.Repair, f simulate.Fault) string {
	if r.About == symptoms.WholeMachine {
		return ""
	}
	return f.Place
}

func TestApplyErrors(t *testing.T) {
	b := models(t, knowledge(t), simulate.Network{})[1].Draw(1)
	for name, c := range map[string]struct{ repair, place, want string }{
		"unknown repair": {"paint-the-tank", "", `unknown repair "paint-the-tank"`},
		"unknown place":  {"clean-idle-circuit", "middle", `no carburetor is called "middle"`},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := b.Apply(c.repair, c.place); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("Apply(%q, %q) = %v; want an error with %q", c.repair, c.place, err, c.want)
			}
		})
	}
}

// TestPerturbed holds a perturbed network to its factor: over many bikes no answer is more than the factor in odds away, yet
// the bikes differ.
func TestPerturbed(t *testing.T) {
	set := knowledge(t)
	plain := models(t, set, simulate.Network{})[0]
	same := models(t, set, simulate.Network{Factor: 1, Seed: 7})[0]
	other := models(t, set, simulate.Network{Factor: 3, Seed: 7})[0]
	differ := 0
	for seed := range uint64(50) {
		a, b, c := plain.Draw(seed), same.Draw(seed), other.Draw(seed)
		if a.String() != b.String() {
			t.Errorf("seed %d: factor 1 gives %v; want %v", seed, b, a)
		}
		if !bytes.Equal(a.Sheet(a.Tell()), c.Sheet(c.Tell())) {
			differ++
		}
	}
	if differ < 25 {
		t.Errorf("bikes that differ in a perturbed network = %d of 50; want 25 at least", differ)
	}
}

func TestNewModelErrors(t *testing.T) {
	set := knowledge(t)
	for name, text := range map[string]string{
		"not a sheet":       "machine: {}\n",
		"holds readings":    "sheet: 1\nobserved: {fuel_smell: yes}\n",
		"holds the history": "sheet: 1\nhistory: [after-rebuild]\n",
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := simulate.NewModel(set, simulate.Machine{Name: name, Text: text}, simulate.Network{}); err == nil {
				t.Errorf("NewModel(%q) = nil error; want one", text)
			}
		})
	}
}

// A bike is drawn, asked, put on a sheet and repaired.
func Example() {
	set, err := rules.Default()
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := simulate.NewModel(set, simulate.Machines()[1], simulate.Network{})
	if err != nil {
		fmt.Println(err)
		return
	}
	b, _ := m.DrawFaulty(10)
	answer, ok := b.Answer("float_height", "left")
	fmt.Println(len(b.Culprits()) > 0, answer != "", ok)
	sheet, err := symptoms.Decode("simulated", b.Sheet(b.Rider()), set.Vocabulary, symptoms.DecodeOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(sheet.Readings) > 0)
	// Output:
	// true true true
	// true
}
