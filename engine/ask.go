package engine

import (
	"cmp"
	"maps"
	"math"
	"math/bits"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// ask works out which questions nobody answered would tell most, and which checks would.
func (w *work) ask(d *Diagnosis) error {
	if w.options.Questions == 0 {
		return nil
	}
	a := &asking{work: w, concern: w.concerns(), known: map[observedAt]*supposed{}, scores: map[observedAt]float64{}}
	a.before = a.uncertainty(w.post.of)
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
		found[i], err = a.likeliest(answers[i].post)
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
	before   float64
	screened []screened
	// concern weighs the causes, in the order of the network.
	concern []float64
	known   map[observedAt]*supposed
	scores  map[observedAt]float64
}

// supposed is a question with what was worked out for each of its answers, in the same order.
type supposed struct {
	Question
	answers []*supposedAnswer
	// complete says that the answers leave nothing out: their probabilities sum to one.
	complete bool
}

type supposedAnswer struct {
	text string
	ev   *belief.Evidence
	// post is nil where the answer was worked out of the others.
	post *posterior
	// probability is P(answer | sheet), uncertainty what is left with it.
	probability, uncertainty float64
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

// screen orders the unasked observations by how strongly the uncertain causes pull on them, and keeps the best place of each.
func (a *asking) screen() {
	for _, o := range a.know.set.Vocabulary.All() {
		best := screened{}
		for _, p := range a.at[o.About] {
			at := observedAt{o, p}
			if a.looked(at) || len(a.findings[at]) == 0 {
				continue
			}
			if a.fromFacts(o) {
				continue // it follows from facts, and nobody observes it
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
	slices.SortStableFunc(a.screened, func(x, y screened) int { return cmp.Compare(y.score, x.score) })
}

// score estimates what an observation could tell.
func (a *asking) score(at observedAt) float64 {
	if sum, ok := a.scores[at]; ok {
		return sum
	}
	sum := 0.0
	for _, p := range a.onObserved(a.pulls(), at) {
		q := a.post.of(p.cause.node)
		sum += a.concern[p.cause.index] * q * (1 - q) * p.strength * p.strength
	}
	a.scores[at] = sum
	return sum
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

// lay lays a question out: the evidence with each of its answers.
func (a *asking) lay(at observedAt) *supposed {
	q := &supposed{Question: Question{Observation: at.observation, Place: a.places[at.place], Write: a.unread(at)}}
	answers := possible(at.observation)
	for _, v := range answers {
		if ev, used := a.suppose(at, v); used {
			q.answers = append(q.answers, &supposedAnswer{text: v.Text, ev: ev})
		}
	}
	q.complete = len(q.answers) == len(answers) && a.eachItsOwn(at) && !a.reportedSomewhere(at.observation)
	return q
}

// workOut infers with each answer. The gain is the mean fall of uncertainty over the answers; words that no rule reads share
// what is left of the probability.
func (a *asking) workOut(q *supposed) error {
	for i, s := range q.answers {
		if i == 0 && a.derivable(q) {
			continue
		}
		if err := a.inferAnswer(s); err != nil {
			return err
		}
	}
	if len(q.answers) > 0 && q.answers[0].post == nil && !a.derive(q) {
		if err := a.inferAnswer(q.answers[0]); err != nil {
			return err
		}
	}
	a.weighAnswers(q)
	return nil
}

func (a *asking) inferAnswer(s *supposedAnswer) error {
	post, err := a.inferLike(s.ev, a.options.Limit, a.post)
	if err != nil {
		return err
	}
	s.post, s.probability = post, math.Exp(post.logZ()-a.post.logZ())
	s.uncertainty = a.uncertainty(post.of)
	return nil
}

// weighAnswers sums up over the answers.
func (a *asking) weighAnswers(q *supposed) {
	after, total := 0.0, 0.0
	for _, s := range q.answers {
		total += s.probability
		after += s.probability * s.uncertainty
	}
	if total == 0 {
		return
	}
	q.Gain = max(0, a.before-after/total)
	slices.SortStableFunc(q.answers, func(x, y *supposedAnswer) int { return cmp.Compare(y.probability, x.probability) })
	for _, s := range q.answers {
		q.Answers = append(q.Answers, Answer{Text: s.text, Probability: s.probability / total})
	}
}

// derivable reports whether the first answer of a question follows from the others: if nobody asks what it would mean, every
// answer is read, none is set aside, and nothing reported somewhere is heard anew with it.
func (a *asking) derivable(q *supposed) bool {
	return a.options.Detail == FirstScreen && q.complete && len(a.post.schedule.SetAside()) == 0
}

// derive works the first answer out of the others: the mean of the posteriors over all answers is the posterior before. It
// reports false when so little is left for the answer that digits would be lost in the difference.
func (a *asking) derive(q *supposed) bool {
	const least = 1e-3
	first, left := q.answers[0], 1.0
	for _, s := range q.answers[1:] {
		if len(s.post.schedule.SetAside()) > 0 {
			return false
		}
		left -= s.probability
	}
	if left < least {
		return false
	}
	first.probability = left
	first.uncertainty = a.uncertainty(func(node belief.Node) float64 {
		sum := a.post.of(node)
		for _, s := range q.answers[1:] {
			sum -= s.probability * s.post.of(node)
		}
		return min(max(sum/left, 0), 1)
	})
	return true
}

// suppose returns the evidence with one more answer; false when the answer says nothing. What was reported somewhere is heard
// anew: the answer narrows down where.
func (a *asking) suppose(at observedAt, v symptoms.Value) (*belief.Evidence, bool) {
	var drop []int
	var pooled []*item
	for _, it := range a.items {
		if it.Somewhere && it.Observation == at.observation {
			drop = append(drop, it.entries...)
			pooled = append(pooled, it)
		}
	}
	ev := a.ev.Without(drop...)
	from := ev.Len()
	a.hear(ev, at, v)
	used := ev.Len() > from
	told := maps.Clone(a.told)
	told[at] = v
	for _, it := range pooled {
		a.hearSomewhere(ev, at.observation, it.value, told)
	}
	return ev, used
}

// eachItsOwn reports whether every abnormal word is a finding of its own, so that no two answers are the same evidence.
func (a *asking) eachItsOwn(at observedAt) bool {
	findings, words := a.findings[at], len(at.observation.Words)
	if at.observation.Kind == symptoms.YesNo {
		return len(findings) == 1
	}
	for _, f := range findings {
		if bits.OnesCount64(f.rule.Finding.Words) != 1 {
			return false
		}
	}
	return len(findings) == words-1 && !at.observation.Several
}

// reportedSomewhere reports whether the observation was made at some place, it is not known which.
func (a *asking) reportedSomewhere(o *symptoms.Observation) bool {
	return slices.ContainsFunc(a.items, func(it *item) bool { return it.Somewhere && it.Observation == o })
}

// possible lists the answers to a question that decide a word.
func possible(o *symptoms.Observation) []symptoms.Value {
	var out []symptoms.Value
	if o.Kind == symptoms.YesNo {
		return []symptoms.Value{{Yes: true, Text: "yes"}, {Text: "no"}}
	}
	for _, w := range o.Words {
		out = append(out, symptoms.Value{Words: []string{w.Word}, Text: w.Word, Lo: math.Inf(-1), Hi: math.Inf(1)})
	}
	return out
}

// likeliest names the three likeliest causes after an answer.
func (a *asking) likeliest(post *posterior) ([]Likely, error) {
	const top = 3
	order := make([]int, 0, len(a.byNumber))
	sum := make([]float64, len(a.byNumber))
	for number, places := range a.byNumber {
		for _, c := range places {
			sum[number] += post.of(a.instance[c].node)
		}
		if len(places) > 0 {
			order = append(order, number)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(sum[y], sum[x]) })
	var out []Likely
	for _, number := range order[:min(top, len(order))] {
		c := a.know.set.Causes[number]
		anywhere, err := a.anywhereAfter(post, a.byNumber[number])
		if err != nil {
			return nil, err
		}
		out = append(out, Likely{ID: c.ID, Title: c.Title, Anywhere: anywhere})
	}
	slices.SortStableFunc(out, func(x, y Likely) int { return cmp.Compare(y.Anywhere, x.Anywhere) })
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
	slices.SortStableFunc(rest, func(x, y Question) int { return cmp.Compare(y.Gain, x.Gain) })
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
