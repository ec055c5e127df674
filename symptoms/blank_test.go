package symptoms

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

const pageLines = 66

// TestBlankFitsOnePage: 66 lines of 96 columns for two carburetors, and at most 40
// questions, so that one page is enough.
func TestBlankFitsOnePage(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	questions := 0
	for _, o := range v.All() {
		if o.Common && o.Where == Observed {
			questions++
		}
	}
	if questions < 20 || questions > 40 {
		t.Errorf("the blank sheet has %d questions; want 20 to 40", questions)
	}
	for _, m := range []Machine{
		{Carburetors: []string{"left", "right"}},
		{Carburetors: numbers(4)},
		{Carburetors: numbers(1), Cylinders: numbers(2)},
	} {
		blank := string(Blank(v, m))
		lines := strings.Split(strings.TrimSuffix(blank, "\n"), "\n")
		if len(lines) > pageLines {
			t.Errorf("Blank(%v) has %d lines; want at most %d", m.Carburetors, len(lines), pageLines)
		}
		for i, l := range lines {
			if n := utf8.RuneCountInString(l); n > pageColumns {
				t.Errorf("Blank(%v): line %d has %d columns; want at most %d:\n%s", m.Carburetors, i+1, n, pageColumns, l)
			}
		}
	}
}

// TestBlankGolden shows the whole sheet for the vocabulary of the tests.
func TestBlankGolden(t *testing.T) {
	blank := Blank(smallVocabulary(t), Machine{Carburetors: []string{"left", "right"}})
	golden(t, "testdata/blank/two-carburetors.golden.yaml", string(blank))
}

// TestBlankDecodes: a blank sheet is read without faults and describes the machine that it
// was made for.
func TestBlankDecodes(t *testing.T) {
	v := smallVocabulary(t)
	name := rapid.StringMatching(`[a-zA-Z0-9 :#'"{}\[\],&*!|>%@-]{1,12}`)
	rapid.Check(t, func(t *rapid.T) {
		carburetors := rapid.SliceOfNDistinct(name, 1, MaxCarburetors, strings.TrimSpace).Draw(t, "carburetors")
		if slices.ContainsFunc(carburetors, func(s string) bool { return strings.TrimSpace(s) != s || s == "" }) {
			t.Skip("the decoder trims names")
		}
		k := len(carburetors)
		n := k * rapid.IntRange(1, MaxCylinders/k).Draw(t, "cylinders a carburetor")
		m := Machine{
			Name: rapid.StringMatching(`[a-z ':#]{0,20}`).Draw(t, "name"), Strokes: rapid.SampledFrom([]int{2, 4}).Draw(t, "strokes"),
			Carburetors: carburetors, Cylinders: numbers(n), Feeds: make([]int, n),
			CarburetorKind: rapid.SampledFrom([]string{"", "slide", "butterfly"}).Draw(t, "kind"),
		}
		order := rapid.Permutation(numbers(n)).Draw(t, "order")
		for i, c := range order {
			m.Feeds[slices.Index(m.Cylinders, c)] = i * k / n
		}
		if n == k {
			for i, c := range m.Feeds {
				m.Cylinders[i] = carburetors[c]
			}
		}
		blank := Blank(v, m)
		s, err := Decode("blank", blank, v, DecodeOptions{})
		if err != nil {
			if strings.Contains(err.Error(), "would be ambiguous") {
				t.Skip("numbers as names, crosswise")
			}
			t.Fatalf("Decode(Blank(%+v)) = error\n%v\n%s", m, err, blank)
		}
		got := s.Machine
		if got.Name != strings.TrimSpace(m.Name) || got.Strokes != m.Strokes || got.CarburetorKind != m.CarburetorKind ||
			!slices.Equal(got.Carburetors, m.Carburetors) || !slices.Equal(got.Cylinders, m.Cylinders) || !slices.Equal(got.Feeds, m.Feeds) {
			t.Errorf("Decode(Blank(%+v)) = %+v", m, got)
		}
		if len(s.Readings) != 0 || len(s.History) != 0 || len(s.Tried) != 0 || len(s.Notes) != 0 {
			t.Errorf("a blank sheet says something: %+v", s)
		}
	})
}

// TestBlankFilled fills a blank as a technician would, by writing behind the colons.
func TestBlankFilled(t *testing.T) {
	v := smallVocabulary(t)
	blank := string(Blank(v, Machine{Carburetors: []string{"left", "right"}}))
	for _, fill := range [][2]string{
		{"  starts_cold:     ", "  starts_cold: hard"},
		{"  fuel_overflow: {left:  ", "  fuel_overflow: {left: drips"},
		{"history: [  ", "history: [after-storage"},
		{"job:", "job: 1042"},
		{"notes: |\n", "notes: |\n  he says: it floods\n"},
	} {
		if strings.Count(blank, fill[0]) != 1 {
			t.Fatalf("the blank has %d of %q:\n%s", strings.Count(blank, fill[0]), fill[0], blank)
		}
		blank = strings.Replace(blank, fill[0], fill[1], 1)
	}
	s, err := Decode("s", []byte(blank), v, DecodeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := summary(s), "starts_cold@whole=hard fuel_overflow@left=drips"; got != want || s.Job != "1042" || len(s.Notes) != 1 || len(s.History) != 1 {
		t.Errorf("Decode(filled blank) = %s, job %q, notes %v, history %v; want %s", got, s.Job, s.Notes, s.History, want)
	}
}

// BenchmarkDecodeBlank decodes the longest sheet of daily use: a blank of the embedded
// vocabulary in which the choices are filled in.
func BenchmarkDecodeBlank(b *testing.B) {
	v, err := Default()
	if err != nil {
		b.Fatal(err)
	}
	sheet := string(Blank(v, Machine{Carburetors: []string{"left", "right"}}))
	for _, o := range v.All() {
		if o.Common && o.Where == Observed && o.About == WholeMachine && o.Kind == YesNo {
			sheet = strings.Replace(sheet, "  "+o.ID+": ", "  "+o.ID+": no ", 1)
		}
	}
	b.SetBytes(int64(len(sheet)))
	for b.Loop() {
		if _, err := Decode("s", []byte(sheet), v, DecodeOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
