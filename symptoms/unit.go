package symptoms

import (
	"slices"
	"strings"
	"sync"
)

// Dim holds the exponents of length, mass, time, temperature, electric current and
// turn (angle) of a quantity, over the base m, kg, s, K, A and one turn.
type Dim [6]int8

// A Unit is one unit of measurement that a sheet may use.
type Unit struct {
	// Name is the unit as it is printed, such as "ml/min".
	Name string
	// Func is its name as a function in conditions, such as "ml_per_min".
	Func string
	Dim  Dim
	// Factor and Offset turn a number v of the unit into SI: v*Factor + Offset. Only
	// temperature scales have an offset.
	Factor, Offset float64
	// Aliases are the other ways in which people write it.
	Aliases []string
	// Source says where Factor comes from.
	Source string
}

// SI converts a number of the unit to SI base units.
func (u Unit) SI(v float64) float64 { return v*u.Factor + u.Offset }

// SIDifference converts a difference or an uncertainty: the scale without the offset.
func (u Unit) SIDifference(v float64) float64 { return v * u.Factor }

// FromSI converts SI base units to a number of the unit.
func (u Unit) FromSI(si float64) float64 { return (si - u.Offset) / u.Factor }

// Units returns all units in a fresh slice, sorted by name.
func Units() []Unit {
	units := unitTable()
	slices.SortFunc(units, func(a, b Unit) int { return strings.Compare(a.Name, b.Name) })
	return units
}

// LookupUnit finds a unit by its name or an alias. The spelling counts first; failing
// that, capitals do not ("MM", "Bar"). The empty name is the unit of plain counts.
func LookupUnit(name string) (Unit, bool) {
	if name == "" {
		return Unit{Factor: 1}, true
	}
	index := unitIndex()
	if u, ok := index.exact[name]; ok {
		return *u, true
	}
	name = tidyUnit(name)
	if u, ok := index.exact[name]; ok {
		return *u, true
	}
	if u := index.folded[strings.ToLower(name)]; u != nil {
		return *u, true
	}
	return Unit{}, false
}

type unitMaps struct {
	exact  map[string]*Unit
	folded map[string]*Unit // nil where two units differ in capitals only
}

var unitIndex = sync.OnceValue(func() unitMaps {
	m := unitMaps{exact: map[string]*Unit{}, folded: map[string]*Unit{}}
	units := unitTable()
	for i := range units {
		u := &units[i]
		for _, name := range append([]string{u.Name}, u.Aliases...) {
			m.exact[name] = u
			low := strings.ToLower(name)
			if other, ok := m.folded[low]; ok && other != u {
				m.folded[low] = nil
				continue
			}
			m.folded[low] = u
		}
	}
	return m
})

// unitSpelling maps look-alike characters to the ones of the unit table.
var unitSpelling = strings.NewReplacer(
	"\u00b5", "\u03bc", "³", "3", "²", "2", "Ω", "ohm", "Ω", "ohm", "ω", "ohm",
	"º", "°", "″", `"`, "”", `"`, "′", "'", "’", "'", "₂", "2", "℃", "°C", "℉", "°F",
)

// tidyUnit brings a unit into the spelling of the table: single spaces, plain
// characters, no abbreviation stop.
func tidyUnit(s string) string {
	s = unitSpelling.Replace(strings.Join(strings.Fields(s), " "))
	return strings.TrimSuffix(s, ".")
}

// sameDim lists the names of the units of a dimension, for error messages.
func sameDim(d Dim) []string {
	var names []string
	for _, u := range Units() {
		if u.Dim == d {
			names = append(names, u.Name)
		}
	}
	return names
}

// dimName says in a word what kind of quantity has the dimension.
func dimName(d Dim) string {
	for _, n := range dimNames {
		if n.dim == d {
			return n.name
		}
	}
	return "a quantity of another kind"
}
