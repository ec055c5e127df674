package main

import (
	"io"
	"strings"
	"testing"
)

// TestReckonAsks sits at a terminal and leaves out what is needed: the command asks for it, and asks again for a wrong answer.
func TestReckonAsks(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	master, tty := terminalPair(t, 80, 24)
	text := make(chan string)
	go func() {
		var b strings.Builder
		_, _ = io.Copy(&b, master) // ends with an error when the other side hangs up
		text <- b.String()
	}()
	if _, err := master.WriteString("tall\n22,5 mm\n21 mm\n\n\n\n\n"); err != nil {
		t.Fatal(err)
	}
	status := run([]string{"reckon", "float-level", "--colour", "never"}, tty, tty, tty)
	tty.Close()
	shown := strings.ReplaceAll(<-text, "\r\n", "\n")
	for _, want := range []string{
		"Valve just shut: what float height is measured? [mm] ",
		"  \"tall\" is not a number; write a number from 1 to 80 mm\n",
		"What float height does the book give, from the same datum? [mm] ",
		"  bowl-rim: float hinged in the bowl, from the rim down to the top of the float\n",
		"From where is the float height measured? [gasket-face or bowl-rim or bowl-floor; Enter: gasket-face] ",
		"- Fuel level: 1.12 mm lower than by the book",
	} {
		if !strings.Contains(shown, want) {
			t.Errorf("run(reckon float-level) at a terminal: status %d, shows\n%s\nwant %q in it", status, shown, want)
		}
	}
	if status != statusDone {
		t.Errorf("run(reckon float-level) at a terminal = %d; want 0", status)
	}
}

// TestReckonAskUnseen refuses to ask where the questions would go into the result.
func TestReckonAskUnseen(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	tty, _ := pseudoTerminal(t, 80, 24)
	defer tty.Close()
	var out, errs strings.Builder
	if got := run([]string{"reckon", "weather", "--ask"}, tty, &out, &errs); got != statusUsage || out.Len() > 0 || !strings.Contains(errs.String(), "would not be seen") {
		t.Errorf("run(reckon weather --ask) into a pipe = %d, %q, %q; want 2 and why", got, out.String(), errs.String())
	}
	out.Reset()
	errs.Reset()
	if got := run([]string{"reckon", "weather", "--ask", "--format", "json"}, tty, tty, &errs); got != statusUsage || !strings.Contains(errs.String(), "would stand in the json") {
		t.Errorf("run(reckon weather --ask --format json) = %d, %q; want 2 and why", got, errs.String())
	}
}
