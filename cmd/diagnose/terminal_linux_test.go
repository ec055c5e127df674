package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
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

// TestInterviewInterrupted types Ctrl-C at a question: what was answered is on the sheet, the way on is told, and the terminal is as it
// was.
func TestInterviewInterrupted(t *testing.T) {
	master, tty := terminalPair(t, 60, 24)
	before, err := unix.IoctlGetTermios(int(tty.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	cmd := exec.Command("diagnose", "interview", "job-7.yaml")
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "XDG_CONFIG_HOME="+t.TempDir())
	cmd.Stdin, cmd.Stdout, cmd.Stderr = tty, tty, tty
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	tty.Close() // so that reading ends when the program does
	defer cmd.Process.Kill()
	written(t, master, "> ")
	for _, typed := range []string{"twin of the neighbour\n", "4\n"} {
		if _, err := master.WriteString(typed); err != nil {
			t.Fatal(err)
		}
		written(t, master, "> ")
	}
	if _, err := master.WriteString("half an ans\x03"); err != nil {
		t.Fatal(err)
	}
	got := written(t, master, "diagnose: hint: to go on: diagnose interview job-7.yaml\r\n")
	if want := "\r\ndiagnose: interrupted; every answer so far is on job-7.yaml\r\n"; !strings.Contains(got, want) {
		t.Errorf("Ctrl-C writes %q; want %q in it", got, want)
	}
	if err := cmd.Wait(); cmd.ProcessState.ExitCode() != statusError {
		t.Errorf("Ctrl-C ends with %v; want exit status %d", err, statusError)
	}
	if after, err := unix.IoctlGetTermios(int(master.Fd()), unix.TCGETS); err != nil || *after != *before {
		t.Errorf("the terminal is left as %+v, %v; want %+v", after, err, before)
	}
	sheet, err := os.ReadFile(filepath.Join(dir, "job-7.yaml"))
	if err != nil || !strings.Contains(string(sheet), "name: twin of the neighbour") || !strings.Contains(string(sheet), "strokes: 4") {
		t.Errorf("the sheet is %q, %v; want both answers on it", sheet, err)
	}
}

// written reads what a program writes to a terminal until it ends with the text.
func written(t *testing.T, master *os.File, end string) string {
	t.Helper()
	var all []byte
	for !strings.HasSuffix(string(all), end) {
		some := make([]byte, 4096)
		n, err := master.Read(some)
		if all = append(all, some[:n]...); err != nil {
			t.Fatalf("the terminal has %q, then %v; want it to end with %q", all, err, end)
		}
	}
	return string(all)
}
