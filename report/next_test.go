package report

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// adviceSheets are invented sheets over the invented knowledge of testdata.
var adviceSheets = []struct{ name, text string }{
	// several places, a check first, a stop notice
	{"floods", "sheet: 1\njob: \"7\"\nmachine: {name: twin, carburetors: [left, right], cylinders: 2, spec.fuel_level: 3 mm}\n" +
		"observed: {oil_level_risen: \"yes\"}\nat: {left: {fuel_overflow: \"yes\"}, right: {fuel_overflow: \"no\"}}\n"},
	// a repair was tried without change
	{"tried", "sheet: 1\nmachine: {carburetors: 1, cylinders: 1, spec.fuel_level: 3 mm}\nobserved: {fuel_overflow: \"yes\", fuel_level: 9 mm}\n" +
		"tried: [{did: renew-needle, after: no-change}]\n"},
	// nothing observed
	{"empty", "sheet: 1\nmachine: {carburetors: 1, cylinders: 1}\n"},
}

func adviceSheet(tb testing.TB, k *rules.Set, text string) *symptoms.Sheet {
	tb.Helper()
	s, err := symptoms.Decode("sheet.yaml", []byte(text), k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func advice(tb testing.TB, k *rules.Set, text string) (*engine.TreeNode, *engine.Advice) {
	tb.Helper()
	tree, a, err := engine.Tree(k, adviceSheet(tb, k, text), engine.TreeOptions{Depth: 3})
	if err != nil {
		tb.Fatal(err)
	}
	return tree, a
}

func TestNextGolden(t *testing.T) {
	k := knowledge(t)
	for _, sp := range adviceSheets {
		tree, a := advice(t, k, sp.text)
		forms := []struct {
			name  string
			write func(io.Writer) error
		}{
			{"80", func(w io.Writer) error { return NextText(w, a, k, Style{}) }},
			{"60", func(w io.Writer) error { return NextText(w, a, k, Style{Width: 60}) }},
			{"full-80", func(w io.Writer) error { return NextText(w, a, k, Style{Details: Full}) }},
			{"markdown", func(w io.Writer) error { return NextMarkdown(w, a, k, Style{}) }},
			{"tree-60", func(w io.Writer) error { return NextTreeText(w, tree, a, k, Style{Width: 60}) }},
			{"tree-markdown", func(w io.Writer) error { return NextTreeMarkdown(w, tree, a, k, Style{}) }},
			{"tree.svg", func(w io.Writer) error { return NextTreeSVG(w, tree, a, k) }},
		}
		for _, f := range forms {
			t.Run(sp.name+"/"+f.name, func(t *testing.T) {
				golden(t, "next-"+sp.name+"."+f.name, written(t, f.write))
			})
		}
	}
}

func TestNextJSONGolden(t *testing.T) {
	k := knowledge(t)
	tree, a := advice(t, k, adviceSheets[0].text)
	got, err := json.MarshalIndent(rounded(t, NextJSON(a, tree, k)), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "next-floods.json", append(got, '\n'))
}

// rounded keeps nine digits of every number: the last ones hang on the order in which the processors work.
func rounded(t *testing.T, v any) any {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out any
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return nineDigits(out)
}

func nineDigits(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			v[k] = nineDigits(x)
		}
	case []any:
		for i, x := range v {
			v[i] = nineDigits(x)
		}
	case float64:
		text, _ := json.Marshal(float32(v))
		return json.Number(text)
	}
	return v
}

// TestNextScreenFits: at 80 and 60 columns no line is too long, and at 80 by 24 the screen leaves a line for the prompt as long as cautions and
// stop notices, which are never cut, leave room.
func TestNextScreenFits(t *testing.T) {
	k := knowledge(t)
	for _, sp := range adviceSheets {
		_, a := advice(t, k, sp.text)
		for _, columns := range []int{80, 60, 40} {
			got := string(written(t, func(w io.Writer) error { return NextText(w, a, k, Style{Width: columns}) }))
			lines := strings.Split(strings.TrimSuffix(got, "\n"), "\n")
			for _, l := range lines {
				if width(l) > columns {
					t.Errorf("%s: at %d columns: %q takes %d", sp.name, columns, l, width(l))
				}
			}
			if columns == 80 && len(lines) > 23 {
				t.Errorf("%s: %d lines; want 23 at most", sp.name, len(lines))
			}
		}
	}
}

// TestNextCautions: a stop notice comes before anything else in every form, and the caution of the step stands in every text.
func TestNextCautions(t *testing.T) {
	k := knowledge(t)
	tree, a := advice(t, k, adviceSheets[0].text)
	forms := map[string]func(io.Writer) error{
		"text":          func(w io.Writer) error { return NextText(w, a, k, Style{}) },
		"full":          func(w io.Writer) error { return NextText(w, a, k, Style{Details: Full}) },
		"markdown":      func(w io.Writer) error { return NextMarkdown(w, a, k, Style{}) },
		"tree":          func(w io.Writer) error { return NextTreeText(w, tree, a, k, Style{}) },
		"tree markdown": func(w io.Writer) error { return NextTreeMarkdown(w, tree, a, k, Style{}) },
		"drawing":       func(w io.Writer) error { return NextTreeSVG(w, tree, a, k) },
	}
	for name, write := range forms {
		got := strings.Join(strings.Fields(string(written(t, write))), " ")
		stop, first := strings.Index(got, "STOP: "), strings.Index(got, actionTitleOf(a.Proposals[0].Actions[0]))
		if name == "drawing" { // its description comes first, and is for those who do not see it
			first = strings.LastIndex(got, actionTitleOf(a.Proposals[0].Actions[0]))
		}
		if stop < 0 || first < stop {
			t.Errorf("%s: the stop notice stands at %d, the step at %d; want the notice first", name, stop, first)
		}
		if caution := actionCaution(a.Proposals[0].Actions[0]); !strings.Contains(strings.ReplaceAll(got, "\\", ""), strings.Fields(caution)[0]+" "+strings.Fields(caution)[1]) {
			t.Errorf("%s: the caution %q is missing", name, caution)
		}
	}
}

// TestNextDrawingIsXML: whatever stands on the sheet, the drawing is well-formed and has no script.
func TestNextDrawingIsXML(t *testing.T) {
	k := knowledge(t)
	tree, a := advice(t, k, strings.Replace(adviceSheets[0].text, "name: twin", `name: "<script>&\"]]>"`, 1))
	got := written(t, func(w io.Writer) error { return NextTreeSVG(w, tree, a, k) })
	for d := xml.NewDecoder(bytes.NewReader(got)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "script" {
			t.Error("the drawing has a script")
		}
	}
}

// TestNextNothingKnown: without any proposal the forms still say something.
func TestNextNothingKnown(t *testing.T) {
	k := knowledge(t)
	a := &engine.Advice{Sheet: adviceSheet(t, k, adviceSheets[2].text)}
	for name, write := range map[string]func(io.Writer) error{
		"text":     func(w io.Writer) error { return NextText(w, a, k, Style{}) },
		"markdown": func(w io.Writer) error { return NextMarkdown(w, a, k, Style{}) },
	} {
		if got := string(written(t, write)); !strings.Contains(got, "Nothing is known") {
			t.Errorf("%s: %q; want a word that nothing is known", name, got)
		}
	}
	if got := string(written(t, func(w io.Writer) error { return NextTreeText(w, nil, a, k, Style{}) })); !strings.Contains(got, localCodes) {
		t.Errorf("tree: %q; want the closing line", got)
	}
	if got := string(written(t, func(w io.Writer) error { return NextTreeSVG(w, nil, a, k) })); !strings.Contains(got, "</svg>") {
		t.Errorf("drawing: %q; want a drawing", got)
	}
}
