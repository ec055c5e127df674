package symptoms

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var inf = math.Inf(1)

// smallVocabulary is the vocabulary of the tests.
func smallVocabulary(t testing.TB) *Vocabulary {
	t.Helper()
	v, err := LoadVocabulary(readFiles(t, "testdata/small.vocabulary.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func look(t testing.TB, v *Vocabulary, id string) *Observation {
	t.Helper()
	o, ok := v.Lookup(id)
	if !ok {
		t.Fatalf("Lookup(%q) not found", id)
	}
	return o
}

// numberTests give Lo, Hi and U in the observation's unit.
var numberTests = []struct {
	name, id, text string
	lo, hi, u      float64
}{
	{"point", "float_height", "22.5 mm", 22.5, 22.5, 0.3},
	{"no blank before the unit", "float_height", "22.5mm", 22.5, 22.5, 0.3},
	{"decimal comma", "float_height", "22,5 mm", 22.5, 22.5, 0.3},
	{"bare number takes the unit", "float_height", "22.5", 22.5, 22.5, 0.3},
	{"no figure before the point", "mixture_screw", ".5", 0.5, 0.5, 0.1},
	{"no figure behind the point", "float_height", "22. mm", 22, 22, 0.3},
	{"plus sign", "float_height", "+22 mm", 22, 22, 0.3},
	{"negative", "float_bowl_level", "-3 mm", -3, -3, 0.5},
	{"minus character", "float_bowl_level", "−3 mm", -3, -3, 0.5},
	{"range up to an improper fraction", "mixture_screw", "1-5/4", 1, 1.25, 0},
	{"exponent", "tap_flow", "1e3", 1000, 1000, 20},
	{"capital exponent", "tap_flow", "1.2E+2 ml/min", 120, 120, 20},
	{"other unit", "float_height", "2.2 cm", 22, 22, 0.3},
	{"inches", "float_height", "7/8 in", 22.225, 22.225, 0.3},
	{"inch sign", "float_height", `7/8"`, 22.225, 22.225, 0.3},
	{"mixed number", "mixture_screw", "1 1/2 turns", 1.5, 1.5, 0.1},
	{"mixed number with hyphen", "mixture_screw", "1-1/2 turns", 1.5, 1.5, 0.1},
	{"fraction character", "mixture_screw", "1½ turns", 1.5, 1.5, 0.1},
	{"fraction character alone", "mixture_screw", "¾", 0.75, 0.75, 0.1},
	{"fraction bar", "mixture_screw", "3⁄4 turn", 0.75, 0.75, 0.1},
	{"degrees of a turn", "mixture_screw", "540°", 1.5, 1.5, 0.1},
	{"plus or minus", "float_height", "22 ± 1 mm", 22, 22, 1},
	{"plus or minus without blanks", "float_height", "22±1mm", 22, 22, 1},
	{"plus or minus in letters", "float_height", "22 +/- 1 mm", 22, 22, 1},
	{"unit before plus or minus", "float_height", "22 mm ± 1", 22, 22, 1},
	{"two units", "float_height", "22 mm ± 0.1 cm", 22, 22, 1},
	{"range", "float_height", "20 to 23 mm", 20, 23, 0},
	{"range with two units", "float_height", "2 cm to 23 mm", 20, 23, 0},
	{"range with hyphen", "float_height", "20-23 mm", 20, 23, 0},
	{"range with blanks and hyphen", "float_height", "20 - 23 mm", 20, 23, 0},
	{"range with dash", "float_height", "20–23 mm", 20, 23, 0},
	{"range with dots", "float_height", "20..23 mm", 20, 23, 0},
	{"range of fractions", "mixture_screw", "1 1/2 to 1 3/4 turns", 1.5, 1.75, 0},
	{"range falling", "float_height", "23 to 20 mm", 20, 23, 0},
	{"range of negative numbers", "float_bowl_level", "-5 to -3 mm", -5, -3, 0},
	{"range beyond the plausible", "float_height", "30 to 60 mm", 30, 45, 0},
	{"upper bound", "tap_flow", "< 200 ml/min", -inf, 200, 0},
	{"upper bound without blank", "tap_flow", "<200", -inf, 200, 0},
	{"upper bound or equal", "tap_flow", "<= 200 ml/min", -inf, 200, 0},
	{"upper bound character", "tap_flow", "≤ 200 ml/min", -inf, 200, 0},
	{"upper bound in words", "tap_flow", "less than 200 ml/min", -inf, 200, 0},
	{"lower bound", "tap_flow", "> 200 ml/min", 200, inf, 0},
	{"lower bound in words", "tap_flow", "at least 200 cc/min", 200, inf, 0},
	{"lower bound in other unit", "tap_flow", "> 12 l/h", 200, inf, 0},
	{"bound beyond the plausible", "float_height", "< 90 mm", -inf, 45, 0},
	{"comma for thousands", "idle_speed", "1,200 rpm", 1200, 1200, 0},
	{"comma for decimals", "float_height", "22,125 mm", 22.125, 22.125, 0.3},
	{"blank for thousands", "tap_flow", "1 200 ml/min", 1200, 1200, 20},
	{"no-break blank", "tap_flow", "1\u202f200\u00a0ml/min", 1200, 1200, 20},
	{"temperature", "head_temperature", "212 °F", 100, 100, 5},
	{"temperature spread", "head_temperature", "100 °C ± 9 °F", 100, 100, 5},
	{"at the lower limit", "float_height", "3 mm", 3, 3, 0.3},
	{"at the upper limit by another unit", "float_height", "4.5 cm", 45, 45, 0.3},
	{"band's word", "float_height", "much-too-low", -inf, inf, 0},
	{"count", "cylinders", "4", 4, 4, 0},
}

func TestParseNumber(t *testing.T) {
	v := smallVocabulary(t)
	for _, tt := range numberTests {
		t.Run(tt.name, func(t *testing.T) {
			o := look(t, v, tt.id)
			u, _ := LookupUnit(o.Unit)
			got, err := ParseValue(o, tt.text)
			if err != nil {
				t.Fatalf("ParseValue(%s, %q) = error %v", tt.id, tt.text, err)
			}
			lo, hi, unc := u.FromSI(got.Lo), u.FromSI(got.Hi), got.U/u.Factor
			ok := func(a, b float64) bool { return a == b || near(a, b, 1e-12) || math.Abs(a-b) < 1e-12 }
			if !ok(lo, tt.lo) || !ok(hi, tt.hi) || !ok(unc, tt.u) || got.Text != tt.text {
				t.Errorf("ParseValue(%s, %q) = [%g, %g] u %g %q; want [%g, %g] u %g",
					tt.id, tt.text, lo, hi, unc, got.Text, tt.lo, tt.hi, tt.u)
			}
		})
	}
}

var wordTests = []struct {
	name, id, text, want string
}{
	{"yes", "smells_of_petrol", "yes", "yes"},
	{"no", "smells_of_petrol", "no", "no"},
	{"true", "smells_of_petrol", "true", "yes"},
	{"False", "smells_of_petrol", "False", "no"},
	{"y", "smells_of_petrol", "y", "yes"},
	{"N", "smells_of_petrol", "N", "no"},
	{"on", "smells_of_petrol", "on", "yes"},
	{"off", "smells_of_petrol", "OFF", "no"},
	{"word", "fuel_overflow", "pours", "pours"},
	{"capital", "fuel_overflow", "Pours", "pours"},
	{"underscore for hyphen", "starts_cold", "not_at_all", "not-at-all"},
	{"blank for hyphen", "starts_cold", "not at all", "not-at-all"},
	{"several", "idle_faults", "dies, hunts", "hunts dies"},
	{"several, one", "idle_faults", "hangs", "hangs"},
	{"band's word", "float_height", "high", "high"},
	{"band's word with blanks", "float_height", "Much too high", "much-too-high"},
}

func TestParseWords(t *testing.T) {
	v := smallVocabulary(t)
	for _, tt := range wordTests {
		t.Run(tt.name, func(t *testing.T) {
			o := look(t, v, tt.id)
			got, err := ParseValue(o, tt.text)
			text := strings.Join(got.Words, " ")
			if o.Kind == YesNo {
				text = map[bool]string{true: "yes", false: "no"}[got.Yes]
			}
			if err != nil || text != tt.want {
				t.Errorf("ParseValue(%s, %q) = %q, %v; want %q", tt.id, tt.text, text, err, tt.want)
			}
		})
	}
}

var refusedTests = []struct {
	name, id, text, message, hint string // parts of the texts
}{
	{"wrong dimension", "float_height", "22 bar", "float_height is a length, and bar measures a pressure", "write it in mm, cm, ft, in"},
	{"unknown unit", "float_height", "22 mmm", `unknown unit "mmm"`, "write it in mm"},
	{"unit on a count", "cylinders", "2 mm", "cylinders is a plain number", "without a unit"},
	{"percent on a count", "cylinders", "200 %", "cylinders is a plain number", "without a unit"},
	{"above the range", "float_height", "220 mm", "out of the plausible range, from 3 to 45 mm", "check the reading"},
	{"strokes of no engine", "strokes", "5", "out of the plausible range, from 2 to 4", "write 2 or 4"},
	{"count above the range", "cylinders", "99", "out of the plausible range", "check the figure"},
	{"below the range", "float_height", "0.9", "out of the plausible range", "did you mean 0.9 in?"},
	{"bound outside", "float_height", "> 50 mm", "out of the plausible range", ""},
	{"range outside", "float_height", "50 to 60 mm", "out of the plausible range", ""},
	{"ambiguous comma", "tap_flow", "1,200 ml/min", "may mean two numbers", "without the comma"},
	{"two blanks for thousands", "tap_flow", "1 000 000", "out of the plausible range", ""},
	{"fraction with a huge figure", "mixture_screw", "1/" + strings.Repeat("9", 400), "is not a fraction", ""},
	{"unit only", "float_height", "mm", "is not a number", ""},
	{"two separators", "tap_flow", "1.234,5", "is not one number", "write a number from 0 to 5000 ml/min"},
	{"hexadecimal", "tap_flow", "0x10", "is not a decimal number", ""},
	{"clock", "tap_flow", "1:30", "looks like a time", ""},
	{"letters", "tap_flow", "lots", `"lots" is not a number`, "write a number"},
	{"about", "float_height", "~22 mm", "says about", ""},
	{"fraction by zero", "mixture_screw", "1/0", "1/0 is not a fraction", ""},
	{"too large", "tap_flow", "1e999", "too large", ""},
	{"not a number", "tap_flow", "NaN", "is not a number", ""},
	{"infinite", "tap_flow", ".inf", "is not a number", ""},
	{"zero uncertainty", "float_height", "22 ± 0 mm", "must be above 0", ""},
	{"negative uncertainty", "float_height", "22 ± -1 mm", "must be above 0", ""},
	{"three numbers", "float_height", "20 to 22 to 24 mm", "more than two numbers", ""},
	{"bound of a range", "float_height", "< 20 to 22 mm", "a bound takes one number", ""},
	{"bound without number", "float_height", "<", "a number is missing", ""},
	{"second number missing", "float_height", "20 ±", "a number is missing", ""},
	{"empty", "float_height", " ", "there is no answer", "write unknown"},
	{"yes to a number", "float_height", "yes", "is not a number", "much-too-low"},
	{"yes to a choice", "fuel_overflow", "yes", `does not know the word "yes"`, "write pours, drips or dry"},
	{"no to a choice", "fuel_overflow", "no", `does not know the word "no"`, "if nothing is wrong, write dry"},
	{"no to a choice without normal word", "tap_kind", "no", `does not know the word "no"`, "write manual or vacuum"},
	{"misspelt", "fuel_overflow", "drps", "does not know the word", "did you mean drips?"},
	{"two words of one", "fuel_overflow", "pours, drips", "does not know the word", ""},
	{"normal with others", "idle_faults", "hunts, steady", "steady cannot hold together with other words", "leave out steady"},
	{"word twice", "idle_faults", "hunts, hunts", "given twice", ""},
	{"word to a yes-no", "smells_of_petrol", "a bit", "is answered by yes or no", "write yes or no"},
}

func TestParseValueRefuses(t *testing.T) {
	v := smallVocabulary(t)
	for _, tt := range refusedTests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := ParseValue(look(t, v, tt.id), tt.text)
			var refused *ValueError
			if !errors.As(err, &refused) {
				t.Fatalf("ParseValue(%s, %q) = %v, %v; want a ValueError", tt.id, tt.text, got, err)
			}
			if !strings.Contains(refused.Message, tt.message) || !strings.Contains(refused.Hint, tt.hint) {
				t.Errorf("ParseValue(%s, %q) = error %q, hint %q; want parts %q, %q",
					tt.id, tt.text, refused.Message, refused.Hint, tt.message, tt.hint)
			}
		})
	}
}

func TestParseValueUnknown(t *testing.T) {
	for _, o := range smallVocabulary(t).All() {
		for _, text := range []string{"unknown", " Unknown "} {
			if _, err := ParseValue(o, text); !errors.Is(err, ErrUnknown) {
				t.Errorf("ParseValue(%s, %q) = %v; want ErrUnknown", o.ID, text, err)
			}
		}
	}
}

// TestNumberRoundTrip writes numbers in every unit of the dimension and reads them back.
func TestNumberRoundTrip(t *testing.T) {
	v := smallVocabulary(t)
	var observations []*Observation
	for _, id := range []string{"float_height", "tap_flow", "head_temperature", "mixture_screw"} {
		observations = append(observations, look(t, v, id))
	}
	rapid.Check(t, func(t *rapid.T) {
		o := rapid.SampledFrom(observations).Draw(t, "observation")
		own, _ := LookupUnit(o.Unit)
		unit, _ := LookupUnit(rapid.SampledFrom(sameDim(own.Dim)).Draw(t, "unit"))
		at := rapid.Float64Range(o.Range[0], o.Range[1]).Draw(t, "value")
		written := unit.FromSI(own.SI(at))
		text := strings.Replace(strconv.FormatFloat(written, 'f', -1, 64), ".", rapid.SampledFrom([]string{".", ","}).Draw(t, "point"), 1) + " " + unit.Name
		got, err := ParseValue(o, text)
		if err != nil {
			if strings.Contains(err.Error(), "two numbers") {
				return // three figures behind a comma, both readings plausible
			}
			t.Fatalf("ParseValue(%s, %q) = error %v", o.ID, text, err)
		}
		if back := own.FromSI(got.Lo); math.Abs(back-at) > 1e-9*(1+math.Abs(at)) || got.Lo != got.Hi {
			t.Errorf("ParseValue(%s, %q) = %g; want %g", o.ID, text, back, at)
		}
	})
}

func FuzzParseValue(f *testing.F) {
	for _, tt := range numberTests {
		f.Add(tt.id, tt.text)
	}
	for _, tt := range wordTests {
		f.Add(tt.id, tt.text)
	}
	for _, tt := range refusedTests {
		f.Add(tt.id, tt.text)
	}
	v := smallVocabulary(f)
	f.Fuzz(func(t *testing.T, id, text string) {
		o, ok := v.Lookup(id)
		if !ok {
			t.Skip()
		}
		got, err := ParseValue(o, text)
		var refused *ValueError
		switch {
		case errors.As(err, &refused):
			if refused.Message == "" {
				t.Errorf("ParseValue(%s, %q): empty message", id, text)
			}
		case err == nil:
			checkValue(t, o, text, got)
		case !errors.Is(err, ErrUnknown):
			t.Errorf("ParseValue(%s, %q) = error %v of another type", id, text, err)
		}
	})
}

// checkValue tests what holds for every value that was accepted.
func checkValue(t *testing.T, o *Observation, text string, v Value) {
	t.Helper()
	unit, _ := LookupUnit(o.Unit)
	lo, hi := unit.SI(o.Range[0]), unit.SI(o.Range[1])
	slack := rangeSlack * max(math.Abs(lo), math.Abs(hi))
	switch {
	case o.Kind == Choice && len(v.Words) == 0, o.Kind == Choice && len(v.Words) > 1 && !o.Several:
		t.Errorf("ParseValue(%s, %q) = words %q", o.ID, text, v.Words)
	case o.Kind == Number && (math.IsNaN(v.Lo) || math.IsNaN(v.Hi) || v.Lo > v.Hi || v.U < 0 || math.IsInf(v.U, 0)):
		t.Errorf("ParseValue(%s, %q) = [%g, %g] u %g", o.ID, text, v.Lo, v.Hi, v.U)
	case o.Kind == Number && (v.Lo > hi+slack || v.Hi < lo-slack):
		t.Errorf("ParseValue(%s, %q) = [%g, %g], outside of the range [%g, %g]", o.ID, text, v.Lo, v.Hi, lo, hi)
	}
	for _, w := range o.BandWeights(v, (lo+hi)/2) {
		if w < 0 || w > 1 || math.IsNaN(w) {
			t.Errorf("BandWeights of %s %q = %v", o.ID, text, w)
		}
	}
}
