package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// session is one command shown in a document, with the output shown below it.
type session struct {
	line    int // of the command, from 1
	command string
	want    []string
}

// document is a file that shows commands.
type document struct {
	name string
	// mark opens a block of commands and their output, end closes it.
	mark, end *regexp.Regexp
	// prefix stands before each line of a block.
	prefix string
	// least is how many commands must be found at least.
	least int
}

func documents() []document {
	fence := regexp.MustCompile("^```$")
	console := regexp.MustCompile("^```console$")
	return []document{
		{"README.md", console, fence, "", 3},
		{"DEVELOPERS.md", console, fence, "", 1},
		// In a comment a block begins after an empty line and ends at one that is not indented.
		{"cmd/diagnose/doc.go", regexp.MustCompile(`^//$`), regexp.MustCompile(`^//( |$)`), "//\t", 6},
	}
}

// TestSessions runs every command shown in the documents, at the top of the repository, and compares what it writes with what
// is shown. With -update the documents are rewritten.
func TestSessions(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many commands as processes of their own")
	}
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell to run the commands in")
	}
	for _, doc := range documents() {
		t.Run(filepath.Base(doc.name), func(t *testing.T) {
			lines := strings.Split(readText(t, doc.name), "\n")
			found := sessions(lines, doc)
			if len(found) < doc.least {
				t.Fatalf("%s shows %d commands; want %d at least", doc.name, len(found), doc.least)
			}
			// From the last to the first, so that line numbers stay true while lines are replaced.
			for i := len(found) - 1; i >= 0; i-- {
				lines = doc.check(t, shell, lines, found[i])
			}
			if *update {
				write(t, doc.name, strings.Join(lines, "\n"))
			}
		})
	}
}

// sessions finds the commands of a document.
func sessions(lines []string, doc document) []session {
	var found []session
	inside := false
	for i, line := range lines {
		if !inside {
			inside = doc.mark.MatchString(line)
			continue
		}
		text, ok := strings.CutPrefix(line, doc.prefix)
		switch {
		case doc.end.MatchString(line):
			inside = doc.mark.MatchString(line)
		case ok && strings.HasPrefix(text, "$ "):
			found = append(found, session{line: i + 1, command: text[2:]})
		case ok && len(found) > 0:
			last := &found[len(found)-1]
			if last.line+len(last.want) == i {
				last.want = append(last.want, text)
			}
		}
	}
	return found
}

// check runs one command and returns the lines, with the real output in them when updating.
func (doc document) check(t *testing.T, shell string, lines []string, s session) []string {
	t.Helper()
	got := output(t, shell, s.command)
	if strings.Join(got, "\n") == strings.Join(s.want, "\n") {
		return lines
	}
	if !*update {
		t.Errorf("%s:%d: $ %s\ngot:\n%s\nwant:\n%s", doc.name, s.line, s.command, strings.Join(got, "\n"), strings.Join(s.want, "\n"))
		return lines
	}
	var out []string
	out = append(out, lines[:s.line]...)
	for _, line := range got {
		out = append(out, doc.prefix+line)
	}
	return append(out, lines[s.line+len(s.want):]...)
}

// output is what a command writes to standard output and standard error, line by line.
func output(t *testing.T, shell, command string) []string {
	t.Helper()
	// The test binary is the command: compiling it once more would show nothing else.
	command = strings.ReplaceAll(command, "go run ./cmd/diagnose", "diagnose")
	cmd := exec.Command(shell, "-c", command)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+t.TempDir(), "COLUMNS=80", "LINES=24")
	data, err := cmd.CombinedOutput()
	if err != nil && cmd.ProcessState == nil {
		t.Fatal(err)
	}
	text := strings.TrimRight(string(data), "\n")
	if text == "" {
		return nil
	}
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return lines
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(root, name), []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}
