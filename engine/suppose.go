package engine

import (
	"cmp"
	"errors"
	"maps"
	"math"
	"math/bits"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/symptoms"
)

// supposed is a question with what was worked out for each of its answers, in the same order.
type supposed struct {
	Question
	at      observedAt
	answers []*supposedAnswer
	// denied are the findings of the abnormal words in masking order, if the answers follow from denying them one after another.
	denied []belief.Node
}

type supposedAnswer struct {
	text string
	// ev is the sheet with the answer; nil where it is made of value only if the answer does not follow from denials.
	ev    *belief.Evidence
	value symptoms.Value
	// after is nil until the answer was worked out, and where it is impossible.
	after chances
	// probability is P(answer | sheet), uncertainty what is left with it.
	probability, uncertainty float64
}

// chances are posteriors.
type chances interface {
	// of is P(node present).
	of(node belief.Node) float64
	// none is P(none of some causes is present).
	none(nodes []belief.Node) (float64, error)
}

// denied are the posteriors where some findings are denied.
type denied struct {
	*belief.Result
	schedule *belief.Schedule
	nodes    []belief.Node
}

func (d denied) of(node belief.Node) float64 { return d.P[node] }

func (d denied) none(nodes []belief.Node) (float64, error) {
	z, exp, err := d.schedule.None(slices.Concat(d.nodes, nodes)...)
	return math.Ldexp(z/d.Z, exp-d.Exp), err
}

// between are the posteriors where one thing more is denied in part than in whole, and that is not so: P(x, A, not B) is P(x, A) less
// P(x, A, B). What is denied asks for no table that was not there before, while what is affirmed couples all that could make it.
type between struct {
	whole, part chances
	// The probabilities of whole and part given the sheet.
	pWhole, pPart float64
}

func (b between) of(node belief.Node) float64 {
	return b.less(b.whole.of(node), b.part.of(node))
}

func (b between) none(nodes []belief.Node) (float64, error) {
	whole, err := b.whole.none(nodes)
	if err != nil {
		return 0, err
	}
	part, err := b.part.none(nodes)
	return b.less(whole, part), err
}

func (b between) less(whole, part float64) float64 {
	return min(max((b.pWhole*whole-b.pPart*part)/(b.pWhole-b.pPart), 0), 1)
}

// leastBetween is the share of the whole below which a difference is not taken: of sixteen digits ten are left.
const leastBetween = 1e-6

// lay lays a question out: the evidence with each of its answers.
func (a *asking) lay(at observedAt) *supposed {
	q := &supposed{Question: Question{Observation: at.observation, Place: a.places[at.place], Write: a.unread(at), Gain: a.score(at)}, at: at}
	answers := possible(at.observation)
	if a.eachItsOwn(at) && !a.reportedSomewhere(at.observation) {
		a.inMaskingOrder(q, answers)
		return q
	}
	for _, v := range answers {
		if ev, used := a.suppose(at, v); used {
			q.answers = append(q.answers, &supposedAnswer{text: v.Text, ev: ev})
		}
	}
	return q
}

// inMaskingOrder lays out the abnormal words in masking order, the normal one last.
func (a *asking) inMaskingOrder(q *supposed, answers []symptoms.Value) {
	findings := slices.Clone(a.findings[q.at])
	slices.SortFunc(findings, func(f, g *findingAt) int {
		return cmp.Compare(firstWord(f.rule.Finding.Words), firstWord(g.rule.Finding.Words))
	})
	left := slices.Clone(answers)
	add := func(v symptoms.Value) {
		q.answers = append(q.answers, &supposedAnswer{text: v.Text, value: v})
		left = slices.DeleteFunc(left, func(x symptoms.Value) bool { return x.Text == v.Text })
	}
	for _, f := range findings {
		q.denied = append(q.denied, f.node)
		i := firstWord(f.rule.Finding.Words)
		if q.Observation.Kind == symptoms.YesNo {
			i = 1 - i // yes comes first of the answers
		}
		add(answers[i])
	}
	add(left[0])
}

// workOut works every answer out. The gain is the mean fall of uncertainty over the answers; words that no rule reads share
// what is left of the probability. On a first screen the estimate has to do where that is too dear.
func (a *asking) workOut(q *supposed) error {
	work := a.eachByItself
	if q.denied != nil {
		work = a.byDenial
	}
	err := work(q)
	if errors.Is(err, errDear) {
		q.Estimated, q.answers = true, nil
		return nil
	}
	if err != nil {
		return err
	}
	a.weighAnswers(q)
	return nil
}

// errDear is why an answer is not worked out on a first screen.
var errDear = errors.New("several times the work of the ranking")

// An answer is dear that takes more than dearTimes the table entries of the ranking, and more than neverDear: a millisecond. One that
// takes more than a first screen has time for is always dear.
const dearTimes, neverDear = 1.5, 2e6

func (a *asking) isDear(entries float64) bool {
	return a.hurried && (entries > max(dearTimes*a.post.schedule.Cost(), neverDear) || entries > longEntries)
}

func (a *asking) eachByItself(q *supposed) error {
	for _, s := range q.answers {
		if err := a.inferSupposed(q, s); err != nil {
			return err
		}
	}
	return nil
}

// inferSupposed infers an answer to a question. Nothing is pooled where its evidence is made so late.
func (a *asking) inferSupposed(q *supposed, s *supposedAnswer) error {
	if s.ev == nil {
		s.ev, _ = a.suppose(q.at, s.value)
	}
	return a.inferAnswer(s)
}

// byDenial works out what is left when one word after the other is denied; each answer is what was lost by that.
func (a *asking) byDenial(q *supposed) error {
	whole := &supposedAnswer{after: a.post, probability: 1}
	for k := range q.denied {
		part, err := a.deny(q.denied[:k+1])
		if err != nil {
			return err
		}
		if part == nil { // findings were set aside
			return a.eachByItself(q)
		}
		s := q.answers[k]
		if left := whole.probability - part.probability; left > leastBetween*whole.probability && part.after != nil {
			s.probability, s.after = left, between{whole.after, part.after, whole.probability, part.probability}
			s.uncertainty = a.uncertainty(s.after.of)
		} else if err := a.inferSupposed(q, s); err != nil {
			return err
		}
		if whole = part; whole.after == nil {
			return nil // one of the words is certain to show
		}
	}
	last := q.answers[len(q.answers)-1]
	last.after, last.probability, last.uncertainty = whole.after, whole.probability, whole.uncertainty
	return nil
}

// deny works out what is left when some findings are denied; nil if other findings had to be set aside for it.
func (a *asking) deny(nodes []belief.Node) (*supposedAnswer, error) {
	s := new(supposedAnswer)
	if a.isDear(a.post.schedule.Cost()) {
		return nil, errDear
	}
	r, err := a.post.schedule.Deny(nodes...)
	if errors.Is(err, belief.ErrManyTerms) {
		return a.denyAsEvidence(nodes)
	}
	if err != nil || r.Z == 0 {
		return s, err
	}
	s.after = denied{r, a.post.schedule, nodes}
	s.probability = math.Ldexp(r.Z/a.post.Z, r.Exp-a.post.Exp)
	s.uncertainty = a.uncertainty(s.after.of)
	return s, nil
}

func (a *asking) denyAsEvidence(nodes []belief.Node) (*supposedAnswer, error) {
	s := &supposedAnswer{ev: a.base.Without()}
	for _, v := range nodes {
		s.ev.NotSeen(v)
	}
	err := a.inferAnswer(s)
	if post, ok := s.after.(*posterior); ok && len(post.schedule.SetAside()) > 0 {
		return nil, err
	}
	return s, err
}

// inferAnswer works an answer out by an inference of its own.
func (a *asking) inferAnswer(s *supposedAnswer) error {
	schedule, err := a.planLike(s.ev, a.options.Limit, a.post)
	if err != nil {
		return err
	}
	if a.isDear(schedule.Cost()) {
		return errDear
	}
	post, err := inferred(schedule)
	var impossible *belief.Impossible
	if errors.As(err, &impossible) {
		return nil
	}
	if err != nil {
		return err
	}
	s.after, s.probability = post, math.Exp(post.logZ()-a.post.logZ())
	s.uncertainty = a.uncertainty(post.of)
	return nil
}

// weighAnswers sums up over the answers.
func (a *asking) weighAnswers(q *supposed) {
	q.answers = slices.DeleteFunc(q.answers, func(s *supposedAnswer) bool { return s.after == nil })
	after, total := 0.0, 0.0
	for _, s := range q.answers {
		total += s.probability
		after += s.probability * s.uncertainty
	}
	if total == 0 {
		return
	}
	q.Gain = max(0, a.before-after/total)
	slices.SortStableFunc(q.answers, func(x, y *supposedAnswer) int { return Descending(x.probability, y.probability) })
	for _, s := range q.answers {
		q.Answers = append(q.Answers, Answer{Text: s.text, Probability: s.probability / total})
	}
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
	ev := a.base.Without(drop...)
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
