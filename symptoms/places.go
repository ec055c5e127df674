package symptoms

import (
	"fmt"
	"slices"
	"strconv"

	"go.yaml.in/yaml/v3"
)

// cylinderIndex finds a cylinder by its name or else by its number; -1 if there is none.
func cylinderIndex(m *Machine, name string) int {
	if i := slices.Index(m.Cylinders, name); i >= 0 {
		return i
	}
	if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(m.Cylinders) && strconv.Itoa(n) == name {
		return n - 1
	}
	return -1
}

// carburetorIndex finds a carburetor by its name, or -1.
func carburetorIndex(m *Machine, name string) int { return slices.Index(m.Carburetors, name) }

// fedBy lists the cylinders that hang on a carburetor.
func fedBy(m *Machine, carburetor int) []int {
	var out []int
	for i, c := range m.Feeds {
		if c == carburetor {
			out = append(out, i)
		}
	}
	return out
}

// anyPlace checks that a carburetor or cylinder of that name exists and returns the
// name under which it is kept.
func (d *decoder) anyPlace(n *yaml.Node) (string, bool) {
	m := &d.sheet.Machine
	if !d.places {
		return n.Value, true
	}
	if n.Kind == yaml.ScalarNode {
		if i := carburetorIndex(m, n.Value); i >= 0 {
			return m.Carburetors[i], true
		}
		if i := cylinderIndex(m, n.Value); i >= 0 {
			return m.Cylinders[i], true
		}
	}
	d.unknownPlace(n, "place", allPlaces(m))
	return "", false
}

// allPlaces lists the names of carburetors and cylinders, each once.
func allPlaces(m *Machine) []string {
	names := slices.Clone(m.Carburetors)
	for _, c := range m.Cylinders {
		if !slices.Contains(names, c) {
			names = append(names, c)
		}
	}
	return names
}

func (d *decoder) unknownPlace(n *yaml.Node, what string, known []string) {
	hint := "known are " + listed(known, "and")
	if len(known) == 1 {
		hint = "there is only " + known[0] + "; name the places under machine: carburetors: [left, right]"
	}
	if near := d.suggest(n.Value, known); near != "" {
		hint = near + " " + hint
	}
	if o, ok := d.v.Lookup(n.Value); ok && n.Kind == yaml.ScalarNode {
		hint = fmt.Sprintf("write the place first, at: {%s: {%s: …}}; %s", quotedIfNumber(known[0]), o.ID, hint)
	}
	d.wrong(n, hint, "unknown %s %s", what, form(n))
}

// place resolves the key of a map of places under an observation.
func (d *decoder) place(key *yaml.Node, o *Observation) int {
	if _, ok := d.anyPlace(key); !ok {
		return -1
	}
	return d.placeOf(key.Value, key, o)
}

// placeOf returns the index of the place on the level of the observation. The name of a
// carburetor stands for its cylinder and the other way round if it has only one; if not,
// that is a fault at the given node.
func (d *decoder) placeOf(name string, at *yaml.Node, o *Observation) int {
	m := &d.sheet.Machine
	carburetor, cylinder := carburetorIndex(m, name), cylinderIndex(m, name)
	if o.About == Carburetor {
		switch {
		case carburetor >= 0:
			return carburetor
		case cylinder >= 0 && len(fedBy(m, m.Feeds[cylinder])) == 1:
			return m.Feeds[cylinder]
		}
		d.wrong(at, "write it below "+listed(m.Carburetors, "or"), "%s is about a carburetor, and %s is a cylinder", o.ID, name)
		return -1
	}
	if cylinder >= 0 {
		return cylinder
	}
	fed := fedBy(m, carburetor)
	if len(fed) == 1 {
		return fed[0]
	}
	names := make([]string, len(fed))
	for i, c := range fed {
		names[i] = quotedIfNumber(m.Cylinders[c])
	}
	d.wrong(at, "write it below the cylinder, "+listed(names, "or"), "%s is about a cylinder, and %s feeds %d", o.ID, name, len(fed))
	return -1
}
