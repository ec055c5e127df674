package rules

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// TestExcludes lists pairs of circumstances; the third column says whether they can be shown to exclude each other.
func TestExcludes(t *testing.T) {
	s, err := newSet(small(t))
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, a, b string
		want       bool
	}{
		{"yes and no", `engine_warm`, `not engine_warm`, true},
		{"same", `engine_warm`, `engine_warm`, false},
		{"nothing shared", `engine_warm`, `tap_kind == "manual"`, false},
		{"different words", `tap_kind == "manual"`, `tap_kind == "vacuum"`, true},
		{"overlapping words", `carburetor_kind in ["slide", "butterfly"]`, `carburetor_kind != "slide"`, false},
		{"disjoint words", `carburetor_kind in ["slide", "butterfly"]`, `carburetor_kind == "constant-velocity"`, true},
		{"strokes", `strokes == 2`, `strokes == 4`, true},
		{"carburetors", `carburetors == 1`, `carburetors > 1`, true},
		{"numbers of carburetors that meet", `carburetors >= 2`, `carburetors <= 2`, false},
		{"with more beside it", `engine_warm and strokes == 2`, `not engine_warm and tap_kind == "manual"`, true},
		{"only one branch", `engine_warm or strokes == 2`, `not engine_warm`, false},
		{"both branches", `(engine_warm and strokes == 4) or (engine_warm and tap_kind == "manual")`, `not engine_warm`, true},
		{"bands", `band.tap_flow == "short"`, `band.tap_flow == "enough"`, true},
		{"several words", `"dies" in idle_faults`, `not ("dies" in idle_faults)`, true},
		{"several words, both possible", `"dies" in idle_faults`, `"hunts" in idle_faults`, false},
		{"numbers are not tried", `tap_flow > ml_per_min(200)`, `tap_flow < ml_per_min(100)`, false},
		{"always false", `engine_warm and not engine_warm`, `tap_kind == "manual" and engine_warm`, true},
		{"no circumstance", `engine_warm`, ``, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, b := compile(t, s, tt.a), compile(t, s, tt.b)
			if got := excludes(s, a, b); got != tt.want {
				t.Errorf("excludes(%q, %q) = %v; want %v", tt.a, tt.b, got, tt.want)
			}
			if got := excludes(s, b, a); got != tt.want {
				t.Errorf("excludes(%q, %q) = %v; want %v", tt.b, tt.a, got, tt.want)
			}
		})
	}
}

func compile(t testing.TB, s *Set, src string) *condition.Condition {
	t.Helper()
	if src == "" {
		return nil
	}
	c, err := s.Env.Compile(src)
	if err != nil {
		t.Fatalf("Compile(%q): %v", src, err)
	}
	return c
}

func TestEvidenceInMaskingOrder(t *testing.T) {
	s := flooding(t)
	slices.Reverse(s.Rules)
	var got []string
	for _, r := range s.Evidence("fuel_overflow") {
		got = append(got, r.ID)
	}
	if want := []string{"fuel-pours-out", "fuel-drips-out"}; !slices.Equal(got, want) {
		t.Errorf("Evidence(fuel_overflow) = %v; want %v", got, want)
	}
	if got := must(s.Rule("tap-gives-little"))(t).Evidence(); !slices.Equal(got, []string{"tap_flow"}) {
		t.Errorf("Evidence of tap-gives-little = %v; want its finding only, not its circumstance", got)
	}
}

// TestKnown enters values into a case and asks a condition about them.
func TestKnown(t *testing.T) {
	s, err := newSet(small(t))
	if err != nil {
		t.Fatal(err)
	}
	const mm = 1e-3
	tests := []struct {
		name, observation, value string
		around                   float64
		condition                string
		want                     condition.Truth
	}{
		{"yes", "engine_warm", "yes", 0, "engine_warm", condition.True},
		{"no", "engine_warm", "no", 0, "engine_warm", condition.False},
		{"word", "plug_face", "wet", 0, `plug_face == "wet"`, condition.True},
		{"another word", "plug_face", "tan", 0, `plug_face == "wet"`, condition.False},
		{"several words", "idle_faults", "hunts, dies", 0, `"dies" in idle_faults and not ("hangs" in idle_faults)`, condition.True},
		{"number", "tap_flow", "90 ml/min", 0, "tap_flow < ml_per_min(100)", condition.True},
		{"range of a number", "tap_flow", "90 to 110", 0, "tap_flow < ml_per_min(100)", condition.Unknown},
		{"absolute band", "tap_flow", "150", 0, `band.tap_flow == "short"`, condition.True},
		{"at a limit the upper band begins", "tap_flow", "100", 0, `band.tap_flow == "short"`, condition.True},
		{"bound in one band", "tap_flow", "< 90", 0, `band.tap_flow == "starved"`, condition.True},
		{"bound over several bands", "tap_flow", "< 150", 0, `band.tap_flow == "starved"`, condition.Unknown},
		{"band around a spec value", "float_height", "20 mm", 22 * mm, `band.float_height == "low"`, condition.True},
		{"band without its spec value", "float_height", "20 mm", math.NaN(), `band.float_height == "low"`, condition.Unknown},
		{"band by word", "float_height", "low", math.NaN(), `band.float_height == "low"`, condition.True},
		{"band by word leaves the number open", "float_height", "low", math.NaN(), `float_height < mm(45)`, condition.Unknown},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			o, _ := s.Vocabulary.Lookup(tt.observation)
			v, err := symptoms.ParseValue(o, tt.value)
			if err != nil {
				t.Fatal(err)
			}
			c := s.Env.NewCase()
			s.Known(c, o, v, tt.around)
			if got := compile(t, s, tt.condition).Eval(c); got != tt.want {
				t.Errorf("%s = %s: %s is %s; want %s", tt.observation, tt.value, tt.condition, got, tt.want)
			}
		})
	}
}

func TestSymbols(t *testing.T) {
	s := flooding(t)
	val, band := s.SymbolsOf("float_height")
	if y := s.Symbol(val); y.Observation.ID != "float_height" || y.Band || y.Index != val {
		t.Errorf("Symbol(%d) = %+v; want the value of float_height", val, y)
	}
	if y := s.Symbol(band); y.Observation.ID != "float_height" || !y.Band || y.Index != band {
		t.Errorf("Symbol(%d) = %+v; want the band of float_height", band, y)
	}
	if val, band := s.SymbolsOf("mixture_screw"); val < 0 || band >= 0 {
		t.Errorf("SymbolsOf(mixture_screw) = %d, %d; want a value and no band", val, band)
	}
	if val, band := s.SymbolsOf("after-rebuild"); val >= 0 || band >= 0 {
		t.Errorf("SymbolsOf(after-rebuild) = %d, %d; want none, since history is no finding", val, band)
	}
}

// TestExcludesIsSound draws pairs of circumstances: where they are said to exclude each other, no case that answers
// everything may make both true.
func TestExcludesIsSound(t *testing.T) {
	s, err := newSet(small(t))
	if err != nil {
		t.Fatal(err)
	}
	leaf := rapid.SampledFrom([]string{
		`engine_warm`, `strokes == 2`, `strokes == 4`, `carburetors > 2`, `tap_kind == "manual"`, `carburetor_kind in ["slide", "butterfly"]`,
		`band.tap_flow == "short"`, `"dies" in idle_faults`, `"hunts" in idle_faults`,
	})
	shown := 0
	check := func(t *rapid.T) {
		draw := func(label string) *condition.Condition {
			src := leaf.Draw(t, label)
			for range rapid.IntRange(0, 4).Draw(t, label+" length") {
				op := rapid.SampledFrom([]string{"%s and %s", "%s or %s", "%s and not (%s)", "not (%s) and %s"}).Draw(t, label+" operator")
				src = "(" + fmt.Sprintf(op, src, leaf.Draw(t, label)) + ")"
			}
			c, err := s.Env.Compile(src)
			if err != nil {
				t.Fatalf("Compile(%q): %v", src, err)
			}
			return c
		}
		a, b := draw("a"), draw("b")
		if !excludes(s, a, b) {
			return
		}
		shown++
		for range 30 {
			c := s.Env.NewCase()
			for i := range s.symbols {
				if n := s.values(i); n > 0 {
					s.assign(c, i, rapid.IntRange(0, n-1).Draw(t, "value"))
				}
			}
			if a.Eval(c) == condition.True && b.Eval(c) == condition.True {
				t.Fatalf("%s and %s are both true", a, b)
			}
		}
	}
	for round := 0; round < 20 && (round == 0 || shown == 0); round++ { // a short run of twenty draws may hold no such pair
		rapid.Check(t, check)
	}
	if shown == 0 {
		t.Error("no pair was said to exclude each other, so nothing was tested")
	}
}
