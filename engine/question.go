package engine

import (
	"cmp"
	"slices"

	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// AskOptions say which questions come into question, and how much to work out. The zero value weighs all alike.
type AskOptions struct {
	// Weight is what a bit of information from a question is worth, such as one by its minutes; 0 or less leaves the question
	// out. nil weighs all alike.
	Weight func(*symptoms.Observation, Place) float64
	// Most is how many questions are worked out exactly, the best by an estimate; 0 means 6.
	Most int
	// Detail Everything also foretells what each answer would mean (Answer.Top).
	Detail Detail
	// Limit is as in Options.
	Limit float64
}

// Asked is what to ask next on a sheet that is being filled in.
type Asked struct {
	Stops []Stop
	// Leading lists the distinct causes, likeliest first, as if the places of one were independent: an exact figure for each
	// takes an inference of its own, see Diagnose.
	Leading []Likely
	// Build lists facts of the machine that are not on the sheet and say whether it can have a cause that would be among the likely
	// ones, the likeliest first.
	Build []*symptoms.Observation
	// Questions are in the order of gain times weight, most first, each observation at one place only: where that is most.
	Questions []Wanted
}

// Wanted is a question with what has to be known first.
type Wanted struct {
	Question
	// Worth is Gain times the weight.
	Worth float64
	// Needs lists facts of the machine that are not on the sheet and without which the answer may mean nothing: how it is built,
	// or the book's figure.
	Needs []*symptoms.Observation
}

// Ask returns the stop notices, the leading causes, and the questions worth asking next. Unlike the questions of Diagnose, they
// include those that need a fact of the machine first. Its error is that of Diagnose.
func Ask(set *rules.Set, sheet *symptoms.Sheet, o AskOptions) (*Asked, error) {
	n, err := networkOf(set, sheet)
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
	if o.Most == 0 {
		o.Most = 6
	}
	w := &work{network: n, gathered: g, post: post, options: Options{Limit: o.Limit, Detail: o.Detail}}
	w.instances()
	out := &Asked{Stops: w.stops(), Leading: w.leading()}
	q := &quest{asking: newAsking(w), AskOptions: o}
	out.Build = q.build(out.Leading)
	out.Questions, err = q.questions()
	return out, err
}

// leading sums each cause up over its places.
func (w *work) leading() []Likely {
	var out []Likely
	for number, places := range w.byNumber {
		if len(places) > 0 {
			c := w.know.set.Causes[number]
			out = append(out, Likely{ID: c.ID, Title: c.Title, Anywhere: asIfIndependent(places)})
		}
	}
	slices.SortStableFunc(out, func(a, b Likely) int {
		return cmp.Or(Descending(a.Anywhere, b.Anywhere), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// likelyEnough is the probability from which on a cause is worth the question whether the machine is built so that it can have it.
const likelyEnough = 0.05

// build lists the facts on which the existence of likely causes hangs.
func (q *quest) build(leading []Likely) []*symptoms.Observation {
	var out []*symptoms.Observation
	for _, l := range leading {
		c := q.know.set.Causes[q.know.causeNumber[l.ID]]
		if l.Anywhere < likelyEnough || c.Exists == nil || c.Exists.Eval(q.cases[machinePlace]) != condition.Unknown {
			continue
		}
		facts, _ := q.factsOnly(c.Exists)
		for _, f := range facts {
			if !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
	}
	return out
}

// quest is the search for the question worth most by its weight.
type quest struct {
	*asking
	AskOptions
}

// sought is an unasked observation with the estimate of its worth, by which the ones to work out are picked.
type sought struct {
	at     observedAt
	weight float64
	score  float64
	// waits is set when no rule reads it yet, since a fact is missing.
	waits bool
	needs []*symptoms.Observation
}

// waitingShare is the chance taken that a fact, once told, turns out so that a waiting rule applies.
const waitingShare = rules.BuiltSoUntold

func (q *quest) questions() ([]Wanted, error) {
	all := q.sought()
	first := all[:min(max(q.Most, 0), len(all))]
	for _, s := range first {
		if !s.waits {
			q.known[s.at] = q.lay(s.at)
		}
	}
	if err := inParallel(len(first), func(i int) error {
		if first[i].waits {
			return nil
		}
		return q.workOut(q.known[first[i].at])
	}); err != nil {
		return nil, q.explainError(err)
	}
	out := q.wanted(first)
	if q.Detail == Everything {
		return out, q.foretold(out)
	}
	return out, nil
}

// clearly is the factor by which a later place must be worth more than an earlier one to be asked about first.
const clearly = 1.2

// sought lists what could be asked by the estimate of its worth, each observation at its best place, the first
// of those about as good.
func (q *quest) sought() []sought {
	var out []sought
	for _, o := range q.know.set.Vocabulary.All() {
		if o.Where != symptoms.Observed {
			continue
		}
		best := sought{}
		for _, p := range q.at[o.About] {
			at := observedAt{o, p}
			weight := 1.0
			if q.Weight != nil {
				weight = q.Weight(o, q.places[p])
			}
			if weight <= 0 || q.looked(at) || o.Computed != "" {
				continue // nobody can be asked for a number that is computed
			}
			if s, ok := q.estimate(at); ok && s.score*weight > clearly*best.score*best.weight {
				best, best.weight = s, weight
			}
		}
		if best.score > 0 {
			out = append(out, best)
		}
	}
	slices.SortStableFunc(out, func(x, y sought) int { return Descending(x.score*x.weight, y.score*y.weight) })
	return out
}

// estimate returns the estimate for one observation at one place; false when its answer could mean nothing.
func (q *quest) estimate(at observedAt) (sought, bool) {
	s := sought{at: at}
	switch o := at.observation; o.Around {
	case "":
	case "others":
		if len(q.at[o.About]) < 2 {
			return s, false
		}
	default:
		if _, ok := q.around(o, at.place); !ok {
			if spec, known := q.know.set.Vocabulary.Lookup(o.Around); known {
				s.needs = append(s.needs, spec)
			}
		}
	}
	if len(q.findings[at]) > 0 {
		s.score = q.score(at)
		s.needs = append(s.needs, q.buildOf(at)...)
		return s, s.score > 0
	}
	var waiting []*findingAt
	for _, f := range q.network.waiting {
		if f.place != at.place || q.know.reads[f.rule] != at.observation {
			continue
		}
		needs, ok := q.factsOnly(f.rule.Given)
		if !ok {
			continue
		}
		s.waits = true
		for _, n := range needs {
			if !slices.Contains(s.needs, n) {
				s.needs = append(s.needs, n)
			}
		}
		waiting = append(waiting, f)
	}
	s.score = waitingShare * q.estimator.tells(waiting)
	return s, s.score > 0
}

// factsOnly returns the facts that would decide a circumstance; false when something else would have to be told too.
func (q *quest) factsOnly(c *condition.Condition) ([]*symptoms.Observation, bool) {
	var set condition.Set
	c.Deciding(q.cases[machinePlace], &set)
	var out []*symptoms.Observation
	for _, symbol := range set.List() {
		o := q.know.set.Symbol(symbol).Observation
		if o.Where != symptoms.Fact {
			return nil, false
		}
		out = append(out, o)
	}
	return out, true
}

// buildOf returns the facts that say whether the machine is built so that an observation can be made at all: those on which every
// cause hangs that its findings lead to directly. Where an effect or a cause of every machine shows in it too, none are needed.
func (q *quest) buildOf(at observedAt) []*symptoms.Observation {
	var out []*symptoms.Observation
	for _, f := range q.findings[at] {
		for _, p := range f.parents {
			if p.effect != nil {
				return nil
			}
			exists := p.cause.cause.Exists
			if exists == nil || exists.Eval(q.cases[machinePlace]) != condition.Unknown {
				return nil
			}
			needs, _ := q.factsOnly(exists)
			for _, n := range needs {
				if !slices.Contains(out, n) {
					out = append(out, n)
				}
			}
		}
	}
	return out
}

// wanted orders the questions by their worth. What waits for a fact is put on the scale of the others by the ratio of gain to
// estimate among those.
func (q *quest) wanted(first []sought) []Wanted {
	gain, score := 0.0, 0.0
	for _, s := range first {
		if !s.waits {
			gain += q.known[s.at].Gain
			score += s.score
		}
	}
	ratio := 1.0
	if score > 0 {
		ratio = gain / score
	}
	var out []Wanted
	for _, s := range first {
		x := Wanted{Needs: s.needs}
		if s.waits {
			x.Question = Question{Observation: s.at.observation, Place: q.places[s.at.place], Gain: ratio * s.score, Estimated: true}
		} else {
			x.Question = q.known[s.at].Question
		}
		x.Worth = x.Gain * s.weight
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b Wanted) int { return Descending(a.Worth, b.Worth) })
	return out
}

// foretold fills in what each answer of the questions would mean.
func (q *quest) foretold(out []Wanted) error {
	for i := range out {
		x := &out[i].Question
		x.Answers = slices.Clone(x.Answers)
		for j, s := range q.answersTo(x) {
			if j >= len(x.Answers) {
				break
			}
			top, err := q.likeliest(s.after)
			if err != nil {
				return q.explainError(err)
			}
			x.Answers[j].Top = top
		}
	}
	return nil
}
