package symptoms

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// An Error is one fault of a sheet or vocabulary.
type Error struct {
	Pos Position
	// Offending is the text that is wrong, as it stands in the file; "" if something
	// is missing.
	Offending string
	// Message says what is wrong, Hint what to write instead.
	Message, Hint string
	// Line is the source line, "" if there is none.
	Line string
}

// Error returns position and message, then the source line with a caret under the
// offending text, then the hint, each on lines of their own.
func (e *Error) Error() string {
	var b strings.Builder
	if at := e.Pos.String(); at != "" {
		b.WriteString(at + ": ")
	}
	b.WriteString(e.Message)
	if strings.TrimSpace(e.Line) != "" && e.Pos.Column > 0 {
		line, caret := excerpt(e.Line, e.Pos.Column, e.Offending)
		b.WriteString("\n    " + line + "\n    " + caret)
	}
	if e.Hint != "" {
		b.WriteString("\n  " + e.Hint)
	}
	return b.String()
}

// A line longer than excerptWhole is cut around the fault.
const (
	excerptWhole  = 110
	excerptBefore = 60
	excerptAfter  = 40
)

// excerpt returns the part of a line around a column, fit for a terminal, and the
// carets that stand below the offending text in it.
func excerpt(line string, column int, offending string) (text, caret string) {
	r := []rune(line)
	at := min(column-1, len(r))
	width := 1
	if n := utf8.RuneCountInString(offending); n > 0 && strings.HasPrefix(string(r[at:]), offending) {
		width = n
	}
	from, to := 0, len(r)
	if len(r) > excerptWhole {
		from, to = max(0, at-excerptBefore), min(len(r), at+max(width, excerptAfter))
		to = min(to, from+excerptWhole)
	}
	width = max(1, min(width, to-at))
	shown := printable(string(r[from:to]))
	pad := at - from
	if from > 0 {
		shown, pad = "…"+shown, pad+1
	}
	if to < len(r) {
		shown += "…"
	}
	return shown, strings.Repeat(" ", pad) + strings.Repeat("^", width)
}

// printable replaces what would move the cursor, so that carets stand right and a
// file cannot send control sequences to a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return ' '
		case !unicode.IsPrint(r):
			return '\ufffd'
		}
		return r
	}, s)
}

// An ErrorList holds all faults of a file in the order of their positions.
type ErrorList []*Error

// Error returns the texts of all faults, one after another.
func (l ErrorList) Error() string {
	texts := make([]string, len(l))
	for i, e := range l {
		texts[i] = e.Error()
	}
	return strings.Join(texts, "\n")
}

// Unwrap returns the faults one by one, for errors.As.
func (l ErrorList) Unwrap() []error {
	errs := make([]error, len(l))
	for i, e := range l {
		errs[i] = e
	}
	return errs
}

// sorted returns the list in the order of positions, faults of one position in the
// order in which they were found.
func (l ErrorList) sorted() ErrorList {
	slices.SortStableFunc(l, func(a, b *Error) int {
		if c := strings.Compare(a.Pos.File, b.Pos.File); c != 0 {
			return c
		}
		if a.Pos.Line != b.Pos.Line {
			return a.Pos.Line - b.Pos.Line
		}
		return a.Pos.Column - b.Pos.Column
	})
	return l
}
