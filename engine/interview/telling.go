package interview

import (
	"slices"

	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

// How much more a bit is worth where the technician has the thing at hand: the same look at the next cylinder, on the bench the same
// carburetor, and a look that belongs to the check just made. A jump to the other side has to pay for itself.
const (
	sameLook  = 4
	sameSide  = 3
	sameCheck = 1.5
)

// telling picks the question of a group that is worth most: first what decides a stop notice, then by information for the minutes.
func (t *Talk) telling() (*Question, error) {
	if q := t.safetyQuestion(); q != nil && t.now.group != Running {
		return q, nil
	}
	if t.now.group == Rider && t.now.inGroup >= patience && !t.now.eager || t.now.group == Running && t.silent() {
		return nil, nil
	}
	asked, err := t.ask(engine.AskOptions{Weight: t.weight})
	if err != nil {
		return nil, err
	}
	if t.now.group == Running && len(asked.Stops) > 0 {
		return nil, nil // it must not be started
	}
	for _, w := range asked.Questions {
		if !t.worth(&w) {
			continue
		}
		if q := t.safetyQuestion(); q != nil {
			return q, nil
		}
		if q := t.needed(&w); q != nil {
			return q, nil
		}
		return t.ready(&w), nil
	}
	return nil, nil
}

// silent reports that the engine does not run, so that nothing can be asked of it running.
func (t *Talk) silent() bool {
	return sheetSays(t.sheet, is("start_attempt", "no-fire", "fires-and-dies")) || sheetSays(t.sheet, is("engine_locked", "yes"))
}

// safetyQuestion returns the first question of the group on which a stop notice hangs and for which there is reason.
func (t *Talk) safetyQuestion() *Question {
	for _, s := range safety() {
		o, ok := t.set.Vocabulary.Lookup(s.id)
		if !ok || s.group != t.now.group || sheetSays(t.sheet, said{id: s.id}) || t.isLeft(s.id, "") {
			continue
		}
		given := func(x said) bool { return sheetSays(t.sheet, x) }
		if s.when == nil || slices.ContainsFunc(s.when, given) {
			q := t.about(o, "")
			q.Safety = true
			return q
		}
	}
	return nil
}

// worth reports whether a question is worth its minutes at all.
func (t *Talk) worth(w *engine.Wanted) bool {
	f := t.now.group.floor()
	if t.now.eager {
		f.gain, f.perMinute = f.gain/lower, f.perMinute/lower
	}
	minutes := costs(w.Observation)
	if t.isAgain(w.Observation, w.Place.Name) {
		minutes /= 2
	}
	return w.Gain >= f.gain && w.Gain/minutes >= f.perMinute
}

// needed returns the question for a fact that has to be known first, nil if there is none or nobody knows it.
func (t *Talk) needed(w *engine.Wanted) *Question {
	for _, fact := range w.Needs {
		if t.isLeft(fact.ID, "") {
			continue
		}
		q := t.about(fact, "")
		q.For, q.Gain = w.Observation, w.Gain
		return q
	}
	return nil
}

// ready makes the question as it is asked.
func (t *Talk) ready(w *engine.Wanted) *Question {
	q := t.about(w.Observation, w.Place.Name)
	q.Gain = w.Gain
	q.Again = t.isAgain(w.Observation, w.Place.Name)
	if places := t.sheet.Machine.Places(w.Observation.About); len(places) > 1 {
		q.Pooled = w.Observation.Who == symptoms.Rider
		q.Places = append(q.Places, q.Place)
		for _, p := range places {
			if p != q.Place && !t.answered(w.Observation, p) && !t.isLeft(w.Observation.ID, p) {
				q.Places = append(q.Places, p)
			}
		}
	} else {
		q.Place = ""
	}
	return q
}

// isAgain reports whether the same was asked just before at another place.
func (t *Talk) isAgain(o *symptoms.Observation, place string) bool {
	return t.now.last.Observation == o && t.now.last.Place != place
}

// weight is what a bit from a question is worth now; 0 for one that is not to be asked.
func (t *Talk) weight(o *symptoms.Observation, p engine.Place) float64 {
	if o.Who != t.now.group.who() || t.isLeft(o.ID, p.Name) || idle(t.sheet, o.ID) || t.implied(o, p.Name) {
		return 0
	}
	if o.Around != "" && o.Around != "others" && t.isLeft(o.Around, "") {
		return 0 // the book's figure is not known: the reading would have nothing to be compared with
	}
	weight := 1 / costs(o)
	last := t.now.last
	if last.Observation == nil {
		return weight
	}
	if last.Observation == o && t.now.group != Bench || last.Observation == o && o.Around == "others" {
		weight *= sameLook
	}
	if t.now.group == Bench && p.Name != "" && t.side(p.Level, p.Name) == t.side(last.Observation.About, last.Place) {
		weight *= sameSide
	}
	if last.Observation != o && t.sameCheck(o, last.Observation) {
		weight *= sameCheck
	}
	return weight
}

// side is the carburetor to which a place belongs, -1 for the whole machine.
func (t *Talk) side(l symptoms.Level, place string) int {
	m := &t.sheet.Machine
	i := slices.Index(m.Places(l), place)
	if l == symptoms.Cylinder && i >= 0 {
		return m.Feeds[i]
	}
	return i
}

// sameCheck reports whether one check takes both observations.
func (t *Talk) sameCheck(a, b *symptoms.Observation) bool {
	for _, c := range t.set.Checks {
		if slices.Contains(c.Observes, a.ID) && slices.Contains(c.Observes, b.ID) {
			return true
		}
	}
	return false
}

// answered reports whether the sheet has an answer at a place.
func (t *Talk) answered(o *symptoms.Observation, place string) bool {
	return slices.ContainsFunc(t.sheet.Readings, func(r symptoms.Reading) bool {
		return r.Observation == o && r.Scope != symptoms.Somewhere && (r.Place == place || r.Scope == symptoms.Whole)
	})
}

// implied reports whether what was said of other places, or of some place not known which, settles an observation at a place. What was
// said to be so nowhere is not so here; what is so somewhere, and at none of the others, is so here. The rider is asked
// once for all places.
func (t *Talk) implied(o *symptoms.Observation, place string) bool {
	places := t.sheet.Machine.Places(o.About)
	if len(places) < 2 {
		return false
	}
	others := 0
	for _, p := range places {
		if p != place && t.answered(o, p) {
			others++
		}
	}
	for _, r := range t.sheet.Readings {
		if r.Observation != o {
			continue
		}
		if o.Who == symptoms.Rider {
			return true
		}
		if r.Scope == symptoms.Somewhere && (isNormal(o, r.Value) || others == len(places)-1) {
			return true
		}
	}
	return false
}

// isNormal reports whether a value is the normal answer.
func isNormal(o *symptoms.Observation, v symptoms.Value) bool {
	if o.Kind == symptoms.YesNo {
		return v.Yes == (o.Normal == "yes")
	}
	return slices.Contains(v.Words, o.Normal)
}
