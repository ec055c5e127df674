package rules

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"diagnose.example/symptoms"
)

// largestPack is the largest pack file that is read, in bytes. The largest of ours is a tenth of it.
const largestPack = 1 << 20

// File is one pack as read: its name, for messages, and its bytes.
type File struct {
	Name string
	Data []byte
}

// packFile is a pack while it is being read.
type packFile struct {
	*loader
	name  string
	data  []byte
	lines []string // made when the first position inside a scalar is asked for
}

// field is one field of a record: its name, and whether it may be left out.
type field struct {
	name     string
	optional bool
}

// fields spells the fields of a record kind in their order; a question mark says that the field may be left out.
func fields(spec string) []field {
	var fs []field
	for _, name := range strings.Fields(spec) {
		bare, optional := strings.CutSuffix(name, "?")
		fs = append(fs, field{bare, optional})
	}
	return fs
}

// mapping is a record, a cite or the pack itself, with its fields apart.
type mapping struct {
	*packFile
	node   *yaml.Node
	what   string
	id     string
	values map[string]*yaml.Node
}

// parse returns the top node of the pack's only document; mistakes of the YAML itself are noted and give nil.
func (f *packFile) parse() *yaml.Node {
	if len(f.data) > largestPack {
		f.note(1, 1, "", fmt.Sprintf("the pack is larger than %d bytes", largestPack), "split it")
		return nil
	}
	if i := invalid(f.data); i >= 0 {
		f.note(1+bytes.Count(f.data[:i], []byte{'\n'}), 1, "", "not UTF-8 text", "save the file as UTF-8")
		return nil
	}
	var doc, more yaml.Node
	d := yaml.NewDecoder(bytes.NewReader(f.data))
	if err := d.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			f.note(1, 1, "", "the pack is empty", "begin with: pack: <name>")
		} else {
			f.syntax(err)
		}
		return nil
	}
	if err := d.Decode(&more); err == nil {
		f.note(more.Line, more.Column, "", "a second YAML document in one pack", "put it into a file of its own")
		return nil
	} else if !errors.Is(err, io.EOF) {
		f.syntax(err)
		return nil
	}
	if a := alias(&doc); a != nil {
		f.note(a.Line, a.Column, "", fmt.Sprintf("YAML alias *%s", a.Value), "write the value out")
		return nil
	}
	return doc.Content[0]
}

// invalid returns the offset of the first byte that is not UTF-8, or -1.
func invalid(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// alias finds a YAML alias. They are refused because a few nested ones unfold to more than any memory.
func alias(n *yaml.Node) *yaml.Node {
	if n.Kind == yaml.AliasNode {
		return n
	}
	for _, c := range n.Content {
		if a := alias(c); a != nil {
			return a
		}
	}
	return nil
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// syntax notes an error of the YAML reader, which names a line in its text and no column.
func (f *packFile) syntax(err error) {
	line, text := 1, err.Error()
	if m := yamlLine.FindStringSubmatch(text); m != nil {
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
		text = text[len(m[0]):]
	}
	f.note(line, 1, "", "not YAML: "+text, "look for a missing space after a colon, a tab, or an unclosed bracket or quote")
}

// note records a mistake at a line and column of the pack.
func (f *packFile) note(line, column int, id, message, hint string) {
	e := &Error{Pos: symptoms.Position{File: f.name, Line: line, Column: column}, ID: id, Message: message, Hint: hint}
	if f.lines == nil {
		f.lines = strings.Split(string(f.data), "\n")
	}
	if line >= 1 && line <= len(f.lines) {
		e.Line = strings.TrimSuffix(f.lines[line-1], "\r")
	}
	f.errs = append(f.errs, e)
}

func (f *packFile) position(n *yaml.Node) symptoms.Position {
	return symptoms.Position{File: f.name, Line: n.Line, Column: n.Column}
}

// mapping takes a YAML mapping apart. It notes unknown, repeated and misplaced fields and those that are missing, and returns
// nil when the node is no mapping.
func (f *packFile) mapping(n *yaml.Node, what, id string, fs []field) *mapping {
	r := &mapping{packFile: f, node: n, what: what, id: id, values: map[string]*yaml.Node{}}
	if n.Kind != yaml.MappingNode {
		r.fail(n, "write its fields as "+fieldNames(fs), "%s is %s, not a mapping", what, describe(n))
		return nil
	}
	if id == "" && fs[0].name == "id" {
		r.id = value(n, "id")
	}
	last := -1
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		at := place(fs, key.Value)
		switch _, seen := r.values[key.Value]; {
		case at < 0 || key.Kind != yaml.ScalarNode:
			r.fail(key, suggestion(key.Value, names(fs)), "unknown field %q of %s", key.Value, what)
			continue
		case seen:
			r.fail(key, "keep one of them", "field %q of %s stands twice", key.Value, what)
			continue
		case at < last:
			r.fail(key, "the order is "+fieldNames(fs), "field %q of %s stands after %q", key.Value, what, fs[last].name)
		}
		last = max(last, at)
		r.values[key.Value] = val
		if empty(val) {
			r.fail(val, "write a value or leave the field out", "field %q of %s is empty", key.Value, what)
			val.Tag = nothing
		}
	}
	for _, m := range fs {
		if _, ok := r.values[m.name]; !ok && !m.optional {
			r.fail(n, "the fields are "+fieldNames(fs), "%s has no %q", what, m.name)
		}
	}
	return r
}

// nothing marks the value of a field that was found empty and reported.
const nothing = "!nothing"

// empty is true of what YAML reads as null and of texts, lists and mappings with nothing in them.
func empty(n *yaml.Node) bool {
	switch n.Kind {
	case yaml.ScalarNode:
		return n.Tag == "!!null" || strings.TrimSpace(n.Value) == ""
	case yaml.MappingNode, yaml.SequenceNode:
		return len(n.Content) == 0
	}
	return false
}

// fail notes a mistake at a node of the record.
func (r *mapping) fail(n *yaml.Node, hint, format string, args ...any) {
	r.note(n.Line, n.Column, r.id, fmt.Sprintf(format, args...), hint)
}

// failIn notes a mistake at a rune offset of a scalar's value.
func (r *mapping) failIn(n *yaml.Node, offset int, hint, format string, args ...any) {
	if r.lines == nil {
		r.lines = strings.Split(string(r.data), "\n")
	}
	line, column := locate(r.lines, n, offset)
	r.note(line, column, r.id, fmt.Sprintf(format, args...), hint)
}

// get returns the value of a field if it is there and not empty.
func (r *mapping) get(name string) *yaml.Node {
	n, ok := r.values[name]
	if !ok || n.Tag == nothing {
		return nil
	}
	return n
}

// value looks a field up before the record is taken apart: its id goes with every message about it.
func value(n *yaml.Node, name string) string {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name && n.Content[i+1].Kind == yaml.ScalarNode {
			return n.Content[i+1].Value
		}
	}
	return ""
}

func place(fs []field, name string) int {
	for i, f := range fs {
		if f.name == name {
			return i
		}
	}
	return -1
}

func names(fs []field) []string {
	ns := make([]string, len(fs))
	for i, f := range fs {
		ns[i] = f.name
	}
	return ns
}

func fieldNames(fs []field) string { return strings.Join(names(fs), ", ") }

// describe says what stands where something else was wanted.
func describe(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	}
	if n.Tag == "!!null" {
		return "empty"
	}
	return fmt.Sprintf("the text %q", n.Value)
}
