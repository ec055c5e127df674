package report

import (
	"strconv"
	"testing"

	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// at makes the places of a cause from their names and probabilities, likeliest first.
func causesAt(names []string, p ...float64) []*engine.Cause {
	out := make([]*engine.Cause, len(names))
	for i, n := range names {
		out[i] = &engine.Cause{Cause: &rules.Cause{}, Place: engine.Place{Level: symptoms.Carburetor, Name: n}, Probability: p[i]}
	}
	return out
}

func TestPlaceList(t *testing.T) {
	numbers := []string{"1", "2", "3", "4", "5", "6"}
	cases := []struct {
		name   string
		places []*engine.Cause
		room   int
		want   string
	}{
		{"a pair", causesAt([]string{"left", "right"}, 0.86, 0.03), 60, "left 86 %, right 3 %"},
		{"a pair, no room", causesAt([]string{"left", "right"}, 0.86, 0.03), 10, "left 86 %, the other 3 %"},
		{"a pair alike", causesAt([]string{"left", "right"}, 0.281, 0.279), 60, "carburetors 28 % each"},
		{"numbers share their word", causesAt(numbers[:2], 0.6, 0.2), 60, "carburetor 1: 60 %, 2: 20 %"},
		{"the rest alike", causesAt(numbers[:4], 0.95, 0.02, 0.001, 0.002), 60, "carburetor 1: 95 %, 2: 2 %, others under 1 %"},
		{"six of them", causesAt(numbers, 0.6, 0.2, 0.1, 0.05, 0.03, 0.02), 80, "carburetor 1: 60 %, 2: 20 %, 3: 10 %, 4: 5 %, 5: 3 %, 6: 2 %"},
		{"six, little room", causesAt(numbers, 0.6, 0.2, 0.1, 0.05, 0.03, 0.02), 50, "carburetor 1: 60 %, 2: 20 %, others 10 % or less"},
		{"only one place", causesAt([]string{"left"}, 0.6), 60, "left 60 %"},
		{"the machine", []*engine.Cause{{Cause: &rules.Cause{}}}, 60, ""},
	}
	v := newView(&engine.Diagnosis{Sheet: &symptoms.Sheet{Machine: symptoms.Machine{Carburetors: numbers}}}, nil, Style{})
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := spaced(v.placeList(&engine.Ranked{Places: c.places}, c.room)); got != c.want {
				t.Errorf("placeList(%d columns) = %q; want %q", c.room, got, c.want)
			}
		})
	}
}

// TestPlaceBesideReason holds to it that no place where the cause is likely is left out for the sake of a reason.
func TestPlaceBesideReason(t *testing.T) {
	numbers := []string{"1", "2", "3", "4"}
	cases := []struct {
		name   string
		places []*engine.Cause
		width  int
		want   string
	}{
		{"one likely", causesAt([]string{"2", "3"}, 0.99, 0.03), 80, "carburetor 2: 99 %; the header stays cold (twice)"},
		{"two likely", causesAt([]string{"2", "3", "1"}, 0.99, 0.33, 0.01), 80, "carburetor 2: 99 %, 3: 33 %; the header stays cold (twice)"},
		{"two likely, little room", causesAt([]string{"2", "3", "1"}, 0.99, 0.33, 0.01), 46, "carburetor 2: 99 %, 3: 33 %; the header ..."},
		{"two likely, less room", causesAt([]string{"2", "3", "1"}, 0.99, 0.33, 0.01), 42, "carburetor 2: 99 %, 3: 33 %, 1: 1 %"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			style := Style{Width: c.width}
			s := &screen{view: newView(&engine.Diagnosis{Sheet: &symptoms.Sheet{Machine: symptoms.Machine{Carburetors: numbers}}}, nil, style)}
			s.placeAndReason("", &engine.Ranked{Places: c.places}, "the header stays cold", " (twice)")
			if got := spaced(joinedLines([][]span{s.lines[0].spans})); got != c.want {
				t.Errorf("placeAndReason(%d columns) = %q; want %q", c.width, got, c.want)
			}
		})
	}
}

// TestNoteWithoutHalfARemedy holds to it that a note of one line leaves out a remedy that it would have to cut.
func TestNoteWithoutHalfARemedy(t *testing.T) {
	cases := []struct {
		name, remedy, want string
		lines              int
	}{
		{"room", "ask more", "only one answer bears on a cause; ask more", 1},
		{"no room", "begin with stops_while_running: Does it stop by itself?", "only one answer bears on a cause", 1},
		{"two lines", "begin with stops: Does it stop by itself?", "only one answer bears on a cause; begin with stops: Does it stop by itself?", 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d := &engine.Diagnosis{Sheet: &symptoms.Sheet{}, Warnings: []engine.Warning{{Kind: engine.LittleSaid, Text: "only one answer bears on a cause", Remedy: c.remedy}}}
			s := &screen{view: newView(d, nil, Style{Width: 60}), cut: cut{warnings: 1, warningLines: c.lines}}
			s.warnings()
			var spans []span
			for i, l := range s.lines {
				if i > 0 {
					spans = append(spans, text(" "))
				}
				spans = append(spans, l.spans...)
			}
			if got := spaced(joinedLines([][]span{spans})); got != c.want {
				t.Errorf("warnings() in %d lines = %q; want %q", c.lines, got, c.want)
			}
		})
	}
}

func TestAnswerSpans(t *testing.T) {
	yesNo := symptoms.Observation{ID: "fuel_smell", Where: symptoms.Observed, Kind: symptoms.YesNo}
	level := symptoms.Observation{ID: "fuel_level", Where: symptoms.Observed, About: symptoms.Carburetor, Kind: symptoms.Number, Unit: "mm"}
	words := symptoms.Observation{
		ID: "tap_kind", Where: symptoms.Fact, Kind: symptoms.Choice, Words: []symptoms.Word{{Word: "manual"}, {Word: "vacuum"}},
	}
	spec := symptoms.Observation{ID: "spec.fuel_level", Where: symptoms.Fact, About: symptoms.Carburetor, Kind: symptoms.Number, Unit: "mm"}
	history := symptoms.Observation{ID: "after-rebuild", Where: symptoms.History}
	cases := []struct {
		name        string
		carburetors []string
		o           symptoms.Observation
		place, want string
	}{
		{"about the machine", []string{"left", "right"}, yesNo, "", "fuel_smell: yes|no (under observed:)"},
		{"at a carburetor", []string{"left", "right"}, level, "left", "fuel_level: __ mm (under at: left:)"},
		{"at a numbered one", []string{"1", "2"}, level, "2", `fuel_level: __ mm (under at: "2":)`},
		{"at all", []string{"1", "2"}, level, "", "fuel_level: __ mm (under every:)"},
		{"single", []string{"1"}, level, "1", "fuel_level: __ mm (under observed:)"},
		{"fact", []string{"1"}, words, "", "tap_kind: manual|vacuum (under machine:)"},
		{"specification", []string{"1"}, spec, "", "fuel_level: __ mm (under machine: spec:)"},
		{"history", []string{"1"}, history, "", "after-rebuild (in the list history:)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			v := newView(&engine.Diagnosis{Sheet: &symptoms.Sheet{Machine: symptoms.Machine{Carburetors: c.carburetors}}}, nil, Style{})
			q := engine.Question{Observation: &c.o, Place: engine.Place{Level: c.o.About, Name: c.place}}
			if got := joinedLines([][]span{v.answerSpans(q)}); got != c.want {
				t.Errorf("answerSpans = %q; want %q", got, c.want)
			}
		})
	}
	t.Run("computed from others", func(t *testing.T) {
		v := newView(&engine.Diagnosis{Sheet: &symptoms.Sheet{Machine: symptoms.Machine{Carburetors: []string{"left", "right"}}}}, nil, Style{})
		q := engine.Question{Observation: &level, Place: engine.Place{Level: symptoms.Carburetor, Name: "left"}, Write: []*symptoms.Observation{&yesNo, &spec}}
		want := "fuel_smell: yes|no (under observed:), fuel_level: __ mm (under machine: spec:)"
		if got := joinedLines([][]span{v.answerSpans(q)}); got != want {
			t.Errorf("answerSpans = %q; want %q", got, want)
		}
	})
}

// TestSheetKeyReadsBack: whatever a place is called, YAML reads the printed key as that name.
func TestSheetKeyReadsBack(t *testing.T) {
	check := func(t rapid.TB, name string) {
		var got map[string]int
		line := sheetKey(name) + ": 1"
		if err := yaml.Unmarshal([]byte(line), &got); err != nil {
			t.Fatalf("sheetKey(%q): YAML cannot read %q: %v", name, line, err)
		}
		if got[oneLine(name)] != 1 {
			t.Fatalf("sheetKey(%q): YAML reads %q as %v", name, line, got)
		}
	}
	for _, name := range []string{"left", "2", "yes", "no", "NO", "null", "a: b", "# x", `"`, `\`, "宮", "-", "1e3", "~", "<<", "{a}", "0x1f", "links oben", ""} {
		t.Run(strconv.Quote(name), func(t *testing.T) { check(t, name) })
	}
	rapid.Check(t, func(t *rapid.T) { check(t, rapid.String().Draw(t, "name")) })
}
