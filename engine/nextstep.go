package engine

import (
	"cmp"
	"math"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/engine/plan"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// StepOptions say what [NextStep] takes into account. The zero value is the default.
type StepOptions struct {
	// Top is how many proposals are worked out; 0 means 3.
	Top int
	// Detail Everything works out exactly, from the whole network, how likely each outcome of a proposal is and what it would mean. With
	// FirstScreen outcomes have the probabilities of the reduced problem and no Top: for whoever needs the step only, and quickly.
	Detail Detail
	// LastResort is what giving the job away is reckoned at, in minutes of work: sending it out, or renewing the carburetors. 0 means
	// [DefaultLastResort].
	LastResort float64
	// Rate is what an hour of work costs, and Price what a part does, in the same money. Without a rate parts are not counted.
	Rate  float64
	Price func(part *rules.Part) float64
	// Limit is the largest number of table entries for one inference; 0 means the default of the belief package.
	Limit float64
	// Ahead is how many steps the reduced problem is looked ahead: 1 or 2; 0 means 2. One takes about half the time.
	Ahead int
	// Hypotheses bounds how many causes are told apart in the reduced problem; 0 means as many as time allows, 24 at most.
	Hypotheses int
}

// DefaultLastResort is a working day, in minutes: our own figure, no source gives any. It decides how long a shop goes on with
// unlikely repairs, hardly what it does first.
const DefaultLastResort = 480

func (o StepOptions) withDefaults() StepOptions {
	o.Top = cmp.Or(o.Top, 3)
	o.LastResort = cmp.Or(o.LastResort, DefaultLastResort)
	if o.Hypotheses <= 0 || o.Hypotheses > mostHypotheses {
		o.Hypotheses = mostHypotheses
	}
	if o.Price == nil || o.Rate <= 0 {
		o.Rate, o.Price = 0, func(*rules.Part) float64 { return 0 }
	}
	return o
}

// Advice says what to do next about a machine. Times are minutes of work, money turned into minutes at the rate given.
type Advice struct {
	Sheet *symptoms.Sheet
	Stops []Stop
	// Likely names the likeliest causes now, exactly.
	Likely []Likely
	// Proposals lists the best first steps, least expected time first, but for a likely repair that is within a minute of the best. Empty only if nothing at all is known about the machine.
	Proposals []Proposal
	// Reduced says what the plan was made with.
	Reduced Reduced
}

// Reduced describes the problem the plan is made for: the likeliest causes that the sheet speaks for, alone and in pairs, with everything
// else put together. Of this problem, Bound is the time no plan can be below, Plain that of repairing in order without any check.
type Reduced struct {
	// Hypotheses are the causes told apart, those that the sheet speaks for most first.
	Hypotheses []*Cause
	// Worlds is how many sets of them were kept, and Covered the probability that the machine has one of these sets, however the
	// other causes are. The rest, three hypotheses or more at once and rare pairs, is left out.
	Worlds  int
	Covered float64
	// Else is the probability, in the reduced problem, that none of them is present: something else is wrong, which only the last
	// resort ends.
	Else float64
	// Expected is the time until the job is done with the first proposal and the best known plan after it.
	Expected, Plain, Bound float64
	// Exact says that Expected is the least possible in the reduced problem; else it looked Steps ahead, and Gap bounds by how much a
	// better plan could be quicker.
	Exact bool
	Steps int
	Gap   float64
	// Considered counts the checks and repairs, each at its place, that were weighed.
	Considered int
	LastResort float64
}

// ActionKind says what a proposal is.
type ActionKind string

// The kinds of action.
const (
	DoCheck  ActionKind = "check"
	DoSwap   ActionKind = "swap"
	DoRepair ActionKind = "repair"
	// HandOver is the last resort: send the job out, or renew the unit.
	HandOver ActionKind = "hand over"
)

// Action is one check or repair at one place.
type Action struct {
	Kind   ActionKind
	Check  *rules.Check  // of a check or swap
	Repair *rules.Repair // of a repair
	Place  Place
	Parts  []*rules.Part // of a repair
	// Minutes is the time of the work alone, access not counted.
	Minutes float64
	// Again says that the sheet has the repair as tried already: it is still the likeliest, so it is looked over once more.
	Again bool
}

// Proposal is a first step: one action, or several repairs under one access that are best done before the machine is tried.
type Proposal struct {
	Actions []Action
	// Opens names the access that has to be opened for it, outermost first.
	Opens []*rules.Access
	// Minutes is the time of the step with opening and closing; Money what its parts cost; Cost both together in minutes.
	Minutes, Money, Cost float64
	// Expected is the time until the job is done if this is done first. Saves is by how much that is less than without this step at
	// all; only the quickest proposal has it, +Inf if the job could not be finished, NaN for the others.
	Expected, Saves float64
	// Ends is the probability, in the reduced problem, that repairs end the trouble; 0 for other proposals.
	Ends float64
	// For lists the ids of the checks and repairs that have to come after it.
	For []string
	// Also lists other places at which the same step is as good.
	Also []Place
	// Outcomes are exclusive and sum to one.
	Outcomes []Outcome

	numbers []int // of repairs, in planning.repairs
}

// Kind is the kind of the proposal's first action.
func (p *Proposal) Kind() ActionKind { return p.Actions[0].Kind }

// Outcome is one way a proposal can come out.
type Outcome struct {
	// Answers are what was found, of a check: the first finding that is not normal, after others that are.
	Answers []Found
	// Tried is what to write of a repair that changed nothing. Cured says that it cured something.
	Tried []symptoms.Tried
	Cured bool
	// Probability is P(outcome | sheet).
	Probability float64
	// Top names the likeliest causes after it.
	Top []Likely
}

// Found is an answer found at a place.
type Found struct {
	Observation *symptoms.Observation
	Place       Place
	Value       symptoms.Value
	// Rule is the finding that is there; nil when nothing was found amiss.
	Rule *rules.Rule
}

// WriteOn returns a copy of a sheet with the outcome written on it: readings of a check, repairs tried without change. The sheet of a
// machine that is cured is the same as before.
func (o *Outcome) WriteOn(sheet *symptoms.Sheet) *symptoms.Sheet {
	out := *sheet
	out.Readings = slices.Clone(sheet.Readings)
	out.Tried = append(slices.Clone(sheet.Tried), o.Tried...)
	for _, f := range o.Answers {
		r := symptoms.Reading{Observation: f.Observation, Value: f.Value}
		if f.Observation.About != symptoms.WholeMachine {
			r.Scope, r.Place = symptoms.At, f.Place.Name
		}
		out.Readings = append(out.Readings, r)
	}
	return &out
}

// NextStep says what to do next about the machine of a sheet: the check, change of parts or repair with which the job is expected to be
// done soonest. Do it, write the outcome on the sheet (see [Outcome.WriteOn]) and ask again: every call infers anew from the whole
// network, so that only what lies behind the first step is estimated in a smaller problem, see [Reduced].
//
// Exact, for the knowledge as written: the probability of each outcome and the causes named after it; the probability of each world of the
// reduced problem. Estimated: what a check shows in a world, taken as if its findings were independent of each other there; what a world's
// complaint comes from, which alone has to be cured (see findReasons); that worlds of three hypotheses or more, and rare pairs, are left
// out; that of a check only the three most telling observations count, and of those the first that is not normal. Between steps that
// differ by less than a minute, a repair that probably ends the trouble comes first. Access is reckoned as closed at the start. Errors are
// those of [Diagnose].
func NextStep(set *rules.Set, sheet *symptoms.Sheet, o StepOptions) (*Advice, error) {
	know, err := newKnowledge(set)
	if err != nil {
		return nil, err
	}
	return nextStep(know, sheet, o.withDefaults())
}

func nextStep(know *knowledge, sheet *symptoms.Sheet, o StepOptions) (*Advice, error) {
	n, err := newNetwork(know, sheet)
	if err != nil {
		return nil, err
	}
	g := n.gather()
	if err := n.net.Err(); err != nil {
		return nil, err
	}
	post, err := n.infer(g.ev, o.Limit)
	if err != nil {
		return nil, g.explainError(err)
	}
	w := &work{network: n, gathered: g, post: post, options: Options{Detail: FirstScreen, Limit: o.Limit}.withDefaults()}
	d := &Diagnosis{Sheet: sheet}
	if err := w.rank(d); err != nil {
		return nil, err
	}
	pl := &planning{work: w, o: o, base: g.ev.Without(post.schedule.SetAside()...), ranked: d.Ranked}
	a := &Advice{Sheet: sheet, Stops: w.stops()}
	for _, r := range d.Ranked[:min(3, len(d.Ranked))] {
		a.Likely = append(a.Likely, Likely{ID: r.ID, Title: r.Title, Anywhere: r.Anywhere})
	}
	if err := pl.advise(a); err != nil {
		return nil, g.explainError(err)
	}
	return a, nil
}

// planning is the search for the next step on one sheet.
type planning struct {
	*work
	o      StepOptions
	base   *belief.Evidence // of the sheet, without what was set aside
	ranked []*Ranked

	hypotheses []*causeAt
	silent     bool // the sheet speaks for no cause
	worlds     []world
	pattern    *posterior // whose order serves for all worlds
	reasons    []reason
	covered    float64
	tests      []*option
	repairs    []*option
	table      plan.Table
	considered int
}

func (pl *planning) advise(a *Advice) error {
	if len(pl.causes) == 0 {
		return nil
	}
	if err := pl.makeWorlds(); err != nil {
		return err
	}
	pl.makeOptions()
	r, err := pl.search()
	if err != nil {
		return err
	}
	pl.report(a, r)
	return pl.propose(a, r)
}

// What is weighed two steps ahead: the best by one step. Their number and the questions put to the reduced problem keep it to a fraction
// of a second.
const (
	deepTests   = 6
	deepRepairs = 10
	deepBudget  = 200_000
)

// search weighs every option one step ahead, and then the best of them to the end, or two steps ahead, if that is affordable.
func (pl *planning) search() (*plan.Result, error) {
	pl.considered = len(pl.tests) + len(pl.repairs)
	broad, err := pl.plan(plan.Options{Steps: 1})
	if err != nil || broad.Exact || pl.o.Ahead == 1 {
		return broad, err
	}
	tests, repairs := pl.tests, pl.repairs
	pl.keepBest(broad)
	steps := 2
	if pl.states() <= deepBudget {
		steps = 0 // to the end
	}
	deep, err := pl.plan(plan.Options{Steps: steps, Budget: deepBudget, Tests: deepTests, Repairs: deepRepairs})
	if err != nil || deep.Exact || deep.Steps > 1 {
		return deep, err
	}
	pl.tests, pl.repairs = tests, repairs
	return broad, nil
}

// states bounds the questions that a plan to the end takes: every check made with each outcome or not, every repair done or not, and all
// options weighed in each state.
func (pl *planning) states() float64 {
	n := math.Exp2(float64(len(pl.repairs))) * float64(len(pl.repairs)+len(pl.tests))
	for _, op := range pl.tests {
		n *= float64(1 + len(op.outcomes))
	}
	return n
}

func (pl *planning) plan(o plan.Options) (*plan.Result, error) {
	pl.makeTable()
	b, err := plan.NewTabular(pl.model())
	if err != nil {
		return nil, err
	}
	return plan.Next(b, &pl.table, o)
}

// keepBest keeps the best tests, the best repairs, and what has to be done before them.
func (pl *planning) keepBest(r *plan.Result) {
	keep := map[string]bool{}
	tests := 0
	for _, c := range r.Choices {
		if c.Kind != plan.Repair && c.Kind != plan.HandOver && tests < deepTests {
			tests++
			keep[c.IDs[0]] = true
		}
	}
	for _, op := range pl.repairs[:min(deepRepairs, len(pl.repairs))] {
		keep[op.id] = true
	}
	for _, id := range r.Next.IDs {
		keep[id] = true
	}
	all := slices.Concat(pl.tests, pl.repairs)
	for again := true; again; {
		again = false
		for _, op := range all {
			for _, id := range op.after {
				if keep[op.id] && !keep[id] {
					keep[id], again = true, true
				}
			}
		}
	}
	kept := func(list []*option) (out []*option) {
		for _, op := range list {
			if keep[op.id] {
				out = append(out, op)
			}
		}
		return out
	}
	pl.tests, pl.repairs = kept(pl.tests), kept(pl.repairs)
}

func (pl *planning) report(a *Advice, r *plan.Result) {
	red := &a.Reduced
	for _, h := range pl.hypotheses {
		red.Hypotheses = append(red.Hypotheses, pl.shown(h))
	}
	red.Worlds, red.Covered, red.Else = len(pl.worlds), pl.covered, pl.elsewhere()
	red.Expected, red.Plain, red.Bound = r.Next.Expected, r.Greedy, r.Bound
	red.Exact, red.Steps = r.Exact, r.Steps
	if !r.Exact {
		red.Gap = max(0, r.Next.Expected-r.Bound)
	}
	red.Considered = pl.considered
	red.LastResort = pl.o.LastResort
}

// elsewhere is the probability that none of the hypotheses is the reason.
func (pl *planning) elsewhere() float64 {
	for _, r := range pl.reasons {
		if r.faults == 1<<len(pl.hypotheses) {
			return r.p
		}
	}
	return 0
}

// propose turns the best first steps into proposals.
func (pl *planning) propose(a *Advice, r *plan.Result) error {
	for _, c := range pl.repairBeforeTie(r.Choices) {
		if c.Kind == plan.Stop {
			continue
		}
		p := Proposal{Expected: c.Expected, Saves: math.NaN(), Cost: c.Cost, Opens: pl.opened(c.Opens)}
		if slices.Equal(c.IDs, r.Next.IDs) {
			p.Saves = r.Without - c.Expected
		}
		pl.actions(&p, c.Step)
		if same := slices.IndexFunc(a.Proposals, p.sameElsewhere); same >= 0 {
			a.Proposals[same].Also = append(a.Proposals[same].Also, p.Actions[0].Place)
			continue
		}
		if len(a.Proposals) == pl.o.Top {
			break
		}
		a.Proposals = append(a.Proposals, p)
	}
	var all []func() error
	for i := range a.Proposals {
		all = append(all, pl.foresee(&a.Proposals[i])...)
	}
	return inParallel(len(all), func(i int) error { return all[i]() })
}

// What is as good as the best: within a minute of it nothing is known to be better.
const (
	tie       = 1.0 // minute
	endsItAll = 0.5
)

// repairBeforeTie puts the repair that ends the trouble more likely than not before checks that are better by less than a minute: the times
// are estimates, and a customer is served by a repair.
func (pl *planning) repairBeforeTie(choices []plan.Choice) []plan.Choice {
	for i, c := range choices {
		if c.Expected > choices[0].Expected+tie {
			break
		}
		if c.Kind != plan.Repair {
			continue
		}
		if _, all := pl.curedInReduced(c.Numbers); all >= endsItAll {
			out := []plan.Choice{c}
			return append(append(out, choices[:i]...), choices[i+1:]...)
		}
	}
	return choices
}

// sameElsewhere says whether another proposal is the same single action at another place, and as good.
func (p *Proposal) sameElsewhere(other Proposal) bool {
	const asGood = 0.05 // minutes
	if len(p.Actions) != 1 || len(other.Actions) != 1 || math.Abs(p.Expected-other.Expected) > asGood {
		return false
	}
	a, b := p.Actions[0], other.Actions[0]
	return a.Kind == b.Kind && a.Check == b.Check && a.Repair == b.Repair && a.Kind != HandOver
}

// actions fills in what a step consists of and what it takes.
func (pl *planning) actions(p *Proposal, s plan.Step) {
	if s.Kind == plan.HandOver {
		p.Actions = []Action{{Kind: HandOver, Minutes: pl.o.LastResort}}
		p.Minutes = pl.o.LastResort
		return
	}
	from := pl.tests
	if s.Kind == plan.Repair {
		from = pl.repairs
	}
	for _, number := range s.Numbers {
		op := from[number]
		act := Action{Kind: op.kind(), Check: op.check, Repair: op.repair, Place: pl.places[op.place], Minutes: op.own, Again: op.times > 0}
		if op.repair != nil {
			act.Parts = op.parts
			p.Money += op.money
			p.numbers = append(p.numbers, number)
		}
		p.Minutes += op.own
		p.For = append(p.For, pl.waitingFor(op)...)
		p.Actions = append(p.Actions, act)
	}
	for _, access := range p.Opens {
		p.Minutes += pl.accessMinutes(access)
	}
}

// waitingFor names the actions that an option is a condition for.
func (pl *planning) waitingFor(op *option) []string {
	var out []string
	for _, list := range [][]*option{pl.tests, pl.repairs} {
		for _, other := range list {
			if id := other.recordID(); slices.Contains(other.after, op.id) && !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	return out
}
