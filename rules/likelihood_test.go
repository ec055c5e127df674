package rules

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func TestParseLikelihood(t *testing.T) {
	for word, want := range map[string]float64{
		"certain": 1, "almost always": 0.95, "usually": 0.85, "often": 0.75, "half the time": 0.5, "sometimes": 0.25,
		"seldom": 0.15, "hardly ever": 1.0 / 50, "never": 0, "1 in 2": 0.5, "1 in 1000": 0.001,
	} {
		if got, err := ParseLikelihood(word); err != nil || got != want {
			t.Errorf("ParseLikelihood(%q) = %v, %v; want %v", word, got, err, want)
		}
	}
	for _, bad := range []string{
		"", "Often", " often", "always", "0.5", "1 in", "1 in ", "1 in 1", "1 in 1001", "1 in 020", "1 in -3", "2 in 3", "1 in 2.5",
		"1 in 99999999999999999999",
	} {
		if got, err := ParseLikelihood(bad); err == nil {
			t.Errorf("ParseLikelihood(%q) = %v; want an error", bad, got)
		}
	}
}

func TestLikelihoodsFall(t *testing.T) {
	table := Likelihoods()
	for i := 1; i < len(table); i++ {
		if table[i].Chance >= table[i-1].Chance {
			t.Errorf("%q (%v) stands after %q (%v); want a falling table", table[i].Word, table[i].Chance, table[i-1].Word, table[i-1].Chance)
		}
	}
}

func TestParseFactor(t *testing.T) {
	for text, want := range map[string]float64{"x6": 6, "x1/4": 0.25, "x1.5": 1.5, "x1000": 1000, "x1/1.25": 0.8} {
		if got, err := ParseFactor(text); err != nil || got != want {
			t.Errorf("ParseFactor(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{
		"", "6", "x", "x1", "x1/1", "x0", "x-2", "x0.5", "x1/0", "x1001", "xInf", "xNaN", "x1e2", "x0x10", "x6 ", "x1/", "x1/2/3",
	} {
		if got, err := ParseFactor(bad); err == nil {
			t.Errorf("ParseFactor(%q) = %v; want an error", bad, got)
		}
	}
}

func TestParseBase(t *testing.T) {
	if got, err := ParseBase("1 in 100000"); err != nil || got != 1e-5 {
		t.Errorf("ParseBase(1 in 100000) = %v, %v; want 1e-5", got, err)
	}
	for _, bad := range []string{"seldom", "1 in 1", "1 in 100001", "1/50"} {
		if got, err := ParseBase(bad); err == nil {
			t.Errorf("ParseBase(%q) = %v; want an error", bad, got)
		}
	}
}

// TestLikelihoodRoundTrip writes and reads every probability that a link can have.
func TestLikelihoodRoundTrip(t *testing.T) {
	words := rapid.OneOf(
		rapid.Map(rapid.SampledFrom(Likelihoods()), func(l Likelihood) string { return l.Word }),
		rapid.Map(rapid.IntRange(2, rarestLink), func(n int) string { return "1 in " + strconv.Itoa(n) }),
	)
	rapid.Check(t, func(t *rapid.T) {
		word := words.Draw(t, "word")
		p, err := ParseLikelihood(word)
		if err != nil {
			t.Fatalf("ParseLikelihood(%q): %v", word, err)
		}
		again, err := ParseLikelihood(LikelihoodWord(p))
		if err != nil || again != p {
			t.Fatalf("%q is %v, written %q, read %v, %v", word, p, LikelihoodWord(p), again, err)
		}
	})
}

func TestLikelihoodWordOfOthers(t *testing.T) {
	for _, p := range []float64{0.3, 1.0 / 1001, -1, 2, math.NaN()} {
		if got := LikelihoodWord(p); got != "" {
			t.Errorf("LikelihoodWord(%v) = %q; want nothing", p, got)
		}
	}
}

func TestPriorWith(t *testing.T) {
	p := Prior{Base: 0.02, Odds: []HistoryFactor{{"after-rebuild", 6}, {"in-daily-use", 0.25}, {"came-on-suddenly", 1000}}}
	tests := []struct {
		name    string
		history []string
		want    float64
	}{
		{"untold", nil, 0.02},
		{"one word", []string{"after-rebuild"}, 6 * 0.02 / (0.98 + 6*0.02)},
		{"told twice", []string{"after-rebuild", "after-rebuild"}, 6 * 0.02 / (0.98 + 6*0.02)},
		{"two words", []string{"in-daily-use", "after-rebuild"}, 1.5 * 0.02 / (0.98 + 1.5*0.02)},
		{"another word", []string{"after-storage"}, 0.02},
		{"capped", []string{"came-on-suddenly"}, 0.5},
	}
	for _, tt := range tests {
		if got := p.With(tt.history); math.Abs(got-tt.want) > 1e-15 {
			t.Errorf("%s: With(%v) = %v; want %v", tt.name, tt.history, got, tt.want)
		}
	}
	if got := (Prior{Base: 0.5}).With(nil); got != 0.5 {
		t.Errorf("With(nil) of one half = %v; want 0.5", got)
	}
}
