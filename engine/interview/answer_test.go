package interview

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"diagnose.example/symptoms"
)

// question makes the question for an observation at the left of a twin.
func question(t testing.TB, talk *Talk, id string) *Question {
	t.Helper()
	o, ok := talk.set.Vocabulary.Lookup(id)
	if !ok {
		t.Fatalf("no observation %s", id)
	}
	q := talk.about(o, "")
	if o.About != symptoms.WholeMachine {
		q.Place, q.Places = "left", []string{"left", "right"}
		q.Pooled = talk.pooled(o)
	}
	talk.now.group = map[symptoms.Who]Group{symptoms.Rider: Rider, symptoms.LookOver: LookOver, symptoms.Running: Running, symptoms.Bench: Bench}[o.Who]
	talk.next, talk.asked = q, true
	return q
}

// written prints entries shortly.
func written(entries []symptoms.Entry) string {
	var out []string
	for _, e := range entries {
		where := e.Section
		if e.Place != "" {
			where = e.Place
		}
		out = append(out, where+" "+e.Answer)
	}
	return strings.Join(out, "; ")
}

func TestAnswer(t *testing.T) {
	tests := []struct{ name, id, typed, want string }{
		{"yes", "hard_to_start_cold", "yes", "observed yes"},
		{"a letter", "hard_to_start_cold", "Y", "observed yes"},
		{"no is written", "hard_to_start_cold", "n", "observed no"},
		{"nothing", "hard_to_start_cold", "", "observed unknown"},
		{"question mark", "hard_to_start_cold", "?", "observed unknown"},
		{"don't know", "hard_to_start_cold", "don't know", "observed unknown"},
		{"the word of the sheet", "idle_report", "unknown", "observed unknown"},
		{"unknown at one place", "plug_look", "left tan, right unknown", "left tan; right unknown"},
		{"rider says that he does not know", "spits_back", "Dont know", "somewhere unknown"},
		{"number of a word", "idle_report", "2", "observed uneven"},
		{"beginning of a word", "idle_report", "un", "observed uneven"},
		{"capitals", "idle_report", "Steady", "observed steady"},
		{"part of a word", "parked_leak", "shut", "observed with-tap-shut"},
		{"plain no to a question with words", "parked_leak", "no", "observed dry"},
		{"at the asked place", "plug_look", "tan", "left tan"},
		{"at all", "plug_look", "all tan", "left tan; right tan"},
		{"both", "plug_look", "both 3", "left sooty; right sooty"},
		{"at the other", "plug_look", "right sooty", "right sooty"},
		{"at each its own", "plug_look", "left tan, right so", "left tan; right sooty"},
		{"with colons", "plug_look", "left: tan, right: wet", "left tan; right wet"},
		{"rider knows where", "spits_back", "right", "right yes"},
		{"rider knows both", "spits_back", "left right", "left yes; right yes"},
		{"rider does not know where", "spits_back", "yes", "somewhere yes"},
		{"rider says no", "spits_back", "no", "every no"},
		{"rider does not know", "spits_back", "", "somewhere unknown"},
		{"rider tells each", "spits_back", "left no, right yes", "left no; right yes"},
		{"decimal comma", "fuel_level", "-22,5 mm", "left -22,5 mm"},
		{"bare number", "fuel_level", "-4", "left -4"},
		{"fraction of an inch", "float_height", "7/8 in", "left 7/8 in"},
		{"uncertainty", "float_height", "22 ± 1 mm", "left 22 ± 1 mm"},
		{"bound", "float_height", "> 20 mm", "left > 20 mm"},
		{"word of a band", "fuel_level", "much-too-h", "left much-too-high"},
		{"numbers at each", "float_height", "left 22 mm, right 23 mm", "left 22 mm; right 23 mm"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			talk := talkOn(t, strings.Replace(twin, "idle_report: uneven", "surges: no", 1))
			q := question(t, talk, tt.id)
			entries, err := talk.Answer(tt.typed)
			if err != nil {
				t.Fatalf("Answer(%q) to %q = %v", tt.typed, q.Text, err)
			}
			if got := written(entries); got != tt.want {
				t.Errorf("Answer(%q) = %s; want %s", tt.typed, got, tt.want)
			}
		})
	}
}

func TestAnswerRefused(t *testing.T) {
	tests := []struct{ name, id, typed, message, hint string }{
		{"word to yes or no", "hard_to_start_cold", "sometimes", `this is answered by yes or no, not "sometimes"`, "write yes or no"},
		{"no such number", "idle_report", "4", "there is no answer 4", "write a number from 1 to 3"},
		{"two words begin so", "plug_look", "w", `"w" may be wet or white`, "write a little more of it, or its number"},
		{"no is not the beginning of none", "bowl_drain", "no", `"no" is none of the answers`,
			"write a number from 1 to 3, or the beginning of an answer; nobody looked: an empty line"},
		{"yes does not choose", "bowl_drain", "Yes", `"Yes" does not say which`, "write a number from 1 to 3, or the beginning of an answer"},
		{"misspelt", "idle_report", "unevn", `"unevn" is none of the answers`,
			"did you mean uneven? Otherwise write a number from 1 to 3, or the beginning of an answer; anything else: note TEXT"},
		{"two of one", "idle_report", "1, 2", "this is answered by one word", "of several, write the one that stands first in the list"},
		{"wrong unit", "float_height", "3 bar", "this is a length, and bar measures a pressure", ""},
		{"out of range", "float_height", "220 mm", `"220 mm" is out of the plausible range, from 5 to 45 mm`, ""},
		{"no number", "float_height", "about so", "", ""},
		{"no such place", "plug_look", "middle tan", `"middle tan" is none of the answers`, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			talk := talkOn(t, strings.Replace(twin, "idle_report: uneven", "surges: no", 1))
			question(t, talk, tt.id)
			before := string(talk.Bytes())
			_, err := talk.Answer(tt.typed)
			var refused *Refused
			if !errors.As(err, &refused) {
				t.Fatalf("Answer(%q) = %v; want a refusal", tt.typed, err)
			}
			if tt.message != "" && refused.Message != tt.message || tt.hint != "" && refused.Hint != tt.hint {
				t.Errorf("Answer(%q) refused: %q, hint %q; want %q, hint %q", tt.typed, refused.Message, refused.Hint, tt.message, tt.hint)
			}
			if string(talk.Bytes()) != before {
				t.Errorf("Answer(%q) changed the sheet", tt.typed)
			}
		})
	}
}

// TestOpening answers the questions about the machine, the complaint and the history.
func TestOpening(t *testing.T) {
	talk, err := New(knowledge(t), "test.yaml", "7", Told{}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct{ typed, refused string }{
		{"twin: the blue one", ""},
		{"3", "an engine has 2 or 4 strokes"},
		{"", ""}, // the default
		{"two", "no number of cylinders"},
		{"9", "no number of cylinders"},
		{"2", ""},
		{"left right", ""},
		{"2", ""},
		{"", ""}, // nobody knows the tap
		{"99", "there is no answer 99"},
		{"idle", "may be"},
		{"stops when, smells", ""},
		{"came-on-suddenly, came-on-gradually", "exclude each other"},
		{"storage, sudden", ""},
	} {
		q, err := talk.Next()
		if err != nil {
			t.Fatal(err)
		}
		_, err = talk.Answer(step.typed)
		if got := fmt.Sprint(err); step.refused == "" && err != nil || !strings.Contains(got, step.refused) {
			t.Fatalf("Answer(%q) to %q = %v; want %q", step.typed, q.Text, err, step.refused)
		}
	}
	const want = `sheet: 1
job: "7"
machine:
  name: 'twin: the blue one'
  strokes: 4
  cylinders: 2
  carburetors: [left, right]
  carburetor_kind: constant-velocity
  tap_kind: unknown
history: [after-storage, came-on-suddenly]
observed:
  idle_report: dies
  fuel_smell: yes
`
	if got := string(talk.Bytes()); got != want {
		t.Errorf("the sheet is\n%s\nwant\n%s", got, want)
	}
}

// FuzzAnswer types anything at questions of every form: an answer is either refused and changes nothing, or can be decoded.
func FuzzAnswer(f *testing.F) {
	ids := []string{"hard_to_start_cold", "idle_report", "plug_look", "spits_back", "float_height", "outside_wet"}
	for i, typed := range []string{"yes", "un", "left tan, right so", "right", "7/8 in", "all dry", "22 ± 1 mm", "?", "> 3", "both"} {
		f.Add(i%len(ids), typed)
	}
	set := knowledge(f)
	f.Fuzz(func(t *testing.T, which int, typed string) {
		talk, err := Resume(set, "test.yaml", []byte(strings.Replace(twin, "idle_report: uneven", "surges: no", 1)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		question(t, talk, ids[(which%len(ids)+len(ids))%len(ids)])
		before := string(talk.Bytes())
		if _, err := talk.Answer(typed); err != nil {
			if string(talk.Bytes()) != before {
				t.Errorf("Answer(%q) = %v changed the sheet", typed, err)
			}
			return
		}
		if _, err := symptoms.Decode("test.yaml", talk.Bytes(), set.Vocabulary, symptoms.DecodeOptions{}); err != nil {
			t.Errorf("after Answer(%q): %v", typed, err)
		}
	})
}
