package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// terminalPair opens a terminal of the given size: the side of whoever sits at it, and the side for a program.
func terminalPair(t *testing.T, columns, lines uint16) (master, tty *os.File) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	t.Cleanup(func() { master.Close() })
	if err := unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0); err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	number, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	if err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	tty, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	if err := unix.IoctlSetWinsize(int(tty.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Col: columns, Row: lines}); err != nil {
		t.Fatal(err)
	}
	return master, tty
}

// pseudoTerminal opens a terminal of the given size and returns the side for a program and a function that reads, from the
// other side, what was written.
func pseudoTerminal(t *testing.T, columns, lines uint16) (tty *os.File, written func() string) {
	t.Helper()
	master, tty := terminalPair(t, columns, lines)
	text := make(chan string)
	go func() {
		var b strings.Builder
		// Reading ends with an error when the other side is closed: that is how a terminal hangs up.
		_, _ = io.Copy(&b, master)
		text <- b.String()
	}()
	return tty, func() string {
		tty.Close()
		return <-text
	}
}

func TestScreen(t *testing.T) {
	tty, written := pseudoTerminal(t, 132, 43)
	defer written()
	if got, want := screenOf(tty), (screen{132, 43, true}); got != want {
		t.Errorf("screenOf(terminal) = %+v; want %+v", got, want)
	}
	t.Setenv("COLUMNS", "66")
	t.Setenv("LINES", "none")
	if got, want := screenOf(&strings.Builder{}), (screen{66, 24, false}); got != want {
		t.Errorf("screenOf(pipe) = %+v; want %+v", got, want)
	}
	zero, hangUp := pseudoTerminal(t, 0, 0)
	defer hangUp()
	if got, want := screenOf(zero), (screen{66, 24, true}); got != want {
		t.Errorf("screenOf(terminal that does not tell its size) = %+v; want %+v", got, want)
	}
}

func TestColourOnTerminal(t *testing.T) {
	tests := []struct {
		name string
		env  map[string]string
		args []string
		want bool
	}{
		{"by itself", nil, nil, true},
		{"NO_COLOR", map[string]string{"NO_COLOR": "1"}, nil, false},
		{"NO_COLOR and an order", map[string]string{"NO_COLOR": "1"}, []string{"--colour", "always"}, true},
		{"a dumb terminal", map[string]string{"TERM": "dumb"}, nil, false},
		{"not wanted", nil, []string{"--colour", "never"}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for name, value := range map[string]string{"NO_COLOR": "", "TERM": "xterm", "XDG_CONFIG_HOME": t.TempDir()} {
				t.Setenv(name, value)
			}
			for name, value := range tt.env {
				t.Setenv(name, value)
			}
			tty, written := pseudoTerminal(t, 80, 24)
			sheet := filepath.Join(root, "testdata", "sheets", "rider-only.yaml")
			var errs strings.Builder
			status := run(append([]string{"triage", sheet}, tt.args...), nil, tty, &errs)
			out := written()
			if status != statusDone || errs.Len() > 0 || !strings.Contains(out, "Likely causes") {
				t.Fatalf("triage on a terminal: status %d, %q, standard error %q", status, out, errs.String())
			}
			if got := strings.Contains(out, "\x1b["); got != tt.want {
				t.Errorf("colour: %t; want %t", got, tt.want)
			}
		})
	}
}
