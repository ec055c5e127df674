package simulate_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/engine/simulate"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// handOver is what giving a job away is reckoned at, in minutes: as for the planner.
const handOver = engine.DefaultLastResort

// deed is a check or repair at a place.
type deed struct{ id, place string }

// job is a bike on the bench: what is on its sheet, what has been done, and the minutes so far. Work is done as the knowledge has it:
// what must come first is done first, access is paid once while it is open, and it is closed before the engine runs.
type job struct {
	set     *rules.Set // with the true minutes
	model   *simulate.Model
	bike    *simulate.Bike
	told    []simulate.Told
	done    []deed
	open    map[string]bool
	minutes float64
	given   bool // handed over
	cured   bool
}

func newJob(set *rules.Set, m *simulate.Model, seed uint64) *job {
	b, _ := m.DrawFaulty(seed, m.History(seed)...)
	return &job{set: set, model: m, bike: b, told: b.LookOver(), open: map[string]bool{}}
}

// sheet is the sheet as it stands now. A repair that did not end the trouble is written down as no change: the sheet is about what is
// still wrong, and what has changed is told by the answers, which are those of now.
func (j *job) sheet(set *rules.Set) (*symptoms.Sheet, error) {
	text := j.bike.Sheet(j.told)
	for i, d := range j.done {
		if i == 0 {
			text = append(text, "tried:\n"...)
		}
		at := ""
		if d.place != "" {
			at = fmt.Sprintf(", at: %q", d.place)
		}
		text = fmt.Appendf(text, "  - {did: %s%s, after: no-change}\n", d.id, at)
	}
	s, err := symptoms.Decode("job", text, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
	if err != nil {
		return nil, fmt.Errorf("%w\n%s", err, text)
	}
	return s, nil
}

// action is what the knowledge says of a deed.
type action struct {
	about         symptoms.Level
	minutes       float64
	opens         string
	after         []string
	repair, check bool
	running       bool
}

func actionOf(set *rules.Set, id string) action {
	if r, ok := set.Repair(id); ok {
		return action{about: r.About, minutes: r.Minutes, opens: r.Opens, after: r.After, repair: true}
	}
	c, _ := set.Check(id)
	a := action{about: c.About, minutes: c.Minutes, opens: c.Opens, after: c.After, check: true}
	for _, id := range c.Observes {
		if o, ok := set.Vocabulary.Lookup(id); ok && o.Who == symptoms.Running {
			a.running = true
		}
	}
	return a
}

// cost is what a deed takes now by the minutes of some knowledge, and the access it opens.
func (j *job) cost(set *rules.Set, d deed) (minutes float64, opens string) {
	const least = 1
	a := actionOf(set, d.id)
	access, ok := set.AccessTo(a.opens)
	if !ok || access.About > a.about && len(j.model.PlaceNames(access.About)) > 1 {
		return a.minutes, ""
	}
	own := max(least, a.minutes-access.Minutes)
	opens = access.ID
	if access.About != symptoms.WholeMachine {
		opens += "@" + d.place
	}
	if j.open[opens] {
		return own, opens
	}
	own += access.Minutes
	if access.About == symptoms.WholeMachine {
		own += access.Each * float64(len(j.model.PlaceNames(symptoms.Carburetor))-1)
	}
	return own, opens
}

// whole is what a deed takes with all that has to come first.
func (j *job) whole(set *rules.Set, d deed) float64 {
	minutes, _ := j.cost(set, d)
	for _, first := range j.before(d) {
		minutes += j.whole(set, first)
	}
	return minutes
}

// before lists what has to come first and is not done.
func (j *job) before(d deed) []deed {
	var out []deed
	for _, id := range actionOf(j.set, d.id).after {
		for _, place := range j.belonging(actionOf(j.set, id).about, d.place) {
			if first := (deed{id, place}); !slices.Contains(j.done, first) {
				out = append(out, first)
			}
		}
	}
	return out
}

// belonging lists the places of a level that belong to a named one; on the machines used here places of one name belong together.
func (j *job) belonging(level symptoms.Level, place string) []string {
	names := j.model.PlaceNames(level)
	if slices.Contains(names, place) {
		return []string{place}
	}
	return names
}

// do does a deed with what must come first, until the bike is cured, and reports whether anything was seen that is not normal.
func (j *job) do(d deed) (abnormal bool, err error) {
	for _, first := range j.before(d) {
		if _, err := j.do(first); err != nil || j.cured {
			return false, err
		}
	}
	a := actionOf(j.set, d.id)
	if a.check && slices.Contains(j.done, d) {
		return false, nil
	}
	minutes, opens := j.cost(j.set, d)
	j.minutes += minutes
	j.done = append(j.done, d)
	if opens != "" {
		j.open[opens] = true
	}
	if a.running {
		clear(j.open)
	}
	if a.repair {
		_, err := j.bike.Apply(d.id, d.place)
		return false, err
	}
	c, _ := j.set.Check(d.id)
	for _, id := range c.Observes {
		o, _ := j.set.Vocabulary.Lookup(id)
		for _, place := range j.belonging(o.About, d.place) {
			t := simulate.Told{Observation: id, Place: place}
			j.told = slices.DeleteFunc(j.told, func(t simulate.Told) bool { return t.Observation == id && t.Somewhere })
			j.told = append(j.told, t)
			abnormal = abnormal || j.bike.Abnormal(id, place)
		}
	}
	return abnormal, nil
}

// try closes everything and tries the machine.
func (j *job) try() {
	clear(j.open)
	j.cured = len(j.bike.Culprits()) == 0
}

// times is how often a deed was done.
func (j *job) times(d deed) int {
	n := 0
	for _, other := range j.done {
		if other == d {
			n++
		}
	}
	return n
}

func (j *job) give() {
	j.minutes += handOver
	j.given = true
}

func (j *job) over() bool { return j.cured || j.given }

// believed returns the causes with their posteriors, likeliest first, by the program.
func (j *job) believed() ([]forecast, error) {
	s, err := j.sheet(j.set)
	if err != nil {
		return nil, err
	}
	d, err := engine.Diagnose(j.set, s, engine.Options{Detail: engine.FirstScreen, Explain: -1, Questions: -1})
	if err != nil {
		return nil, err
	}
	out, _ := predictions(d)
	return out, nil
}

// bench knows, of every cause, the check that shows it best and the repair that cures it best.
type bench struct {
	check  map[string]string
	repair map[string]string
}

// A check shows a cause if the cause makes something it observes at least half the time, with no effect in between, and this is
// seen with nothing wrong 1 time in 10 at most. The one that takes least time is taken; the repair is the most reliable, then the quickest.
func newBench(set *rules.Set) *bench {
	const often, seldom = 0.5, 0.1
	b := &bench{map[string]string{}, map[string]string{}}
	for _, c := range set.Causes {
		least := math.Inf(1)
		for _, k := range set.Checks {
			shows := slices.ContainsFunc(k.Observes, func(id string) bool {
				return slices.ContainsFunc(set.Evidence(id), func(r *rules.Rule) bool {
					return r.Otherwise <= seldom && slices.ContainsFunc(r.SeenWith, func(l rules.Link) bool { return l.To == c.ID && l.Chance >= often })
				})
			})
			if shows && k.Minutes < least && k.About == c.About {
				least, b.check[c.ID] = k.Minutes, k.ID
			}
		}
		best := 0.0
		for _, r := range set.Repairs {
			for _, l := range r.Cures {
				if worth := l.Chance - r.Minutes*1e-6; l.To == c.ID && worth > best {
					best, b.repair[c.ID] = worth, r.ID
				}
			}
		}
	}
	return b
}

// next returns what to do next about a cause at a place: look, if that shows it and is quicker than the repair; else repair; nothing if
// both are done.
func (b *bench) next(j *job, set *rules.Set, f forecast) (deed, bool) {
	repair, ok := b.repair[f.cause]
	if !ok {
		return deed{}, false
	}
	r := deed{repair, f.place}
	if about := actionOf(set, repair).about; about == symptoms.WholeMachine {
		r.place = ""
	} else if !slices.Contains(j.model.PlaceNames(about), f.place) {
		return deed{}, false
	}
	if j.times(r) >= 2 { // a repair is looked over once more, as the planner does
		return deed{}, false
	}
	check, ok := b.check[f.cause]
	if k := (deed{check, f.place}); ok && !slices.Contains(j.done, k) {
		look, _ := j.cost(set, k)
		if mend, _ := j.cost(set, r); look < mend {
			return k, true
		}
	}
	return r, true
}

// likeliest works by probability alone, and byIndex by probability over cost (Kadane and Simon 1977; abstract seen), each
// worked out anew after every step. Both give the job away when what comes next is worth less than that.
func likeliest(p, _ float64) float64     { return p }
func byIndex(p, minutes float64) float64 { return p / minutes }

func (j *job) workBy(b *bench, decide *rules.Set, worth func(p, minutes float64) float64) error {
	for !j.over() {
		causes, err := j.believed()
		if err != nil {
			return err
		}
		best, chosen, p, found := 0.0, deed{}, 0.0, false
		for _, f := range causes {
			d, ok := b.next(j, decide, f)
			if !ok {
				continue
			}
			if w := worth(f.p, j.whole(decide, d)); w > best {
				best, chosen, p, found = w, d, f.p, true
			}
		}
		if !found || p*handOver < j.whole(decide, chosen) {
			j.give()
			break
		}
		if _, err := j.do(chosen); err != nil {
			return err
		}
		if actionOf(j.set, chosen.id).repair {
			j.try()
		}
	}
	return nil
}

// paragraph68a is the order of the thirteen checks that TM 9-879 (US War Department, 18 October 1943, par. 68a(1)-(13)) wants made before
// the mixture is touched, and then the adjustment, as the causes they are for; what the machine does not have is passed over.
func paragraph68a() [][]string {
	return [][]string{
		{"tank-vent-blocked"},                                          // (1) vent of the filler cap
		{"throttle-held-open", "throttle-not-opening"},                 // (2) throttle control
		{"advance-stuck"},                                              // (3) spark control
		{"fuel-watery", "float-valve-dirty"},                           // (4) bowl flushed
		{"inlet-strainer-blocked", "supply-restricted"},                // (5) strainer flushed
		{"air-cleaner-blocked", "air-cleaner-over-oiled"},              // (6) air cleaner
		{"intake-air-leak", "intake-clamp-slack"},                      // (7) manifold nuts, carburetor screws
		{"plug-fouled", "plug-wrong-kind"},                             // (8) plug
		{"valves-tight"},                                               // (9) tappets
		{"compression-lost"},                                           // (10) compression
		{"ignition-timing-wrong", "condenser-failing"},                 // (11) breaker points
		{"ignition-supply-weak", "connector-bad"},                      // (12) battery wiring
		{"charging-weak"},                                              // (13) battery
		{"mixture-screw-lean", "mixture-screw-rich", "idle-speed-low"}, // then adjust
	}
}

// workByList works through the list: looks where there is something to look at, and repairs what it finds, or what can only be
// tried. After the list it goes on with what is likeliest.
func (j *job) workByList(b *bench, list [][]string) error {
	for _, item := range list {
		for _, f := range j.model.Faults() {
			if !slices.Contains(item, f.Cause) {
				continue
			}
			for {
				d, ok := b.next(j, j.set, forecast{cause: f.Cause, place: f.Place})
				if !ok {
					break
				}
				abnormal, err := j.do(d)
				if err != nil {
					return err
				}
				if repair := actionOf(j.set, d.id).repair; repair {
					if j.try(); j.over() {
						return nil
					}
					break
				}
				if !abnormal {
					break
				}
			}
		}
	}
	return j.workBy(b, j.set, likeliest)
}

// workByPlan asks the planner after every step.
func (j *job) workByPlan(decide *rules.Set) error {
	for !j.over() {
		s, err := j.sheet(decide)
		if err != nil {
			return err
		}
		advice, err := engine.NextStep(decide, s, engine.StepOptions{Top: 1, Detail: engine.FirstScreen, Ahead: 1})
		if err != nil {
			return err
		}
		if len(advice.Proposals) == 0 || advice.Proposals[0].Kind() == engine.HandOver {
			j.give()
			break
		}
		before, repairs := len(j.done), false
		for _, a := range advice.Proposals[0].Actions {
			d := deed{place: a.Place.Name}
			if a.Repair != nil {
				d.id, repairs = a.Repair.ID, true
			} else {
				d.id = a.Check.ID
			}
			if _, err := j.do(d); err != nil {
				return err
			}
		}
		if len(j.done) == before {
			return fmt.Errorf("the planner asks for what is done: %v\n%s", advice.Proposals[0].Actions[0], j.log())
		}
		if repairs {
			j.try()
		}
	}
	return nil
}

func (j *job) log() string {
	var s strings.Builder
	fmt.Fprintf(&s, "%v: %.0f minutes:", j.bike, j.minutes)
	for _, d := range j.done {
		fmt.Fprintf(&s, " %s@%s", d.id, d.place)
	}
	return s.String()
}
