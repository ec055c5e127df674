package symptoms

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"
)

// A syntaxFault is what is wrong with a text that is not YAML.
type syntaxFault struct {
	line, column             int
	offending, message, hint string
	// paint is the column of a character that may be painted over so that the rest can
	// be read; 0 if there is none.
	paint int
}

// A slip is one kind of syntax fault: how the YAML library words it, where it is
// on the line, and what to tell. find returns the column (0: not this slip) and the
// offending text.
type slip struct {
	wording       string // part of the library's message; "" for any
	find          func(line string) (column int, offending string)
	message, hint string
	paint         bool
}

// slips lists what people do wrong, the certain ones first. The library's messages are
// those of go.yaml.in/yaml/v3 v3.0.6; a test makes every one of them.
func syntaxSlips() []slip {
	return []slip{
		{"", tabIndent, "a tab in the indentation",
			"indent with spaces, two for each level", false},
		{"", greaterSign, "a text that begins with > must stand in quotes",
			`write it as "> 3 bar"`, true},
		{"mapping values are not allowed", innerColon, "a colon inside a text without quotes",
			"put the text in quotes, or begin it on the next line after `|`", true},
		{"mapping values are not allowed", missingSpace, "there is no space after the colon",
			"write a space after the colon", false},
		{"mapping values are not allowed", noColon, "there is no colon after the name",
			"write name: value; a text of several lines begins after `|`", false},
		{"mapping values are not allowed", firstText, "this line is indented deeper than the entries before it",
			"give it the indentation of its neighbours; a text of several lines begins after `|`", false},
		{"block sequence entries are not allowed", dashAfterColon, "a list cannot begin on the line of its key",
			"write it as [a, b], or begin each entry with - on a line of its own", false},
		{"mapping keys are not allowed", questionMark, "a ? without quotes has a meaning of its own in YAML",
			"write unknown where nobody looked, or put the text in quotes", true},
		{"cannot start any token", strangeStart, "a text cannot begin with this character",
			"put the text in quotes", false},
		{"alphabetic or numeric", starOrAmpersand, "a text that begins with * or & must stand in quotes",
			"put the text in quotes", true},
		{"unknown anchor", starOrAmpersand, "a text that begins with * must stand in quotes",
			"put the text in quotes", true},
		{"tag", exclamation, "a text that begins with ! must stand in quotes",
			"put the text in quotes", true},
		{"expected '>'", exclamation, "a text that begins with ! must stand in quotes",
			"put the text in quotes", true},
		{"hexdecimal number", backslash, `a backslash has a meaning of its own between double quotes`,
			`write it twice (\\), or use single quotes`, false},
		{"escape", backslash, `a backslash has a meaning of its own between double quotes`,
			`write it twice (\\), or use single quotes`, false},
		{"unexpected end of stream", openQuote, "this quote is never closed",
			"close it with the same quote", false},
		{"unexpected end of stream", afterQuote, "text after a closing quote",
			"put the whole text between one pair of quotes; inches are written 7/8 in", false},
		{"node content", closeBracket, "a text cannot begin with this character",
			"put the text in quotes", true},
		{"document indicator", openQuote, "this quote is never closed",
			"close it with the same quote", false},
		{"did not find expected ','", openBracket, "this bracket is never closed, or a comma is missing in it",
			"write {a: x, b: y} or [a, b]; a text with a comma, colon or bracket needs quotes inside", false},
		{"did not find expected", afterQuote, "text after a closing quote",
			"put the whole text between one pair of quotes", false},
		{"did not find expected key", afterBracket, "text after a closing bracket",
			"close the bracket once, at the end", false},
		{"could not find expected ':'", missingSpace, "there is no space after the colon",
			"write a space after the colon", false},
		{"could not find expected ':'", firstText, "there is no colon after the name",
			"write name: value", false},
		{"exceeded max depth", firstText, "nested too deep", "", false},
		{"'-' indicator", firstText, "this line does not line up with the list above it",
			"begin it with - or give it the indentation of the key that it belongs to", false},
		{"expected key", firstText, "this line does not line up with the lines above it",
			"give it the indentation of its neighbours", false},
		{"", firstText, "this line cannot be read as YAML",
			"write name: value; put texts with special characters in quotes", false},
	}
}

// explain says what is wrong on a line that the YAML library could not read.
func explain(lines []string, line int, err error) syntaxFault {
	var second errSecondDocument
	if errors.As(err, &second) {
		return syntaxFault{line: second.line, column: 1, message: "a second document begins here",
			hint: "put each sheet in a file of its own and leave out ---"}
	}
	if withoutColon(lines, line, err) {
		line--
	}
	text := ""
	if line <= len(lines) {
		text = lines[line-1]
	}
	for _, s := range syntaxSlips() {
		if !strings.Contains(err.Error(), s.wording) {
			continue
		}
		column, offending := s.find(text)
		if column == 0 {
			continue
		}
		f := syntaxFault{line: line, column: column, offending: offending, message: s.message, hint: s.hint}
		if s.paint {
			f.paint = column
		}
		if n := tabLines(lines); offending == "\t" && n > 1 {
			f.message = fmt.Sprintf("tabs in the indentation of %d lines, here the first", n)
		}
		if f.paint > 0 && offending != "" && strings.HasPrefix(offending, ">") {
			f.hint = fmt.Sprintf("write %q", offending)
		}
		return f
	}
	return syntaxFault{line: line, column: 1, message: "this line cannot be read as YAML", hint: "write name: value"}
}

// withoutColon reports whether the line before the bad one is the culprit: an entry
// without a colon, which YAML then reads as a text that goes on.
func withoutColon(lines []string, line int, err error) bool {
	if !strings.Contains(err.Error(), "mapping values are not allowed") || line < 2 || line > len(lines) {
		return false
	}
	this, before := lines[line-1], lines[line-2]
	i := strings.IndexFunc(this, notBlank)
	if i < 0 || i != strings.IndexFunc(before, notBlank) || before[i] == '-' {
		return false
	}
	return colonAfter(before, 0) < 0
}

func tabLines(lines []string) int {
	n := 0
	for _, l := range lines {
		if c, _ := tabIndent(l); c > 0 {
			n++
		}
	}
	return n
}

// column turns an index into a line into a column.
func column(line string, index int) int { return utf8.RuneCountInString(line[:index]) + 1 }

// valueStart returns the index at which the value of a line begins: after "key: " or
// "- ", and at the first text if there is neither. It is -1 for an empty line.
func valueStart(line string) int {
	i := strings.IndexFunc(line, notBlank)
	if i < 0 {
		return -1
	}
	for strings.HasPrefix(line[i:], "- ") {
		rest := strings.TrimLeft(line[i+1:], " ")
		i = len(line) - len(rest)
	}
	if colon := strings.Index(line[i:], ": "); colon >= 0 && !strings.ContainsAny(line[i:i+1], `"'[{`) {
		rest := strings.TrimLeft(line[i+colon+1:], " ")
		i = len(line) - len(rest)
	}
	if i >= len(line) {
		return -1
	}
	return i
}

func notBlank(r rune) bool { return r != ' ' && r != '\t' }

// withoutComment cuts a trailing comment and the space before it.
func withoutComment(s string) string {
	if i := strings.Index(s, " #"); i >= 0 {
		s = s[:i]
	}
	return strings.TrimSpace(s)
}
