package symptoms

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// actions are the repairs and checks that the tests know.
var actions = []string{"clean-needle-valve", "renew-needle-valve", "balance-carburetors"}

// TestBadSheets compares the whole error text of each testdata/sheets/*.bad.yaml.
func TestBadSheets(t *testing.T) {
	v := smallVocabulary(t)
	for _, f := range readFiles(t, "testdata/sheets/*.bad.yaml") {
		t.Run(filepath.Base(f.Name), func(t *testing.T) {
			s, err := Decode(filepath.Base(f.Name), f.Data, v, DecodeOptions{Actions: actions})
			if err == nil {
				t.Fatalf("Decode = %+v; want an error", s)
			}
			checkErrors(t, err)
			golden(t, strings.TrimSuffix(f.Name, ".yaml")+".golden", err.Error()+"\n")
		})
	}
}

// summary writes what a sheet says, one reading a line.
func summary(s *Sheet) string {
	var b strings.Builder
	for _, r := range s.Readings {
		place := r.Place
		if r.Scope != At {
			place = r.Scope.String()
		}
		text := strings.Join(r.Value.Words, "+")
		switch r.Observation.Kind {
		case YesNo:
			text = fmt.Sprint(r.Value.Yes)
		case Number:
			text += fmt.Sprintf("[%.6g %.6g]", r.Value.Lo, r.Value.Hi)
		}
		fmt.Fprintf(&b, "%s@%s=%s ", r.Observation.ID, place, text)
	}
	return strings.TrimSpace(b.String())
}

var decodeTests = []struct{ name, sheet, want string }{
	{"nothing", "sheet: 1", ""},
	{"version in quotes", `sheet: "1"`, ""},
	{"all sections empty", "sheet: 1\njob:\nmachine:\nhistory:\nobserved:\nevery:\nsomewhere:\nat:\ntried:\nnotes:\n", ""},
	{"a bare no is an answer", "sheet: 1\nobserved:\n  smells_of_petrol: no", "smells_of_petrol@whole=false"},
	{"truth values", "sheet: 1\nobserved:\n  smells_of_petrol: true", "smells_of_petrol@whole=true"},
	{"unknown is no reading", "sheet: 1\nobserved: {smells_of_petrol: unknown, starts_cold: ~, tap_flow: null, fuel_overflow: }", ""},
	{"one carburetor under observed", "sheet: 1\nobserved: {fuel_overflow: dry, plug_face: wet}", "fuel_overflow@1=dry plug_face@1=wet"},
	{"one carburetor, every and somewhere", "sheet: 1\nevery: {fuel_overflow: dry}\nsomewhere: {plug_face: wet}", "fuel_overflow@1=dry plug_face@1=wet"},
	{"one carburetor for two cylinders",
		"sheet: 1\nmachine: {cylinders: 2, carburetors: 1}\nobserved: {fuel_overflow: dry}\nevery: {plug_face: tan}",
		"fuel_overflow@1=dry plug_face@1=tan plug_face@2=tan"},
	{"every is spread", "sheet: 1\nmachine: {carburetors: [left, right]}\nevery: {fuel_overflow: dry}", "fuel_overflow@left=dry fuel_overflow@right=dry"},
	{"at refines every",
		"sheet: 1\nmachine: {carburetors: 3}\nevery: {fuel_overflow: dry}\nat: {\"2\": {fuel_overflow: drips}}",
		"fuel_overflow@1=dry fuel_overflow@3=dry fuel_overflow@2=drips"},
	{"unknown takes every back", "sheet: 1\nmachine: {carburetors: 2}\nevery: {fuel_overflow: dry}\nat: {\"2\": {fuel_overflow: unknown}}", "fuel_overflow@1=dry"},
	{"an empty answer does not", "sheet: 1\nmachine: {carburetors: 2}\nevery: {fuel_overflow: dry}\nat: {\"2\": {fuel_overflow: }}",
		"fuel_overflow@1=dry fuel_overflow@2=dry"},
	{"somewhere", "sheet: 1\nmachine: {carburetors: 2}\nsomewhere: {fuel_overflow: drips}", "fuel_overflow@somewhere=drips"},
	{"somewhere with the normal word", "sheet: 1\nmachine: {carburetors: 2}\nsomewhere: {fuel_overflow: dry}", "fuel_overflow@somewhere=dry"},
	{"places under an observation",
		"sheet: 1\nmachine: {carburetors: [left, right]}\nobserved: {fuel_overflow: {left: drips, right: dry}, float_height: {left: , right: 22}}",
		"fuel_overflow@left=drips fuel_overflow@right=dry float_height@right=[0.022 0.022]"},
	{"cylinder by the name of its carburetor", "sheet: 1\nmachine: {cylinders: 2, carburetors: [left, right]}\nat: {right: {plug_face: wet}}", "plug_face@right=wet"},
	{"cylinder by its number", "sheet: 1\nmachine: {cylinders: 2, carburetors: [left, right]}\nat: {2: {plug_face: wet}}", "plug_face@right=wet"},
	{"carburetor by its cylinder's number", "sheet: 1\nmachine: {cylinders: 2, carburetors: [left, right]}\nat: {2: {fuel_overflow: dry}}", "fuel_overflow@right=dry"},
	{"a number that names both levels",
		"sheet: 1\nmachine: {cylinders: 4, carburetors: 2}\nat: {\"2\": {plug_face: wet, fuel_overflow: dry}}",
		"plug_face@2=wet fuel_overflow@2=dry"},
	{"carburetor with one cylinder among others",
		"sheet: 1\nmachine: {cylinders: 3, carburetors: [front, rear], feeds: {front: [1, 2], rear: 3}}\nat: {rear: {plug_face: wet}}",
		"plug_face@3=wet"},
	{"named cylinders", "sheet: 1\nmachine: {cylinders: [front, rear], carburetors: 1}\nat: {rear: {plug_face: wet}}", "plug_face@rear=wet"},
	{"feeds crosswise", "sheet: 1\nmachine: {carburetors: [left, right], feeds: {left: [2], right: [1]}}\nat: {1: {plug_face: wet}}", "plug_face@right=wet"},
	{"several words", "sheet: 1\nobserved: {idle_faults: [dies, hunts]}", "idle_faults@whole=hunts+dies"},
	{"several words as a text", "sheet: 1\nobserved:\n  idle_faults: dies, hunts", "idle_faults@whole=hunts+dies"},
	{"list of unknown", "sheet: 1\nobserved: {idle_faults: [unknown]}", ""},
	{"list of one", "sheet: 1\nobserved: {smells_of_petrol: [yes], starts_cold: [hard], tap_flow: [300]}",
		"smells_of_petrol@whole=true starts_cold@whole=hard tap_flow@whole=[5e-06 5e-06]"},
	{"numbers as YAML reads them", "sheet: 1\nobserved:\n  tap_flow: 1e3\nevery:\n  mixture_screw: .5\n",
		"tap_flow@whole=[1.66667e-05 1.66667e-05] mixture_screw@1=[0.5 0.5]"},
	{"octal is decimal", "sheet: 1\nobserved: {tap_flow: 0300}", "tap_flow@whole=[5e-06 5e-06]"},
	{"decimal comma in block style", "sheet: 1\nevery:\n  float_height: 22,5 mm", "float_height@1=[0.0225 0.0225]"},
	{"bound in quotes", "sheet: 1\nobserved: {tap_flow: \"> 300 ml/min\"}", "tap_flow@whole=[5e-06 +Inf]"},
	{"upper bound without quotes", "sheet: 1\nobserved: {tap_flow: < 300 ml/min}", "tap_flow@whole=[-Inf 5e-06]"},
	{"band's word for a number", "sheet: 1\nevery: {float_height: high}", "float_height@1=high[-Inf +Inf]"},
	{"JSON", `{"sheet": 1, "machine": {"carburetors": ["left", "right"]}, "at": {"left": {"fuel_overflow": "drips", "float_height": 22.5}}}`,
		"fuel_overflow@left=drips float_height@left=[0.0225 0.0225]"},
	{"JSON with tabs and truth values", "{\n\t\"sheet\": 1,\n\t\"observed\": {\"smells_of_petrol\": false, \"tap_flow\": null}\n}", "smells_of_petrol@whole=false"},
	{"byte order mark", "\ufeffsheet: 1\nobserved: {smells_of_petrol: no}", "smells_of_petrol@whole=false"},
	{"line ends of other systems", "sheet: 1\r\nobserved:\r\n  smells_of_petrol: no\r\n", "smells_of_petrol@whole=false"},
	{"comments", "# a sheet\nsheet: 1 # version\nobserved: # seen\n  smells_of_petrol: no # really", "smells_of_petrol@whole=false"},
	{"document marks", "%YAML 1.2\n---\nsheet: 1\nobserved: {smells_of_petrol: no}\n...\n", "smells_of_petrol@whole=false"},
}

func TestDecode(t *testing.T) {
	v := smallVocabulary(t)
	for _, tt := range decodeTests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Decode("s.yaml", []byte(tt.sheet), v, DecodeOptions{})
			if err != nil {
				t.Fatalf("Decode(%q) = error\n%v", tt.sheet, err)
			}
			if got := summary(s); got != tt.want {
				t.Errorf("Decode(%q) = %s; want %s", tt.sheet, got, tt.want)
			}
		})
	}
}

func TestDecodeMachine(t *testing.T) {
	tests := []struct {
		name, machine         string
		carburetors, cylinder []string
		feeds                 []int
		strokes               int
	}{
		{"nothing told", "{}", []string{"1"}, []string{"1"}, []int{0}, 4},
		{"two-stroke", "{strokes: 2}", []string{"1"}, []string{"1"}, []int{0}, 2},
		{"numbers", "{cylinders: 2, carburetors: 2}", []string{"1", "2"}, []string{"1", "2"}, []int{0, 1}, 4},
		{"one carburetor", "{cylinders: 2}", []string{"1"}, []string{"1", "2"}, []int{0, 0}, 4},
		{"cylinders take the names", "{cylinders: 2, carburetors: [left, right]}", []string{"left", "right"}, []string{"left", "right"}, []int{0, 1}, 4},
		{"cylinders left out", "{carburetors: [left, right]}", []string{"left", "right"}, []string{"left", "right"}, []int{0, 1}, 4},
		{"shared out in order", "{cylinders: 4, carburetors: [l, r]}", []string{"l", "r"}, []string{"1", "2", "3", "4"}, []int{0, 0, 1, 1}, 4},
		{"feeds", "{cylinders: 4, carburetors: [l, r], feeds: {l: [1, 4], r: [2, 3]}}", []string{"l", "r"}, []string{"1", "2", "3", "4"}, []int{0, 1, 1, 0}, 4},
		{"feeds give the cylinders", "{carburetors: [l, r], feeds: {l: [1, 2], r: 3}}", []string{"l", "r"}, []string{"1", "2", "3"}, []int{0, 0, 1}, 4},
		{"feeds crosswise", "{carburetors: [l, r], feeds: {l: 2, r: 1}}", []string{"l", "r"}, []string{"r", "l"}, []int{1, 0}, 4},
		{"feeds by name", "{cylinders: [a, b], carburetors: [l, r], feeds: {l: b, r: a}}", []string{"l", "r"}, []string{"a", "b"}, []int{1, 0}, 4},
		{"six", "{carburetors: 6}", numbers(6), numbers(6), []int{0, 1, 2, 3, 4, 5}, 4},
		{"one name", "{carburetors: [only], cylinders: unknown}", []string{"only"}, []string{"only"}, []int{0}, 4},
		{"names that YAML reads otherwise", "{carburetors: [no, 010]}", []string{"no", "010"}, []string{"no", "010"}, []int{0, 1}, 4},
	}
	v := smallVocabulary(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Decode("s.yaml", []byte("sheet: 1\nmachine: "+tt.machine), v, DecodeOptions{})
			if err != nil {
				t.Fatalf("Decode(machine: %s) = error %v", tt.machine, err)
			}
			m := s.Machine
			if !slices.Equal(m.Carburetors, tt.carburetors) || !slices.Equal(m.Cylinders, tt.cylinder) || !slices.Equal(m.Feeds, tt.feeds) || m.Strokes != tt.strokes {
				t.Errorf("Decode(machine: %s) = carburetors %q, cylinders %q, feeds %v, %d strokes; want %q, %q, %v, %d",
					tt.machine, m.Carburetors, m.Cylinders, m.Feeds, m.Strokes, tt.carburetors, tt.cylinder, tt.feeds, tt.strokes)
			}
			if len(m.Facts) < 3 || m.Facts[0].Value.Lo != float64(tt.strokes) || m.Facts[2].Value.Lo != float64(len(tt.carburetors)) {
				t.Errorf("Decode(machine: %s): facts %+v", tt.machine, m.Facts)
			}
		})
	}
}

func TestDecodeWhole(t *testing.T) {
	const sheet = `sheet: 1
job: "1042"
machine:
  name: "parallel twin, 360 cm3"
  strokes: 4
  cylinders: 2
  carburetors: [left, right]
  carburetor_kind: constant-velocity
  feeds: {left: [1], right: [2]}
  tap_kind: unknown
  spec:
    float_height: 21 mm
  spec.pilot_screw: 1 1/2
history: [after-rebuild]
observed:
  starts_cold: hard
at:
  left:
    fuel_overflow: pours
    notes: gasket wet
tried:
  - {did: clean-needle-valve, at: "1", after: no-change}
  - {did: balance-carburetors, after: cured-for-a-while}
notes: |
  rider: floods on the side stand
`
	s, err := Decode("1042.yaml", []byte(sheet), smallVocabulary(t), DecodeOptions{Actions: actions})
	if err != nil {
		t.Fatal(err)
	}
	if s.Path != "1042.yaml" || s.Job != "1042" || s.Machine.Name != "parallel twin, 360 cm3" || s.Machine.CarburetorKind != "constant-velocity" {
		t.Errorf("Decode: path %q, job %q, name %q, kind %q", s.Path, s.Job, s.Machine.Name, s.Machine.CarburetorKind)
	}
	var facts []string
	for _, f := range s.Machine.Facts {
		facts = append(facts, fmt.Sprintf("%s=%s%g", f.Observation.ID, strings.Join(f.Value.Words, ""), f.Value.Lo))
	}
	want := []string{"strokes=4", "cylinders=2", "carburetors=2", "carburetor_kind=constant-velocity0", "spec.float_height=0.021", "spec.pilot_screw=1.5"}
	if !slices.Equal(facts, want) {
		t.Errorf("Decode: facts %q; want %q", facts, want)
	}
	if !slices.Equal(s.History, []string{"after-rebuild"}) {
		t.Errorf("Decode: history %q", s.History)
	}
	if got := summary(s); got != "starts_cold@whole=hard fuel_overflow@left=pours" {
		t.Errorf("Decode: readings %s", got)
	}
	if got := s.Readings[1].Pos.String(); got != "1042.yaml:19:5" {
		t.Errorf("Decode: position %s; want 1042.yaml:19:5", got)
	}
	wantTried := []Tried{
		{"clean-needle-valve", "left", "no-change", Position{"1042.yaml", 22, 5}},
		{"balance-carburetors", "", "cured-for-a-while", Position{"1042.yaml", 23, 5}},
	}
	if !slices.Equal(s.Tried, wantTried) {
		t.Errorf("Decode: tried %+v; want %+v", s.Tried, wantTried)
	}
	wantNotes := []Note{{"left", "gasket wet"}, {"", "rider: floods on the side stand"}}
	if !slices.Equal(s.Notes, wantNotes) {
		t.Errorf("Decode: notes %+v; want %+v", s.Notes, wantNotes)
	}
}

func TestDecodeForms(t *testing.T) {
	v := smallVocabulary(t)
	for _, history := range []string{"after-storage", "[after-storage]", "\n- after-storage", "[after-storage, unknown, ~]"} {
		s, err := Decode("s", []byte("sheet: 1\nhistory: "+history), v, DecodeOptions{})
		if err != nil || !slices.Equal(s.History, []string{"after-storage"}) {
			t.Errorf("Decode(history: %s) = %v, %v", history, s, err)
		}
	}
	s, err := Decode("s", []byte("sheet: 1\ntried: {did: anything, after: Better}\nnotes: [one, two, 3]"), v, DecodeOptions{})
	if err != nil || len(s.Tried) != 1 || s.Tried[0].After != "better" || len(s.Notes) != 3 || s.Notes[2].Text != "3" {
		t.Errorf("Decode(tried and notes) = %+v, %v", s, err)
	}
}

// TestDecodeWholeFiles holds what cannot stand as a readable bad file.
func TestDecodeWholeFiles(t *testing.T) {
	v := smallVocabulary(t)
	tests := []struct{ name, data, want string }{
		{"empty", "", `s:1:1: the sheet is empty`},
		{"blank", " \n\n", `s:1:1: the sheet is empty`},
		{"comments only", "# nothing\n", `s:1:1: the sheet is empty`},
		{"null", "~", `s:1:1: the sheet is empty`},
		{"text", "hello", `s:1:1: a sheet is a map, not "hello"`},
		{"list", "- sheet: 1", `s:1:1: a sheet is a map, not a list`},
		{"2 MB", "sheet: 1\nnotes: " + strings.Repeat("x", 2<<20), `s: the file has 2097168 bytes; a sheet has at most 1048576 (1 MiB)`},
		{"binary", "sheet: 1\n\x00\x01\x02", `s:2:1: the control character U+0000 is not allowed`},
		{"Latin-1", "sheet: 1\nnotes: gro\xdf", `s:2:11: the byte 0xDF is not UTF-8 text`},
		{"UTF-16", "\xff\xfes\x00", "s:1:1: the byte 0xFF is not UTF-8 text\n    ��s�\n    ^\n  it looks like UTF-16: save the file as UTF-8 text"},
		{"escape sequence for the terminal", "sheet: 1\n\x1b[31m", `s:2:1: the control character U+001B is not allowed`},
		{"mark inside", "sheet: 1\nnotes: a\ufeffb", `s:2:9: the control character U+FEFF is not allowed`},
		{"two documents", "sheet: 1\n---\nsheet: 1\n", `s:2:1: a second document begins here`},
		{"YAML 1.2", "%YAML 1.2\n---\nsheet: 2\n", `s:3:8: the version of the sheet must be 1`},
		{"nested", "sheet: 1\nnotes: " + strings.Repeat("[", 40) + strings.Repeat("]", 40), `s:2:20: nested more than 12 deep`},
		{"deeply nested", strings.Repeat("[", 50000), `s:1:1: nested too deep`},
		{"deeply nested map", strings.Repeat("{a: ", 20000), `s:1:1: nested too deep`},
		{"JSON fault", "{\"sheet\": 1,\n \"job\": \"x\"\n \"notes\": 1}", `s:3:2: this is not JSON: invalid character '"' after object key:value pair`},
		{"JSON cut", `{"sheet": 1, "observed": {`, `s:1:26: this is not JSON: unexpected end of JSON input`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, err := Decode("s", []byte(tt.data), v, DecodeOptions{})
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("Decode = %+v, error\n%v\nwant\n%s", s, err, tt.want)
			}
		})
	}
}

// TestManyFaults: the report stays readable and short whatever the file.
func TestManyFaults(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("sheet: 1\nobserved:\n")
	for i := range 20000 {
		fmt.Fprintf(&b, "  nonsense_%d: 1\n", i)
	}
	_, err := Decode("s", b.Bytes(), smallVocabulary(t), DecodeOptions{})
	var list ErrorList
	if !errors.As(err, &list) || len(list) != maxFaults+1 || list[maxFaults].Message != "and 19900 more faults" {
		t.Fatalf("Decode of 20000 faults: %d faults", len(list))
	}
}

func TestJSONEscapes(t *testing.T) {
	s, err := Decode("s", []byte(`{"sheet": 1, "notes": "\ud83d\ude00 \u00b5 \/ \\ud83d\\ude00 \"x\""}`), smallVocabulary(t), DecodeOptions{})
	if want := "\U0001F600 µ / \\ud83d\\ude00 \"x\""; err != nil || s.Notes[0].Text != want {
		t.Errorf("Decode(JSON escapes) = %+v, %v; want note %q", s, err, want)
	}
}

func FuzzDecode(f *testing.F) {
	for _, tt := range decodeTests {
		f.Add([]byte(tt.sheet))
	}
	for _, file := range readFiles(f, "testdata/sheets/*.bad.yaml") {
		f.Add(file.Data)
	}
	for _, tt := range syntaxTests {
		f.Add([]byte(tt.text))
	}
	v := smallVocabulary(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Decode("fuzz.yaml", data, v, DecodeOptions{Actions: actions})
		if err != nil {
			checkErrors(t, err)
			return
		}
		again, err := Decode("fuzz.yaml", data, v, DecodeOptions{Actions: actions})
		if err != nil || !reflect.DeepEqual(again, s) {
			t.Errorf("decoded differently the second time: %v", err)
		}
		checkSheet(t, s)
	})
}

// checkSheet tests what holds for every sheet that was accepted.
func checkSheet(t *testing.T, s *Sheet) {
	t.Helper()
	m := &s.Machine
	if n := len(m.Carburetors); n < 1 || n > MaxCarburetors || len(m.Cylinders) < n || len(m.Cylinders) > MaxCylinders || len(m.Feeds) != len(m.Cylinders) {
		t.Errorf("machine %+v", m)
	}
	seen := map[string]bool{}
	for _, r := range s.Readings {
		place := r.Observation.ID + "\x00" + r.Scope.String() + "\x00" + r.Place
		if seen[place] {
			t.Errorf("%s read twice at %q", r.Observation.ID, r.Place)
		}
		seen[place] = true
		if (r.Scope == At) != slices.Contains(m.Places(r.Observation.About), r.Place) || (r.Observation.About == WholeMachine) != (r.Scope == Whole) {
			t.Errorf("%s: scope %v, place %q", r.Observation.ID, r.Scope, r.Place)
		}
		checkValue(t, r.Observation, r.Value.Text, r.Value)
	}
}

func BenchmarkDecode(b *testing.B) {
	v := smallVocabulary(b)
	sheet := []byte(`sheet: 1
job: "1042"
machine: {name: "twin", cylinders: 2, carburetors: [left, right], spec: {float_height: 21 mm}}
history: [after-rebuild]
observed: {starts_cold: hard, smells_of_petrol: yes, tap_flow: "< 200 ml/min", idle_speed: 1100 rpm}
every: {mixture_screw: 1 1/2 turns, plug_face: tan}
at:
  left: {fuel_overflow: pours, float_height: 22.5 mm, plug_face: wet}
  right: {fuel_overflow: dry, float_height: 21 ± 0.5 mm}
tried:
  - {did: clean-needle-valve, at: left, after: no-change}
notes: |
  floods on the side stand
`)
	b.SetBytes(int64(len(sheet)))
	for b.Loop() {
		if _, err := Decode("s", sheet, v, DecodeOptions{Actions: actions}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestDocumentedSheet decodes the sheet of the package comment with the embedded vocabulary.
func TestDocumentedSheet(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	comment := string(readFiles(t, "doc.go")[0].Data)
	_, sheet, _ := strings.Cut(comment, "//\n//\tsheet: 1\n")
	sheet, _, _ = strings.Cut(sheet, "//\n")
	sheet = "sheet: 1\n" + strings.ReplaceAll(sheet, "//\t", "")
	s, err := Decode("doc", []byte(sheet), v, DecodeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	const want = "fuel_smell@whole=true fuel_overflow@right=dry plug_look@somewhere=wet fuel_overflow@left=drips"
	if got := summary(s); got != want || len(s.Tried) != 1 || len(s.Notes) != 2 {
		t.Errorf("the documented sheet says %s, tried %v, notes %v; want %s", got, s.Tried, s.Notes, want)
	}
}
