package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// talk runs an interview with what is typed and returns what it writes.
func talk(t *testing.T, sheet, typed string, flags ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	status := run(append([]string{"interview", sheet}, flags...), strings.NewReader(typed), &stdout, &stderr)
	if status != statusDone || stderr.Len() > 0 {
		t.Fatalf("run(interview %s) = %d, %s; want %d and nothing said", sheet, status, stderr.String(), statusDone)
	}
	return stdout.String()
}

// TestInterviewWordsAreFree wants no answer of the vocabulary to be one of the orders of an interview.
func TestInterviewWordsAreFree(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	orders := []string{"back", "undo", "why", "later", "skip", "stop", "quit", "end", "help", "note", "more", "ranking"}
	for _, o := range k.Vocabulary.All() {
		if o.Kind == symptoms.YesNo {
			continue
		}
		for _, w := range o.Words {
			if slices.Contains(orders, w.Word) {
				t.Errorf("%s: the answer %q is an order too", o.ID, w.Word)
			}
		}
	}
}

// TestInterviewAtEveryMoment cuts an interview off after each of its lines and wants a sheet that can be decoded, and that holds one
// answer more at most than the one before; and no file left beside it.
func TestInterviewAtEveryMoment(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	lines := []string{"twin", "", "2", "", "slide", "gravity", "leak open", "none", "left", "note it drips", "no", "no"}
	before := 0
	for n := range len(lines) + 1 {
		dir := t.TempDir()
		path := filepath.Join(dir, "job.yaml")
		talk(t, path, strings.Join(lines[:n], "\n")+"\n")
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := symptoms.Decode(path, data, k.Vocabulary, symptoms.DecodeOptions{})
		if err != nil {
			t.Fatalf("after %d lines: %v", n, err)
		}
		if got := len(sheet.Readings); got < before || got > before+1 {
			t.Errorf("after %d lines %d readings; want %d or one more", n, got, before)
		}
		before = len(sheet.Readings)
		if entries, err := os.ReadDir(dir); err != nil || len(entries) != 1 {
			t.Errorf("after %d lines the folder holds %v, %v; want the sheet alone", n, entries, err)
		}
	}
}

// TestInterviewBackIsAPlace names a carburetor like an order.
func TestInterviewBackIsAPlace(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	path := filepath.Join(t.TempDir(), "job.yaml")
	out := talk(t, path, "slide\ngravity\nleak open\nnone\nback\n", "--name", "twin", "--strokes", "4", "--cylinders", "2", "--carburetors", "front,back")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(data), "back:\n    spot_under_it: yes") {
		t.Errorf("the sheet is\n%s\nwant a spot under back; the talk was\n%s", data, out)
	}
}

// TestInterviewShowsNoControlCharacters types an escape sequence into everything that is kept or repeated.
func TestInterviewShowsNoControlCharacters(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	path := filepath.Join(t.TempDir(), "job.yaml")
	out := talk(t, path, "\x1b[31mred\nnote \x1b[2J\n\x1b[1m\nstop\n")
	if strings.ContainsRune(out, '\x1b') {
		t.Errorf("an escape character comes through: %q", out)
	}
}

// TestInterviewEndFits wants the end of a talk, the line about the sheet included, to leave the last of 24 lines for the prompt.
func TestInterviewEndFits(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	for _, width := range []string{"60", "80"} {
		t.Chdir(t.TempDir())
		path := "a-job-with-a-name-that-takes-a-line-of-its-own.yaml"
		out := talk(t, path, "twin\n4\n2\nleft, right\nslide\ngravity\n1 17\nnone\nstop\n", "--width", width)
		_, end, ok := strings.Cut(out, "> stop\n\n")
		if n := strings.Count(end, "\n"); !ok || n > 23 {
			t.Errorf("at %s columns the end has %d lines; want 23 at most:\n%s", width, n, end)
		}
	}
}

// TestInterviewCounts wants one answer to be one.
func TestInterviewCounts(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	path := filepath.Join(t.TempDir(), "job.yaml")
	writeFile(t, path, "sheet: 1\nobserved: {idle_report: dies}\n")
	if out, want := talk(t, path, "", "--width", "200"), ": 1 answer is on it.\n"; !strings.Contains(out, want) {
		t.Errorf("going on says\n%s\nwant %q in it", out, want)
	}
}
