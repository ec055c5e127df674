package engine

import (
	"cmp"
	"math"
	"slices"

	"diagnose.example/engine/plan"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// option is a check or repair at a place that can be done next or later.
type option struct {
	id     string // the record's id and the place
	check  *rules.Check
	repair *rules.Repair
	place  int
	after  []string // ids of options that have to be done first
	inside string   // id of the cluster
	own    float64  // minutes without access
	access float64  // minutes of access
	money  float64
	parts  []*rules.Part
	// Of a check: what it looks at, its outcomes, and P(outcome | reason) by reason and outcome.
	looks    []look
	outcomes [][]Found
	given    [][]float64
	// Of a repair: what it cures.
	cures []plan.Cure
	times int     // how often it was tried already
	worth float64 // by which options are screened
}

func (op *option) kind() ActionKind {
	switch {
	case op.repair != nil:
		return DoRepair
	case op.check.Swaps != "":
		return DoSwap
	}
	return DoCheck
}

func (op *option) recordID() string {
	if op.repair != nil {
		return op.repair.ID
	}
	return op.check.ID
}

// look is one observation of a check at a place, with the findings that read it, in masking order.
type look struct {
	at       observedAt
	findings []*findingAt
}

const (
	// mostLooks is how many observations of a check are reckoned with, the most telling ones: more would make the check look better by
	// a little, never worse.
	mostLooks = 3
	// mostTimes is how often a repair is proposed at one place: what is still the likeliest after it was done is looked over once more.
	mostTimes   = 2
	mostTests   = 24
	mostRepairs = 14
)

// makeOptions lists the checks and repairs that may be of use, and what has to be done before them.
func (pl *planning) makeOptions() {
	var tests, repairs []*option
	for _, c := range pl.know.set.Checks {
		for _, p := range pl.at[c.About] {
			if op := pl.testOption(c, p); !pl.done(c.ID, p) && op.worth > 0 {
				tests = append(tests, op)
			}
		}
	}
	for _, r := range pl.know.set.Repairs {
		for _, p := range pl.at[r.About] {
			if op := pl.repairOption(r, p); op.times < mostTimes && op.worth > 0 {
				repairs = append(repairs, op)
			}
		}
	}
	byWorth := func(a, b *option) int { return cmp.Compare(b.worth, a.worth) }
	slices.SortStableFunc(tests, byWorth)
	slices.SortStableFunc(repairs, byWorth)
	pl.tests = tests[:min(mostTests, len(tests))]
	pl.repairs = repairs[:min(mostRepairs, len(repairs))]
	pl.closePrerequisites()
}

// testOption describes a check at a place. It is screened by the information about the reason per minute.
func (pl *planning) testOption(c *rules.Check, place int) *option {
	op := &option{id: pl.optionID(c.ID, place), check: c, place: place}
	pl.reckon(op, c.Minutes, c.Opens)
	var all []look
	for _, id := range c.Observes {
		o, ok := pl.know.set.Vocabulary.Lookup(id)
		if !ok || o.Several || o.Where != symptoms.Observed {
			continue // that several words hold at once has no short list of outcomes
		}
		for _, p := range pl.reach(place, o.About) {
			if l, ok := pl.lookAt(observedAt{o, p}); ok {
				all = append(all, l)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b look) int {
		return Descending(pl.information(pl.chances([]look{a})), pl.information(pl.chances([]look{b})))
	})
	op.looks = all[:min(mostLooks, len(all))]
	op.outcomes = outcomesOf(pl, op.looks)
	op.given = pl.chances(op.looks)
	op.worth = pl.information(op.given) / (op.own + op.access)
	return op
}

// lookAt returns what an observation would show at a place, if nobody has looked and the answer would mean anything.
func (pl *planning) lookAt(at observedAt) (look, bool) {
	if pl.looked(at) || len(pl.findings[at]) == 0 || Idle(pl.sheet, at.observation.ID) {
		return look{}, false
	}
	if at.observation.Around != "" {
		if _, ok := pl.around(at.observation, at.place); !ok {
			return look{}, false // the reading would have nothing to be compared with
		}
	}
	l := look{at, slices.Clone(pl.findings[at])}
	slices.SortStableFunc(l.findings, func(a, b *findingAt) int {
		return cmp.Compare(firstWord(a.rule.Finding.Words), firstWord(b.rule.Finding.Words))
	})
	return l, true
}

// outcomesOf lists what a check can show: the first finding that is there, all before it being absent, or none.
func outcomesOf(pl *planning, looks []look) [][]Found {
	var out [][]Found
	var normal []Found
	for _, l := range looks {
		place := pl.places[l.at.place]
		for _, f := range l.findings {
			found := Found{Observation: l.at.observation, Place: place, Value: showing(l.at.observation, f), Rule: f.rule}
			out = append(out, append(slices.Clone(normal), found))
		}
		normal = append(normal, Found{Observation: l.at.observation, Place: place, Value: notShowing(l.at.observation, l.findings)})
	}
	return append(out, normal)
}

// showing is the answer that a finding is there.
func showing(o *symptoms.Observation, f *findingAt) symptoms.Value {
	if o.Kind == symptoms.YesNo {
		return yesNo(f.rule.Finding.Words>>yesBit(true)&1 == 1)
	}
	return wordValue(o.Words[firstWord(f.rule.Finding.Words)].Word)
}

// notShowing is the answer that none is there.
func notShowing(o *symptoms.Observation, fs []*findingAt) symptoms.Value {
	if o.Kind == symptoms.YesNo {
		return yesNo(!showing(o, fs[0]).Yes)
	}
	return wordValue(o.Normal)
}

func yesNo(yes bool) symptoms.Value {
	if yes {
		return symptoms.Value{Yes: true, Text: "yes"}
	}
	return symptoms.Value{Text: "no"}
}

func wordValue(word string) symptoms.Value {
	return symptoms.Value{Words: []string{word}, Text: word, Lo: math.Inf(-1), Hi: math.Inf(1)}
}

// chances returns P(outcome | reason) for looks, by reason and outcome, findings taken as independent of each other in a world.
func (pl *planning) chances(looks []look) [][]float64 {
	byWorld := make([][]float64, len(pl.worlds))
	for i := range pl.worlds {
		rest := 1.0
		for _, l := range looks {
			for _, f := range l.findings {
				p := 1 - unmade(pl.worlds[i].on, f.rule.Otherwise, f.parents)
				byWorld[i] = append(byWorld[i], rest*p)
				rest *= 1 - p
			}
		}
		byWorld[i] = append(byWorld[i], rest)
	}
	given := make([][]float64, len(pl.reasons))
	for r := range pl.reasons {
		given[r] = make([]float64, len(byWorld[0]))
		for _, s := range pl.reasons[r].from {
			for o, x := range byWorld[s.world] {
				given[r][o] += x * s.p / pl.reasons[r].p
			}
		}
	}
	return given
}

// information is what an outcome tells about the reason on average, in bits.
func (pl *planning) information(given [][]float64) float64 {
	if len(given) == 0 {
		return 0
	}
	sum := 0.0
	for o := range given[0] {
		all := 0.0
		for i, r := range pl.reasons {
			all += r.p * given[i][o]
		}
		for i, r := range pl.reasons {
			if x := given[i][o]; x > 0 {
				sum += r.p * x * math.Log2(x/all)
			}
		}
	}
	return max(0, sum)
}

// repairOption describes a repair at a place. It is screened by the chance to cure a hypothesis per minute.
func (pl *planning) repairOption(r *rules.Repair, place int) *option {
	op := &option{id: pl.optionID(r.ID, place), repair: r, place: place, times: pl.timesTried(r.ID, place)}
	pl.reckon(op, r.Minutes, r.Opens)
	for _, l := range r.Cures {
		for _, p := range pl.reach(place, pl.know.set.Causes[pl.know.causeNumber[l.To]].About) {
			c := pl.causeOf[pl.know.causeNumber[l.To]][p]
			if i := slices.Index(pl.hypotheses, c); c != nil && i >= 0 {
				chance := min(l.Chance, mostReliable)
				op.cures = append(op.cures, plan.Cure{Fault: i, Chance: chance})
				op.worth += chance * pl.post.of(c.node)
			}
		}
	}
	for _, id := range r.Parts {
		if part, ok := pl.know.set.Part(id); ok {
			op.parts = append(op.parts, part)
			op.money += pl.o.Price(part)
		}
	}
	op.worth /= op.own + op.access
	return op
}

// reckon shares out the minutes of a piece of work between the work itself and its access.
func (pl *planning) reckon(op *option, minutes float64, opens string) {
	op.own = minutes
	access, ok := pl.know.set.AccessTo(opens)
	if !ok || access.About > pl.places[op.place].Level && len(pl.reach(op.place, access.About)) > 1 {
		return // work at several places at once: its minutes are for all of them
	}
	op.inside = pl.accessID(access, op.place)
	op.own = access.Beyond(minutes)
	op.access = pl.accessMinutes(access)
}

// accessMinutes is what an access takes on this machine.
func (pl *planning) accessMinutes(a *rules.Access) float64 { return a.On(pl.carburetors) }

func (pl *planning) accessID(a *rules.Access, place int) string {
	return pl.optionID(a.ID, pl.reach(place, a.About)[0])
}

func (pl *planning) optionID(id string, place int) string {
	if place == machinePlace {
		return id
	}
	return id + "@" + pl.places[place].Name
}

// done says whether an action has been done at a place: a repair that the sheet says was tried, a check that it says was made or of
// which it has an answer.
func (pl *planning) done(id string, place int) bool {
	if pl.timesTried(id, place) > 0 {
		return true
	}
	c, ok := pl.know.set.Check(id)
	if !ok {
		return false
	}
	for _, name := range c.Observes {
		o, _ := pl.know.set.Vocabulary.Lookup(name)
		if o == nil {
			continue
		}
		for _, p := range pl.reach(place, o.About) {
			if pl.looked(observedAt{o, p}) {
				return true
			}
		}
	}
	return false
}

// timesTried counts how often the sheet says that an action was done at a place.
func (pl *planning) timesTried(id string, place int) int {
	n := 0
	for _, t := range pl.sheet.Tried {
		if places, _ := pl.triedAt(t.At); t.Did == id && slices.Contains(places, place) {
			n++
		}
	}
	return n
}

// closePrerequisites adds what has to be done before the options, and before that.
func (pl *planning) closePrerequisites() {
	known := map[string]bool{}
	for _, op := range slices.Concat(pl.tests, pl.repairs) {
		known[op.id] = true
	}
	todo := slices.Concat(pl.tests, pl.repairs)
	for len(todo) > 0 {
		op := todo[0]
		todo = todo[1:]
		for _, first := range pl.before(op) {
			op.after = append(op.after, first.id)
			if known[first.id] {
				continue
			}
			known[first.id] = true
			todo = append(todo, first)
			if first.repair != nil {
				pl.repairs = append(pl.repairs, first)
			} else {
				pl.tests = append(pl.tests, first)
			}
		}
	}
}

// before lists what has to be done before an option and is not done yet, at every place that belongs to its own.
func (pl *planning) before(op *option) []*option {
	var ids []string
	if op.repair != nil {
		ids = op.repair.After
	} else {
		ids = op.check.After
	}
	var out []*option
	for _, id := range ids {
		if c, ok := pl.know.set.Check(id); ok {
			for _, p := range pl.reach(op.place, c.About) {
				if !pl.done(id, p) {
					out = append(out, pl.testOption(c, p))
				}
			}
		}
		if r, ok := pl.know.set.Repair(id); ok {
			for _, p := range pl.reach(op.place, r.About) {
				if !pl.done(id, p) {
					out = append(out, pl.repairOption(r, p))
				}
			}
		}
	}
	return out
}
