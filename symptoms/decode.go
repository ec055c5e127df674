package symptoms

import (
	"errors"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// DecodeOptions refine Decode. The zero value is the default.
type DecodeOptions struct {
	// Actions are the known ids of repairs and checks for tried.did; nil: not checked.
	Actions []string
}

// Decode reads an intake sheet, YAML or JSON, of at most MaxSize bytes. path names it in
// messages. The error is an ErrorList that holds all faults.
//
// An observation under every holds at each place of its level, and one under at refines it
// for that place, an "unknown" there takes it back. Under observed the value may be a map of
// places, {left: drips, right: dry}, which means the same as the values under at. All other
// ways to give an observation twice are faults. Readings come in the order of the file.
func Decode(path string, data []byte, v *Vocabulary, o DecodeOptions) (*Sheet, error) {
	s, root := open(path, "sheet", data)
	d := &decoder{source: s, v: v, options: o, sheet: &Sheet{Path: path}}
	if root != nil {
		d.decode(root)
	}
	if err := s.err(); err != nil {
		return nil, err
	}
	return d.sheet, nil
}

// A decoder is a sheet under reading.
type decoder struct {
	*source
	v       *Vocabulary
	options DecodeOptions
	sheet   *Sheet
	places  bool // the machine's places are known
	given   []given
}

// A section reads the value of one key of the sheet.
type section struct {
	name string
	read func(*decoder, *yaml.Node)
}

// sections lists the keys of a sheet in the order in which they are read: places must be
// known before observations.
func sections() []section {
	return []section{
		{"sheet", func(*decoder, *yaml.Node) {}},
		{"job", func(d *decoder, n *yaml.Node) { d.sheet.Job = d.freeText(n, "job") }},
		{"machine", (*decoder).machine},
		{"history", (*decoder).history},
		{"observed", func(d *decoder, n *yaml.Node) { d.observations(n, observed) }},
		{"every", func(d *decoder, n *yaml.Node) { d.observations(n, every) }},
		{"somewhere", func(d *decoder, n *yaml.Node) { d.observations(n, somewhere) }},
		{"at", (*decoder).at},
		{"tried", (*decoder).tried},
		{"notes", func(d *decoder, n *yaml.Node) { d.notes(n, "") }},
	}
}

func (d *decoder) decode(root *yaml.Node) {
	if root.Kind != yaml.MappingNode {
		d.wrong(root, "write sheet: 1 as the first line, and below it observed: with one name: value a line",
			"a sheet is a map, not %s", form(root))
		return
	}
	if !d.version(root) {
		return
	}
	byName := map[string]*yaml.Node{}
	for _, p := range pairs(root) {
		if !slices.ContainsFunc(sections(), func(s section) bool { return s.name == p.key.Value }) {
			d.unknownSection(p.key)
		}
		byName[p.key.Value] = p.value
	}
	if byName["machine"] == nil {
		d.machine(&yaml.Node{Kind: yaml.MappingNode})
	}
	for _, s := range sections() {
		if n := byName[s.name]; n != nil {
			s.read(d, n)
		}
	}
	d.gather()
}

// version checks the sheet's version and reports whether reading on makes sense.
func (d *decoder) version(root *yaml.Node) bool {
	const hint = "write sheet: 1 as the first line"
	for _, p := range pairs(root) {
		if p.key.Value != "sheet" {
			continue
		}
		if p.value.Kind == yaml.ScalarNode && strings.TrimSpace(p.value.Value) == "1" {
			return true
		}
		d.wrong(p.value, hint, "the version of the sheet must be 1, not %s", form(p.value))
		return false
	}
	d.fault(root.Line, root.Column, "", "the version of the sheet is missing", hint)
	return true
}

func (d *decoder) unknownSection(key *yaml.Node) {
	id := key.Value
	names := make([]string, len(sections()))
	for i, s := range sections() {
		names[i] = s.name
	}
	hint := d.suggest(id, names)
	if o, ok := d.v.Lookup(id); ok {
		hint = "write it below " + home(o)
	}
	if hint == "" {
		hint = "known are " + listed(names, "and")
	}
	d.wrong(key, hint, "unknown key %q", short(id))
}

// home names the part of a sheet in which an observation is written.
func home(o *Observation) string {
	switch {
	case o.Where == Fact:
		return "machine:"
	case o.Where == History:
		return "history: as an entry of the list"
	case o.About == WholeMachine:
		return "observed:"
	}
	return "observed:, every:, somewhere: or at:"
}

// freeText reads a text for people. YAML ends a text without quotes at " #", and people
// write "plug #2": what would be lost silently is a fault.
func (d *decoder) freeText(n *yaml.Node, what string) string {
	switch {
	case n.Kind != yaml.ScalarNode:
		d.wrong(n, "write the text in quotes, or begin it on the next line after `|`",
			"%s must be a text, not %s: a colon or dash in it makes it something else", what, form(n))
		return ""
	case n.Style == 0 && d.cutOff(n) != "":
		d.wrong(n, "put the text in quotes; a comment has a blank after its #", "%q would be cut off as a comment", short(d.cutOff(n)))
	case isNull(n):
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// cutOff returns what YAML takes for a comment behind a text but was hardly meant as one:
// there is no blank after the #.
func (d *decoder) cutOff(n *yaml.Node) string {
	comment := n.LineComment
	if isNull(n) && n.Line >= 1 && n.Line <= len(d.lines) {
		_, comment, _ = strings.Cut(d.lines[n.Line-1], ": ")
		comment = strings.TrimSpace(comment)
	}
	if len(comment) < 2 || comment[0] != '#' || strings.ContainsRune(" #\t", rune(comment[1])) {
		return ""
	}
	return comment
}

// notes keeps free texts; a list gives several.
func (d *decoder) notes(n *yaml.Node, place string) {
	notes := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		notes = n.Content
	}
	for _, c := range notes {
		if text := d.freeText(c, "a note"); text != "" {
			d.sheet.Notes = append(d.sheet.Notes, Note{Place: place, Text: text})
		}
	}
}

func (d *decoder) history(n *yaml.Node) {
	if n.Kind == yaml.MappingNode {
		d.wrong(n, "write history: [after-storage, …]", "history is a list of words, not a map")
		return
	}
	for _, c := range items(n) {
		word := strings.TrimSpace(c.Value)
		o, ok := d.v.Lookup(word)
		switch {
		case c.Kind != yaml.ScalarNode:
			d.wrong(c, "write history: [after-storage, …]", "a history word is one word, not %s", form(c))
		case isNull(c) || word == "unknown":
		case !ok || o.Where != History:
			d.unknownWord(c, word, d.v.in(History))
		case slices.Contains(d.sheet.History, word):
			d.wrong(c, "write it once", "%q is given twice", word)
		default:
			d.sheet.History = append(d.sheet.History, word)
		}
	}
}

func (d *decoder) unknownWord(n *yaml.Node, word string, known []string) {
	hint := d.suggest(word, known)
	switch o, ok := d.v.Lookup(word); {
	case ok:
		hint = "write it below " + home(o)
	case strings.Contains(word, ","):
		hint = "write several as a list: [" + word + "]"
	case hint == "":
		hint = "known are " + listed(known, "and")
	}
	d.wrong(n, hint, "unknown history word %q", short(word))
}

// value reads the answer at a node; known is false if nobody looked or the answer does
// not fit, which is then reported.
func (d *decoder) value(o *Observation, n *yaml.Node) (v Value, known bool) {
	var err error
	switch {
	case isNull(n):
		return v, false
	case n.Kind == yaml.MappingNode:
		hint := allowed(o)
		if o.About != WholeMachine {
			hint += "; a map of places may stand below observed:"
		}
		d.wrong(n, hint, "%s: a map is no answer", o.ID)
		return v, false
	case n.Kind == yaml.SequenceNode:
		v, err = d.listValue(o, n)
	case isBlock(n):
		d.blockValue(o, n)
		return v, false
	default:
		v, err = ParseValue(o, n.Value)
	}
	if errors.Is(err, ErrUnknown) {
		return v, false
	}
	var refused *ValueError
	if errors.As(err, &refused) {
		d.wrong(n, refused.Hint, "%s", refused.Message)
		return v, false
	}
	return v, true
}

func (d *decoder) listValue(o *Observation, n *yaml.Node) (Value, error) {
	var words []string
	for _, c := range n.Content {
		if c.Kind != yaml.ScalarNode || isNull(c) {
			return Value{}, refuse(allowed(o), "%s: the list holds %s", o.ID, form(c))
		}
		words = append(words, c.Value)
	}
	if o.Kind != Choice {
		if len(words) == 1 {
			return ParseValue(o, words[0])
		}
		return Value{}, refuse(allowed(o), "%s takes one answer, not a list", o.ID)
	}
	if len(words) == 1 && strings.EqualFold(strings.TrimSpace(words[0]), "unknown") {
		return Value{}, ErrUnknown
	}
	return wordsValue(o, words)
}

// blockValue reports an answer after | or >. Most often it is a bound: YAML takes the
// > of "> 3 bar" for the beginning of a block.
func (d *decoder) blockValue(o *Observation, n *yaml.Node) {
	hint := "write the answer on the line of its name"
	if line := d.lines[min(n.Line, len(d.lines))-1]; n.Style&yaml.FoldedStyle != 0 {
		if _, text := greaterSign(line); text != "" {
			hint = "write \"" + text + "\" in quotes"
		}
	}
	d.wrong(n, hint, "%s: a block of lines is no answer", o.ID)
}
