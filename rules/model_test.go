package rules_test

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"

	"pgregory.net/rapid"
)

// TestModelsAreWhole: every function names formulas that exist, has a worked example that the model answers, and stands with its example in
// the table for rule authors.
func TestModelsAreWhole(t *testing.T) {
	doc, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, m := range rules.Models() {
		if seen[m.Name] {
			t.Errorf("%s is there twice", m.Name)
		}
		seen[m.Name] = true
		if _, ok := m.Formula(); !ok || m.Citation() == "" {
			t.Errorf("%s: Formulas = %v; want formulas of package carburetor", m.Name, m.Formulas)
		}
		if got := strings.Count(m.Citation(), ": "); got < len(m.Formulas) {
			t.Errorf("%s: Citation() = %q; want one for each of %v", m.Name, m.Citation(), m.Formulas)
		}
		if len(m.Example) != len(m.Params) || math.IsNaN(m.Worked()) {
			t.Errorf("%s: Worked() of %v = %v; want a number", m.Name, m.Example, m.Worked())
		}
		for _, p := range append(m.Params[:len(m.Params):len(m.Params)], m.Result) {
			if _, ok := symptoms.LookupUnit(p.Unit); !ok {
				t.Errorf("%s: unknown unit %q", m.Name, p.Unit)
			}
		}
		if row := m.Row(); !strings.Contains(string(doc), row+"\n") {
			t.Errorf("DEVELOPERS.md lacks the row\n%s", row)
		}
	}
}

// TestModelWithoutAnswer: impossible input, input outside the model's range and states without an answer are NaN.
func TestModelWithoutAnswer(t *testing.T) {
	tests := []struct {
		name, function string
		args           []float64 // SI
	}{
		{"above the atmosphere", "air_pressure", []float64{50000}},
		{"negative compression", "compression_at", []float64{-1e5, 0, 0}},
		{"float as light as nothing", "closing_reserve", []float64{0, 1e-5, 3, 2e-3, 0.3}},
		{"no head", "closing_reserve", []float64{9e-3, 1.4e-5, 3, 2e-3, 0}},
		{"no carbon dioxide", "exhaust_lambda", []float64{0, 0.1, 0.1, 0}},
		{"diluted gas", "exhaust_lambda", []float64{0.05, 0.01, 0.14, 3e-4}},
		{"more alcohol than fuel", "blend_leanness", []float64{1.2}},
		{"no power", "feed_reserve", []float64{2e-6, 0}},
		{"misset beyond small angles", "level_by_height", []float64{0.04, 0.02}},
		{"level falls below the lip", "mixture_by_level", []float64{-0.2, 400}},
		{"vacuum beyond the air", "leak_leanness", []float64{1e-3, 2.5e-4, 20, 2e5}},
		{"leaner without the leak", "leak_area", []float64{1.1, 0.9, 2.5e-4, 20, 4e4}},
		{"more vacuum than the height has", "vacuum_at", []float64{40e3, 0, 5000}},
		{"a wrong number of arguments", "air_pressure", nil},
		{"not a number", "level_by_weight", []float64{math.NaN(), 9e-3, 9e-4}},
	}
	for _, tt := range tests {
		m, ok := rules.LookupModel(tt.function)
		if !ok {
			t.Fatalf("LookupModel(%q) not found", tt.function)
		}
		if got := m.Call(tt.args); !math.IsNaN(got) {
			t.Errorf("%s: %s(%v) = %v; want NaN", tt.name, tt.function, tt.args, got)
		}
	}
}

// TestMonotoneCorners compares the corners of a box, as the condition language takes them, with points inside it.
func TestMonotoneCorners(t *testing.T) {
	for _, m := range rules.Models() {
		if !m.Monotone {
			continue
		}
		t.Run(m.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				n := len(m.Params)
				lo, hi := make([]float64, n), make([]float64, n)
				for i, v := range m.Example {
					u, _ := symptoms.LookupUnit(m.Params[i].Unit)
					at, width := u.SI(v), u.SIDifference(math.Max(math.Abs(v), 1))
					lo[i] = at - width*rapid.Float64Range(0, 0.3).Draw(t, "below")
					hi[i] = at + width*rapid.Float64Range(0, 0.3).Draw(t, "above")
				}
				least, most := math.Inf(1), math.Inf(-1)
				args := make([]float64, n)
				for which := range 1 << n {
					for i := range args {
						args[i] = lo[i]
						if which>>i&1 == 1 {
							args[i] = hi[i]
						}
					}
					v := m.Call(args)
					least, most = min(least, v), max(most, v)
				}
				if math.IsNaN(least) {
					t.Skip("a corner has no answer, so the box has none")
				}
				for range 20 {
					for i := range args {
						args[i] = lo[i] + (hi[i]-lo[i])*rapid.Float64Range(0, 1).Draw(t, "inside")
					}
					slack := 1e-9 * math.Max(math.Abs(least), math.Abs(most))
					if v := m.Call(args); !(v >= least-slack && v <= most+slack) {
						t.Fatalf("%s(%v) = %v; want within the corners, %v to %v", m.Name, args, v, least, most)
					}
				}
			})
		})
	}
}

// TestModelDimensions: a wrong dimension is an error that names what would fit.
func TestModelDimensions(t *testing.T) {
	v, err := symptoms.Default()
	if err != nil {
		t.Fatal(err)
	}
	env, err := rules.BuildEnv(v)
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ name, src, want string }{
		{"bare number", "height_enrichment(0, altitude) > 0.05", "write meter(0)"},
		{"pressure for a length", "compression_at(spec.compression, spec.compression, altitude) > kPa(800)", "argument 2 of compression_at is a length, not a mass / length time^2; write something measured in meter(…)"},
		{"length for a mass", "level_by_weight(float_height, spec.float_weight, spec.float_area) > mm(1)", "argument 1 of level_by_weight is a mass, not a length; write something measured in gram(…)"},
		{"result against a bare number", "compression_at(spec.compression, meter(0), altitude) > 800", "write kPa(800)"},
		{"too few", "compression_at(spec.compression, altitude) > kPa(800)", "compression_at takes 3 arguments, not 2"},
		{"beyond the model", "air_pressure(meter(90000)) < spec.compression", "cannot be computed"},
	}
	for _, tt := range tests {
		_, err := env.Compile(tt.src)
		var fault *condition.Error
		if !errors.As(err, &fault) || !strings.Contains(fault.Message+"; "+fault.Hint, tt.want) {
			t.Errorf("%s: Compile(%q) = %v; want %q in it", tt.name, tt.src, err, tt.want)
		}
	}
}

// TestModelUnknown: an input that nobody gave, or that the model does not answer for, makes the condition unknown, and evaluation
// allocates nothing.
func TestModelUnknown(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	c, err := set.Env.Compile("compression < compression_at(spec.compression, meter(0), altitude) - kPa(120)")
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) int { i, _ := set.Env.Index(name); return i }
	fill := func(altitude [2]float64) *condition.Case {
		k := set.Env.NewCase()
		k.SetNumber(at("compression"), 810e3, 810e3)
		k.SetNumber(at("spec.compression"), 1100e3, 1100e3)
		if altitude[0] <= altitude[1] {
			k.SetNumber(at("altitude"), altitude[0], altitude[1])
		}
		return k
	}
	tests := []struct {
		name     string
		altitude [2]float64
		want     condition.Truth
	}{
		{"at sea level", [2]float64{0, 0}, condition.True},
		{"at 2500 m", [2]float64{2500, 2500}, condition.False},
		{"somewhere below 500 m", [2]float64{0, 500}, condition.True},
		{"somewhere up to 2500 m", [2]float64{0, 2500}, condition.Unknown},
		{"height not told", [2]float64{1, 0}, condition.Unknown},
		{"above the model's range", [2]float64{40000, 40000}, condition.Unknown},
	}
	for _, tt := range tests {
		if got := c.Eval(fill(tt.altitude)); got != tt.want {
			t.Errorf("%s: %s = %v; want %v", tt.name, c, got, tt.want)
		}
	}
	k := fill([2]float64{2500, 2500})
	if n := testing.AllocsPerRun(100, func() { c.Eval(k) }); n != 0 {
		t.Errorf("Eval allocates %v times; want 0", n)
	}
}
