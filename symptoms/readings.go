package symptoms

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// A route is the part of a sheet in which an observation was given.
type route uint8

const (
	observed route = iota
	every
	somewhere
	atPlace
)

func (r route) String() string {
	return name([]string{"observed", "every", "somewhere", "at"}, int(r))
}

// A given is an observation as found on the sheet.
type given struct {
	o     *Observation
	route route
	place int // index of the place on the observation's level, -1 for none
	key   *yaml.Node
	value Value
	known bool
}

// observations reads a map of observations under observed, every or somewhere.
func (d *decoder) observations(n *yaml.Node, r route) {
	if isNull(n) {
		return
	}
	if n.Kind != yaml.MappingNode {
		d.notMap(n, r.String())
		return
	}
	for _, p := range pairs(n) {
		if o := d.observation(p, r); o != nil {
			d.give(o, r, p)
		}
	}
}

func (d *decoder) notMap(n *yaml.Node, what string) {
	hint := "write one name: value a line below it, indented"
	if n.Kind == yaml.ScalarNode && strings.Contains(n.Value, ":") {
		hint = "write a space after each colon: name: value"
	}
	d.wrong(n, hint, "%s holds observations with their answers, not %s", what, form(n))
}

// observation looks up the name of an observation; nil if it does not belong there.
func (d *decoder) observation(p pair, r route) *Observation {
	id := p.key.Value
	o, ok := d.v.Lookup(id)
	switch {
	case !ok:
		d.unknownObservation(p, r)
		return nil
	case o.Where != Observed:
		d.wrong(p.key, "write it below "+home(o), "%s is no observation", id)
		return nil
	case o.About == WholeMachine && r != observed:
		d.wrong(p.key, "write it below observed:", "%s is about the whole machine", id)
		return nil
	}
	return o
}

func (d *decoder) unknownObservation(p pair, r route) {
	id := p.key.Value
	hint := d.suggest(id, d.v.in(Observed))
	switch {
	case id == "notes" && r != atPlace:
		hint = "write notes: at the left margin, or below a place under at:"
	case d.isPlace(id):
		hint = "places stand below at:"
	case digits(id) > 0 && isNull(p.value):
		// In braces a comma ends the value, so "22,5 mm" falls into two.
		hint = fmt.Sprintf("between braces a comma ends an answer: put it in quotes (\"…,%s\"), or use a decimal point", id)
	case hint == "":
		hint = "the command `diagnose observations` lists all names"
	}
	d.wrong(p.key, hint, "unknown observation %q", short(id))
}

func (d *decoder) isPlace(name string) bool {
	m := &d.sheet.Machine
	return slices.Contains(m.Carburetors, name) || slices.Contains(m.Cylinders, name)
}

// give records an observation of one of the three parts without places of their own.
func (d *decoder) give(o *Observation, r route, p pair) {
	places := d.sheet.Machine.Places(o.About)
	switch {
	case o.About == WholeMachine:
		d.add(o, r, -1, p.key, p.value)
	case !d.places:
		d.value(o, p.value) // its own faults are reported all the same
	case r == observed && p.value.Kind == yaml.MappingNode:
		for _, at := range pairs(p.value) {
			if i := d.place(at.key, o); i >= 0 {
				d.add(o, atPlace, i, at.key, at.value)
			}
		}
	case len(places) == 1:
		d.add(o, r, 0, p.key, p.value)
	case r == observed:
		if _, known := d.value(o, p.value); known {
			d.whichPlace(o, p, places)
		}
	default:
		d.add(o, r, -1, p.key, p.value)
	}
}

func (d *decoder) whichPlace(o *Observation, p pair, places []string) {
	text := short(p.value.Value)
	if p.value.Kind != yaml.ScalarNode {
		text = "…"
	}
	hint := fmt.Sprintf("write it below every: if it is the same at each, below somewhere: if it is at one of them and you do not know which, or at: {%s: {%s: %s}}",
		quotedIfNumber(places[0]), o.ID, text)
	d.wrong(p.key, hint, "%s is about a %s, and there are %d: %s", o.ID, o.About, len(places), listed(places, "and"))
}

// quotedIfNumber writes a place as it should stand on a sheet.
func quotedIfNumber(place string) string {
	if digits(place) == len(place) {
		return `"` + place + `"`
	}
	return place
}

func (d *decoder) add(o *Observation, r route, place int, key, value *yaml.Node) {
	if isNull(value) { // an empty answer is no entry; the word unknown is one
		return
	}
	v, known := d.value(o, value)
	d.given = append(d.given, given{o, r, place, key, v, known})
}

// at reads the observations and notes of named places.
func (d *decoder) at(n *yaml.Node) {
	if isNull(n) {
		return
	}
	if n.Kind != yaml.MappingNode {
		d.wrong(n, "write at: {left: {name: value}}", "at holds places with their observations, not %s", form(n))
		return
	}
	for _, p := range pairs(n) {
		name, ok := d.anyPlace(p.key)
		if !ok || isNull(p.value) {
			continue
		}
		if p.value.Kind != yaml.MappingNode {
			d.notMap(p.value, "at "+name)
			continue
		}
		d.atOne(p.key, name, p.value)
	}
}

func (d *decoder) atOne(place *yaml.Node, name string, n *yaml.Node) {
	for _, p := range pairs(n) {
		if p.key.Value == "notes" {
			d.notes(p.value, name)
			continue
		}
		o := d.observation(p, atPlace)
		switch {
		case o == nil:
		case !d.places:
			d.value(o, p.value)
		default:
			// The fault of a place of the wrong level is the observation's.
			if i := d.placeOf(place.Value, p.key, o); i >= 0 {
				d.add(o, atPlace, i, p.key, p.value)
			}
		}
	}
}

// gather turns what was found into readings: what is given twice is refused, what stands
// under every is spread over the places that at does not refine.
func (d *decoder) gather() {
	slices.SortStableFunc(d.given, func(a, b given) int {
		if a.key.Line != b.key.Line {
			return a.key.Line - b.key.Line
		}
		return a.key.Column - b.key.Column
	})
	first := map[*Observation][]*given{}
	for i := range d.given {
		g := &d.given[i]
		before := first[g.o]
		first[g.o] = append(before, g)
		for _, b := range before {
			if d.twice(b, g) {
				break
			}
		}
	}
	for i := range d.given {
		if g := &d.given[i]; g.known {
			d.read(g, first[g.o])
		}
	}
}

// twice reports an observation that two parts of the sheet give for the same place.
func (d *decoder) twice(a, b *given) bool {
	// A look at one place refines what holds at every place, and narrows down what was reported somewhere.
	refines := a.route.refinedBy(b) || b.route.refinedBy(a)
	apart := a.route == atPlace && b.route == atPlace && a.place != b.place
	if refines || apart || !a.known || !b.known {
		return false
	}
	d.wrong(b.key, "keep one of the two; only at: may refine what stands below every: or somewhere:",
		"%s is given twice, below %s and below %s; first on line %d", b.o.ID, a.route, b.route, a.key.Line)
	return true
}

// refinedBy reports whether a look at one place may say more than a part of the sheet does.
func (r route) refinedBy(g *given) bool { return (r == every || r == somewhere) && g.route == atPlace }

// read appends the readings of one given.
func (d *decoder) read(g *given, all []*given) {
	places := d.sheet.Machine.Places(g.o.About)
	r := Reading{Observation: g.o, Value: g.value, Pos: d.position(g.key)}
	switch {
	case g.o.About == WholeMachine:
	case g.place < 0 && g.route == somewhere:
		r.Scope = Somewhere
	case g.route == every:
		for i, name := range places {
			if !refined(all, i) {
				r.Scope, r.Place = At, name
				d.sheet.Readings = append(d.sheet.Readings, r)
			}
		}
		return
	default:
		r.Scope, r.Place = At, places[g.place]
	}
	d.sheet.Readings = append(d.sheet.Readings, r)
}

// refined reports whether at gives the observation for a place.
func refined(all []*given, place int) bool {
	return slices.ContainsFunc(all, func(g *given) bool { return g.route == atPlace && g.place == place })
}
