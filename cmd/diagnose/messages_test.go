package main

import (
	"errors"
	"fmt"
	"strings"
	"syscall"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

func TestFinish(t *testing.T) {
	pos := symptoms.Position{File: "twin.yaml", Line: 12, Column: 3}
	tests := []struct {
		name   string
		err    error
		status int
		want   string
	}{
		{"nothing wrong", nil, statusDone, ""},
		{"any error", errors.New("twin.yaml: is broken"), statusError, "diagnose: twin.yaml: is broken\n"},
		{"error with a hint", trouble(errors.New("nothing there"), "look here"), statusError,
			"diagnose: nothing there\ndiagnose: hint: look here\n"},
		{"wrong use", usage("type this", "%q: no", "x"), statusUsage, "diagnose: \"x\": no\ndiagnose: hint: type this\n"},
		{"said already", silent(statusFindings), statusFindings, ""},
		{"several errors", errors.Join(errors.New("one"), trouble(errors.New("two"), "mend it")), statusError,
			"diagnose: one\ndiagnose: two\ndiagnose: hint: mend it\n"},
		{"reader of the pipe gone", fmt.Errorf("write: %w", syscall.EPIPE), statusDone, ""},
		{"fault of a sheet", symptoms.ErrorList{{Pos: pos, Offending: "flods", Message: `unknown observation "flods"`, Hint: `write "floods"`, Line: "  flods: yes"}},
			statusError,
			"diagnose: twin.yaml:12:3: unknown observation \"flods\"\n" +
				"diagnose:       flods: yes\n" +
				"diagnose:       ^^^^^\n" +
				"diagnose: hint: write \"floods\"\n"},
		{"mistakes in a pack", rules.ErrorList{
			{Pos: pos, ID: "float-leaks", Message: "no prior", Hint: "add prior"},
			{Pos: pos, Message: "unknown field", Line: "\tpriro: x"}},
			statusError,
			"diagnose: twin.yaml:12:3: float-leaks: no prior\n" +
				"diagnose: hint: add prior\n" +
				"diagnose: twin.yaml:12:3: unknown field\n" +
				"diagnose:      priro: x\n" +
				"diagnose:       ^\n"},
		{"orders to the terminal are shown", errors.New("\x1b[2Jgone.yaml: missing"), statusError, "diagnose: \uFFFD[2Jgone.yaml: missing\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var stdout, stderr strings.Builder
			a := newApp(nil, &stdout, &stderr)
			if got := a.finish(tt.err); got != tt.status {
				t.Errorf("finish(%v) = %d; want %d", tt.err, got, tt.status)
			}
			if got := stderr.String(); got != tt.want {
				t.Errorf("finish(%v) writes\n%s\nwant\n%s", tt.err, got, tt.want)
			}
			if stdout.Len() > 0 {
				t.Errorf("finish(%v) writes %q to standard output", tt.err, stdout.String())
			}
		})
	}
}

func TestFold(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"short", "one two", "one two"},
		{"at the limit", "four four1", "four four1"},
		{"over it", "four four four", "four four\nfour"},
		{"word too long", "a incomprehensibilities b", "a\nincomprehensibilities\nb"},
		{"spaces fall together", " a \n  b ", "a b"},
		{"wide letters count once", "mässig süß", "mässig süß"},
		{"empty", "", ""},
	}
	for _, tt := range tests {
		if got := fold(tt.text, 10); got != tt.want {
			t.Errorf("%s: fold(%q, 10) = %q; want %q", tt.name, tt.text, got, tt.want)
		}
	}
}
