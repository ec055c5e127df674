package symptoms

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// golden compares a text with a file beside its source, or rewrites the file.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; got\n%s\nwant\n%s", file, got, want)
	}
}

// TestBadVocabularies compares the whole error text of each testdata/vocabulary/*.bad.yaml.
func TestBadVocabularies(t *testing.T) {
	for _, f := range readFiles(t, "testdata/vocabulary/*.bad.yaml") {
		t.Run(filepath.Base(f.Name), func(t *testing.T) {
			v, err := ParseVocabulary(filepath.Base(f.Name), f.Data)
			var list ErrorList
			if !errors.As(err, &list) {
				t.Fatalf("ParseVocabulary = %v, %v; want an ErrorList", v, err)
			}
			golden(t, strings.TrimSuffix(f.Name, ".yaml")+".golden", err.Error()+"\n")
		})
	}
}

func TestSmallVocabulary(t *testing.T) {
	v := smallVocabulary(t)
	o := look(t, v, "float_height")
	if o.Where != Observed || o.About != Carburetor || o.Kind != Number || o.Who != Bench || o.Minutes != 10 || !o.Common {
		t.Errorf("float_height = %+v", o)
	}
	wantWords := []string{"much-too-low", "much-too-high", "low", "high", "right"}
	if got := wordList(o); !reflect.DeepEqual(got, wantWords) {
		t.Errorf("words of float_height = %q; want %q", got, wantWords)
	}
	limits := []float64{math.Inf(-1), -0.003, -0.001, 0.001, 0.003, math.Inf(1)}
	for i, b := range o.Bands {
		if math.Abs(b.Lo-limits[i]) > 1e-15 && b.Lo != limits[i] || math.Abs(b.Hi-limits[i+1]) > 1e-15 && b.Hi != limits[i+1] {
			t.Errorf("band %s = [%g, %g]; want [%g, %g]", b.Word, b.Lo, b.Hi, limits[i], limits[i+1])
		}
	}
	if o.Blunder != 0.02 || o.Normal != "right" || o.Around != "spec.float_height" {
		t.Errorf("float_height: blunder %g, normal %q, around %q", o.Blunder, o.Normal, o.Around)
	}
	if h := look(t, v, "after-rebuild"); h.Kind != YesNo || h.Where != History || h.About != WholeMachine {
		t.Errorf("after-rebuild = %+v", h)
	}
	// A temperature around others is cut by differences: °C and K alike, without the offset.
	heat := look(t, v, "head_temperature")
	if heat.Bands[0].Hi != -30 || heat.Bands[1].Hi != 30 {
		t.Errorf("bands of head_temperature = %+v; want limits -30 and 30 K", heat.Bands)
	}
	if c := look(t, v, "fuel_overflow").Cites; len(c) != 1 || c[0].Source != "common-practice" {
		t.Errorf("cites of fuel_overflow = %+v", c)
	}
}

func TestVocabularyLookups(t *testing.T) {
	v := smallVocabulary(t)
	if _, ok := v.Lookup("plug_fase"); ok {
		t.Error("Lookup(plug_fase) found")
	}
	if got := v.Nearest("plug_fase"); got != "plug_face" {
		t.Errorf("Nearest(plug_fase) = %q; want plug_face", got)
	}
	if got := v.Nearest("something else"); got != "" {
		t.Errorf("Nearest(something else) = %q; want none", got)
	}
	all := v.All()
	all[0] = nil
	if v.All()[0] == nil {
		t.Error("All() hands out the vocabulary's own slice")
	}
}

// TestSeveralFiles: ids are unique over all files, and bands may refer to another file.
func TestSeveralFiles(t *testing.T) {
	a := File{"a.yaml", []byte("vocabulary: 1\nobservations:\n- {id: hot, question: \"Hot?\", where: observed, about: machine, kind: yes-no, who: rider}\n")}
	b := File{"b.yaml", []byte("vocabulary: 1\nobservations:\n- {id: cold, question: \"Cold?\", where: observed, about: machine, kind: yes-no, who: rider}\n")}
	v, err := LoadVocabulary([]File{a, b})
	if err != nil || len(v.All()) != 2 || v.All()[0].ID != "hot" {
		t.Fatalf("LoadVocabulary(a, b) = %v, %v", v, err)
	}
	_, err = LoadVocabulary([]File{a, {"c.yaml", a.Data}})
	if err == nil || !strings.Contains(err.Error(), `c.yaml:3:8: "hot" is defined twice; first at a.yaml:3:8`) {
		t.Errorf("LoadVocabulary with a double id = %v", err)
	}
	if _, err := LoadVocabulary(nil); err == nil {
		t.Error("LoadVocabulary(nil) = no error; want one: an empty vocabulary decodes nothing")
	}
}

// TestDefaultVocabulary checks what other parts rely on.
func TestDefaultVocabulary(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"strokes", "cylinders", "carburetors", "carburetor_kind"} {
		if o, ok := v.Lookup(id); !ok || o.Where != Fact {
			t.Errorf("the vocabulary lacks the fact %s", id)
		}
	}
	kinds, ok := v.Lookup("carburetor_kind")
	if want := []string{"slide", "constant-velocity", "butterfly"}; !ok || !reflect.DeepEqual(wordList(kinds), want) {
		t.Errorf("words of carburetor_kind = %q; want %q", wordList(kinds), want)
	}
	for _, id := range []string{"after-rebuild", "after-storage", "in-daily-use"} {
		if o, ok := v.Lookup(id); !ok || o.Where != History {
			t.Errorf("the vocabulary lacks the history word %s", id)
		}
	}
}

// TestLinesRoundTrip: what is written in the fast form is read back the same.
func TestLinesRoundTrip(t *testing.T) {
	text := rapid.StringOf(rapid.SampledFrom([]rune("ab \\n\n\"é:")))
	rapid.Check(t, func(t *rapid.T) {
		o := &Observation{
			ID: text.Draw(t, "id"), Question: text.Draw(t, "question"),
			Where: Where(rapid.IntRange(0, 2).Draw(t, "where")), Kind: Kind(rapid.IntRange(0, 2).Draw(t, "kind")),
			Several: rapid.Bool().Draw(t, "several"), Uncertainty: rapid.Float64().Draw(t, "uncertainty"),
			How: text.Draw(t, "how"), Common: rapid.Bool().Draw(t, "common"),
		}
		for range rapid.IntRange(0, 3).Draw(t, "n") {
			o.Words = append(o.Words, Word{text.Draw(t, "word"), text.Draw(t, "means")})
			o.Bands = append(o.Bands, Band{Word: "b", Lo: math.Inf(-1), Hi: rapid.Float64().Draw(t, "hi")})
			o.Tools = append(o.Tools, text.Draw(t, "tool"))
			o.Cites = append(o.Cites, Cite{Source: text.Draw(t, "source")})
		}
		want := []*Observation{o, {ID: "last"}}
		got, err := readLines(writeLines(want))
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("readLines(writeLines(%+v)) = %+v, %v", o, got, err)
		}
	})
}

func TestReadLinesRefuses(t *testing.T) {
	good := writeLines(smallVocabulary(t).all)
	tests := []struct{ name, text, want string }{
		{"empty", "", "first line"},
		{"other header", "something else\n", "first line"},
		{"cut", good[:len(good)/2], "ends in line"},
		{"more", good + "x\n", "more lines"},
		{"no number", strings.Replace(good, linesHeader+"\n", linesHeader+"\nx", 1), "not a number of entries"},
		{"too many", linesHeader + "\n99999999999\n", "not a number of entries"},
		{"bad figure", strings.Replace(good, "\n0.02\n", "\nabc\n", 1), "is not a number"},
	}
	for _, tt := range tests {
		if got, err := readLines(tt.text); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: readLines = %d entries, %v; want an error with %q", tt.name, len(got), err, tt.want)
		}
	}
}

func FuzzParseVocabulary(f *testing.F) {
	for _, pattern := range []string{"testdata/small.vocabulary.yaml", "testdata/vocabulary/*.yaml"} {
		for _, file := range readFiles(f, pattern) {
			f.Add(file.Data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		v, err := ParseVocabulary("fuzz.yaml", data)
		if err != nil {
			checkErrors(t, err)
			return
		}
		for _, o := range v.All() {
			if o.ID == "" || o.Kind == Choice && len(o.Words) < 2 || len(o.Bands) > 0 && len(o.Words) != len(o.Bands) {
				t.Errorf("accepted %+v", o)
			}
		}
		again, err := readLines(writeLines(v.all))
		if err != nil || !reflect.DeepEqual(again, v.all) {
			t.Errorf("the fast form differs: %v", err)
		}
	})
}

// checkErrors tests what holds for every error of a decoder.
func checkErrors(t *testing.T, err error) {
	t.Helper()
	var list ErrorList
	if !errors.As(err, &list) || len(list) == 0 {
		t.Fatalf("error %v (%T); want an ErrorList", err, err)
	}
	for i, e := range list {
		if e.Message == "" || e.Error() == "" {
			t.Errorf("fault %d has no message: %+v", i, e)
		}
		if i > 0 && list[i-1].Pos.Line > e.Pos.Line {
			t.Errorf("faults out of order: %v before %v", list[i-1].Pos, e.Pos)
		}
	}
}

func BenchmarkReadLines(b *testing.B) {
	b.SetBytes(int64(len(embedded)))
	for b.Loop() {
		all, err := readLines(embedded)
		if err != nil {
			b.Fatal(err)
		}
		newVocabulary(all)
	}
}

func BenchmarkLoadVocabulary(b *testing.B) {
	files := readFiles(b, "vocabulary/*.yaml")
	for b.Loop() {
		if _, err := LoadVocabulary(files); err != nil {
			b.Fatal(err)
		}
	}
}
