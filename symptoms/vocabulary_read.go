package symptoms

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// An entry is an observation under reading.
type entry struct {
	*source
	o     *Observation
	node  *yaml.Node
	field map[string]*yaml.Node // the value of each field given
	limit []*yaml.Node          // the `below` of each band, nil for none
	bad   bool                  // the entry itself could not be read
}

// readVocabulary reads and checks all files.
func readVocabulary(files []File) ([]*entry, ErrorList) {
	var entries []*entry
	var sources []*source
	for _, f := range files {
		s, root := open(f.Name, "vocabulary", f.Data)
		sources = append(sources, s)
		if root != nil {
			entries = append(entries, s.entries(root)...)
		}
	}
	checkVocabulary(entries)
	var faults ErrorList
	for _, s := range sources {
		if err, ok := s.err().(ErrorList); ok {
			faults = append(faults, err...)
		}
	}
	if len(entries) == 0 && len(faults) == 0 {
		faults = ErrorList{{Message: "the vocabulary has no entries"}}
	}
	return entries, faults
}

// entries reads the root of one file.
func (s *source) entries(root *yaml.Node) []*entry {
	if root.Kind != yaml.MappingNode {
		s.wrong(root, "write vocabulary: 1, and the entries below observations:", "a vocabulary is a map, not %s", form(root))
		return nil
	}
	var list *yaml.Node
	version := false
	for _, p := range pairs(root) {
		switch p.key.Value {
		case "vocabulary":
			version = true
			if p.value.Value != "1" {
				s.wrong(p.value, "write vocabulary: 1", "the version must be 1, not %s", form(p.value))
			}
		case "observations":
			list = p.value
		default:
			s.wrong(p.key, s.suggest(p.key.Value, []string{"vocabulary", "observations"}), "unknown field %q", short(p.key.Value))
		}
	}
	if !version {
		s.wrong(root, "write vocabulary: 1 as the first line", "the version is missing")
	}
	return s.entryList(root, list)
}

func (s *source) entryList(root, list *yaml.Node) []*entry {
	if list == nil {
		s.wrong(root, "write observations: and below it entries with - id: …", "the observations are missing")
		return nil
	}
	if list.Kind != yaml.SequenceNode {
		s.wrong(list, "begin each entry with - id: …", "observations is a list, not %s", form(list))
		return nil
	}
	var out []*entry
	for _, n := range list.Content {
		out = append(out, s.entry(n))
	}
	return out
}

func (s *source) entry(n *yaml.Node) *entry {
	e := &entry{source: s, o: &Observation{}, node: n, field: map[string]*yaml.Node{}}
	if n.Kind != yaml.MappingNode {
		s.wrong(n, "write id: …, question: … and so on", "an entry is a map, not %s", form(n))
		e.bad = true
		return e
	}
	e.eachField(n, entryFields(), func(name string, value *yaml.Node) { e.field[name] = value })
	e.defaults()
	return e
}

// A fieldReader reads the value of one field into the entry.
type fieldReader struct {
	name string
	read func(*entry, *yaml.Node)
}

// entryFields lists the fields of an entry. Those that depend on others (bands) are
// read as they stand and worked out by the checks.
func entryFields() []fieldReader {
	text := func(to func(*Observation) *string) func(*entry, *yaml.Node) {
		return func(e *entry, n *yaml.Node) { *to(e.o) = e.text(n) }
	}
	number := func(to func(*Observation) *float64) func(*entry, *yaml.Node) {
		return func(e *entry, n *yaml.Node) { *to(e.o) = e.number(n) }
	}
	return []fieldReader{
		{"id", text(func(o *Observation) *string { return &o.ID })},
		{"question", text(func(o *Observation) *string { return &o.Question })},
		{"where", func(e *entry, n *yaml.Node) { e.o.Where = Where(e.oneOf(n, whereNames)) }},
		{"about", func(e *entry, n *yaml.Node) { e.o.About = Level(e.oneOf(n, levelNames)) }},
		{"kind", func(e *entry, n *yaml.Node) { e.o.Kind = Kind(e.oneOf(n, kindNames)) }},
		{"words", (*entry).words},
		{"normal", text(func(o *Observation) *string { return &o.Normal })},
		{"several", func(e *entry, n *yaml.Node) { e.o.Several = e.flag(n) }},
		{"unit", (*entry).unit},
		{"range", (*entry).limits},
		{"uncertainty", number(func(o *Observation) *float64 { return &o.Uncertainty })},
		{"blunder", func(e *entry, n *yaml.Node) { e.o.Blunder = e.share(n) }},
		{"around", (*entry).around},
		{"computed", text(func(o *Observation) *string { return &o.Computed })},
		{"tells", (*entry).tells},
		{"bands", (*entry).bands},
		{"who", func(e *entry, n *yaml.Node) { e.o.Who = Who(e.oneOf(n, whoNames)) }},
		{"how", text(func(o *Observation) *string { return &o.How })},
		{"minutes", number(func(o *Observation) *float64 { return &o.Minutes })},
		{"tools", func(e *entry, n *yaml.Node) { e.o.Tools = e.texts(n) }},
		{"caution", text(func(o *Observation) *string { return &o.Caution })},
		{"common", func(e *entry, n *yaml.Node) { e.o.Common = e.flag(n) }},
		{"cites", (*entry).cites},
	}
}

// eachField reads the fields of a map by their readers and reports unknown ones.
func (e *entry) eachField(n *yaml.Node, fields []fieldReader, seen func(string, *yaml.Node)) {
	if n.Kind != yaml.MappingNode {
		e.wrong(n, "write {"+fields[0].name+": …}", "expected a map, not %s", form(n))
		return
	}
pairs:
	for _, p := range pairs(n) {
		for _, f := range fields {
			if f.name == p.key.Value {
				seen(f.name, p.value)
				f.read(e, p.value)
				continue pairs
			}
		}
		names := make([]string, len(fields))
		for i, f := range fields {
			names[i] = f.name
		}
		hint := e.suggest(p.key.Value, names)
		if hint == "" {
			hint = "known are " + listed(names, "and")
		}
		e.wrong(p.key, hint, "unknown field %q", short(p.key.Value))
	}
}

// text reads a text that must not be empty.
func (e *entry) text(n *yaml.Node) string {
	if n.Kind != yaml.ScalarNode || strings.TrimSpace(n.Value) == "" || isNull(n) {
		e.wrong(n, "write it, or leave out the field", "expected a text, not %s", form(n))
		return ""
	}
	return strings.TrimSpace(n.Value)
}

func (e *entry) texts(n *yaml.Node) []string {
	if n.Kind != yaml.SequenceNode {
		e.wrong(n, "write [a, b]", "expected a list of texts, not %s", form(n))
		return nil
	}
	var out []string
	for _, c := range n.Content {
		out = append(out, e.text(c))
	}
	return out
}

func (e *entry) oneOf(n *yaml.Node, names []string) int {
	for i, name := range names {
		if n.Kind == yaml.ScalarNode && n.Value == name {
			return i
		}
	}
	e.wrong(n, "write "+listed(names, "or"), "expected one of the known words, not %s", form(n))
	return 0
}

func (e *entry) flag(n *yaml.Node) bool {
	if n.Kind != yaml.ScalarNode || n.Value != "true" && n.Value != "false" {
		e.wrong(n, "write true, or leave out the field", "expected true or false, not %s", form(n))
	}
	return n.Value == "true"
}

// number reads a plain number in the entry's unit.
func (e *entry) number(n *yaml.Node) float64 {
	v, rest, err := scanNumber(n.Value, decimalComma)
	if n.Kind != yaml.ScalarNode || err != nil || strings.TrimSpace(rest) != "" {
		e.wrong(n, "write a number without a unit", "expected a number, not %s", form(n))
		return 0
	}
	return v
}

// share reads "1 in 50" or a number.
func (e *entry) share(n *yaml.Node) float64 {
	if rest, ok := strings.CutPrefix(n.Value, "1 in "); ok {
		if v, err := strconv.ParseFloat(rest, 64); err == nil && v > 0 {
			return 1 / v
		}
	}
	return e.number(n)
}

func (e *entry) unit(n *yaml.Node) {
	u, ok := LookupUnit(e.text(n))
	if !ok {
		var names []string
		for _, u := range Units() {
			names = append(names, u.Name)
		}
		hint := e.suggest(n.Value, names)
		if hint == "" {
			hint = "known units are in unit_table.go"
		}
		e.wrong(n, hint, "unknown unit %q", short(n.Value))
	}
	e.o.Unit = u.Name
}

func (e *entry) limits(n *yaml.Node) {
	if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
		e.wrong(n, "write [lowest, highest]", "expected two numbers, not %s", form(n))
		return
	}
	e.o.Range = [2]float64{e.number(n.Content[0]), e.number(n.Content[1])}
	if e.o.Range[0] >= e.o.Range[1] {
		e.wrong(n, "write [lowest, highest]", "the range is empty")
	}
}

// around reads what bands are counted from: alternatives with else between, of which the
// last may be plain and the others are numbers for a model to work out.
func (e *entry) around(n *yaml.Node) {
	for _, part := range strings.Split(e.text(n), " else ") {
		part = strings.TrimSpace(part)
		switch {
		case e.o.Around != "":
			e.wrong(n, "put it last", "%s: nothing comes after %s, which is plain", e.title(), e.o.Around)
		case strings.Contains(part, "("):
			e.o.Expected = append(e.o.Expected, part)
		default:
			e.o.Around = part
		}
	}
}

// tells reads what a reading means in figures.
func (e *entry) tells(n *yaml.Node) {
	for _, c := range e.list(n) {
		var t Tell
		e.eachField(c, []fieldReader{
			{"number", func(e *entry, n *yaml.Node) { t.Number = e.text(n) }},
			{"unit", func(e *entry, n *yaml.Node) { t.Unit = e.text(n) }},
			{"says", func(e *entry, n *yaml.Node) { t.Says = e.text(n) }},
			{"less", func(e *entry, n *yaml.Node) { t.Less = e.text(n) }},
		}, func(string, *yaml.Node) {})
		if t.Number == "" || t.Says == "" {
			e.wrong(c, "write {number: …, unit: …, says: …}", "an entry of tells needs number and says")
		}
		if _, ok := LookupUnit(t.Unit); !ok {
			e.wrong(c, "write a unit of unit_table.go, or leave it out", "unknown unit %q", short(t.Unit))
		}
		e.o.Tells = append(e.o.Tells, t)
	}
}

func (e *entry) words(n *yaml.Node) {
	for _, c := range e.list(n) {
		var w Word
		e.eachField(c, []fieldReader{
			{"word", func(e *entry, n *yaml.Node) { w.Word = e.text(n); e.checkWord(n) }},
			{"means", func(e *entry, n *yaml.Node) { w.Means = e.text(n) }},
		}, func(string, *yaml.Node) {})
		if w.Word == "" || w.Means == "" {
			e.wrong(c, `write {word: …, means: "…"}`, "a word needs word and means")
		}
		e.o.Words = append(e.o.Words, w)
	}
}

func (e *entry) bands(n *yaml.Node) {
	for _, c := range e.list(n) {
		var b Band
		var below *yaml.Node
		e.eachField(c, []fieldReader{
			{"word", func(e *entry, n *yaml.Node) { b.Word = e.text(n); e.checkWord(n) }},
			{"below", func(_ *entry, n *yaml.Node) { below = n }},
			{"means", func(e *entry, n *yaml.Node) { b.Means = e.text(n) }},
		}, func(string, *yaml.Node) {})
		if b.Word == "" {
			e.wrong(c, "write {word: …, below: …}", "a band needs a word")
		}
		e.o.Bands = append(e.o.Bands, b)
		e.limit = append(e.limit, below)
	}
}

func (e *entry) cites(n *yaml.Node) {
	for _, c := range e.list(n) {
		var cite Cite
		e.eachField(c, []fieldReader{
			{"source", func(e *entry, n *yaml.Node) { cite.Source = e.text(n) }},
			{"at", func(e *entry, n *yaml.Node) { cite.At = e.text(n) }},
			{"for", func(e *entry, n *yaml.Node) { cite.For = e.text(n) }},
		}, func(string, *yaml.Node) {})
		if cite.Source == "" {
			e.wrong(c, `write {source: …, at: "…", for: "…"}`, "a citation needs a source")
		}
		e.o.Cites = append(e.o.Cites, cite)
	}
}

// list returns the entries of a list that must not be empty.
func (e *entry) list(n *yaml.Node) []*yaml.Node {
	const hint = "write one entry a line, each with - before it"
	if n.Kind != yaml.SequenceNode {
		e.wrong(n, hint, "expected a list, not %s", form(n))
		return nil
	}
	if len(n.Content) == 0 {
		e.wrong(n, hint, "the list is empty")
	}
	return n.Content
}
