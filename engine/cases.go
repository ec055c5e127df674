package engine

import (
	"math"
	"slices"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// casesOf fills one case a place with what the sheet says there: facts and readings about the machine stand in every
// case, those about a carburetor also in the cases of its cylinders. Bands come last, since what they are counted from may
// be computed from other values.
func casesOf(n *network) []*condition.Case {
	cases := rawCases(n)
	for i := range n.readings {
		r := &n.readings[i]
		at, ok := n.placeOf(r)
		if !ok || len(r.Observation.Bands) == 0 {
			continue
		}
		around, _ := n.around(r.Observation, at) // NaN leaves the band unknown
		for p := range cases {
			if n.holds(at, p) {
				n.know.set.Known(cases[p], r.Observation, r.Value, around.at)
			}
		}
	}
	return cases
}

// rawCases is casesOf without bands that are counted from something.
func rawCases(n *network) []*condition.Case {
	cases := make([]*condition.Case, len(n.places))
	for p := range cases {
		cases[p] = n.know.set.Env.NewCase()
		for i := range n.sheet.Machine.Facts {
			f := &n.sheet.Machine.Facts[i]
			n.know.set.Known(cases[p], f.Observation, f.Value, math.NaN())
		}
		for i := range n.readings {
			r := &n.readings[i]
			if at, ok := n.placeOf(r); ok && n.holds(at, p) {
				n.know.set.Known(cases[p], r.Observation, r.Value, math.NaN())
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

// middle is what the bands of an observation are relative to, with its own standard uncertainty, in SI units.
type middle struct{ at, uncertainty float64 }

// unknownMiddle leaves every band open.
var unknownMiddle = middle{at: math.NaN()}

// around returns what an observation's bands are relative to at a place; false when that is not known. What the model
// expects comes before the plain value.
func (n *network) around(o *symptoms.Observation, place int) (middle, bool) {
	if !o.Relative() {
		return middle{}, true
	}
	if lo, hi, by, ok := n.know.set.Expect(n.cases[place], o); ok {
		return middle{at: lo + (hi-lo)/2, uncertainty: math.Hypot((hi-lo)/math.Sqrt(12), n.uncertaintyOf(by, place))}, true
	}
	switch o.Around {
	case "":
		return unknownMiddle, false
	case "others":
		return n.others(o, place)
	}
	for _, f := range n.sheet.Machine.Facts {
		if f.Observation.ID == o.Around && finite(f.Value.Lo) && finite(f.Value.Hi) {
			return middle{at: (f.Value.Lo + f.Value.Hi) / 2, uncertainty: (f.Value.Hi - f.Value.Lo) / math.Sqrt(12)}, true
		}
	}
	return unknownMiddle, false
}

// others returns the median of the same reading at the other places.
func (n *network) others(o *symptoms.Observation, place int) (middle, bool) {
	var got []symptoms.Value
	for i := range n.readings {
		r := &n.readings[i]
		if p, ok := n.placeOf(r); ok && r.Observation == o && p != place && len(r.Value.Words) == 0 {
			got = append(got, r.Value)
		}
	}
	median, uncertainty, ok := symptoms.AroundOthers(got)
	if !ok {
		return unknownMiddle, false
	}
	return middle{median, uncertainty}, true
}

func finite(x float64) bool { return !math.IsInf(x, 0) && !math.IsNaN(x) }
