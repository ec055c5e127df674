package engine

import (
	"math"
	"slices"
	"strconv"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// compute adds readings that nobody gave and that the vocabulary has worked out from others, at every place where they are
// known. A number that rests on another computed one stands after it in the vocabulary.
func (n *network) compute() {
	for _, o := range n.know.set.Vocabulary.All() {
		q, ok := n.know.set.Computed(o)
		if !ok {
			continue
		}
		for _, p := range n.at[o.About] {
			if n.given(o, p) {
				continue
			}
			v, ok := n.computed(o, q, p)
			if !ok {
				continue
			}
			r := symptoms.Reading{Observation: o, Value: v, Pos: n.posOf(q, p)}
			if o.About != symptoms.WholeMachine {
				r.Scope, r.Place = symptoms.At, n.places[p].Name
			}
			n.readings = append(n.readings, r)
			for held, c := range n.cases {
				if n.holds(p, held) {
					n.know.set.Known(c, o, v, math.NaN())
				}
			}
		}
	}
}

// given reports whether the sheet has a reading of the observation at a place, or somewhere.
func (n *network) given(o *symptoms.Observation, place int) bool {
	return slices.ContainsFunc(n.readings, func(r symptoms.Reading) bool {
		p, ok := n.placeOf(&r)
		return r.Observation == o && (!ok || p == place)
	})
}

// computed works out a reading. Of a point, the uncertainty is that of the model together with that of what went in; limits
// stay limits.
func (n *network) computed(o *symptoms.Observation, q *condition.Quantity, place int) (symptoms.Value, bool) {
	lo, hi, known := q.Eval(n.cases[place])
	if !known {
		return symptoms.Value{}, false
	}
	unit, _ := symptoms.LookupUnit(o.Unit)
	v := symptoms.Value{Lo: lo, Hi: hi}
	if lo == hi {
		v.U = math.Hypot(unit.SIDifference(o.Uncertainty), n.uncertaintyOf(q, place))
	}
	v.Text = shortFigure(unit.FromSI(lo))
	if lo != hi {
		v.Text += " to " + shortFigure(unit.FromSI(hi))
	}
	if o.Unit != "" {
		v.Text += " " + o.Unit
	}
	v.Text += ", computed"
	return v, true
}

// shortFigure has three figures: a computed number is no better than that.
func shortFigure(v float64) string {
	if v == 0 {
		return "0"
	}
	digits := max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	return strconv.FormatFloat(v, 'f', min(digits, 6), 64)
}

// uncertaintyOf returns the standard uncertainty that the uncertainties of what is read give a number at a place, taken as
// independent: each is moved by its own up and down (JCGM 100:2008, 5.1.2; from memory).
func (n *network) uncertaintyOf(q *condition.Quantity, place int) float64 {
	c, sum := n.cases[place], 0.0
	for _, i := range q.Reads() {
		v, ok := n.valueOf(n.know.set.Symbol(i).Observation, place)
		if !ok || v.U <= 0 || v.Lo != v.Hi || len(v.Words) > 0 {
			continue
		}
		c.SetNumber(i, v.Lo+v.U, v.Lo+v.U)
		above, _, known := q.Eval(c)
		c.SetNumber(i, v.Lo-v.U, v.Lo-v.U)
		_, below, alsoKnown := q.Eval(c)
		c.SetNumber(i, v.Lo, v.Lo)
		if half := (above - below) / 2; known && alsoKnown && finite(half) {
			sum += half * half
		}
	}
	return math.Sqrt(sum)
}

// valueOf returns what the sheet says of an observation or fact at a place or at what holds it.
func (n *network) valueOf(o *symptoms.Observation, place int) (symptoms.Value, bool) {
	for i := range n.sheet.Machine.Facts {
		if f := &n.sheet.Machine.Facts[i]; f.Observation == o {
			return f.Value, true
		}
	}
	for i := range n.readings {
		r := &n.readings[i]
		if p, ok := n.placeOf(r); ok && r.Observation == o && n.holds(p, place) {
			return r.Value, true
		}
	}
	return symptoms.Value{}, false
}

// posOf is where the first of the readings stands that a number is worked out from.
func (n *network) posOf(q *condition.Quantity, place int) symptoms.Position {
	for i := range n.sheet.Readings {
		r := &n.sheet.Readings[i]
		for _, s := range q.Reads() {
			if p, ok := n.placeOf(r); ok && n.know.set.Symbol(s).Observation == r.Observation && n.holds(p, place) {
				return r.Pos
			}
		}
	}
	return symptoms.Position{}
}

// missing lists what a computed number lacks at a place.
func (n *network) missing(o *symptoms.Observation, place int) []string {
	if q, ok := n.know.set.Computed(o); !ok || n.known(q, place) {
		return nil
	}
	var ids []string
	for _, id := range n.know.set.Inputs(o) {
		input, _ := n.know.set.Vocabulary.Lookup(id)
		if _, computed := n.know.set.Computed(input); computed {
			continue
		}
		if _, ok := n.valueOf(input, place); !ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// unread lists what a computed observation lacks, what is observed before the facts.
func (n *network) unread(at observedAt) []*symptoms.Observation {
	var out []*symptoms.Observation
	for _, id := range n.missing(at.observation, at.place) {
		if o, ok := n.know.set.Vocabulary.Lookup(id); ok {
			out = append(out, o)
		}
	}
	slices.SortStableFunc(out, func(a, b *symptoms.Observation) int { return int(b.Where) - int(a.Where) })
	return out
}

func (n *network) known(q *condition.Quantity, place int) bool {
	_, _, known := q.Eval(n.cases[place])
	return known
}

// fromFacts reports whether a reading follows from facts about the machine alone.
func (n *network) fromFacts(o *symptoms.Observation) bool {
	inputs := n.know.set.Inputs(o)
	return len(inputs) > 0 && !slices.ContainsFunc(inputs, func(id string) bool {
		input, _ := n.know.set.Vocabulary.Lookup(id)
		return input.Where == symptoms.Observed
	})
}
