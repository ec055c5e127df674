package interview

import (
	"slices"
	"strings"

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

// workedOut is how many questions are worked out exactly before each one that is asked. With the default of the engine, half as many, good
// questions to the rider were missed, since the estimate knows nothing of effects that several causes share.
const workedOut = 12

// telling picks the question of a group that is worth most: first what decides a stop notice, then by information for the minutes.
func (t *Talk) telling() (*Question, error) {
	if q := t.safetyQuestion(); q != nil && t.now.group != Running {
		return q, nil
	}
	if t.now.group == Rider && t.now.inGroup >= patience && !t.now.eager || t.now.group == Running && t.silent() {
		return nil, nil
	}
	asked, err := t.ask(engine.AskOptions{Weight: t.weight, Most: workedOut, Detail: engine.FirstScreen})
	if err != nil {
		return nil, err
	}
	if t.now.group == Running && len(asked.Stops) > 0 {
		return nil, nil // it must not be started
	}
	for _, fact := range asked.Build {
		if fact.Who == t.now.group.who() && !t.isLeft(fact.ID, "") {
			q := t.about(fact, "")
			q.Build = true
			return q, nil
		}
	}
	best := t.best(asked.Questions)
	if best == nil {
		return nil, nil
	}
	if q := t.safetyQuestion(); q != nil {
		return q, nil
	}
	if q := t.needed(best); q != nil {
		return q, nil
	}
	return t.ready(best), nil
}

// finishing is the gain from which on a round that was begun is gone to its end: who has looked at three plugs looks at the fourth.
const finishing = 0.003

// best returns the question worth most, nil if none is worth its minutes.
func (t *Talk) best(wanted []engine.Wanted) *engine.Wanted {
	f := t.now.group.floor()
	if t.now.eager {
		f.gain, f.perMinute = f.gain/lower, f.perMinute/lower
	}
	var best *engine.Wanted
	most := 0.0
	for i := range wanted {
		w := &wanted[i]
		gain, minutes := t.round(w)
		if t.isAgain(w.Observation, w.Place.Name) && t.now.group != Bench && w.Gain >= finishing {
			return w
		}
		if gain < f.gain || gain/minutes < f.perMinute {
			continue
		}
		if value := gain / minutes * t.atHand(w.Observation, w.Place); value > most {
			best, most = w, value
		}
	}
	return best
}

// round is what a question tells and takes when it is asked at all places where it is open, as one does it with a look or a running
// engine: about as much again at each, in half the time from the second on. On the bench one place is worked at. What has to be
// looked up first takes its time too.
func (t *Talk) round(w *engine.Wanted) (gain, minutes float64) {
	const lookingUp, again = 4, 0.5
	gain, minutes = w.Gain, costs(w.Observation)
	if t.isAgain(w.Observation, w.Place.Name) {
		minutes *= again
	}
	if places := t.sheet.Machine.Places(w.Observation.About); len(places) > 1 && t.now.group != Bench {
		if open := len(t.open(w.Observation)); !t.pooled(w.Observation) {
			gain, minutes = gain*float64(open), minutes*(1+again*float64(open-1))
		} else {
			gain *= float64(open)
		}
	}
	for _, fact := range w.Needs {
		if !t.isLeft(fact.ID, "") && strings.HasPrefix(fact.ID, "spec.") {
			minutes += lookingUp
		}
	}
	return gain, minutes
}

// pooled reports whether an observation is asked once for all places.
func (t *Talk) pooled(o *symptoms.Observation) bool { return o.Who == symptoms.Rider }

// open lists the places at which nobody answered yet, in the order of the machine.
func (t *Talk) open(o *symptoms.Observation) []string {
	var out []string
	for _, p := range t.sheet.Machine.Places(o.About) {
		if !t.answered(o, p) && !t.isLeft(o.ID, p) && !t.implied(o, p) {
			out = append(out, p)
		}
	}
	return out
}

// silent reports that the engine does not run, so that nothing can be asked of it running.
func (t *Talk) silent() bool {
	return t.sheet.Says(is("start_attempt", "no-fire", "fires-and-dies")) || t.sheet.Says(is("engine_locked", "yes"))
}

// safetyQuestion returns the first question of the group on which a stop notice hangs and for which there is reason.
func (t *Talk) safetyQuestion() *Question {
	for _, s := range safety() {
		o, ok := t.set.Vocabulary.Lookup(s.id)
		if !ok || s.group != t.now.group || t.sheet.Says(is(s.id)) || t.isLeft(s.id, "") {
			continue
		}
		if s.when == nil || slices.ContainsFunc(s.when, t.sheet.Says) {
			q := t.about(o, "")
			q.Safety = true
			return q
		}
	}
	return nil
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

// ready makes the question as it is asked: going round the places, in their order; otherwise where it tells most.
func (t *Talk) ready(w *engine.Wanted) *Question {
	place := w.Place.Name
	again := t.isAgain(w.Observation, place)
	open := t.open(w.Observation)
	if again && t.now.group != Bench && len(open) > 0 {
		place = open[0]
	}
	q := t.about(w.Observation, place)
	q.Gain, q.Again = w.Gain, again && t.now.inGroup > 0
	if len(t.sheet.Machine.Places(w.Observation.About)) < 2 {
		q.Place = ""
		return q
	}
	q.Pooled = t.pooled(w.Observation)
	q.Places = append(q.Places, place)
	for _, p := range open {
		if p != place {
			q.Places = append(q.Places, p)
		}
	}
	return q
}

// isAgain reports whether the same was asked just before at another place.
func (t *Talk) isAgain(o *symptoms.Observation, place string) bool {
	return t.now.last.Observation == o && t.now.last.Place != place
}

// weight is what a bit from a question is worth now; 0 for one that is not to be asked.
func (t *Talk) weight(o *symptoms.Observation, p engine.Place) float64 {
	if o.Who != t.now.group.who() || t.isLeft(o.ID, p.Name) || engine.Idle(t.sheet, o.ID) || t.implied(o, p.Name) {
		return 0
	}
	if o.Around != "" && o.Around != "others" && t.isLeft(o.Around, "") {
		return 0 // the book's figure is not known: the reading would have nothing to be compared with
	}
	return t.atHand(o, p) / costs(o)
}

// atHand is above 1 for what the technician has at hand after the last question.
func (t *Talk) atHand(o *symptoms.Observation, p engine.Place) float64 {
	last := t.now.last
	if last.Observation == nil {
		return 1
	}
	factor := 1.0
	if last.Observation == o && (t.now.group != Bench || o.Around == "others") {
		factor *= sameLook
	}
	if t.now.group == Bench && p.Name != "" && t.side(p.Level, p.Name) == t.side(last.Observation.About, last.Place) {
		factor *= sameSide
	}
	if last.Observation != o && t.sameCheck(o, last.Observation) {
		factor *= sameCheck
	}
	return factor
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
