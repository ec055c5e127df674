package symptoms

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// MaxSize is the largest sheet or vocabulary file that is read, in bytes. A filled
// sheet has about 5,000.
const MaxSize = 1 << 20

const (
	// maxDepth is more than any sheet or vocabulary needs.
	maxDepth = 12
	// maxFaults bounds the report: a file with more is not a sheet.
	maxFaults = 100
)

// A source is a file under reading and the faults found in it so far.
type source struct {
	name   string
	lines  []string
	faults ErrorList
	more   int // faults not kept
	budget int // bytes that may be read again in search of syntax faults
}

// fault records a fault at a position.
func (s *source) fault(line, column int, offending, message, hint string) {
	if len(s.faults) >= maxFaults {
		s.more++
		return
	}
	e := &Error{
		Pos:       Position{File: s.name, Line: line, Column: column},
		Offending: offending, Message: message, Hint: hint,
	}
	if line >= 1 && line <= len(s.lines) {
		e.Line = s.lines[line-1]
	}
	s.faults = append(s.faults, e)
}

// wrong records a fault at a node.
func (s *source) wrong(n *yaml.Node, hint, format string, args ...any) {
	s.fault(n.Line, n.Column, s.written(n), fmt.Sprintf(format, args...), hint)
}

// written is the node's text as it stands in the file, as far as it is on one line.
func (s *source) written(n *yaml.Node) string {
	if n.Kind != yaml.ScalarNode {
		return ""
	}
	switch n.Style &^ yaml.TaggedStyle {
	case yaml.DoubleQuotedStyle:
		return `"` + n.Value + `"`
	case yaml.SingleQuotedStyle:
		return "'" + n.Value + "'"
	}
	return n.Value
}

// full reports that no more faults are kept, so that costly suggestions can be spared.
func (s *source) full() bool { return len(s.faults) >= maxFaults }

// suggest returns a question that offers the nearest of the candidates, or "".
func (s *source) suggest(word string, candidates []string) string {
	if s.full() {
		return ""
	}
	if near := Nearest(word, candidates); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return ""
}

// err returns the faults as an error, nil if there are none.
func (s *source) err() error {
	if len(s.faults) == 0 {
		return nil
	}
	list := s.faults.sorted()
	if s.more > 0 {
		last := list[len(list)-1].Pos
		list = append(list, &Error{
			Pos:     Position{File: s.name, Line: last.Line, Column: last.Column},
			Message: fmt.Sprintf("and %d more faults", s.more),
			Hint:    "is this the right file?",
		})
	}
	return list
}

// position is the place of a node in the file.
func (s *source) position(n *yaml.Node) Position {
	return Position{File: s.name, Line: n.Line, Column: n.Column}
}

// open reads a file as one YAML document and returns its root, nil if that cannot be
// read. What is nowhere allowed (aliases, tags, doubled keys, …) is reported here and
// removed from the tree, so that the decoders meet plain maps, lists and scalars.
func open(name, what string, data []byte) (*source, *yaml.Node) {
	s := &source{name: name, budget: parseBudget}
	if len(data) > MaxSize {
		s.fault(0, 0, "", fmt.Sprintf("the file has %d bytes; a %s has at most %d (1 MiB)", len(data), what, MaxSize),
			"is this the right file?")
		return s, nil
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	s.lines = splitLines(string(data))
	if !s.isText(data) {
		return s, nil
	}
	root := s.parse(plainEscapes(data))
	if root == nil {
		if len(s.faults) == 0 {
			s.fault(1, 1, "", fmt.Sprintf("the %s is empty", what), fmt.Sprintf("its first line must be %q", what+": 1"))
		}
		return s, nil
	}
	s.clean(root, 0)
	return s, root
}

// isText reports whether the data are readable text, and records where they are not.
func (s *source) isText(data []byte) bool {
	for i := 0; i < len(data); {
		if c := data[i]; c >= ' ' && c < 0x7f {
			i++
			continue
		}
		r, n := utf8.DecodeRune(data[i:])
		if (r == utf8.RuneError && n == 1) || !allowedRune(r) {
			s.badRune(data, i, r, n)
			return false
		}
		i += n
	}
	return true
}

func (s *source) badRune(data []byte, i int, r rune, n int) {
	before := splitLines(string(data[:i]))
	line, column := len(before), utf8.RuneCountInString(before[len(before)-1])+1
	if r == utf8.RuneError && n == 1 {
		hint := "save the file as UTF-8 text"
		if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
			hint = "it looks like UTF-16: " + hint
		}
		s.fault(line, column, "", fmt.Sprintf("the byte 0x%02X is not UTF-8 text", data[i]), hint)
		return
	}
	s.fault(line, column, "", fmt.Sprintf("the control character %U is not allowed", r), "is this a text file?")
}

// allowedRune is YAML's set of printable characters (YAML 1.2.2, production
// c-printable, from memory), without the byte order mark.
func allowedRune(r rune) bool {
	switch {
	case r == '\t', r == '\n', r == '\r', r == 0x85:
		return true
	case r < 0x20, r >= 0x7f && r < 0xa0, r == 0xfeff, r == 0xfffe, r == 0xffff:
		return false
	}
	return true
}

// splitLines cuts a text where the YAML library counts lines.
func splitLines(s string) []string {
	var lines []string
	start := 0
	for i, r := range s {
		if i < start {
			continue
		}
		switch r {
		case '\r', '\n', 0x85, 0x2028, 0x2029:
			lines = append(lines, s[start:i])
			start = i + utf8.RuneLen(r)
			if r == '\r' && strings.HasPrefix(s[start:], "\n") {
				start++
			}
		}
	}
	return append(lines, s[start:])
}
