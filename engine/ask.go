package engine

import (
	"cmp"
	"maps"
	"math"
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
	a := &asking{work: w, concern: w.concerns(), known: map[observedAt]*Question{}}
	a.before = a.uncertainty(w.post)
	a.screen()
	for _, s := range a.screened[:min(a.screenedWidth(), len(a.screened))] {
		if _, err := a.question(s.at); err != nil {
			return err
		}
	}
	d.Unasked = a.unasked()
	checks, err := a.checks()
	d.Checks = checks
	return err
}

// asking is the search for the most telling question.
type asking struct {
	*work
	before   float64
	screened []screened
	// concern weighs the causes, in the order of the network.
	concern []float64
	known   map[observedAt]*Question
}

// screened is an unasked observation with a cheap estimate of what it could tell.
type screened struct {
	at    observedAt
	score float64
}

// screenedWidth is how many questions are worked out exactly for each one shown: the estimate orders them well, not perfectly.
func (a *asking) screenedWidth() int { return 2 * a.options.Questions }

// screen orders the unasked observations by how strongly the uncertain causes pull on them, and keeps the best place of each.
func (a *asking) screen() {
	for _, o := range a.know.set.Vocabulary.All() {
		best := screened{}
		for _, p := range a.at[o.About] {
			at := observedAt{o, p}
			if a.looked(at) || len(a.findings[at]) == 0 {
				continue
			}
			if o.Around != "" {
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

func (a *asking) score(at observedAt) float64 {
	sum := 0.0
	for _, p := range a.onObserved(a.pulls(), at) {
		q := a.post.of(p.cause.node)
		sum += a.concern[p.cause.index] * q * (1 - q) * p.strength * p.strength
	}
	return sum
}

// uncertainty is the entropy of every cause, in bits, summed each weighed by how much it concerns this sheet.
func (a *asking) uncertainty(p *posterior) float64 {
	sum := 0.0
	for i, c := range a.causes {
		q := p.of(c.node)
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

// question works out one question: what each answer would do. The gain is the mean fall of uncertainty over the answers.
func (a *asking) question(at observedAt) (*Question, error) {
	if q, ok := a.known[at]; ok {
		return q, nil
	}
	q := &Question{Observation: at.observation, Place: a.places[at.place]}
	after, total := 0.0, 0.0
	for _, v := range possible(at.observation) {
		ev, used := a.suppose(at, v)
		if !used {
			continue
		}
		post, err := a.infer(ev, a.options.Limit)
		if err != nil {
			return nil, a.explainError(err)
		}
		p := math.Exp(post.logZ() - a.post.logZ())
		total += p
		after += p * a.uncertainty(post)
		top, err := a.likeliest(ev, post)
		if err != nil {
			return nil, err
		}
		q.Answers = append(q.Answers, Answer{Text: v.Text, Probability: p, Top: top})
	}
	if total > 0 {
		q.Gain = max(0, a.before-after/total)
		for i := range q.Answers { // words that no rule reads share what is left
			q.Answers[i].Probability /= total
		}
	}
	slices.SortStableFunc(q.Answers, func(x, y Answer) int { return cmp.Compare(y.Probability, x.Probability) })
	a.known[at] = q
	return q, nil
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
func (a *asking) likeliest(ev *belief.Evidence, post *posterior) ([]Likely, error) {
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
		anywhere, err := a.anywhereAfter(ev, post, a.byNumber[number])
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
			rest = append(rest, *q)
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
	for i := range a.sheet.Readings {
		r := &a.sheet.Readings[i]
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
