package symptoms

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// decoded decodes a draft, which must be right at any moment.
func decoded(t interface{ Fatalf(string, ...any) }, d *Draft, v *Vocabulary) *Sheet {
	data, err := d.Bytes()
	if err != nil {
		t.Fatalf("Bytes() = %v", err)
	}
	s, err := Decode("draft.yaml", data, v, DecodeOptions{})
	if err != nil {
		t.Fatalf("Decode(%s) = %v", data, err)
	}
	return s
}

// TestDraftIsReadBack writes random answers of every form, in random order and twice over, and wants exactly them back.
func TestDraftIsReadBack(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	var observed []*Observation
	for _, o := range v.All() {
		if o.Where == Observed {
			observed = append(observed, o)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SampledFrom([][]string{{"left", "right"}, {"1", "2", "3"}, {"no", "null"}, {"a #b", "x: y"}}).Draw(t, "names")
		d := NewDraft()
		d.SetJob(rapid.SampledFrom([]string{"1042", "", "no", "A-7 \"x\""}).Draw(t, "job"))
		d.Set(Entry{"machine", "", "cylinders", fmt.Sprint(len(names))})
		d.SetNames("carburetors", names)
		want := map[string]string{}
		for range rapid.IntRange(0, 12).Draw(t, "answers") {
			o := rapid.SampledFrom(observed).Draw(t, "observation")
			e := Entry{Section: "observed", ID: o.ID, Answer: answerFor(o).Draw(t, "answer")}
			if o.About != WholeMachine {
				e.Section, e.Place = "at", rapid.SampledFrom(names).Draw(t, "place")
			}
			d.Set(e)
			want[e.ID+"@"+e.Place] = e.Answer
		}
		note := rapid.StringMatching(`[ -~µé]{0,30}`).Draw(t, "note")
		d.Note("", note)
		s := decoded(t, d, v)
		got := map[string]string{}
		for _, r := range s.Readings {
			got[r.Observation.ID+"@"+r.Place] = r.Value.Text
		}
		for key, text := range want {
			if text == "unknown" {
				delete(want, key)
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("read back %v; want %v", got, want)
		}
		if text := strings.TrimSpace(note); text != "" && (len(s.Notes) != 1 || s.Notes[0].Text != text) {
			t.Errorf("notes %+v; want %q", s.Notes, text)
		}
		if !slices.Equal(s.Machine.Carburetors, names) {
			t.Errorf("carburetors %q; want %q", s.Machine.Carburetors, names)
		}
	})
}

// answerFor draws an answer that fits an observation, as people write them.
func answerFor(o *Observation) *rapid.Generator[string] {
	switch o.Kind {
	case YesNo:
		return rapid.SampledFrom([]string{"yes", "no", "unknown"})
	case Choice:
		return rapid.SampledFrom(append(wordList(o), "unknown"))
	}
	middle := (o.Range[0] + o.Range[1]) / 2
	number := decimalText(middle)
	forms := []string{number + " " + o.Unit, strings.Replace(number, ".", ",", 1) + " " + o.Unit, number, "< " + number + " " + o.Unit, "> " + number,
		number + " ± " + decimalText((o.Range[1]-o.Range[0])/50) + " " + o.Unit, "unknown"}
	for i := range forms {
		forms[i] = strings.TrimSpace(forms[i])
	}
	return rapid.SampledFrom(forms)
}

// TestDraftKeepsWhatIsThere adds to sheets written by hand: everything else on them means the same, and comments stay.
func TestDraftKeepsWhatIsThere(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob("../testdata/sheets/*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("%d sheets, %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(filepath.Base(path), func(t *testing.T) {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			before, err := Decode(path, data, v, DecodeOptions{})
			if err != nil {
				t.Fatal(err)
			}
			d, err := ReadDraft(data)
			if err != nil {
				t.Fatal(err)
			}
			d.Set(Entry{Section: "observed", ID: "surges", Answer: "no"})
			d.Set(Entry{Section: "at", Place: before.Machine.Carburetors[0], ID: "gasket_holes", Answer: "yes"})
			d.Note("", "one line more")
			after := decoded(t, d, v)
			if got, want := len(after.Readings), len(before.Readings)+2; got != want {
				t.Errorf("%d readings; want %d", got, want)
			}
			for _, r := range before.Readings {
				if !slices.ContainsFunc(after.Readings, func(x Reading) bool {
					return x.Observation == r.Observation && x.Scope == r.Scope && x.Place == r.Place && x.Value.Text == r.Value.Text
				}) {
					t.Errorf("%s at %q: %s is lost", r.Observation.ID, r.Place, r.Value.Text)
				}
			}
			if got, want := len(after.Tried), len(before.Tried); got != want {
				t.Errorf("%d tried; want %d", got, want)
			}
			text, _ := d.Bytes()
			comment, _, _ := strings.Cut(string(data), "\n")
			if !strings.HasPrefix(string(text), comment) {
				t.Errorf("the comment %q is lost:\n%s", comment, text)
			}
			if !strings.Contains(string(text), "one line more") {
				t.Errorf("the note is lost:\n%s", text)
			}
		})
	}
}

// TestDraftFillsBlankSheet answers on the blank sheet that is printed and filled in by hand.
func TestDraftFillsBlankSheet(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	d, err := ReadDraft(Blank(v, Machine{Carburetors: []string{"left", "right"}}))
	if err != nil {
		t.Fatal(err)
	}
	if d.HasHistory() {
		t.Errorf("HasHistory() = true on a blank sheet; want false: nobody asked")
	}
	d.SetHistory(nil)
	if !d.HasHistory() {
		t.Errorf("HasHistory() = false after SetHistory(nil); want true: somebody asked")
	}
	d.SetHistory([]string{"after-storage"})
	d.Set(Entry{"at", "left", "fuel_overflow", "drips"})
	d.Set(Entry{"observed", "", "idle_report", "unknown"})
	s := decoded(t, d, v)
	if len(s.Readings) != 1 || s.Readings[0].Place != "left" || len(s.History) != 1 {
		t.Errorf("readings %+v, history %v; want one reading at left, one word", s.Readings, s.History)
	}
	want := []Entry{{"observed", "", "idle_report", "unknown"}, {"at", "left", "fuel_overflow", "drips"}}
	var got []Entry
	for _, e := range d.Entries() {
		if e.Section != "machine" {
			got = append(got, e)
		}
	}
	if !slices.Equal(got, want) && !slices.Equal(got, []Entry{want[1], want[0]}) {
		t.Errorf("Entries() = %v; want %v", got, want)
	}
}
