package report

import (
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// TestFirstScreenFits holds for diagnoses of every shape, at the usual and at a narrow width: the lines leave one free for the
// prompt, none is too wide, every stop notice is there and comes first, and the last line is the one about local codes.
func TestFirstScreenFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw{t}.diagnosis()
		width := rapid.SampledFrom([]int{80, 60}).Draw(t, "width")
		got := string(written(t, func(w io.Writer) error { return Text(w, d, nil, Style{Width: width}) }))
		lines := strings.Split(strings.TrimSuffix(got, "\n"), "\n")
		if len(lines) > 23 {
			t.Fatalf("Text at %d columns has %d lines; want at most 23:\n%s", width, len(lines), got)
		}
		checkWidths(t, got, width)
		checkStops(t, d, lines)
		if last := lines[len(lines)-1]; last != localCodes {
			t.Fatalf("last line = %q; want %q", last, localCodes)
		}
	})
}

func checkWidths(t *rapid.T, text string, columns int) {
	t.Helper()
	for line := range strings.Lines(text) {
		if n := width(strings.TrimSuffix(line, "\n")); n > columns {
			t.Fatalf("line %q has %d columns; want at most %d", line, n, columns)
		}
	}
}

// checkStops wants one line for each kind of notice before anything else.
func checkStops(t *rapid.T, d *engine.Diagnosis, lines []string) {
	t.Helper()
	kinds := map[string]bool{}
	for _, s := range d.Stops {
		kinds[s.ID] = true
	}
	found := 0
	for _, l := range lines {
		if strings.HasPrefix(l, "STOP:") {
			found++
		}
	}
	if found != len(kinds) {
		t.Fatalf("%d stop notices shown; want %d:\n%s", found, len(kinds), strings.Join(lines, "\n"))
	}
	if len(kinds) > 0 && !strings.HasPrefix(lines[0], "STOP:") {
		t.Fatalf("first line = %q; want a stop notice", lines[0])
	}
}

// TestFullTextFitsItsWidth: the details may be long, but never wide.
func TestFullTextFitsItsWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw{t}.diagnosis()
		columns := rapid.SampledFrom([]int{80, 60, 40, 132}).Draw(t, "width")
		got := string(written(t, func(w io.Writer) error { return Text(w, d, nil, Style{Width: columns, Details: Full}) }))
		checkWidths(t, got, columns)
	})
}

// TestCautionStandsWithTheWork: what the first screen tells to do is never without its whole caution.
func TestCautionStandsWithTheWork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw{t}.diagnosis()
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		got := squeeze(string(written(t, func(w io.Writer) error { return Text(w, d, nil, Style{}) })))
		wants := map[string]string{}
		if len(d.Checks) > 0 {
			wants["Nextcheck:"], wants["Orcheckfirst:"] = d.Checks[0].Caution, d.Checks[0].Caution
		}
		if len(d.Repairs) > 0 {
			wants["Likeliestrepair:"] = d.Repairs[0].Caution
		}
		if r, ok := newView(d, nil, Style{}).likelyRepair(); ok {
			wants["Likelyrepair:"] = r.Caution
		}
		for work, caution := range wants {
			if strings.Contains(got, work) && !strings.Contains(got, squeeze(caution)) {
				t.Fatalf("first screen has %q without its caution %q: %s", work, caution, got)
			}
		}
	})
}

// TestFirstScreenWithEndlessCaution: a caution is never cut, so work whose caution leaves no room for the rest is not told at all, and what a
// stop notice says goes before work.
func TestFirstScreenWithEndlessCaution(t *testing.T) {
	caution := func(words int) string { return strings.Repeat("supercalifragilisticexpialidocious ", words) }
	repair := func(words int) engine.Repair {
		return engine.Repair{Repair: &rules.Repair{ID: "repair", Title: "Clean it", Minutes: 30, Caution: caution(words)}}
	}
	check := func(words int) engine.Check {
		return engine.Check{Check: &rules.Check{ID: "check", Title: "Look at it", Minutes: 5, Caution: caution(words)}}
	}
	tests := []struct {
		name   string
		width  int
		change func(*engine.Diagnosis)
		told   bool
	}{
		{"repair after stops, narrow, too long", 60, func(d *engine.Diagnosis) { d.Checks, d.Repairs = nil, []engine.Repair{repair(13)} }, false},
		{"repair after stops, narrow, just fits", 60, func(d *engine.Diagnosis) { d.Checks, d.Repairs = nil, []engine.Repair{repair(12)} }, true},
		{"check after stops, usual width", 80, func(d *engine.Diagnosis) { d.Checks = []engine.Check{check(26)} }, false},
		{"check after stops, usual width, just fits", 80, func(d *engine.Diagnosis) { d.Checks = []engine.Check{check(25)} }, true},
	}
	for _, test := range tests {
		d := nothingObserved(t)
		d.Stops = []engine.Stop{{Stop: &rules.Stop{ID: "one", Title: "Fuel runs out", Do: "Close the tap."}},
			{Stop: &rules.Stop{ID: "two", Title: "No brakes", Do: "Push it."}}}
		test.change(d)
		got := string(written(t, func(w io.Writer) error { return Text(w, d, nil, Style{Width: test.width}) }))
		if n := strings.Count(got, "\n"); n > 23 {
			t.Errorf("%s: Text has %d lines; want at most 23:\n%s", test.name, n, got)
		}
		if !strings.Contains(got, "Close the tap.") || !strings.Contains(got, "Push it.") {
			t.Errorf("%s: work has taken the room of what the stop notices say:\n%s", test.name, got)
		}
		if told := strings.Contains(got, "! Caution:"); told != test.told || strings.Contains(got, workElsewhere) == test.told {
			t.Errorf("%s: the work is told: %t; want %t:\n%s", test.name, told, test.told, got)
		}
	}
}

func TestTopAsksForALongerList(t *testing.T) {
	d := &engine.Diagnosis{Sheet: nothingObserved(t).Sheet}
	for range 20 {
		d.Ranked = append(d.Ranked, &engine.Ranked{Cause: &rules.Cause{ID: "x", Title: "Some cause"}, Anywhere: 0.3})
	}
	for top, want := range map[int]int{0: 5, 1: 1, 3: 3, 12: 12, 50: 20} {
		got := strings.Count(string(written(t, func(w io.Writer) error { return Text(w, d, nil, Style{Top: top}) })), "Some cause")
		if got != want {
			t.Errorf("Text with Top %d lists %d causes; want %d", top, got, want)
		}
	}
}

// TestColourChangesNoLetter: without the escape sequences the coloured text is the plain one.
func TestColourChangesNoLetter(t *testing.T) {
	k := knowledge(t)
	for _, sp := range specimens {
		for _, mode := range []DetailMode{Brief, Full} {
			d := sp.make(t)
			plain := string(written(t, func(w io.Writer) error { return Text(w, d, k, Style{Details: mode}) }))
			coloured := string(written(t, func(w io.Writer) error { return Text(w, d, k, Style{Details: mode, Colour: ANSI}) }))
			if got := bare(coloured); got != plain {
				t.Errorf("%s: coloured text without its sequences differs from the plain one first in %q", sp.name, firstDifference(got, plain))
			}
			if coloured == plain {
				t.Errorf("%s: no letter is coloured", sp.name)
			}
		}
	}
}

// firstDifference returns the first line of got that is not in want at the same place.
func firstDifference(got, want string) string {
	lines := strings.Split(want, "\n")
	for i, l := range strings.Split(got, "\n") {
		if i >= len(lines) || l != lines[i] {
			return l
		}
	}
	return ""
}

// bare takes out the sequences that this package writes.
func bare(s string) string {
	return strings.NewReplacer("\x1b[0m", "", "\x1b[1m", "", "\x1b[2m", "", "\x1b[36m", "").Replace(s)
}

func BenchmarkFirstScreen(b *testing.B) {
	k := knowledge(b)
	d := oneSideFloods(b)
	for b.Loop() {
		if err := Text(io.Discard, d, k, Style{}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestOpenQuestions: what the next check observes is not asked for beside it, whether the check counts on it or not.
func TestOpenQuestions(t *testing.T) {
	clamp, caps, smoke := &symptoms.Observation{ID: "clamp"}, &symptoms.Observation{ID: "caps"}, &symptoms.Observation{ID: "smoke"}
	d := &engine.Diagnosis{
		Checks:  []engine.Check{{Check: &rules.Check{ID: "feel", Observes: []string{"clamp", "caps"}}, Questions: []engine.Question{{Observation: clamp}}}},
		Unasked: []engine.Question{{Observation: caps}, {Observation: clamp}, {Observation: smoke}, {Observation: smoke}},
	}
	list := (&view{d: d}).openQuestions()
	if len(list) != 1 || list[0].Observation != smoke {
		t.Errorf("openQuestions() = %v; want smoke alone", list)
	}
}
