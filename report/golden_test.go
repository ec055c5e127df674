package report

import (
	"bytes"
	"encoding/json"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

var update = flag.Bool("update", false, "rewrite golden files")

// golden compares what was written with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name+".golden")
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; go test ./report -update writes it", err)
	}
	if !bytes.Equal(got, want) {
		actual := filepath.Join("testdata", name+".actual")
		if err := os.WriteFile(actual, got, 0o644); err != nil {
			t.Error(err)
		}
		t.Errorf("%s differs from %s; see %s:\n%s", name, path, actual, got)
	}
}

// specimens are the diagnoses of the golden files.
var specimens = []struct {
	name string
	make func(testing.TB) *engine.Diagnosis
}{
	{"one-side-floods", oneSideFloods}, // places, reasons, chain, notes
	{"nothing-observed", nothingObserved},
	{"fuel-in-oil", fuelInOil},          // a stop notice on top of a full screen
	{"six-carburetors", sixCarburetors}, // numbers as names, one wide name, evidence set aside
}

func TestTextGolden(t *testing.T) {
	styles := []struct {
		name  string
		style Style
	}{
		{"80", Style{}},
		{"60", Style{Width: 60}},
		{"full-80", Style{Details: Full}},
		{"full-60", Style{Details: Full, Width: 60}},
		{"colour-80", Style{Colour: ANSI}},
	}
	k := knowledge(t)
	for _, sp := range specimens {
		d := sp.make(t)
		for _, st := range styles {
			t.Run(sp.name+"/"+st.name, func(t *testing.T) {
				golden(t, sp.name+"."+st.name, written(t, func(w io.Writer) error { return Text(w, d, k, st.style) }))
			})
		}
	}
}

func TestMarkdownGolden(t *testing.T) {
	k := knowledge(t)
	for _, sp := range specimens {
		d := sp.make(t)
		t.Run(sp.name, func(t *testing.T) {
			golden(t, sp.name+".md", written(t, func(w io.Writer) error { return Markdown(w, d, k, Style{}) }))
			golden(t, sp.name+".full.md", written(t, func(w io.Writer) error { return Markdown(w, d, k, Style{Details: Full}) }))
		})
	}
}

func TestJSONGolden(t *testing.T) {
	k := knowledge(t)
	for _, sp := range specimens {
		t.Run(sp.name, func(t *testing.T) { golden(t, sp.name+".json", indented(t, JSON(sp.make(t), k))) })
	}
}

// TestExplainGolden has one page of each kind of record.
func TestExplainGolden(t *testing.T) {
	k := knowledge(t)
	for _, id := range []string{
		"needle-leaks", "level-high", "overflow-runs", "fuel-in-oil", "measure-level", "renew-float", "needle-valve", "handbook",
		"fuel_level", "plug_look", "tap_kind", "after-rebuild",
	} {
		t.Run(id, func(t *testing.T) {
			x, err := k.Explain(id)
			if err != nil {
				t.Fatal(err)
			}
			golden(t, "explain-"+id+".80", written(t, func(w io.Writer) error { return ExplainText(w, x, k, Style{}) }))
			golden(t, "explain-"+id+".json", indented(t, ExplainJSON(x, k)))
			golden(t, "explain-"+id+".md", written(t, func(w io.Writer) error { return ExplainMarkdown(w, x, k, Style{}) }))
		})
	}
}

func TestListsGolden(t *testing.T) {
	k := knowledge(t)
	lists := []struct {
		name     string
		text     func(io.Writer, *rules.Set, Style) error
		markdown func(io.Writer, *rules.Set) error
		data     func(*rules.Set) any
	}{
		{"observations", ObservationsText, ObservationsMarkdown, ObservationsJSON},
		{"causes", CausesText, CausesMarkdown, CausesJSON},
		{"repairs", RepairsText, RepairsMarkdown, RepairsJSON},
		{"sources", SourcesText, SourcesMarkdown, SourcesJSON},
	}
	for _, l := range lists {
		t.Run(l.name, func(t *testing.T) {
			golden(t, l.name+".80", written(t, func(w io.Writer) error { return l.text(w, k, Style{}) }))
			golden(t, l.name+".60", written(t, func(w io.Writer) error { return l.text(w, k, Style{Width: 60}) }))
			golden(t, l.name+".md", written(t, func(w io.Writer) error { return l.markdown(w, k) }))
			golden(t, l.name+".json", indented(t, l.data(k)))
		})
	}
}

func written(tb rapid.TB, write func(io.Writer) error) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

func indented(tb rapid.TB, v any) []byte {
	tb.Helper()
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		tb.Fatal(err)
	}
	return append(data, '\n')
}
