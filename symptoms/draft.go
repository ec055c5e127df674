package symptoms

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// An Entry is one line of a sheet: a fact of the machine, or an observation with its answer.
type Entry struct {
	// Section is machine, observed, every, somewhere or at.
	Section string
	// Place is the carburetor or cylinder below at, "" elsewhere.
	Place string
	ID    string
	// Answer is as somebody wrote it; several words have commas between them.
	Answer string
}

// A Draft is an intake sheet that is being written, answer by answer. It works on the text's own tree, so that what a person
// wrote by hand stays: comments, order, lists on one line, parts that are not asked about. Blank lines and superfluous
// quotes are lost. It does not know whether an answer fits its question; Decode says so.
type Draft struct {
	doc *yaml.Node
}

// NewDraft returns a sheet with nothing on it but its version.
func NewDraft() *Draft {
	root := &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{text("sheet"), answer("1")}}
	return &Draft{&yaml.Node{Kind: yaml.DocumentNode, Content: []*yaml.Node{root}}}
}

// ReadDraft takes up a sheet that Decode accepts.
func ReadDraft(data []byte) (*Draft, error) {
	doc := new(yaml.Node)
	if err := yaml.Unmarshal(bytes.TrimPrefix(data, []byte("\ufeff")), doc); err != nil {
		return nil, fmt.Errorf("the sheet cannot be continued: %w", err)
	}
	if len(doc.Content) != 1 || doc.Content[0].Kind != yaml.MappingNode {
		return nil, fmt.Errorf("the sheet cannot be continued: it is no map; begin with sheet: 1")
	}
	spellNothing(doc, false)
	return &Draft{doc}, nil
}

// spellNothing writes out the empty values within braces: the encoder would make them empty texts.
func spellNothing(n *yaml.Node, braces bool) {
	braces = braces || n.Kind == yaml.MappingNode && n.Style&yaml.FlowStyle != 0
	if braces && isNull(n) {
		n.Value = "~"
	}
	for _, c := range n.Content {
		spellNothing(c, braces)
	}
}

// Bytes returns the sheet as YAML.
func (d *Draft) Bytes() ([]byte, error) {
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := e.Encode(d.doc); err != nil {
		return nil, fmt.Errorf("writing the sheet: %w", err)
	}
	return b.Bytes(), nil
}

// SetJob writes the job's number.
func (d *Draft) SetJob(job string) {
	put(d.root(), "job", &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Style: yaml.DoubleQuotedStyle, Value: job})
}

// SetNames writes a list of names under machine: carburetors or cylinders.
func (d *Draft) SetNames(id string, names []string) {
	put(d.section("machine"), id, flow(names))
}

// noneOfThem marks an empty history about which somebody asked; the blank sheet has an empty one too.
const noneOfThem = "# asked: none of them"

// SetHistory writes which history words apply. An empty list is marked with a comment, as having been asked for.
func (d *Draft) SetHistory(words []string) {
	n := flow(words)
	put(d.root(), "history", n)
	n.LineComment = ""
	if len(words) == 0 {
		n.LineComment = noneOfThem
	}
}

// HasHistory reports whether somebody answered for the history, be it with none of its words.
func (d *Draft) HasHistory() bool {
	n := get(d.root(), "history")
	return n != nil && (len(items(n)) > 0 || n.LineComment == noneOfThem)
}

// Set writes an entry, in place of the one that stands there. Under observed, a map of places is filled in as it stands.
func (d *Draft) Set(e Entry) {
	value := answer(e.Answer)
	if e.ID == "name" {
		value = text(e.Answer)
	}
	if e.Section != "at" {
		put(d.section(e.Section), e.ID, value)
		return
	}
	if places := get(d.section("observed"), e.ID); places != nil && places.Kind == yaml.MappingNode {
		put(places, e.Place, value)
		return
	}
	put(below(d.section("at"), e.Place), e.ID, value)
}

// Note adds a line to the notes of the sheet or, with a place, to those of a carburetor or cylinder.
func (d *Draft) Note(place, line string) {
	to := d.root()
	if place != "" {
		to = below(d.section("at"), place)
	}
	switch n := get(to, "notes"); {
	case n == nil || isNull(n):
		put(to, "notes", &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Style: yaml.LiteralStyle, Value: line + "\n"})
	case n.Kind == yaml.SequenceNode:
		n.Content = append(n.Content, text(line))
	default:
		n.Style, n.Tag = yaml.LiteralStyle, "!!str"
		n.Value = strings.TrimSpace(n.Value+"\n"+line) + "\n"
		n.Value = strings.TrimLeft(n.Value, "\n")
	}
}

// Entries returns all entries in the order of the sheet, those whose answer is unknown with them: on a sheet that an interview
// wrote they mean that somebody was asked and did not know.
func (d *Draft) Entries() []Entry {
	var out []Entry
	for _, p := range pairs(d.root()) {
		switch section := p.key.Value; section {
		case "machine", "observed", "every", "somewhere":
			out = append(out, entries(section, "", p.value)...)
		case "at":
			for _, place := range pairs(p.value) {
				out = append(out, entries("at", place.key.Value, place.value)...)
			}
		}
	}
	return out
}

func entries(section, place string, n *yaml.Node) []Entry {
	var out []Entry
	for _, p := range pairs(n) {
		switch {
		case p.key.Value == "notes" || isNull(p.value):
		case p.value.Kind == yaml.ScalarNode:
			out = append(out, Entry{section, place, p.key.Value, strings.TrimSpace(p.value.Value)})
		case p.value.Kind == yaml.SequenceNode:
			var words []string
			for _, c := range p.value.Content {
				words = append(words, c.Value)
			}
			out = append(out, Entry{section, place, p.key.Value, strings.Join(words, ", ")})
		case p.key.Value == "spec":
			for _, e := range entries(section, place, p.value) {
				e.ID = "spec." + e.ID
				out = append(out, e)
			}
		case section == "observed":
			for _, at := range pairs(p.value) {
				if at.value.Kind == yaml.ScalarNode && !isNull(at.value) {
					out = append(out, Entry{"at", at.key.Value, p.key.Value, at.value.Value})
				}
			}
		}
	}
	return out
}

func (d *Draft) root() *yaml.Node { return d.doc.Content[0] }

// section returns the map below a key of the sheet, which is put in where a reader looks for it.
func (d *Draft) section(name string) *yaml.Node { return below(d.root(), name) }

// below returns the map below a key, and makes one if there is none.
func below(n *yaml.Node, key string) *yaml.Node {
	if m := get(n, key); m != nil && m.Kind == yaml.MappingNode {
		return m
	}
	m := &yaml.Node{Kind: yaml.MappingNode}
	put(n, key, m)
	return m
}

func get(n *yaml.Node, key string) *yaml.Node {
	for _, p := range pairs(n) {
		if p.key.Value == key {
			return p.value
		}
	}
	return nil
}

// put sets the value of a key. A new key of the sheet itself comes before those that stand behind it in the usual order.
func put(n *yaml.Node, key string, value *yaml.Node) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			old := n.Content[i+1]
			value.HeadComment, value.LineComment, value.FootComment = old.HeadComment, old.LineComment, old.FootComment
			n.Content[i+1] = value
			return
		}
	}
	at := len(n.Content)
	if rank := slices.IndexFunc(sections(), func(s section) bool { return s.name == key }); rank >= 0 && get(n, "sheet") != nil {
		for at > 0 && sectionRank(n.Content[at-2].Value) > rank {
			at -= 2
		}
	}
	n.Content = slices.Insert(n.Content, at, text(key), value)
}

func sectionRank(key string) int {
	return slices.IndexFunc(sections(), func(s section) bool { return s.name == key })
}

// answer is a scalar that YAML may take for anything: yes, a number or a word.
func answer(written string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: written} }

// text is a scalar that is read back as a text, whatever it looks like.
func text(written string) *yaml.Node {
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: written}
}

// flow is a list on one line.
func flow(words []string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
	for _, w := range words {
		n.Content = append(n.Content, text(w))
	}
	return n
}
