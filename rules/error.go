package rules

import (
	"fmt"
	"slices"
	"strings"

	"diagnose.example/symptoms"
)

// Error is one mistake in a pack.
type Error struct {
	Pos symptoms.Position
	// ID is the id of the record it stands in; empty outside records.
	ID string
	// Message says what is wrong, Hint what to write instead; Hint may be empty.
	Message, Hint string
	// Line is the source line, for a caret under Pos.Column; empty when there is none.
	Line string
}

// Error returns "file:line:column: id: message; hint".
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Pos.String())
	b.WriteString(": ")
	if e.ID != "" {
		b.WriteString(e.ID + ": ")
	}
	b.WriteString(e.Message)
	if e.Hint != "" {
		b.WriteString("; " + e.Hint)
	}
	return b.String()
}

// ErrorList holds all mistakes that were found, by file, line and column.
type ErrorList []*Error

// Error returns one line per mistake.
func (l ErrorList) Error() string {
	lines := make([]string, len(l))
	for i, e := range l {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives errors.As and errors.Is access to the single mistakes.
func (l ErrorList) Unwrap() []error {
	errs := make([]error, len(l))
	for i, e := range l {
		errs[i] = e
	}
	return errs
}

// err returns the list in order, or nil when it is empty. Files keep the order in which they were given.
func (l ErrorList) err(files []File) error {
	if len(l) == 0 {
		return nil
	}
	order := map[string]int{}
	for i, f := range files {
		order[f.Name] = i
	}
	slices.SortStableFunc(l, func(a, b *Error) int {
		if a.Pos.File != b.Pos.File {
			return order[a.Pos.File] - order[b.Pos.File]
		}
		if a.Pos.Line != b.Pos.Line {
			return a.Pos.Line - b.Pos.Line
		}
		return a.Pos.Column - b.Pos.Column
	})
	return l
}

// suggestion is the hint for an unknown name: the nearest known one, or else the whole list when it is short.
func suggestion(name string, known []string) string {
	if n := symptoms.Nearest(name, known); n != "" {
		return fmt.Sprintf("write %q", n)
	}
	if len(known) > 0 && len(known) <= 14 {
		return "write one of: " + strings.Join(known, ", ")
	}
	return ""
}
