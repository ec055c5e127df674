package report

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestReckonGolden(t *testing.T) {
	for _, c := range Calculators() {
		t.Run(c.ID, func(t *testing.T) {
			r := reckoned(t, c.ID, flags(t, c.Examples[0]))
			golden(t, "reckon-"+c.ID+".80", written(t, func(w io.Writer) error { return ReckonText(w, r, Style{}) }))
			golden(t, "reckon-"+c.ID+".60", written(t, func(w io.Writer) error { return ReckonText(w, r, Style{Width: 60}) }))
			golden(t, "reckon-"+c.ID+".md", written(t, func(w io.Writer) error { return ReckonMarkdown(w, r, Style{}) }))
			golden(t, "reckon-"+c.ID+".json", indented(t, ReckonJSON(r)))
			golden(t, "reckon-"+c.ID+".svg", written(t, func(w io.Writer) error { return ReckonSVG(w, r, Style{}, Picture{}) }))
		})
	}
}

// TestBowlGolden has bowls that differ from that of the examples: other datums, a level as measured, a valve that does not shut, and a
// telephone.
func TestBowlGolden(t *testing.T) {
	tests := []struct {
		name, calculator, line string
		picture                Picture
	}{
		{"phone", "float-level", `--float-height "22.5 mm" --book-height "21 mm" --book-level "-4 mm" --fuel-level "-7 mm"`, Picture{Width: PhoneWidth}},
		{"rim", "float-level", `--float-height "9 mm" --book-height "6 mm" --datum bowl-rim`, Picture{}},
		{"floor", "float-level", `--float-height "8 mm" --book-height "14 mm" --datum bowl-floor --weight-gained "2 g"`, Picture{}},
		{"open", "float-valve", `--float-mass "14 g" --seat-bore "2.4 mm" --inlet-pressure "20 kPa"`, Picture{Width: PhoneWidth}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := reckoned(t, tt.calculator, flags(t, tt.line))
			golden(t, "bowl-"+tt.name+".svg", written(t, func(w io.Writer) error { return ReckonSVG(w, r, Style{}, tt.picture) }))
		})
	}
}

// TestReckonTextFits keeps every line within the columns, plot included, and the plot in plain letters.
func TestReckonTextFits(t *testing.T) {
	for _, c := range Calculators() {
		r := reckoned(t, c.ID, flags(t, c.Examples[0]))
		for _, columns := range []int{40, 60, 80} {
			text := string(written(t, func(w io.Writer) error { return ReckonText(w, r, Style{Width: columns}) }))
			for l := range strings.Lines(text) {
				if n := width(strings.TrimSuffix(l, "\n")); n > columns {
					t.Errorf("%s: %d columns in %d: %q", c.ID, n, columns, l)
				}
			}
		}
		if r.Curve == nil {
			t.Errorf("%s: no curve", c.ID)
			continue
		}
		for _, l := range r.plot(plotWidth) {
			if len(l) > plotWidth || !plainASCII(l) {
				t.Errorf("%s: line of the plot %q; want at most %d plain letters", c.ID, l, plotWidth)
			}
		}
	}
}

// drawnTexts is what is looked at in a drawing.
type drawnTexts struct {
	Title string `xml:"title"`
	Desc  string `xml:"desc"`
	Box   string `xml:"viewBox,attr"`
	Role  string `xml:"role,attr"`
	Names string `xml:"aria-labelledby,attr"`
	Group struct {
		Texts []struct {
			X      float64 `xml:"x,attr"`
			Y      float64 `xml:"y,attr"`
			Size   float64 `xml:"font-size,attr"`
			Anchor string  `xml:"text-anchor,attr"`
			Weight string  `xml:"font-weight,attr"`
			Says   string  `xml:",chardata"`
		} `xml:"text"`
	} `xml:"g"`
}

// checkReckonSVG reads a drawing back: well-formed, named and described, with every text on the page.
func checkReckonSVG(tb rapid.TB, data []byte) {
	tb.Helper()
	var d drawnTexts
	if err := xml.Unmarshal(data, &d); err != nil {
		tb.Fatalf("not XML: %v", err)
	}
	if d.Title == "" || d.Desc == "" || d.Role != "img" || len(strings.Fields(d.Names)) != 2 {
		tb.Errorf("title %q, description %q, role %q, labelled by %q", d.Title, d.Desc, d.Role, d.Names)
	}
	box := strings.Fields(d.Box)
	if len(box) != 4 {
		tb.Fatalf("viewBox %q", d.Box)
	}
	wide, _ := strconv.ParseFloat(box[2], 64)
	high, _ := strconv.ParseFloat(box[3], 64)
	if len(d.Group.Texts) < 10 {
		tb.Errorf("%d texts", len(d.Group.Texts))
	}
	for _, x := range d.Group.Texts {
		long := advance(x.Says, x.Size)
		if x.Weight == "bold" {
			long *= boldFactor
		}
		start := x.X + margin
		switch x.Anchor {
		case "middle":
			start -= long / 2
		case "end":
			start -= long
		}
		if start < 0 || start+long > wide || x.Y+margin > high || x.Size < 9 {
			tb.Errorf("%q from %.0f to %.0f at %.0f, letters of %.1f; the page is %.0f by %.0f", x.Says, start, start+long, x.Y, x.Size, wide, high)
		}
	}
	if bad := regexp.MustCompile(`="[^"]*(?:NaN|Inf)[^"]*"`).Find(data); bad != nil {
		tb.Errorf("a coordinate is no number: %s", bad)
	}
}

func TestReckonSVG(t *testing.T) {
	for _, c := range Calculators() {
		for _, e := range c.Examples {
			for _, p := range []Picture{{}, {Width: PhoneWidth}} {
				t.Run(fmt.Sprint(c.ID, " ", p.Width, " ", e), func(t *testing.T) {
					r := reckoned(t, c.ID, flags(t, e))
					checkReckonSVG(t, written(t, func(w io.Writer) error { return ReckonSVG(w, r, Style{}, p) }))
				})
			}
		}
	}
}

// TestBowlAnySize draws bowls of all sizes that the inputs let through: a drawing is right, or there is an error that says which flag.
func TestBowlAnySize(t *testing.T) {
	drawn := 0
	rapid.Check(t, func(rt *rapid.T) {
		mm := func(name string, lo, hi float64) string {
			return strconv.FormatFloat(rapid.Float64Range(lo, hi).Draw(rt, name), 'f', 2, 64)
		}
		book := rapid.Float64Range(3, 50).Draw(rt, "book height")
		w := asWritten{
			"book-height": strconv.FormatFloat(book, 'f', 2, 64), "float-height": strconv.FormatFloat(max(1, book+rapid.Float64Range(-10, 10).Draw(rt, "error")), 'f', 2, 64),
			"datum":     rapid.SampledFrom([]string{gasketFace, bowlRim, bowlFloor}).Draw(rt, "datum"),
			"float-arm": mm("arm", 10, 80), "float-length": mm("length", 5, 80), "float-depth": mm("depth", 4, 80), "pin-depth": mm("pin", 0, 40),
			"needle-arm": mm("needle", 2, 40), "seat-bore": mm("seat", 0.5, 6),
		}
		if rapid.Bool().Draw(rt, "bowl known") {
			w["bowl-depth"] = mm("bowl", 10, 120)
		}
		if rapid.Bool().Draw(rt, "level known") {
			w["book-level"] = mm("level", -60, 30)
		}
		r, err := calculator(t, "float-level").Reckon(w)
		var b strings.Builder
		if err == nil {
			err = ReckonSVG(&b, r, Style{}, Picture{Width: rapid.SampledFrom([]int{0, PhoneWidth}).Draw(rt, "width")})
		}
		if err != nil {
			var fault *InputFault
			var outside *OutOfRange
			if !errors.As(err, &fault) && !errors.As(err, &outside) {
				rt.Errorf("%v: %v", w, err)
			}
			return
		}
		drawn++
		checkReckonSVG(rt, []byte(b.String()))
	})
	if drawn == 0 {
		t.Errorf("%d bowls drawn", drawn)
	}
}

// TestBowlToScale measures the drawing: the float height and the level are in it as they are in the figures.
func TestBowlToScale(t *testing.T) {
	r := reckoned(t, "float-level", flags(t, `--float-height 24 --book-height 21 --book-level -4`))
	b, err := r.picture(r.given, r)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.gasket - b.float[2].Y; math.Abs(got-24) > 1e-6 {
		t.Errorf("the float's lower edge is %v mm under the gasket face; want 24", got)
	}
	if got := b.gasket - b.ghost[2].Y; math.Abs(got-21) > 1e-6 {
		t.Errorf("by the book it is %v mm under it; want 21", got)
	}
	// 3 mm too tall are 2.25 mm lower.
	if got := b.level - b.gasket; math.Abs(got+6.25) > 1e-6 || math.Abs(b.bookLevel-b.gasket+4) > 1e-6 {
		t.Errorf("levels %v and %v by the book; want -6.25 and -4", got, b.bookLevel-b.gasket)
	}
	d := &bowlSketch{sketch: &sketch{width: PageWidth}, bowl: b}
	d.frame()
	if got := (d.py(b.float[2].Y) - d.py(b.gasket)) / (d.px(b.needleArm) - d.px(0)); math.Abs(got-24.0/9) > 1e-6 {
		t.Errorf("height over needle arm in pixels = %v; want 24/9", got)
	}
}

func TestReckonJSONKeys(t *testing.T) {
	data := indented(t, ReckonJSON(reckoned(t, "float-level", flags(t, `--float-height "22.5 ± 0.2 mm" --book-height "21 mm"`))))
	var got struct {
		Calculator    string
		Inputs        map[string]any
		Uncertain     map[string]float64 `json:"input_uncertainties"`
		Taken         map[string]string
		Results       map[string]float64
		Uncertainties map[string]float64
		Meaning       string
		Caution       string
		Formulas      []struct {
			Name, Source, Standing string
			Lines, Here            []string
		}
		Curve struct {
			XUnit  string `json:"x_unit"`
			Here   [2]float64
			Points [][2]float64
		}
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if got.Calculator != "float-level" || got.Inputs["float_height_mm"] != 22.5 || got.Inputs["datum"] != "gasket-face" || math.Abs(got.Uncertain["float_height_mm"]-0.2) > 1e-12 {
		t.Errorf("calculator %q, inputs %v, uncertainties %v", got.Calculator, got.Inputs, got.Uncertain)
	}
	if math.Abs(got.Results["level_shift_mm"]+1.125) > 1e-9 || got.Uncertainties["level_shift_mm"] <= 0 || got.Taken["float_arm_mm"] == "" {
		t.Errorf("results %v, uncertainties %v, taken %v", got.Results, got.Uncertainties, got.Taken)
	}
	if got.Curve.XUnit != "mm" || len(got.Curve.Points) < 20 || got.Curve.Here[0] != 22.5 || len(got.Formulas) == 0 || len(got.Formulas[0].Here) == 0 {
		t.Errorf("curve %+v, formulas %+v", got.Curve.Here, got.Formulas)
	}
	if strings.Contains(string(data), nbsp) {
		t.Error("a space that does not break in JSON")
	}
}

// TestReckonAnything feeds answers that nobody foresaw: there is a result or an error that says which flag, never a panic, and every
// result is a number.
func TestReckonAnything(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := rapid.SampledFrom(Calculators()).Draw(rt, "calculator")
		w := asWritten{}
		for i := range c.Inputs {
			in := &c.Inputs[i]
			if !in.Required && rapid.IntRange(0, 3).Draw(rt, "given") > 0 {
				continue
			}
			switch {
			case len(in.Words) > 0:
				w[in.Name] = rapid.SampledFrom(in.Words).Draw(rt, in.Name).Word
			case rapid.IntRange(0, 9).Draw(rt, "odd") == 0:
				w[in.Name] = rapid.SampledFrom([]string{"", "0", "-1", "1e9", "1/0", "7,5", "± 3", "< 4", "1 to 2", "unknown", "NaN", "5 furlongs", "\x1b[31m"}).Draw(rt, in.Name)
			default:
				w[in.Name] = strconv.FormatFloat(rapid.Float64Range(in.Range[0], in.Range[1]).Draw(rt, in.Name), 'g', 6, 64)
			}
		}
		r, err := c.Reckon(w)
		if err != nil {
			var fault *InputFault
			var outside *OutOfRange
			if !errors.As(err, &fault) && !errors.As(err, &outside) || strings.ContainsRune(err.Error(), '\x1b') && !strings.Contains(err.Error(), `\x1b`) {
				rt.Errorf("%s: Reckon(%v): %v", c.ID, w, err)
			}
			return
		}
		for _, x := range r.Results {
			if math.IsNaN(x.Value) || math.IsInf(x.Value, 0) {
				rt.Errorf("%s: Reckon(%v): %s = %v", c.ID, w, x.Key, x.Value)
			}
		}
		if err := ReckonText(io.Discard, r, Style{Width: 60}); err != nil {
			rt.Error(err)
		}
	})
}

// FuzzInput reads anything for any input of any calculator.
func FuzzInput(f *testing.F) {
	for _, s := range []string{"22.5 mm", "22,5", "7/8 in", "22 ± 1 mm", "1 to 2", "< 4", "unknown", "", "bore", "1e300 km", "-4 °F", "\xff"} {
		f.Add(s)
	}
	calculators := Calculators()
	f.Fuzz(func(t *testing.T, s string) {
		for _, c := range calculators {
			for i := range c.Inputs {
				e, err := c.Inputs[i].parse(s)
				var fault *InputFault
				if err != nil && !errors.As(err, &fault) {
					t.Errorf("%s: parse(%q): %v", c.Inputs[i].Name, s, err)
				}
				if err == nil && (math.IsNaN(e.si) || math.IsInf(e.si, 0)) {
					t.Errorf("%s: parse(%q) = %v", c.Inputs[i].Name, s, e.si)
				}
			}
		}
	})
}

func BenchmarkReckon(b *testing.B) {
	c := calculator(b, "weather")
	w := asWritten{"altitude": "1500 m", "jet": "110"}
	for b.Loop() {
		if _, err := c.Reckon(w); err != nil {
			b.Fatal(err)
		}
	}
}
