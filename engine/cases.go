package engine

import (
	"math"
	"slices"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// casesOf fills one case a place with what the sheet says there: facts and readings about the machine stand in every
// case, those about a carburetor also in the cases of its cylinders.
func casesOf(n *network) []*condition.Case {
	cases := make([]*condition.Case, len(n.places))
	for p := range cases {
		cases[p] = n.know.set.Env.NewCase()
	}
	for i := range n.sheet.Machine.Facts {
		f := &n.sheet.Machine.Facts[i]
		for p := range cases {
			n.know.set.Known(cases[p], f.Observation, f.Value, 0)
		}
	}
	for i := range n.sheet.Readings {
		r := &n.sheet.Readings[i]
		at, ok := n.placeOf(r)
		if !ok {
			continue
		}
		around, _ := n.around(r.Observation, at) // NaN leaves the band unknown
		for p := range cases {
			if n.holds(at, p) {
				n.know.set.Known(cases[p], r.Observation, r.Value, around)
			}
		}
	}
	return cases
}

// holds reports whether place p is place at, or hangs on it.
func (l *layout) holds(at, p int) bool {
	for p != at && p != machinePlace {
		p = l.up[p]
	}
	return p == at
}

// placeOf returns the place that a reading is about; false when that is not one place. A reading "somewhere" on a machine
// with a single such place is about that one.
func (n *network) placeOf(r *symptoms.Reading) (int, bool) {
	level := r.Observation.About
	if level == symptoms.WholeMachine {
		return machinePlace, true
	}
	if r.Scope == symptoms.At {
		return n.find(level, r.Place)
	}
	if at := n.at[level]; len(at) == 1 {
		return at[0], true
	}
	return 0, false
}

// wordIndex is the position of a word in the masking order, the normal word last.
func wordIndex(o *symptoms.Observation, word string) int {
	return slices.IndexFunc(o.Words, func(w symptoms.Word) bool { return w.Word == word })
}

// bandWord returns the band that holds the whole of a value, by its position in the masking order.
func bandWord(o *symptoms.Observation, v symptoms.Value, around float64) (int, bool) {
	if len(v.Words) > 0 {
		return wordIndex(o, v.Words[0]), true
	}
	for _, b := range o.Bands {
		if v.Lo-around >= b.Lo && v.Hi-around < b.Hi {
			return wordIndex(o, b.Word), true
		}
	}
	return 0, false
}

// around returns what an observation's bands are relative to at a place; false when that is not known.
func (n *network) around(o *symptoms.Observation, place int) (float64, bool) {
	switch o.Around {
	case "":
		return 0, true
	case "others":
		return n.others(o, place)
	}
	for _, f := range n.sheet.Machine.Facts {
		if f.Observation.ID == o.Around {
			return (f.Value.Lo + f.Value.Hi) / 2, finite(f.Value.Lo) && finite(f.Value.Hi)
		}
	}
	return math.NaN(), false
}

// others returns the median of the same reading at the other places.
func (n *network) others(o *symptoms.Observation, place int) (float64, bool) {
	var got []float64
	for i := range n.sheet.Readings {
		r := &n.sheet.Readings[i]
		if p, ok := n.placeOf(r); ok && r.Observation == o && p != place && finite(r.Value.Lo) && finite(r.Value.Hi) {
			got = append(got, (r.Value.Lo+r.Value.Hi)/2)
		}
	}
	if len(got) == 0 {
		return math.NaN(), false
	}
	slices.Sort(got)
	m := len(got) / 2
	if len(got)%2 == 1 {
		return got[m], true
	}
	return (got[m-1] + got[m]) / 2, true
}

func finite(x float64) bool { return !math.IsInf(x, 0) && !math.IsNaN(x) }
