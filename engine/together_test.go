package engine_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// patterns returns P(exactly these of over are present | sheet) by enumeration, by bit set.
func patterns(t *testing.T, set *rules.Set, d *engine.Diagnosis, over []*engine.Cause) []float64 {
	e := enumerate(t, set, d.Sheet)
	out, z := make([]float64, 1<<len(over)), 0.0
	e.visit = func(on []bool, p float64) {
		bits := 0
		for i, c := range over {
			if on[e.index[c.ID+"@"+c.Place.Name]] {
				bits |= 1 << i
			}
		}
		out[bits] += p
		z += p
	}
	e.sum()
	for i := range out {
		out[i] /= z
	}
	return out
}

func TestTogetherAgainstEnumeration(t *testing.T) {
	set := small(t)
	tests := []struct{ name, sheet string }{
		{"nothing observed", twin},
		{"a word at one place", twin + "observed: {tap_open: \"yes\"}\nat: {left: {wet: drips}}"},
		{"somewhere", twin + "observed: {tap_open: \"yes\", bad_run: \"yes\"}\nsomewhere: {wet: drips}"},
		{"a reading near a limit", twin + "at: {left: {level: 21.8 mm}}"},
		{"everything", twin + "history: [after-work]\nobserved: {tap_open: \"yes\", bad_run: \"yes\", smell: \"no\"}\n" +
			"at: {left: {wet: drips, level: 22.3 mm}, right: {wet: dry, level: 19.9 mm}, \"1\": {plug: black}, \"2\": {plug: white}}"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := diagnose(t, set, tt.sheet)
			over := d.Causes[:min(5, len(d.Causes))]
			got, err := engine.Together(set, d.Sheet, over, engine.TogetherOptions{})
			if err != nil {
				t.Fatal(err)
			}
			want, sum := patterns(t, set, d, over), 0.0
			for _, s := range got.Sets {
				bits := 0
				for _, i := range s.Present {
					bits |= 1 << i
				}
				if math.Abs(s.Probability-want[bits]) > tolerance {
					t.Errorf("Together: P(%v) = %.17g; want %.17g", s.Present, s.Probability, want[bits])
				}
				want[bits], sum = 0, sum+s.Probability
			}
			for bits, p := range want {
				if p > tolerance {
					t.Errorf("Together: set %b is missing; want %g", bits, p)
				}
			}
			if math.Abs(sum-1) > tolerance || got.Lost != 0 {
				t.Errorf("Together: sum %.17g, lost %g; want 1, 0", sum, got.Lost)
			}
		})
	}
}

// TestTogetherOnPacks wants the embedded knowledge's joint to have the marginals of the diagnosis, in any order, and what is
// given up to be small and accounted for.
func TestTogetherOnPacks(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"one-side-floods.yaml", "both-sides-rich.yaml", "rider-only.yaml"} {
		data, err := os.ReadFile(filepath.Join("..", "testdata", "sheets", name))
		if err != nil {
			t.Fatal(err)
		}
		d := diagnose(t, set, string(data))
		over := slices.Clone(d.Causes[:6])
		for _, least := range []float64{0, 1e-4} {
			got, err := engine.Together(set, d.Sheet, over, engine.TogetherOptions{Least: least})
			if err != nil {
				t.Fatal(err)
			}
			marginal, sum := make([]float64, len(over)), got.Lost
			for _, s := range got.Sets {
				sum += s.Probability
				for _, i := range s.Present {
					marginal[i] += s.Probability
				}
			}
			for i, c := range over {
				if math.Abs(marginal[i]-c.Probability) > got.Lost+1e-11 {
					t.Errorf("Together(%s, least %g): P(%s) = %.15g; want %.15g", name, least, c.ID, marginal[i], c.Probability)
				}
			}
			if math.Abs(sum-1) > 1e-12 || got.Lost > 64*least {
				t.Errorf("Together(%s, least %g): sum %.15g, lost %g; want 1 and little", name, least, sum, got.Lost)
			}
			slices.Reverse(over)
		}
	}
}

func TestTogetherErrors(t *testing.T) {
	set := small(t)
	d := diagnose(t, set, twin)
	stranger := *d.Causes[0]
	stranger.Place.Name = "middle"
	tests := []struct {
		name string
		over []*engine.Cause
	}{
		{"too many", make([]*engine.Cause, engine.MaxTogether+1)},
		{"twice", []*engine.Cause{d.Causes[0], d.Causes[0]}},
		{"no such place", []*engine.Cause{&stranger}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, err := engine.Together(set, d.Sheet, tt.over, engine.TogetherOptions{}); err == nil {
				t.Errorf("Together = %v; want an error", got)
			}
		})
	}
}
