package report

import (
	"errors"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"diagnose.example/carburetor"
	"diagnose.example/symptoms"
)

// exact30 is a length with next to no uncertainty.
const exact30 = "30 ± 0.000001 mm"

// asWritten is what a calculator was given, as on a command line.
type asWritten = map[string]string

func calculator(tb testing.TB, id string) *Calculator {
	tb.Helper()
	c, ok := LookupCalculator(id)
	if !ok {
		tb.Fatalf("LookupCalculator(%q) finds nothing", id)
	}
	return c
}

func reckoned(tb testing.TB, id string, w asWritten) *Reckoning {
	tb.Helper()
	r, err := calculator(tb, id).Reckon(w)
	if err != nil {
		tb.Fatalf("%s: Reckon(%v): %v", id, w, err)
	}
	return r
}

// flags takes a line of flags apart, with quotes around what has a space.
func flags(tb testing.TB, line string) asWritten {
	tb.Helper()
	w := asWritten{}
	for _, m := range regexp.MustCompile(`--([a-z0-9-]+) (?:"([^"]*)"|(\S+))`).FindAllStringSubmatch(line, -1) {
		if m[1] != "output" {
			w[m[1]] = m[2] + m[3]
		}
	}
	if len(w) == 0 {
		tb.Fatalf("no flags in %q", line)
	}
	return w
}

// TestReckonPublished compares results with figures from elsewhere. Rows named after a text are in testdata/checks.yaml of package
// carburetor, with where they were seen; the textbooks through open companions that solve the printed examples.
func TestReckonPublished(t *testing.T) {
	dry := func(w asWritten) asWritten {
		w["humidity"], w["set-humidity"] = "0 %", "0 %"
		return w
	}
	tests := []struct {
		name, calculator string
		written          asWritten
		key              string
		want, tolerance  float64
	}{
		// p = 1.013 bar / 10^(5000/19200) = 556.2 hPa, t = 300 K - 32.5 K; AFR from 14 to 10.99.
		{"Mathur and Sharma, example 11.7, p. 273", "weather", dry(asWritten{
			"pressure": "556.2 hPa", "temperature": "267.5 K", "set-pressure": "1013 hPa", "set-temperature": "300 K"}), "lambda_factor", 10.99 / 14, 0.0006},
		// p = p0 / 10^(4500/19300) = 592.2 hPa of 1013 hPa, t = 25 °C - 0.0064 x 4500 K; AFR from 14 to 11.26.
		{"Rajput, example 11.11, p. 407", "weather", dry(asWritten{
			"pressure": "592.2 hPa", "temperature": "-3.8 °C", "set-pressure": "1013 hPa", "set-temperature": "25 °C"}), "lambda_factor", 11.26 / 14, 0.0006},
		// p = 1.013 bar / 10^0.2083 = 627.1 hPa, t = 22 °C - 26 K; AFR from 14.7 to 12.11.
		{"Gupta, example 9.7, p. 289", "weather", dry(asWritten{
			"pressure": "627.1 hPa", "temperature": "-4 °C", "set-pressure": "1013 hPa", "set-temperature": "22 °C"}), "lambda_factor", 12.11 / 14.7, 0.0006},
		{"EN 228, abstract: 3.7 % of oxygen at 10 % of ethanol", "fuel-blend", asWritten{"alcohol": "10 %"}, "oxygen", 3.7, 0.06},
		// The example's fuel has a little less hydrogen than the petrol here.
		{"Rajput, Engineering Thermodynamics, example 11.29, p. 532", "exhaust-gas", asWritten{"co2": "12 %", "co": "0", "o2": "5.13 %"}, "lambda", 1.303, 0.01},
		// Own derivations, from here on.
		{"area rule: 105 after 100", "jet-change", asWritten{"from": "100", "to": "105"}, "fuel_change", 10.25, 1e-9},
		{"flow rule: 105 after 100", "jet-change", asWritten{"from": "100", "to": "105", "kind": "flow"}, "fuel_change", 5, 1e-9},
		{"area rule turned round", "jet-change", asWritten{"from": "100", "change": "10.25 %"}, "wanted_number", 105, 1e-9},
		{"Torricelli: 10.29 ml/s through 3 mm at Cd 0.6 under 0.3 m", "tap-flow", asWritten{"tap-bore": "3 mm", "head": "0.3 m", "discharge": "0.6"}, "flow", 60 * 10.29, 1},
		{"Boyle: 87.8 ml leave a tank with 4 l of air", "tank-vent", asWritten{
			"tank": "10 l", "fuel": "6 l", "head": "0.3 m", "fuel-density": "740 kg/m3", "vapour": "0 kPa"}, "fuel_drawn", 87.8, 0.5},
		{"lever: 2 mm at 40 mm are 1.5 mm at 30 mm", "float-level", asWritten{"float-height": "23 mm", "book-height": "21 mm"}, "level_shift", -1.5, 1e-9},
		{"from the floor the sign turns", "float-level", asWritten{"float-height": "12 mm", "book-height": "10 mm", "datum": "bowl-floor"}, "level_shift", 1.5, 1e-9},
		{"Archimedes: 6.705 g on 9 cm2 at 745 kg/m3 are 10 mm", "float-level", asWritten{
			"float-height": "21 mm", "book-height": "21 mm", "weight-gained": "6.705 g"}, "shift_by_weight", 10, 1e-6},
		// 745 kg/m3 x 18 ml - 13.41 g = 0.
		{"a float as heavy as its fuel has no force", "float-valve", asWritten{"float-mass": "13.41 g", "seat-bore": "2 mm"}, "force_available", 0, 1e-6},
		// Sonic from standard air: 241 kg/s per m2 of Cd A (Fox and McDonald, ch. 12 example 2): 0.193 g/s for 1 mm2 at 0.8; by the engine 0.7656 g/s.
		{"a sonic leak of 1 mm2 at all times", "air-leak", asWritten{"leak-bore": "1.128379 mm", "displacement": "250 ml", "duty": "100 %"}, "leak_share", 100 * 0.193 / 0.7656, 0.05},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := reckoned(t, tt.calculator, tt.written).Result(tt.key)
			if !ok || math.Abs(got.Value-tt.want) > tt.tolerance {
				t.Errorf("%s: Reckon(%v): %s = %v, %v; want %v ± %v", tt.calculator, tt.written, tt.key, got.Value, ok, tt.want, tt.tolerance)
			}
		})
	}
}

// TestReckonUncertainty has results whose uncertainty is easily worked out by hand (JCGM 100:2008, 5.1.2).
func TestReckonUncertainty(t *testing.T) {
	tests := []struct {
		name, calculator string
		written          asWritten
		key              string
		want             float64
	}{
		{"a height alone: 3/4 of it", "float-level", asWritten{"float-height": "22 ± 0.4 mm", "book-height": "22 mm", "float-arm": exact30, "mark-arm": "40 ± 0.000001 mm"}, "level_shift", 0.3},
		{"both heights", "float-level", asWritten{"float-height": "22 ± 0.4 mm", "book-height": "22 ± 0.3 mm", "float-arm": exact30, "mark-arm": "40 ± 0.000001 mm"}, "level_shift", 0.375},
		{"numbers on jets are exact", "jet-change", asWritten{"from": "110", "to": "115"}, "fuel_change", 0},
		{"lambda as measured", "jet-change", asWritten{"from": "100", "to": "100", "lambda": "1 ± 0.05"}, "lambda_after", 0.05},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, _ := reckoned(t, tt.calculator, tt.written).Result(tt.key)
			if math.Abs(got.Uncertainty-tt.want) > 1e-6 {
				t.Errorf("Reckon(%v): uncertainty of %s = %v; want %v", tt.written, tt.key, got.Uncertainty, tt.want)
			}
		})
	}
}

// TestReckonMeaning has the turns of the sentence that is read first.
func TestReckonMeaning(t *testing.T) {
	tests := []struct {
		name, calculator string
		written          asWritten
		want             string
	}{
		{"level low", "float-level", asWritten{"float-height": "24 mm", "book-height": "21 mm"}, "stands low"},
		{"level high", "float-level", asWritten{"float-height": "18 mm", "book-height": "21 mm"}, "nearer to the overflow"},
		{"level as good as right", "float-level", asWritten{"float-height": "21.2 mm", "book-height": "21 mm"}, "no more than the readings themselves leave open"},
		{"level explained", "float-level", asWritten{"float-height": "24 mm", "book-height": "21 mm", "fuel-level": "-6 mm", "book-level": "-4 mm"}, "explains the level"},
		{"level not explained", "float-level", asWritten{"float-height": "24 mm", "book-height": "21 mm", "fuel-level": "3 mm", "book-level": "-4 mm"}, "does not explain"},
		{"valve shuts", "float-valve", asWritten{"float-mass": "7 g", "seat-bore": "1.5 mm", "float-volume": "18 ± 0.3 ml"}, "The float shuts the valve"},
		{"valve only just", "float-valve", asWritten{"float-mass": "9.4 g", "seat-bore": "2 mm", "inlet-pressure": "30 kPa"}, "only just"},
		{"valve cannot", "float-valve", asWritten{"float-mass": "9.4 g", "seat-bore": "3 mm", "inlet-pressure": "40 kPa"}, "bending the tang will not cure it"},
		{"float sinks", "float-valve", asWritten{"float-mass": "20 g", "seat-bore": "2 mm"}, "it sinks"},
		{"richer up there", "weather", asWritten{"altitude": "1500 m"}, "It runs 9.7"},
		{"leaner down there", "weather", asWritten{"altitude": "0 m", "set-altitude": "1500 m"}, "mind the main jet"},
		{"no matter", "weather", asWritten{"altitude": "50 m"}, "the same jets do"},
		{"leak leans", "air-leak", asWritten{"displacement": "250 ml", "leak-bore": "2 mm"}, "hangs, surges"},
		{"leak hides", "air-leak", asWritten{"displacement": "250 ml", "leak-bore": "0.5 mm"}, "still on the rich side"},
		{"no leak", "air-leak", asWritten{"displacement": "250 ml", "lambda-now": "0.9"}, "No leak is needed"},
		{"tap feeds", "tap-flow", asWritten{"tap-bore": "3 mm", "displacement": "360 ml"}, "Enough"},
		{"tap starves", "tap-flow", asWritten{"measured": "60 ml/min", "displacement": "360 ml"}, "Too little"},
		{"tap just feeds", "tap-flow", asWritten{"measured": "125 ml/min", "displacement": "360 ml"}, "About as much as it drinks"},
		{"vent fits", "tank-vent", asWritten{"tank": "14 l", "fuel": "13 l", "stops-after": "1.5 min"}, "time fits"},
		{"vent too slow", "tank-vent", asWritten{"tank": "14 l", "fuel": "5 l", "stops-after": "0.5 min"}, "sooner than a shut vent"},
		{"vent leaks a little", "tank-vent", asWritten{"tank": "14 l", "fuel": "13 l", "stops-after": "20 min"}, "lets some air in"},
		{"more alcohol", "fuel-blend", asWritten{"alcohol": "85 %", "jet": "110"}, "leaner on the same jets"},
		{"less alcohol", "fuel-blend", asWritten{"alcohol": "0 %", "book-alcohol": "10 %"}, "richer on the same jets"},
		{"rich", "exhaust-gas", asWritten{"co2": "12.5 %", "co": "3.2 %", "o2": "0.6 %"}, "Rich"},
		{"lean", "exhaust-gas", asWritten{"co2": "12.5 %", "co": "0.1 %", "o2": "4 %"}, "Lean"},
		{"less fuel", "jet-change", asWritten{"from": "110", "change": "-6 %"}, "leaner by as much"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := plainSpaces(reckoned(t, tt.calculator, tt.written).Meaning); !strings.Contains(got, tt.want) {
				t.Errorf("%s: Reckon(%v): meaning %q; want %q in it", tt.calculator, tt.written, got, tt.want)
			}
		})
	}
}

// TestReckonRefuses has inputs that cannot be, with the whole text of the error and what to write instead.
func TestReckonRefuses(t *testing.T) {
	tests := []struct {
		name, calculator string
		written          asWritten
		want, hint       string
	}{
		{"missing", "float-level", asWritten{"float-height": "21 mm"}, "--book-height: it is missing: float height of the book", `write --book-height "21 mm"`},
		{"missing, or another", "tap-flow", nil, "--tap-bore: it is missing: narrowest bore of the tap", `write --tap-bore "3 mm", or --measured "240 ml/min"`},
		{"no number", "float-level", asWritten{"float-height": "tall", "book-height": "21"}, `--float-height: "tall" is not a number`, "write a number from 1 to 80 mm"},
		{"wrong dimension", "weather", asWritten{"altitude": "5 bar"}, "--altitude is a length, and bar measures a pressure", "write it in m, cm, ft, in, km, mi, mm or thou"},
		{"a range", "float-level", asWritten{"float-height": "20 to 23 mm", "book-height": "21"}, `--float-height: "20 to 23 mm" is not one number`, "write 22.5 mm, or a number ± its uncertainty"},
		{"a bound", "weather", asWritten{"altitude": "> 1000 m"}, `--altitude: "> 1000 m" is not one number`, "write 1500 m, or a number ± its uncertainty"},
		{"unknown", "weather", asWritten{"altitude": "unknown"}, "--altitude: unknown is no value", "leave the flag out, or write 1500 m"},
		{"no such word", "float-level", asWritten{"float-height": "21", "book-height": "21", "datum": "rim"}, `--datum does not know the word "rim"`, ""},
		{"no such input", "weather", asWritten{"altitude": "5 m", "height": "3"}, "--height: no such input", "the inputs are listed by: diagnose reckon weather --help"},
		{"both", "jet-change", asWritten{"from": "110", "to": "115", "change": "5 %"}, "--to and --change: both are given", "leave one out: the jet to go in, or the change that is wanted"},
		{"head and pump", "float-valve", asWritten{"float-mass": "9", "seat-bore": "2", "head": "300", "inlet-pressure": "20"}, "--head and --inlet-pressure: both are given",
			"leave one out: the pressure is that of the head, or that of the pump"},
		{"more than the tank", "tank-vent", asWritten{"tank": "10 l", "fuel": "12 l"}, "--tank and --fuel: the tank does not hold so much fuel",
			"write what the tank holds, and less than that for the fuel"},
		{"half a hose", "tap-flow", asWritten{"tap-bore": "3", "hose-bore": "6"}, "--hose-bore and --hose-length: only one of them is given", `write both: --hose-bore "6 mm" --hose-length "0.4 m"`},
		{"three strokes", "air-leak", asWritten{"displacement": "250", "lambda-now": "1", "strokes": "3"}, "--strokes: 3 strokes are not possible", "write --strokes 2 or --strokes 4"},
		{"leaner before than now", "air-leak", asWritten{"displacement": "250", "lambda-now": "0.8"}, "--lambda-now and --lambda-before: lambda now 0.8 is not possible", "it must be at least lambda before: a leak does not enrich"},
		{"a flow has no bore", "jet-change", asWritten{"from": "110", "to": "115", "kind": "flow", "pressure": "1 kPa"}, "--pressure: a number by flow does not tell the bore",
			"leave --pressure out, or write --kind bore"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := calculator(t, tt.calculator).Reckon(tt.written)
			var fault *InputFault
			if !errors.As(err, &fault) || fault.Error() != tt.want || tt.hint != "" && fault.Hint != tt.hint {
				t.Errorf("%s: Reckon(%v) = %v, %+v; want %q, %q", tt.calculator, tt.written, err, fault, tt.want, tt.hint)
			}
		})
	}
}

// TestReckonOutside has states that can be, where the model does not answer.
func TestReckonOutside(t *testing.T) {
	tests := []struct {
		name, calculator string
		written          asWritten
		want, flags      string
	}{
		{"too high", "weather", asWritten{"altitude": "12 km"}, "altitude 12000 m is outside -5000 m to 11000 m", "--altitude and --set-altitude"},
		{"float height far off", "float-level", asWritten{"float-height": "40", "book-height": "21"}, "outside -10 mm to 10 mm", "--float-height and --book-height"},
		{"air in the exhaust", "exhaust-gas", asWritten{"co2": "8.8", "co": "2.2", "o2": "6.7"}, "CO2 and CO together 11 % is outside 12 % and more", "--co2 and --co"},
		{"a jet far too large", "jet-change", asWritten{"from": "600", "to": "590", "pressure": "100 kPa"}, "outside", "--pressure"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := calculator(t, tt.calculator).Reckon(tt.written)
			var outside *OutOfRange
			if !errors.As(err, &outside) || !strings.Contains(plainSpaces(err.Error()), tt.want) || outside.Flags != tt.flags {
				t.Errorf("%s: Reckon(%v) = %v, %+v; want %q, flags %q", tt.calculator, tt.written, err, outside, tt.want, tt.flags)
			}
		})
	}
}

// TestReckonAllFaults wants all mistakes at once.
func TestReckonAllFaults(t *testing.T) {
	_, err := calculator(t, "float-level").Reckon(asWritten{"datum": "rim", "float-mass": "heavy"})
	for _, want := range []string{"--float-height", "--book-height", "--datum", "--float-mass"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Reckon = %v; want %s in it", err, want)
		}
	}
}

// TestReckonExamples runs what the help shows, and holds the figures of the worked example to what comes out: each number in it is
// one of the flags, of what is taken, or of the results.
func TestReckonExamples(t *testing.T) {
	for _, c := range Calculators() {
		t.Run(c.ID, func(t *testing.T) {
			for _, e := range c.Examples {
				reckoned(t, c.ID, flags(t, e))
			}
			if len(c.Examples) == 0 || c.Worked == "" || c.Caution == "" {
				t.Fatal("no example, worked example or caution")
			}
			r := reckoned(t, c.ID, flags(t, c.Examples[0]))
			known := c.Examples[0] + " " + strings.Join(r.givenTexts(), " ") + " " + strings.Join(r.takenTexts(), " ")
			told := ""
			for _, x := range r.Results {
				told += " " + x.digits(math.Abs(x.Value))
			}
			figures := regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?`)
			sure := append(figures.FindAllString(known, -1), figures.FindAllString(told, -1)...)
			found := 0
			for _, n := range figures.FindAllString(c.Worked, -1) {
				if !slices.Contains(sure, n) && !slices.Contains(sure, strings.TrimSuffix(n, "0")) {
					t.Errorf("%q: %s is not in %q nor in the results%s", c.Worked, n, known, told)
				}
				if slices.Contains(figures.FindAllString(told, -1), n) {
					found++
				}
			}
			if found == 0 {
				t.Errorf("%q names no result:%s", c.Worked, told)
			}
		})
	}
}

// TestReckonFormulas wants every formula that is named to exist, to have a name in words, and to be shown with numbers by some example;
// and no name of a function in what is read.
func TestReckonFormulas(t *testing.T) {
	names := formulaNames()
	for name := range names {
		if _, ok := carburetor.LookupFormula(name); !ok {
			t.Errorf("formulaNames has %s, which package carburetor does not have", name)
		}
	}
	function := regexp.MustCompile(`\b[A-Z][a-z]+\.[A-Z][a-z]+|\b[A-Z][a-z]+[A-Z][a-z]+\b`)
	people := regexp.MustCompile(`McDonald|PsychroLib`)
	for _, c := range Calculators() {
		shown := map[string]bool{}
		for _, w := range append(variants(c), c.Examples...) {
			r := reckoned(t, c.ID, flags(t, w))
			for name := range r.given.formulas {
				if !slices.Contains(c.Formulas, name) {
					t.Errorf("%s %s works with %s, which is not among its formulas", c.ID, w, name)
				}
			}
			for _, f := range r.formulas() {
				shown[f.Func] = true
				if s := people.ReplaceAllString(sourceOf(f), ""); function.MatchString(s) || strings.Contains(s, "s.Pressure") {
					t.Errorf("%s: %s: source reads %q", c.ID, f.Func, s)
				}
			}
		}
		for _, name := range c.Formulas {
			if names[name] == "" || !shown[name] {
				t.Errorf("%s: %s: in words %q, shown by an example: %v", c.ID, name, names[name], shown[name])
			}
		}
	}
}

// variants are lines that reach what no example does.
func variants(c *Calculator) []string {
	return map[string][]string{
		"jet-change":  {"--from 110 --to 115 --kind flow", "--from 110 --change 5 --kind flow"},
		"float-valve": {`--float-mass 9 --seat-bore 2 --weight-gained 1`},
		"tap-flow":    {`--tap-bore 4 --hose-bore 6 --hose-length 400 --filter-bore 3 --displacement 360`},
		"fuel-blend":  {"--alcohol 10 --jet 110 --jet-kind flow", "--alcohol 10 --jet 110"},
	}[c.ID]
}

// TestReckonSources wants what is from memory never to be called a source.
func TestReckonSources(t *testing.T) {
	for _, c := range Calculators() {
		r := reckoned(t, c.ID, flags(t, c.Examples[0]))
		text := string(written(t, func(w io.Writer) error { return ReckonMarkdown(w, r, Style{}) }))
		for _, f := range r.formulas() {
			if got := sourceOf(f); strings.HasPrefix(got, "Source: ") != (f.Standing != carburetor.Recalled) {
				t.Errorf("%s: sourceOf(%s) = %q, standing %v", c.ID, f.Func, got, f.Standing)
			}
		}
		if strings.Contains(text, "MEMORY") {
			t.Errorf("%s: MEMORY in the text", c.ID)
		}
	}
}

// TestReckonUnits shows results in other units; what is worked out stays.
func TestReckonUnits(t *testing.T) {
	var units []symptoms.Unit
	for _, name := range []string{"in", "psi"} {
		u, _ := symptoms.LookupUnit(name)
		units = append(units, u)
	}
	r := reckoned(t, "float-level", asWritten{"float-height": "25.4 mm", "book-height": "21 mm", "mark-arm": exact30, "float-arm": exact30}).in(units)
	if got, _ := r.Result("level_shift"); got.Unit != "in" || math.Abs(got.Value+4.4/25.4) > 1e-6 || math.Abs(r.Here.X-1) > 1e-9 || r.Curve.X.Unit != "in" {
		t.Errorf("in(in, psi) = %+v, here %v %s; want -4.4/25.4 in at 1 in", got, r.Here, r.Curve.X.Unit)
	}
	valve := reckoned(t, "float-valve", asWritten{"float-mass": "9", "seat-bore": "2"}).in(units)
	if got, _ := valve.Result("max_inlet_pressure"); got.Unit != "psi" {
		t.Errorf("in(in, psi) = %+v; want psi", got)
	}
	high := reckoned(t, "weather", asWritten{"altitude": "1500 m"}).in(units)
	if high.Curve.X.Unit != "ft" {
		t.Errorf("in(in, psi): altitude in %s; want ft", high.Curve.X.Unit)
	}
}

// TestResultDigits keeps value and uncertainty to the same digits.
func TestResultDigits(t *testing.T) {
	tests := []struct {
		r    Result
		want string
	}{
		{Result{Value: 1.1249, Uncertainty: 0.289, Unit: "mm"}, "1.12 mm (± 0.29 mm)"},
		{Result{Value: 689.3, Uncertainty: 128, Unit: "ml/min"}, "690 ml/min (± 130 ml/min)"},
		{Result{Value: 14.0096, Uncertainty: 0.0291}, "14.01 (± 0.03)"},
		{Result{Value: 0.04, Uncertainty: 0.36, Unit: "%", More: "richer", Same: "unchanged"}, "unchanged, to 0.0 % (± 0.4 %)"},
		{Result{Value: -2, Uncertainty: 0.36, Unit: "%", More: "richer", Less: "leaner"}, "2.0 % leaner (± 0.4 %)"},
		{Result{Value: 9.2975, Unit: "%", More: "more"}, "9.3 % more"},
		{Result{Value: 0, Unit: "%", More: "more", Less: "less", Same: "unchanged"}, "unchanged"},
		{Result{Value: 5, Unit: "mm", Uncertainty: math.NaN()}, "5 mm (uncertainty not worked out: the model ends near here)"},
	}
	for _, tt := range tests {
		if got := plainSpaces(tt.r.told() + tt.r.plusMinus()); got != tt.want {
			t.Errorf("%+v told %q; want %q", tt.r, got, tt.want)
		}
	}
}
