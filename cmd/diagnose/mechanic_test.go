package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// mechanic types the answers of an interview: he reads what was asked last, and answers as the sheet of a bike says, or, where it
// says nothing, that all is well there. So a talk stays sensible when the knowledge changes what is asked.
type mechanic struct {
	knowledge *rules.Set
	bike      *symptoms.Sheet
	screen    *bytes.Buffer
	// opening are the answers to the questions about machine, complaint and history.
	opening []string
	// also are answers that the sheet does not have, by observation: what he would find if he looked.
	also map[string]string
	// before holds what he types before the answer to the prompt of that number, counted from one.
	before map[int][]string
	// cut is the number of the prompt at which he walks away; 0 for never.
	cut int

	prompts int
	read    int
	waiting []string
	last    *symptoms.Observation
}

// Read types one line.
func (m *mechanic) Read(p []byte) (int, error) {
	if len(m.waiting) == 0 {
		m.prompts++
		if m.prompts == m.cut {
			return 0, io.EOF
		}
		m.waiting = append(slices.Clone(m.before[m.prompts]), "")
	}
	line := m.waiting[0]
	m.waiting = m.waiting[1:]
	if len(m.waiting) == 0 {
		line = m.answer()
	}
	return copy(p, line+"\n"), nil
}

// asked is what came onto the screen since the last answer, without line breaks.
func (m *mechanic) asked() string {
	text := m.screen.String()[m.read:]
	m.read = m.screen.Len()
	return strings.Join(strings.Fields(text), " ")
}

func (m *mechanic) answer() string {
	text := m.asked()
	if len(m.opening) > 0 {
		line := m.opening[0]
		m.opening = m.opening[1:]
		return line
	}
	if strings.Contains(text, "That is all I would ask") {
		return ""
	}
	place := m.placeIn(text)
	for _, o := range m.knowledge.Vocabulary.All() {
		question := strings.NewReplacer("this carburetor", "a carburetor", "this cylinder", "a cylinder").Replace(o.Question)
		if strings.Contains(text, o.Question[1:]) || strings.Contains(text, question[1:]) {
			m.last = o
		}
	}
	return m.says(place)
}

var atPlace = regexp.MustCompile(`(?:^|[ .!])(?:(Left|Right)|(?:Carburetor|Cylinder) (\d))[:.?] `)

// placeIn is the place that is asked about.
func (m *mechanic) placeIn(text string) string {
	found := atPlace.FindAllStringSubmatch(text, -1)
	if len(found) == 0 {
		return ""
	}
	last := found[len(found)-1]
	return strings.ToLower(last[1] + last[2])
}

// says is what the bike's sheet says, at a place or of the machine, or else the normal answer.
func (m *mechanic) says(place string) string {
	if m.last == nil {
		return "?"
	}
	if answer, ok := m.also[m.last.ID]; ok {
		return answer
	}
	for _, r := range slices.Concat(m.bike.Machine.Facts, m.bike.Readings) {
		switch {
		case r.Observation != m.last:
		case r.Place == place || len(m.bike.Machine.Places(m.last.About)) < 2:
			return r.Value.Text
		case place == "" && m.last.Who == symptoms.Rider && r.Value.Yes:
			return r.Place
		}
	}
	if m.last.Kind == symptoms.Number || m.last.Normal == "" {
		return "?"
	}
	return m.last.Normal
}

// interviewed runs the mechanic over a sheet file and returns what he saw.
func interviewed(t *testing.T, m *mechanic, path string, flags ...string) string {
	t.Helper()
	m.screen = new(bytes.Buffer)
	var stderr bytes.Buffer
	if status := run(append([]string{"interview", path}, flags...), m, m.screen, &stderr); status != statusDone || stderr.Len() > 0 {
		t.Fatalf("run(interview) = %d, %s; want %d and nothing said\n%s", status, stderr.String(), statusDone, m.screen)
	}
	return m.screen.String()
}

// TestInterviewOfBikes interviews for three of the sample bikes, whose sheets give the answers, and compares the talk and the sheet with
// what was read and found good. Whatever the knowledge is: the true cause is among the first three in the end, nothing is
// refused but what was typed wrong on purpose, and no line is wider than it may be.
func TestInterviewOfBikes(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	tests := []struct {
		sheet, cause string
		width        int
		opening      []string
		also         map[string]string
		before       map[int][]string
		refused      int
		cut          int
	}{
		{sheet: "one-side-floods", cause: "float-seat-retainer-slack", width: 80,
			opening: []string{"parallel twin, 360 cm3", "", "2", "", "const", "grav", "leak open, smells, uses more", "1"},
			also:    map[string]string{"spot_under_it": "left", "seat_moves": "yes", "tank_feed": "gravity"},
			before: map[int][]string{7: {"why", "leaks like a sieve"}, 9: {"why", "perhaps"}, 10: {"so far", "note The old parts never flooded.", "help"},
				11: {"back"}}, refused: 2},
		{sheet: "single-height-too-low", cause: "float-set-low", width: 60,
			opening: []string{"single, 250 cm3", "", "", "slide", "grav", "fades", "rebuild"}},
		{sheet: "four-intake-leak", cause: "intake-air-leak", width: 72, cut: 15,
			opening: []string{"four in line, 550 cm3", "", "4", "4", "slide", "grav", "unevenly, choke", "work"}},
	}
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range tests {
		t.Run(tt.sheet, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(root, "testdata", "sheets", tt.sheet+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			bike, err := symptoms.Decode(tt.sheet, data, k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
			if err != nil {
				t.Fatal(err)
			}
			good, err := filepath.Abs(filepath.Join("testdata", "interview", tt.sheet+".golden"))
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(t.TempDir())
			path := "job-" + bike.Job + ".yaml"
			m := &mechanic{knowledge: k, bike: bike, opening: tt.opening, also: tt.also, before: tt.before, cut: tt.cut}
			flags := []string{"--width", strconv.Itoa(tt.width)}
			out := interviewed(t, m, path, flags...)
			if tt.cut > 0 {
				out += "\n=== cut off, and taken up again ===\n\n" + interviewed(t, &mechanic{knowledge: k, bike: bike}, path, flags...)
			}
			written, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			golden(t, good, out+"\n=== the sheet ===\n\n"+string(written))
			wantTalk(t, out, tt.refused, tt.width)
			wantFound(t, k, written, tt.cause)
		})
	}
}

// wantTalk counts what was refused and measures the lines.
func wantTalk(t *testing.T, out string, refused, width int) {
	t.Helper()
	got := 0
	for line := range strings.Lines(out) {
		line = strings.TrimRight(line, "\n")
		if strings.HasPrefix(line, "! ") {
			got++
		}
		if n := len([]rune(line)); n > width {
			t.Errorf("%d columns, want %d at most: %s", n, width, line)
		}
	}
	if got != refused {
		t.Errorf("%d answers were refused; want %d", got, refused)
	}
}

func wantFound(t *testing.T, k *rules.Set, written []byte, cause string) {
	t.Helper()
	sheet, err := symptoms.Decode("job.yaml", written, k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		t.Fatal(err)
	}
	d, err := engine.Diagnose(k, sheet, engine.Options{Explain: -1, Questions: -1})
	if err != nil {
		t.Fatal(err)
	}
	if i := slices.IndexFunc(d.Ranked, func(r *engine.Ranked) bool { return r.ID == cause }); i < 0 || i > 2 {
		t.Errorf("%s has rank %d; want 1 to 3\n%s", cause, i+1, written)
	}
}

// golden compares with a file of this package's testdata, which -update rewrites.
func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs (lines with - are gone, with + new):\n%s", path, lineDiff(string(want), got))
	}
}

// lineDiff lists the first lines at which two texts differ.
func lineDiff(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(w), len(g)) {
		if w[i] != g[i] {
			return "line " + strconv.Itoa(i+1) + "\n- " + w[i] + "\n+ " + g[i]
		}
	}
	return "one ends after " + strconv.Itoa(min(len(w), len(g))) + " lines"
}
