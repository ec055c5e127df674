package symptoms

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// factorTolerance covers the rounding of a product of three factors.
const factorTolerance = 1e-14

func near(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*math.Max(math.Abs(got), math.Abs(want))
}

// TestUnitFactors compares with the definitions of the pint library, file
// pint/default_en.txt at commit f4f6eaca (hgrecco/pint), worked out by hand where it gives
// a product. Figures marked NIST are from memory of NIST Special Publication 811,
// appendix B.8, to the digits printed there.
func TestUnitFactors(t *testing.T) {
	const (
		yard  = 0.9144
		g0    = 9.80665
		grain = 64.79891e-6
		hg    = 13595.1
	)
	tests := []struct {
		unit      string
		si        float64 // of one unit
		tolerance float64
	}{
		{"in", yard / 36, factorTolerance},
		{"ft", yard / 3, factorTolerance},
		{"thou", yard / 36e3, factorTolerance},
		{"mi", 1760 * yard, factorTolerance},
		{"lb", 7000 * grain, factorTolerance},
		{"oz", 7000 * grain / 16, factorTolerance},
		{"g", 1e-3, 0},
		{"min", 60, 0},
		{"h", 3600, 0},
		{"days", 86400, 0},
		{"weeks", 604800, 0},
		{"years", 365.25 * 86400, 0},
		{"months", 365.25 * 86400 / 12, 0},
		{"mm2", 1e-6, factorTolerance},
		{"cm2", 1e-4, factorTolerance},
		{"kW", 1000, 0},
		{"hp", 745.6999, 2e-7}, // NIST, of 550 ft·lbf/s
		{"ml", 1e-6, factorTolerance},
		{"ml/min", 1e-6 / 60, factorTolerance},
		{"l/min", 1e-3 / 60, factorTolerance},
		{"l/h", 1e-3 / 3600, factorTolerance},
		{"bar", 1e5, 0},
		{"mbar", 100, 0},
		{"hPa", 100, 0},
		{"kPa", 1000, 0},
		{"psi", 7000 * grain * g0 / (yard / 36) / (yard / 36), factorTolerance},
		{"psi", 6894.757, 1e-7},  // NIST
		{"inHg", 3386.389, 2e-7}, // NIST, conventional
		{"mmHg", 133.3224, 3e-7}, // NIST, conventional
		{"mmHg", 1e-3 * hg * g0, factorTolerance},
		{"cmHg", 1e-2 * hg * g0, factorTolerance},
		{"inHg", yard / 36 * hg * g0, factorTolerance},
		{"mmH2O", 1e-3 * 1000 * g0, factorTolerance},
		{"inH2O", 249.0889, 2e-7}, // NIST, conventional
		{"kgf/cm2", g0 * 1e4, factorTolerance},
		{"rpm", 1.0 / 60, factorTolerance},
		{"km/h", 1000.0 / 3600, factorTolerance},
		{"mph", 1760 * yard / 3600, factorTolerance},
		{"°", 1.0 / 360, factorTolerance},
		{"%", 0.01, 0},
		{"ppm", 1e-6, 0},
		{"kV", 1000, 0},
		{"mV", 1e-3, 0},
		{"kohm", 1000, 0},
		{"g/cm3", 1000, 0},
	}
	for _, tt := range tests {
		u, ok := LookupUnit(tt.unit)
		if !ok {
			t.Errorf("LookupUnit(%q) not found", tt.unit)
			continue
		}
		if got := u.SI(1); !near(got, tt.si, tt.tolerance) {
			t.Errorf("%s.SI(1) = %.10g; want %.10g", tt.unit, got, tt.si)
		}
	}
}

// TestTemperatures uses the fixed points of the scales: their common point is -40.
func TestTemperatures(t *testing.T) {
	tests := []struct {
		unit     string
		v, si    float64
		ofSpread float64 // SI of a difference of v
	}{
		{"°C", 0, 273.15, 0},
		{"°C", 100, 373.15, 100},
		{"°F", 32, 273.15, 32 * 5.0 / 9},
		{"°F", 212, 373.15, 212 * 5.0 / 9},
		{"°F", -40, 233.15, -40 * 5.0 / 9},
		{"°C", -40, 233.15, -40},
		{"K", 300, 300, 300},
	}
	for _, tt := range tests {
		u, _ := LookupUnit(tt.unit)
		if got := u.SI(tt.v); !near(got, tt.si, factorTolerance) {
			t.Errorf("%s.SI(%g) = %g; want %g", tt.unit, tt.v, got, tt.si)
		}
		if got := u.SIDifference(tt.v); !near(got, tt.ofSpread, factorTolerance) {
			t.Errorf("%s.SIDifference(%g) = %g; want %g", tt.unit, tt.v, got, tt.ofSpread)
		}
		if got := u.FromSI(tt.si); math.Abs(got-tt.v) > 1e-10 {
			t.Errorf("%s.FromSI(%g) = %g; want %g", tt.unit, tt.si, got, tt.v)
		}
	}
}

func TestLookupUnit(t *testing.T) {
	tests := []struct{ written, want string }{
		{"mm", "mm"}, {"MM", "mm"}, {" mm ", "mm"}, {"mm.", "mm"}, {"inches", "in"}, {`"`, "in"}, {"″", "in"}, {"''", "in"},
		{"Bar", "bar"}, {"KPA", "kPa"}, {"PSI", "psi"}, {"in. Hg", "inHg"}, {"inches of mercury", "inHg"}, {"INHG", "inHg"},
		{"cc", "ml"}, {"cm³", "ml"}, {"cc/min", "ml/min"}, {"ml  per  min", "ml/min"}, {"1/min", "rpm"}, {"RPM", "rpm"},
		{"C", "°C"}, {"deg C", "°C"}, {"º", "°"}, {"ºC", "°C"}, {"℃", "°C"}, {"f", "°F"}, {"k", "K"},
		{"Ω", "ohm"}, {"kΩ", "kohm"}, {"turn", "turns"}, {"turns out", "turns"}, {"'", "ft"}, {"feet", "ft"},
		{"hrs", "h"}, {"mins", "min"}, {"mins.", "min"}, {":1", "ratio"}, {"per cent", "%"}, {"kg/cm²", "kgf/cm2"}, {"L", "l"},
		{"mmH₂O", "mmH2O"}, {"", ""},
	}
	for _, tt := range tests {
		if got, ok := LookupUnit(tt.written); !ok || got.Name != tt.want {
			t.Errorf("LookupUnit(%q) = %q, %v; want %q", tt.written, got.Name, ok, tt.want)
		}
	}
	for _, name := range []string{"furlong", "mmm", "mil", "gallon", "N", "mm mm", "-"} {
		if got, ok := LookupUnit(name); ok {
			t.Errorf("LookupUnit(%q) = %q; want none", name, got.Name)
		}
	}
}

// TestUnitTable checks that the table contradicts itself nowhere.
func TestUnitTable(t *testing.T) {
	function := regexp.MustCompile(`^[a-zA-Z][a-zA-Z0-9_]*$`)
	units := Units()
	if !slices.IsSortedFunc(units, func(a, b Unit) int { return strings.Compare(a.Name, b.Name) }) {
		t.Error("Units() is not sorted by name")
	}
	names, funcs := map[string]string{}, map[string]string{}
	for _, u := range units {
		if !function.MatchString(u.Func) || funcs[u.Func] != "" {
			t.Errorf("%s: function %q is no name or is taken by %q", u.Name, u.Func, funcs[u.Func])
		}
		funcs[u.Func] = u.Name
		if u.Factor <= 0 || u.Source == "" || (u.Offset != 0) != (u.Name == "°C" || u.Name == "°F") {
			t.Errorf("%s: factor %g, offset %g, source %q", u.Name, u.Factor, u.Offset, u.Source)
		}
		if dimName(u.Dim) == "a quantity of another kind" {
			t.Errorf("%s: its dimension %v has no name", u.Name, u.Dim)
		}
		for _, n := range append([]string{u.Name}, u.Aliases...) {
			if names[n] != "" {
				t.Errorf("%q names both %s and %s", n, names[n], u.Name)
			}
			names[n] = u.Name
			if got, ok := LookupUnit(n); !ok || got.Name != u.Name {
				t.Errorf("LookupUnit(%q) = %q, %v; want %q", n, got.Name, ok, u.Name)
			}
		}
	}
}

func TestUnitsIsFresh(t *testing.T) {
	Units()[0].Name = "changed"
	Units()[0].Aliases = append(Units()[0].Aliases, "changed")
	if _, ok := LookupUnit("changed"); ok || Units()[0].Name == "changed" {
		t.Error("Units() hands out the table itself")
	}
}
