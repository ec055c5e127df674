package main

import (
	"io"
	"os"
	"strconv"
	"strings"
	"unicode"
)

// The size assumed when nothing tells it, as in a pipe: the classic terminal.
const (
	defaultWidth  = 80
	defaultHeight = 24
	minWidth      = 40
)

// screen is where the text goes: its size in characters and whether it is a terminal.
type screen struct {
	width, height int
	terminal      bool
}

// screenOf looks at the writer. COLUMNS and LINES stand in where it is no terminal or does not tell its size.
func screenOf(w io.Writer) screen {
	s := screen{width: envNumber("COLUMNS", defaultWidth), height: envNumber("LINES", defaultHeight)}
	f, ok := w.(*os.File)
	if !ok {
		return s
	}
	width, height, ok := windowSize(f.Fd())
	if !ok {
		return s
	}
	s.terminal = true
	// Some terminals (a serial console, for one) answer with zero.
	if width > 0 && height > 0 {
		s.width, s.height = width, height
	}
	return s
}

// typed reports whether somebody types the input, whose terminal then shows it.
func (a *app) typed() bool {
	f, ok := a.stdin.(*os.File)
	if !ok {
		return false
	}
	_, _, ok = windowSize(f.Fd())
	return ok
}

// printable makes a control character visible: names, notes and answers may hold anything, and none of it may reach a terminal.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\t' && r != '\n' {
			return '\uFFFD'
		}
		return r
	}, text)
}

// envNumber reads a positive number from the environment.
func envNumber(name string, fallback int) int {
	n, err := strconv.Atoi(os.Getenv(name))
	if err != nil || n <= 0 {
		return fallback
	}
	return n
}

// coloured decides on colour: always and never are orders; auto is yes on a terminal that can show it, unless NO_COLOR
// is set to anything (the convention of https://no-color.org).
func coloured(mode string, s screen) bool {
	switch mode {
	case "always":
		return true
	case "never":
		return false
	}
	return s.terminal && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}
