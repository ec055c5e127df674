package engine

import (
	"math"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// ask works out which questions nobody answered would tell most for their minutes, and which checks would.
func (w *work) ask(d *Diagnosis) error {
	if w.options.Questions == 0 {
		return nil
	}
	a := newAsking(w)
	a.hurried = w.options.Detail == FirstScreen
	a.screen()
	candidates := a.candidates()
	ats := a.toWorkOut(candidates)
	for _, at := range ats {
		a.known[at] = a.lay(at)
	}
	if err := a.options.inParallel(len(ats), func(i int) error { return a.workOut(a.known[ats[i]]) }); err != nil {
		return a.explainError(err)
	}
	d.Unasked = a.unasked()
	d.Checks = a.checks(candidates)
	if a.options.Detail == FirstScreen {
		return nil
	}
	return a.foretell(d)
}

// toWorkOut lists the questions to be worked out exactly: the best by the estimate, and the best of each candidate check.
func (a *asking) toWorkOut(candidates []candidate) []observedAt {
	var out []observedAt
	add := func(at observedAt) {
		if !slices.Contains(out, at) {
			out = append(out, at)
		}
	}
	for _, s := range a.screened[:min(a.screenedWidth(), len(a.screened))] {
		add(s.at)
	}
	for _, c := range candidates {
		for _, s := range a.best(c) {
			add(s.at)
		}
	}
	return out
}

// foretell fills in what each answer of the questions that are shown would mean.
func (a *asking) foretell(d *Diagnosis) error {
	var shown []*Question
	for i := range d.Unasked {
		shown = append(shown, &d.Unasked[i])
	}
	for i := range d.Checks {
		for j := range d.Checks[i].Questions {
			shown = append(shown, &d.Checks[i].Questions[j])
		}
	}
	tops := map[*supposedAnswer][]Likely{}
	var answers []*supposedAnswer
	for _, q := range shown {
		for _, s := range a.answersTo(q) {
			if _, ok := tops[s]; !ok {
				tops[s] = nil
				answers = append(answers, s)
			}
		}
	}
	found := make([][]Likely, len(answers))
	if err := a.options.inParallel(len(answers), func(i int) (err error) {
		found[i], err = a.likeliest(answers[i].after)
		return err
	}); err != nil {
		return a.explainError(err)
	}
	for i, s := range answers {
		tops[s] = found[i]
	}
	for _, q := range shown {
		q.Answers = slices.Clone(q.Answers)
		for i, s := range a.answersTo(q) {
			q.Answers[i].Top = tops[s]
		}
	}
	return nil
}

// answersTo returns what was worked out for a shown question's answers, in their order.
func (a *asking) answersTo(q *Question) []*supposedAnswer {
	if p, ok := a.find(q.Place.Level, q.Place.Name); ok || q.Place.Level == symptoms.WholeMachine {
		if s, ok := a.known[observedAt{q.Observation, p}]; ok {
			return s.answers
		}
	}
	return nil
}

// asking is the search for the most telling question.
type asking struct {
	*work
	// base is the evidence without what was set aside.
	base   *belief.Evidence
	before float64
	// hurried lets an estimate do where an answer is dear.
	hurried bool
	// concern weighs the causes, in the order of the network.
	concern   []float64
	estimator *estimator
	scores    map[observedAt]float64
	screened  []screened
	known     map[observedAt]*supposed
}

func newAsking(w *work) *asking {
	a := &asking{work: w, base: w.ev.Without(w.post.schedule.SetAside()...), concern: w.concerns(),
		scores: map[observedAt]float64{}, known: map[observedAt]*supposed{}}
	a.before = a.uncertainty(w.post.of)
	a.estimator = newEstimator(w, a.concern)
	return a
}

// screened is an unasked observation with a cheap estimate of what it could tell.
type screened struct {
	at    observedAt
	score float64
}

// screenedWidth is how many questions are worked out exactly: more than are shown, since the estimate orders them well, not
// perfectly.
func (a *asking) screenedWidth() int {
	if a.options.Detail == FirstScreen {
		return a.options.Questions + 1
	}
	return 2 * a.options.Questions
}

// screen orders the unasked observations by the estimate of what they tell, and keeps the best place of each.
func (a *asking) screen() {
	for _, o := range a.know.set.Vocabulary.All() {
		best := screened{}
		for _, p := range a.at[o.About] {
			at := observedAt{o, p}
			if a.looked(at) || len(a.findings[at]) == 0 {
				continue
			}
			if a.fromFacts(o) || Idle(a.sheet, o.ID) {
				continue // it follows from facts, or from what was said
			}
			if o.Relative() {
				if _, ok := a.around(o, p); !ok {
					continue // the reading would have nothing to be compared with
				}
			}
			if s := a.score(at); s > best.score {
				best = screened{at, s}
			}
		}
		if best.score > 0 {
			a.screened = append(a.screened, best)
		}
	}
	slices.SortStableFunc(a.screened, func(x, y screened) int {
		return Descending(perMinute(x.score, x.at.observation), perMinute(y.score, y.at.observation))
	})
}

// perMinute is what an answer tells for the minutes it takes, with two more for getting at it and writing it down (our own figure).
func perMinute(gain float64, o *symptoms.Observation) float64 {
	const handling = 2
	return gain / (handling + o.Minutes)
}

// score estimates what an observation could tell, in bits.
func (a *asking) score(at observedAt) float64 {
	if _, ok := a.scores[at]; !ok {
		a.scores[at] = a.estimator.tells(a.findings[at])
	}
	return a.scores[at]
}

// uncertainty is the entropy of every cause, in bits, summed each weighed by how much it concerns this sheet.
func (a *asking) uncertainty(of func(belief.Node) float64) float64 {
	sum := 0.0
	for i, c := range a.causes {
		q := of(c.node)
		for _, x := range []float64{q, 1 - q} {
			if x > 0 {
				sum -= a.concern[i] * x * math.Log2(x)
			}
		}
	}
	return sum
}

// concerns weighs the causes by the share of their probability that the sheet put there, 1 - prior/posterior: what would only
// settle how often something is met on any machine is not worth a question about this one. On a sheet that speaks for no
// cause all count.
func (w *work) concerns() []float64 {
	out := make([]float64, len(w.causes))
	any := false
	for i, c := range w.causes {
		out[i] = max(0, 1-c.prior/w.post.of(c.node))
		any = any || out[i] > 0
	}
	for i := range out {
		if !any {
			out[i] = 1
		}
	}
	return out
}

// likeliest names the three likeliest causes after an answer.
func (a *asking) likeliest(after chances) ([]Likely, error) {
	const top = 3
	order := make([]int, 0, len(a.byNumber))
	sum := make([]float64, len(a.byNumber))
	for number, places := range a.byNumber {
		for _, c := range places {
			sum[number] += after.of(a.instance[c].node)
		}
		if len(places) > 0 {
			order = append(order, number)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return Descending(sum[x], sum[y]) })
	var out []Likely
	for _, number := range order[:min(top, len(order))] {
		c := a.know.set.Causes[number]
		anywhere, err := a.anywhereAfter(after, a.byNumber[number])
		if err != nil {
			return nil, err
		}
		out = append(out, Likely{ID: c.ID, Title: c.Title, Anywhere: anywhere})
	}
	slices.SortStableFunc(out, func(x, y Likely) int { return Descending(x.Anywhere, y.Anywhere) })
	return out, nil
}

// unasked lists the best questions, those that decide a circumstance first: without them an answer already given is lost.
func (a *asking) unasked() []Question {
	out := a.circumstances()
	var rest []Question
	for _, s := range a.screened {
		if q, ok := a.known[s.at]; ok && q.Gain >= worthAsking {
			rest = append(rest, q.Question)
		}
	}
	slices.SortStableFunc(rest, func(x, y Question) int {
		return Descending(perMinute(x.Gain, x.Observation), perMinute(y.Gain, y.Observation))
	})
	out = append(out, rest...)
	return out[:min(a.options.Questions, len(out))]
}

// worthAsking is the gain, in bits, below which no answer would change what to do next.
const worthAsking = 0.005

// circumstances asks for what would decide whether an answer already on the sheet means anything.
func (a *asking) circumstances() []Question {
	var out []Question
	asked := map[observedAt]bool{}
	for i := range a.readings {
		r := &a.readings[i]
		p, ok := a.placeOf(r)
		for _, f := range a.waiting {
			if !ok || f.place != p || a.know.reads[f.rule] != r.Observation {
				continue
			}
			var set condition.Set
			f.rule.Given.Deciding(a.cases[p], &set)
			for _, symbol := range set.List() {
				o := a.know.set.Symbol(symbol).Observation
				at := observedAt{o, a.reach(p, min(o.About, a.places[p].Level))[0]}
				if !asked[at] {
					asked[at] = true
					out = append(out, Question{Observation: at.observation, Place: a.places[at.place], Circumstance: true})
				}
			}
		}
	}
	return out
}
