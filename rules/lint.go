package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Lint is one remark of [Set.Lint] about a record.
type Lint struct {
	// Pos is zero for remarks about the whole and about entries of the vocabulary.
	Pos symptoms.Position
	// ID is the record, observation or source it is about; empty when it is about the whole.
	ID string
	// Message says what was found, Hint what would mend it.
	Message, Hint string
}

// String returns "file:line:column: id: message; hint", without what is missing.
func (l Lint) String() string {
	text := (&Error{Pos: l.Pos, ID: l.ID, Message: l.Message, Hint: l.Hint}).Error()
	if l.Pos == (symptoms.Position{}) {
		text = strings.TrimPrefix(text, l.Pos.String()+": ")
	}
	return text
}

// Lint looks for knowledge that is well formed but doubtful: too much for exact inference, leading nowhere, telling
// nothing, badly sourced, or without the caution it needs. The result is in the order of the packs. What can only be seen by
// building the network, the open widths, is for the engine to add.
func (s *Set) Lint() []Lint {
	l := &linter{set: s, graph: s.graph()}
	for _, pass := range []func(*linter){
		(*linter).shape, (*linter).trunk, (*linter).summaries, (*linter).faults, (*linter).dangling, (*linter).unread, (*linter).words,
		(*linter).telling, (*linter).twins, (*linter).cases, (*linter).sources, (*linter).actions, (*linter).cautions, (*linter).titles,
	} {
		pass(l)
	}
	slices.SortStableFunc(l.found, func(a, b Lint) int {
		return cmp.Or(cmp.Compare(a.Pos.File, b.Pos.File), a.Pos.Line-b.Pos.Line, a.Pos.Column-b.Pos.Column)
	})
	return l.found
}

type linter struct {
	set   *Set
	graph *graph
	found []Lint
}

func (l *linter) say(pos symptoms.Position, id, hint, format string, args ...any) {
	l.found = append(l.found, Lint{Pos: pos, ID: id, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// The shape budget: what keeps exact inference affordable. The width of the computation grows with every effect that is
// open at once, and a shared effect that reaches into the carburetors is open for all of them.
const (
	mostEffects   = 2 // effects that one cause makes
	mostTrunk     = 7 // causes and effects of the whole machine that reach into carburetors or cylinders
	mostSummaries = 9 // effects of the whole machine that sum up what goes on in the carburetors or cylinders; the widths are what they cost
)

// shape looks at single causes; the other two parts of the shape budget are about the set as a whole.
func (l *linter) shape() {
	for _, c := range l.set.Causes {
		if n := len(c.Makes); n > mostEffects {
			l.say(c.Pos, c.ID, "link it to the effect nearest to it, and that one to the others", "makes %d effects; one is usual, %d the most",
				n, mostEffects)
		}
	}
}

// local reports whether a record is about a carburetor or cylinder.
func (l *linter) local(id string) bool { return l.set.level(id) != symptoms.WholeMachine }

// trunk counts what is about the whole machine and has a child in a carburetor or cylinder, effect or finding.
func (l *linter) trunk() {
	var ids []string
	for _, h := range l.set.heads() {
		if !l.local(h.id) && slices.ContainsFunc(l.graph.out[h.id], func(e edge) bool { return l.local(e.to) }) {
			ids = append(ids, h.id)
		}
	}
	if len(ids) > mostTrunk {
		l.say(symptoms.Position{}, "", "let several of them make one shared effect that reaches down",
			"%d shared causes and effects reach into carburetors, %d is the most: %s",
			len(ids), mostTrunk, strings.Join(ids, ", "))
	}
}

// summaries counts the effects of the whole machine that are made in carburetors or cylinders. A finding about the whole machine
// that hangs on those directly opens all of them at once, which is what summaries are there to avoid.
func (l *linter) summaries() {
	var ids []string
	for _, e := range l.set.Effects {
		if !l.local(e.ID) && slices.ContainsFunc(l.graph.in[e.ID], func(e edge) bool { return l.local(e.from) }) {
			ids = append(ids, e.ID)
		}
	}
	if len(ids) > mostSummaries {
		l.say(symptoms.Position{}, "", "hang the findings on fewer summary effects",
			"%d effects of the whole machine sum up carburetors or cylinders, %d is the most: %s",
			len(ids), mostSummaries, strings.Join(ids, ", "))
	}
	for _, r := range l.set.Rules {
		for _, link := range r.SeenWith {
			if !l.local(r.ID) && l.local(link.To) {
				l.say(r.Pos, r.ID, "link it to an effect of the whole machine that "+link.To+" makes",
					"a finding about the whole machine hangs straight on %q, which is about a %s", link.To, l.set.level(link.To))
			}
		}
	}
}

// BuiltSoUntold is the chance that a machine is of the construction that a cause needs, when nobody says. An even chance is our own
// figure, not a counted one: the construction is one of two in nearly all cases.
const BuiltSoUntold = 0.5

// Expected number of faults on a machine that is brought in, as it should be: at least one, since it was brought in, and
// not so many that every finding has its own.
const fewestFaults, mostFaults = 1, 2.5

// ExpectedFaults returns the expected number of causes present, before anything is known, on a four-stroke with so many
// carburetors and a cylinder on each: the sum of the priors over all places. A cause counts half when it needs a construction of
// which nothing is known, see [BuiltSoUntold], and not at all when what is known of this machine excludes it.
func (s *Set) ExpectedFaults(carburetors int) float64 {
	c := s.Env.NewCase()
	for id, n := range map[string]float64{"strokes": 4, "cylinders": float64(carburetors), "carburetors": float64(carburetors)} {
		if i := s.indexOf(id); i >= 0 {
			c.SetNumber(i, n, n)
		}
	}
	sum := 0.0
	for _, cause := range s.Causes {
		places := 1.0
		if cause.Exists != nil {
			switch cause.Exists.Eval(c) {
			case condition.False:
				continue
			case condition.Unknown:
				places = BuiltSoUntold
			}
		}
		if cause.About != symptoms.WholeMachine {
			places *= float64(carburetors)
		}
		sum += places * cause.Prior.Base
	}
	return sum
}

// faults looks at the usual numbers of carburetors; what is true of four and six holds for five and three.
func (l *linter) faults() {
	for _, k := range []int{1, 2, 4, 6} {
		if n := l.set.ExpectedFaults(k); n < fewestFaults || n > mostFaults {
			l.say(symptoms.Position{}, "", "look through the priors", "expected number of faults is %.2f at carburetors: %d, wanted are %d to %g",
				n, k, fewestFaults, mostFaults)
		}
	}
}

// dangling finds causes and effects that nothing shows, and effects that nothing makes.
func (l *linter) dangling() {
	for _, c := range l.set.Causes {
		if !l.shown(c.ID) {
			l.say(c.Pos, c.ID, "link it to an effect that a rule reads, or to a rule", "nothing shows this cause")
		}
	}
	for _, e := range l.set.Effects {
		if !l.shown(e.ID) {
			l.say(e.Pos, e.ID, "let a rule be seen_with it", "nothing shows this effect")
		}
		if !l.caused(e.ID) {
			l.say(e.Pos, e.ID, "let a cause make it", "no cause makes this effect")
		}
	}
}

// shown reports whether a chain leads from a cause or effect to a rule.
func (l *linter) shown(id string) bool {
	for to := range l.graph.reach(id) {
		if isA[*Rule](l.set.index[to]) {
			return true
		}
	}
	return false
}

// caused reports whether a chain leads from a cause to an effect. It ends, since effects make no circle.
func (l *linter) caused(id string) bool {
	return slices.ContainsFunc(l.graph.in[id], func(e edge) bool { return isA[*Cause](l.set.index[e.from]) || l.caused(e.from) })
}

// unread finds entries of the vocabulary that nothing uses.
func (l *linter) unread() {
	used := map[string]bool{}
	for _, h := range l.set.heads() {
		for _, o := range l.set.observations(conditionsOf(l.set.index[h.id])) {
			used[o] = true
			for _, input := range l.set.rests(o) {
				used[input] = true
			}
		}
	}
	for _, c := range l.set.Causes {
		for _, h := range c.Prior.Odds {
			used[h.History] = true
		}
	}
	for _, o := range l.set.Vocabulary.All() {
		switch {
		case used[o.ID]:
		case o.Where == symptoms.Observed:
			l.say(symptoms.Position{}, o.ID, "write a rule about it, or take it out of the vocabulary",
				"no rule reads this observation, not as a circumstance either")
		case o.Where == symptoms.History:
			l.say(symptoms.Position{}, o.ID, "name it in a prior, or take it out of the vocabulary", "no prior names this history word")
		}
	}
}

// words finds abnormal words of an observation, evidence as it is, that no finding covers.
func (l *linter) words() {
	for _, o := range l.set.Vocabulary.All() {
		rs := l.set.Evidence(o.ID)
		if len(rs) == 0 || o.Kind == symptoms.YesNo || len(o.Words) == 0 {
			continue
		}
		open := uint64(1)<<(len(o.Words)-1) - 1
		for _, r := range rs {
			if !r.Simple {
				open = 0 // a finding over several observations may cover any word
			}
			open &^= r.Finding.Words
		}
		for i, w := range o.Words {
			if open>>i&1 == 1 {
				l.say(rs[0].Pos, rs[0].ID, "write a rule for it, or take it into another's words", "the word %q of %q is in no finding", w.Word, o.ID)
			}
		}
	}
}

// leastFactor is 3 dB: what a finding, or its absence, must be able to do to the odds of what makes it to be worth asking for.
const leastFactor = 2

// telling finds rules that move nothing, and evidence that is compared as a bare number.
func (l *linter) telling() {
	for _, r := range l.set.Rules {
		best := 0.0
		for _, link := range r.SeenWith {
			seen := 1 - (1-link.Chance)*(1-r.Otherwise)
			best = max(best, seen/r.Otherwise, 1/(1-link.Chance))
			if link.Chance < r.Otherwise {
				l.say(r.Pos, r.ID, "leave the link out, or weigh the words again",
					"%q makes the finding less often than it is seen with nothing wrong", link.To)
			}
		}
		if best < leastFactor {
			l.say(r.Pos, r.ID, "leave the rule out, or weigh its words again",
				"neither the finding nor its absence changes any odds by more than a factor %.1f, %d is wanted", math.Floor(best*10)/10, leastFactor)
		}
		for _, i := range r.When.Reads() {
			if y := l.set.symbols[i]; !y.Band && y.Observation.Where == symptoms.Observed && y.Observation.Kind == symptoms.Number {
				l.say(r.Pos, r.ID, "give it bands in the vocabulary",
					"the number %q is evidence without bands, so its uncertainty is not taken into account", y.Observation.ID)
			}
		}
	}
}

// twins finds rules about the same kind of observation that hang on the same things equally often.
func (l *linter) twins() {
	first := map[string]*Rule{}
	for _, r := range l.set.Rules {
		key := l.fingerprint(r)
		if twin, ok := first[key]; ok {
			l.say(r.Pos, r.ID, "make one rule of them, or weigh the links again",
				"says nearly the same as %s: same kind of observation, same links", twin.ID)
			continue
		}
		first[key] = r
	}
}

// fingerprint is the same for rules that differ in what is observed, but not in what kind of thing it is and who observes it.
func (l *linter) fingerprint(r *Rule) string {
	parts := []string{r.About.String(), r.OtherwiseWord}
	for _, link := range r.SeenWith {
		parts = append(parts, link.To+"="+link.Word)
	}
	for _, id := range r.evidence {
		o, _ := l.set.Vocabulary.Lookup(id)
		parts = append(parts, o.Kind.String(), o.Who.String())
	}
	slices.Sort(parts)
	return strings.Join(parts, "|")
}

// cases finds rules whose examples are missing or go wrong.
func (l *linter) cases() {
	for _, r := range l.set.Rules {
		if errs, ok := l.set.RunExamples(r).(ErrorList); ok {
			for _, e := range errs {
				l.say(e.Pos, e.ID, e.Hint, "%s", e.Message)
			}
		}
	}
}
