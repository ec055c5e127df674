package condition

import (
	"fmt"
	"strings"
	"unicode"
)

// An Error is a fault in the source of a condition.
type Error struct {
	Line, Column int    // of the fault, from 1; the column counts runes
	Message      string // what is wrong, without a final stop
	Hint         string // what to write instead, or ""
	Source       string // the line of the condition in which the fault is
}

// Error returns the position and the message, the source line with a caret under
// the fault unless it is blank, and the hint if there is one, on lines of their
// own.
func (e *Error) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d:%d: %s", e.Line, e.Column, e.Message)
	if strings.TrimSpace(e.Source) != "" {
		fmt.Fprintf(&b, "\n    %s\n    %s^", strings.ReplaceAll(e.Source, "\t", " "), caretPad(e.Source, e.Column))
	}
	if e.Hint != "" {
		b.WriteString("\n    " + e.Hint)
	}
	return b.String()
}

// errorAt returns an Error at the rune with the given offset in the source.
func errorAt(source string, offset int, message, hint string) *Error {
	e := &Error{Line: 1, Column: 1, Message: message, Hint: hint}
	start, runes := 0, 0
	for i, r := range source {
		if runes == offset {
			break
		}
		runes++
		e.Column++
		if r == '\n' {
			e.Line++
			e.Column = 1
			start = i + 1
		}
	}
	e.Source, _, _ = strings.Cut(source[start:], "\n")
	e.Source = strings.TrimSuffix(e.Source, "\r")
	return e
}

// caretPad returns the blanks that bring a caret under the rune in the given
// column, for a terminal that shows a wide rune in two cells.
func caretPad(line string, column int) string {
	cells := 0
	for _, r := range line {
		if column--; column <= 0 {
			break
		}
		cells += cellWidth(r)
	}
	return strings.Repeat(" ", cells)
}

// cellWidth is the number of cells in which a terminal shows a rune: 0 for a mark
// that combines with the rune before it, 2 for the wide and fullwidth characters
// of Unicode Standard Annex 11, 1 otherwise.
func cellWidth(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case unicode.Is(wide, r):
		return 2
	}
	return 1
}

// wide holds the wide and fullwidth letters and the pictures, by block; unassigned
// code points inside a block count as wide. Compared with golang.org/x/text/width
// v0.28.0, whose single wide symbols outside these blocks are left out.
var wide = &unicode.RangeTable{
	R16: []unicode.Range16{
		{Lo: 0x1100, Hi: 0x115f, Stride: 1}, // Hangul Jamo initials
		{Lo: 0x2e80, Hi: 0x303e, Stride: 1}, // radicals, punctuation
		{Lo: 0x3041, Hi: 0x4dbf, Stride: 1}, // kana, enclosed, ideographs A
		{Lo: 0x4e00, Hi: 0xa4c6, Stride: 1}, // unified ideographs, Yi
		{Lo: 0xa960, Hi: 0xa97c, Stride: 1},
		{Lo: 0xac00, Hi: 0xd7a3, Stride: 1}, // Hangul syllables
		{Lo: 0xf900, Hi: 0xfaff, Stride: 1},
		{Lo: 0xfe30, Hi: 0xfe6b, Stride: 1},
		{Lo: 0xff01, Hi: 0xff60, Stride: 1}, // fullwidth forms
		{Lo: 0xffe0, Hi: 0xffe6, Stride: 1},
	},
	R32: []unicode.Range32{
		{Lo: 0x1f300, Hi: 0x1f64f, Stride: 1}, // pictures
		{Lo: 0x1f680, Hi: 0x1f6fc, Stride: 1},
		{Lo: 0x1f900, Hi: 0x1faf8, Stride: 1},
		{Lo: 0x20000, Hi: 0x323af, Stride: 1}, // ideographs B and later
	},
}
