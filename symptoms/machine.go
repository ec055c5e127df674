package symptoms

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// The largest machines that a sheet can describe.
const (
	MaxCarburetors = 6
	MaxCylinders   = 8
)

// machine reads the facts and lays out the places.
func (d *decoder) machine(n *yaml.Node) {
	m := &d.sheet.Machine
	m.Strokes = 4
	if isNull(n) {
		n = &yaml.Node{Kind: yaml.MappingNode}
	}
	if n.Kind != yaml.MappingNode {
		d.wrong(n, "write machine: {cylinders: 2, carburetors: [left, right]}", "machine holds facts, not %s", form(n))
		return
	}
	facts := map[string]Reading{}
	field := map[string]*yaml.Node{}
	for _, p := range pairs(n) {
		switch p.key.Value {
		case "name":
			m.Name = d.freeText(p.value, "the name")
		case "cylinders", "carburetors", "feeds":
			field[p.key.Value] = p.value
		case "spec":
			d.specs(p.value, facts)
		default:
			d.fact(p, p.key.Value, facts)
		}
	}
	d.places = d.layout(field["carburetors"], field["cylinders"], field["feeds"])
	d.keepFacts(facts, field)
}

// specs reads spec: {float_height: 21 mm}; the same may be written spec.float_height: 21 mm.
func (d *decoder) specs(n *yaml.Node, facts map[string]Reading) {
	if isNull(n) {
		return
	}
	if n.Kind != yaml.MappingNode {
		d.wrong(n, "write spec: {float_height: 21 mm}", "spec holds the manual's figures, not %s", form(n))
		return
	}
	for _, p := range pairs(n) {
		d.fact(p, "spec."+p.key.Value, facts)
	}
}

func (d *decoder) fact(p pair, id string, facts map[string]Reading) {
	o, ok := d.v.Lookup(id)
	if !ok || o.Where != Fact {
		d.unknownFact(p.key, id)
		return
	}
	if first, double := facts[id]; double {
		d.wrong(p.key, "keep one of the two", "%s is given twice; first on line %d", id, first.Pos.Line)
		return
	}
	v, known := d.value(o, p.value)
	if !known {
		return
	}
	if id == "strokes" && v.Lo != 2 && v.Lo != 4 || id == "strokes" && v.Lo != v.Hi {
		d.wrong(p.value, "write 2 or 4", "an engine has 2 or 4 strokes, not %s", form(p.value))
		return
	}
	facts[id] = Reading{Observation: o, Value: v, Pos: d.position(p.key)}
}

func (d *decoder) unknownFact(key *yaml.Node, id string) {
	known := append(d.v.in(Fact), "name", "feeds", "spec")
	hint := d.suggest(id, known)
	o, observed := d.v.Lookup(id)
	_, spec := d.v.Lookup("spec." + id)
	switch {
	case observed && spec:
		hint = "write spec." + id + " for the manual's figure; what was measured stands below " + home(o)
	case observed:
		hint = "write it below " + home(o)
	case spec:
		hint = "write spec." + id
	}
	if hint == "" {
		hint = "known are " + listed(known, "and")
	}
	d.wrong(key, hint, "unknown machine fact %q", short(id))
}

// keepFacts stores the facts in the vocabulary's order, with those that always hold.
func (d *decoder) keepFacts(facts map[string]Reading, field map[string]*yaml.Node) {
	m := &d.sheet.Machine
	if r, ok := facts["strokes"]; ok {
		m.Strokes = int(r.Value.Lo)
	}
	if r, ok := facts["carburetor_kind"]; ok && len(r.Value.Words) > 0 {
		m.CarburetorKind = r.Value.Words[0]
	}
	count := map[string]int{"strokes": m.Strokes, "cylinders": len(m.Cylinders), "carburetors": len(m.Carburetors)}
	for _, o := range d.v.all {
		r, ok := facts[o.ID]
		if n, counted := count[o.ID]; counted && !ok && n > 0 {
			r = Reading{Observation: o, Value: Value{Lo: float64(n), Hi: float64(n), Text: strconv.Itoa(n)}, Pos: Position{File: d.name}}
			if at := field[o.ID]; at != nil {
				r.Pos = d.position(at)
			}
			ok = true
		}
		if ok {
			m.Facts = append(m.Facts, r)
		}
	}
}

// layout names carburetors and cylinders and hangs the ones on the others. It reports
// whether that could be done.
func (d *decoder) layout(carburetors, cylinders, feeds *yaml.Node) bool {
	m := &d.sheet.Machine
	var ok1, ok2 bool
	m.Carburetors, ok1 = d.placeNames(carburetors, "carburetors", MaxCarburetors, 1)
	if !ok1 {
		d.placeNames(cylinders, "cylinders", MaxCylinders, 1)
		return false
	}
	m.Cylinders, ok2 = d.placeNames(cylinders, "cylinders", MaxCylinders, defaultCylinders(m, feeds))
	switch {
	case !ok2:
		return false
	case feeds != nil && !isNull(feeds):
		if !d.feeds(feeds) {
			return false
		}
	case !d.shareOut(carburetors, cylinders):
		return false
	}
	return d.shareNames(carburetors, cylinders)
}

// defaultCylinders is the number of cylinders if the sheet does not say: what feeds lists,
// and otherwise one a carburetor.
func defaultCylinders(m *Machine, feeds *yaml.Node) int {
	n := 0
	if feeds != nil {
		for _, p := range pairs(feeds) {
			n += len(items(p.value))
		}
	}
	if n == 0 {
		return len(m.Carburetors)
	}
	return n
}

// placeNames reads a list of names, or a number n for "1" to "n".
func (d *decoder) placeNames(n *yaml.Node, what string, most, otherwise int) ([]string, bool) {
	hint := fmt.Sprintf("write %s: 2, or their names in order: [left, right]", what)
	switch {
	case n == nil || isNull(n) || n.Kind == yaml.ScalarNode && strings.EqualFold(n.Value, "unknown"):
		return numbers(otherwise), true
	case n.Kind == yaml.SequenceNode:
		return d.nameList(n, what, most, hint)
	}
	count, err := strconv.Atoi(strings.TrimSpace(n.Value))
	switch {
	case n.Kind != yaml.ScalarNode || err != nil && digits(n.Value) < len(n.Value):
		d.wrong(n, hint, "%s is a number or a list of names, not %s", what, form(n))
		return nil, false
	case err != nil || count < 1 || count > most:
		d.wrong(n, hint, "a sheet describes 1 to %d %s, not %s", most, what, short(n.Value))
		return nil, false
	}
	return numbers(count), true
}

func numbers(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = strconv.Itoa(i + 1)
	}
	return names
}

func (d *decoder) nameList(n *yaml.Node, what string, most int, hint string) ([]string, bool) {
	var names []string
	ok := true
	for _, c := range n.Content {
		name := strings.TrimSpace(c.Value)
		switch {
		case c.Kind != yaml.ScalarNode || isNull(c) || name == "":
			d.wrong(c, hint, "a name is a word, not %s", form(c))
			ok = false
		case len([]rune(name)) > 30 || strings.ContainsAny(name, "\n\r"):
			d.wrong(c, "write a short name on one line", "the name is longer than 30 characters")
			ok = false
		case slices.Contains(names, name):
			d.wrong(c, "give each a name of its own", "the name %q is given twice", name)
			ok = false
		}
		names = append(names, name)
	}
	if len(names) < 1 || len(names) > most {
		d.wrong(n, hint, "a sheet describes 1 to %d %s, not %d", most, what, len(names))
		ok = false
	}
	return names, ok
}

// shareOut hangs the cylinders on the carburetors evenly and in order.
func (d *decoder) shareOut(carburetors, cylinders *yaml.Node) bool {
	m := &d.sheet.Machine
	k, n := len(m.Carburetors), len(m.Cylinders)
	if n%k != 0 {
		at := cylinders
		if at == nil {
			at = carburetors
		}
		hint := "write feeds: {left: [1], right: [2, 3]}, the cylinders of each carburetor"
		if n < k {
			hint = "each carburetor needs a cylinder of its own: check the two numbers"
		}
		d.wrong(at, hint, "the cylinders (%d) do not share out evenly over the carburetors (%d)", n, k)
		return false
	}
	m.Feeds = make([]int, n)
	for i := range m.Feeds {
		m.Feeds[i] = i / (n / k)
	}
	return true
}

// feeds reads which carburetor feeds which cylinders.
func (d *decoder) feeds(n *yaml.Node) bool {
	const hint = "write feeds: {left: [1], right: [2]}, the cylinders of each carburetor"
	if n.Kind != yaml.MappingNode {
		d.wrong(n, hint, "feeds holds carburetors with their cylinders, not %s", form(n))
		return false
	}
	m := &d.sheet.Machine
	before := len(d.faults) + d.more
	m.Feeds = slices.Repeat([]int{-1}, len(m.Cylinders))
	fed := make([]bool, len(m.Carburetors))
	for _, p := range pairs(n) {
		c := slices.Index(m.Carburetors, p.key.Value)
		if c < 0 {
			d.unknownPlace(p.key, "carburetor", m.Carburetors)
			continue
		}
		for _, item := range items(p.value) {
			fed[c] = true
			d.feed(item, c)
		}
	}
	for c, ok := range fed {
		if !ok {
			d.wrong(n, hint, "the carburetor %s feeds no cylinder", m.Carburetors[c])
		}
	}
	for i, c := range m.Feeds {
		if c < 0 {
			d.wrong(n, hint, "the cylinder %s is fed by no carburetor", m.Cylinders[i])
		}
	}
	return len(d.faults)+d.more == before
}

func (d *decoder) feed(item *yaml.Node, carburetor int) {
	m := &d.sheet.Machine
	i := cylinderIndex(m, item.Value)
	switch {
	case item.Kind != yaml.ScalarNode || i < 0:
		d.unknownPlace(item, "cylinder", m.Cylinders)
	case m.Feeds[i] >= 0:
		d.wrong(item, "each cylinder hangs on one carburetor", "the cylinder %s is fed twice", m.Cylinders[i])
	default:
		m.Feeds[i] = carburetor
	}
}

// shareNames gives the cylinders the names of the carburetors if each carburetor has one
// and the sheet names no cylinders.
func (d *decoder) shareNames(carburetors, cylinders *yaml.Node) bool {
	m := &d.sheet.Machine
	if len(m.Cylinders) != len(m.Carburetors) || cylinders != nil && cylinders.Kind == yaml.SequenceNode {
		return true
	}
	own := m.Cylinders
	names := make([]string, len(own))
	for i, c := range m.Feeds {
		names[i] = m.Carburetors[c]
	}
	for i, name := range names {
		if name != own[i] && slices.Contains(own, name) {
			d.wrong(carburetors, "name the carburetors with words: [left, right]",
				"the carburetor %s feeds the cylinder %s: as places the numbers would be ambiguous", name, own[i])
			return false
		}
	}
	m.Cylinders = names
	return true
}
