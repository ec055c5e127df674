package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"

	"diagnose.example/engine/belief"
)

// ErrTooLarge reports an inference that would cost more than the limit of NetworkOptions.
var ErrTooLarge = errors.New("plan: the network is too large with all layers of repairs; raise the limit, or plan with fewer actions or less evidence")

// NetworkOptions steer the inference. The zero value is the default.
type NetworkOptions struct {
	Tries     int     // as in belief.Options
	Limit     float64 // as in belief.Options; nothing is set aside: above it there is ErrTooLarge
	Questions int     // how many questions are affordable, for Options.Budget; 0 is 300
}

const defaultQuestions = 300

// NetworkBelief is a belief by exact inference in a noisy-OR network. Every answer is exact for the network as described, failed repairs
// and tests between them included; it takes one to three inferences, and each is done only once for all beliefs that come from the same
// first one. Beliefs of one family must not be used by several goroutines at the same time.
//
// Rounding: answers are differences of probabilities of evidence, divided by the probability that the machine still misbehaves.
// Where the latter is q, given the tests made, the absolute error is about 1e-15/q.
type NetworkBelief struct {
	f    *family
	hist history
}

// family is what all beliefs that come from the same first one share.
type family struct {
	n       *Network
	o       NetworkOptions
	up      []uint64 // by node: repairs that cure something above it
	affects []uint64 // by test: repairs that can make a difference to it
	matters uint64   // repairs that can make a difference to the complaint
	counts  []bool   // by node: it is above the complaint
	single  []bool   // by complaint: a finding that is evidence by itself, not as part of a Joint
	memo    map[string]*weighed
	exp     int // probabilities are multiples of 2^exp
}

// weighed is a probability, as a multiple of 2^exp of the family.
type weighed struct {
	p float64 // of the evidence
	// causes gives, by node, the probability of the evidence and a cause in the last layer that says anything about it, divided by the
	// probability that the cause outlives the repairs until then.
	causes []float64
}

// Belief returns the belief that the machine misbehaves and shows what it was said to show. The first error of the description is
// returned here; evidence that is impossible together with the complaint is an error too.
func (n *Network) Belief(o NetworkOptions) (*NetworkBelief, error) {
	if err := n.check(); err != nil {
		return nil, err
	}
	f := &family{n: n, o: o, up: make([]uint64, len(n.nodes)), memo: map[string]*weighed{}}
	for r, cures := range n.repairs {
		for _, c := range cures {
			if c.Chance > 0 {
				f.up[c.Fault] |= 1 << r
			}
		}
	}
	for v := range n.nodes {
		for _, l := range n.nodes[v].up {
			f.up[v] |= f.up[l.from]
		}
	}
	for _, t := range n.tests {
		var mask uint64
		for _, v := range t.findings {
			mask |= f.up[v]
		}
		f.affects = append(f.affects, mask)
	}
	f.counts = make([]bool, len(n.nodes))
	for _, v := range n.complaint {
		f.counts[v] = true
		f.matters |= f.up[v]
		f.single = append(f.single, n.finding(v) && !n.joined(v))
	}
	for v := len(n.nodes) - 1; v >= 0; v-- {
		for _, l := range n.nodes[v].up {
			f.counts[l.from] = f.counts[l.from] || f.counts[v]
		}
	}
	b := &NetworkBelief{f: f}
	_, err := b.state()
	return b, err
}

// Budget is how many questions are affordable.
func (b *NetworkBelief) Budget() int { return cmp.Or(b.f.o.Questions, defaultQuestions) }

// Key implements Belief.
func (b *NetworkBelief) Key() string { return b.hist.key(b.hist.repairs) }

// state is what all answers of one belief start from.
type state struct {
	all   *weighed // everything seen
	gone  *weighed // and the complaint gone after the repairs done
	still float64  // the machine still misbehaves: the difference
}

func (b *NetworkBelief) state() (state, error) {
	all, err := b.f.weigh(b.hist, nil)
	if err != nil {
		return state{}, err
	}
	gone, err := b.f.weigh(b.hist, &b.hist.repairs)
	if err != nil {
		return state{}, err
	}
	s := state{all, gone, all.p - gone.p}
	if !(s.still > all.p*negligible) {
		return state{}, fmt.Errorf("%w: the machine does not misbehave", ErrNoWay)
	}
	return s, nil
}

// Good implements Belief.
func (b *NetworkBelief) Good(repairs []int) (float64, error) {
	s, err := b.state()
	if err != nil {
		return 0, err
	}
	done := b.hist.repairs | setOf(repairs)
	x, err := b.f.weigh(b.hist, &done)
	if err != nil {
		return 0, err
	}
	return probability((x.p - s.gone.p) / s.still), nil
}

func probability(x float64) float64 { return min(max(x, 0), 1) }

// Outcomes implements Belief.
func (b *NetworkBelief) Outcomes(test int) ([]float64, error) {
	s, err := b.state()
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(b.f.n.tests[test].outcomes))
	for o := range out {
		h := b.hist.observe(test, o, b.f.affects[test])
		all, err := b.f.weigh(h, nil)
		if err != nil {
			return nil, err
		}
		gone, err := b.f.weigh(h, &b.hist.repairs)
		if err != nil {
			return nil, err
		}
		out[o] = probability((all.p - gone.p) / s.still)
	}
	return out, nil
}

// Observe implements Belief.
func (b *NetworkBelief) Observe(test, outcome int) (Belief, error) {
	return &NetworkBelief{b.f, b.hist.observe(test, outcome, b.f.affects[test])}, nil
}

// Fail implements Belief.
func (b *NetworkBelief) Fail(repairs []int) (Belief, error) {
	return &NetworkBelief{b.f, b.hist.fail(repairs)}, nil
}

// Chance implements Belief: the sum, over what the repair cures and can have to do with the complaint, of the probability that it is there
// and is cured.
func (b *NetworkBelief) Chance(repair int) (float64, error) {
	p, err := b.Causes()
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, c := range b.f.n.repairs[repair] {
		if b.f.counts[c.Fault] {
			sum += c.Chance * p[c.Fault]
		}
	}
	return min(sum, 1), nil
}

// Causes returns, by node, the probability that a cause is present now, after the repairs done; NaN for nodes that are no causes.
func (b *NetworkBelief) Causes() ([]float64, error) {
	s, err := b.state()
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(b.f.n.nodes))
	for v := range out {
		out[v] = math.NaN()
		if b.f.n.nodes[v].kind == netCause {
			x := (s.all.causes[v] - s.gone.causes[v]) / s.still
			out[v] = probability(x * b.f.n.survives(belief.Node(v), b.hist.repairs))
		}
	}
	return out, nil
}

// weigh finds the probability of a history, or of that and the complaint gone once some repairs have been done.
//
// A finding of the complaint that was seen and is gone makes the network wide, because it has to be followed through two layers at once.
// With w its weight by what was seen of it (0 where absent and 1 where present, if it was simply seen), and since what is absent
// early is absent later,
//
//	w(early) [absent later] = w(present) [absent later] + (w(absent) - w(present)) [absent early]
//
// where each term on the right is about one layer only. Some findings are taken apart like that, at twice the number of inferences each;
// some of these do not depend on the repairs and are done only once.
func (f *family) weigh(h history, gone *uint64) (*weighed, error) {
	modes := make([]mode, len(f.n.complaint))
	if gone == nil {
		return f.infer(h, nil, modes)
	}
	sum := &weighed{causes: make([]float64, len(f.n.nodes))}
	var apart []int
	for i, v := range f.n.complaint {
		modes[i] = paired
		if *gone&f.up[v] != 0 && f.single[i] && len(apart) < takenApart {
			apart = append(apart, i)
		}
	}
	err := f.terms(h, gone, modes, apart, 1, sum)
	sum.p = max(sum.p, 0)
	return sum, err
}

// takenApart is how many findings of the complaint are taken apart.
const takenApart = 2

// terms adds up all combinations of the terms of some findings, times a factor.
func (f *family) terms(h history, gone *uint64, modes []mode, apart []int, factor float64, sum *weighed) error {
	if factor == 0 {
		return nil
	}
	if len(apart) == 0 {
		w, err := f.infer(h, gone, modes)
		if err != nil {
			return err
		}
		sum.p += factor * w.p
		for v := range sum.causes {
			sum.causes[v] += factor * w.causes[v]
		}
		return nil
	}
	i, own := apart[0], f.n.own[f.n.complaint[apart[0]]]
	modes[i] = late
	if err := f.terms(h, gone, modes, apart[1:], factor*own[1], sum); err != nil {
		return err
	}
	modes[i] = early
	err := f.terms(h, gone, modes, apart[1:], factor*(own[0]-own[1]), sum)
	modes[i] = paired
	return err
}

// infer finds the probability of a history and what the modes say about the complaint.
func (f *family) infer(h history, gone *uint64, modes []mode) (*weighed, error) {
	var done uint64
	for i, v := range f.n.complaint {
		if modes[i] == late || modes[i] == paired {
			done |= *gone & f.up[v]
		}
	}
	key := h.key(done)
	for _, m := range modes {
		key += string(rune(m))
	}
	if w := f.memo[key]; w != nil {
		return w, nil
	}
	l := f.layered(h, gone, modes)
	w := &weighed{causes: make([]float64, len(f.n.nodes))}
	if l.build() {
		if err := f.run(l, w); err != nil {
			return nil, err
		}
	}
	f.memo[key] = w
	return w, nil
}

// layered lays out the moments at which something was seen. A test goes into the earliest layer in which it shows the same.
func (f *family) layered(h history, gone *uint64, modes []mode) *layered {
	l := &layered{n: f.n, up: f.up, layers: []uint64{0}, modes: slices.Clone(modes)}
	sights := slices.Clone(h.seen)
	slices.SortStableFunc(sights, func(a, b sight) int {
		return cmp.Compare(bits.OnesCount64(a.before), bits.OnesCount64(b.before))
	})
	for _, s := range sights {
		l.seen = append(l.seen, seenAt{s.test, s.outcome, l.layer(s.before, f.affects[s.test])})
	}
	if gone != nil {
		l.gone = l.layer(*gone, f.matters)
	}
	return l
}

// layer returns the first layer that is like another set of repairs in what matters; it adds one if there is none. Sets come in
// ascending order, each within the next.
func (l *layered) layer(repairs, matters uint64) int {
	for j, x := range l.layers {
		if x&matters == repairs&matters {
			return j
		}
	}
	l.layers = append(l.layers, repairs)
	return len(l.layers) - 1
}

// run does the inference. Impossible evidence has probability zero.
func (f *family) run(l *layered, w *weighed) error {
	s, err := f.schedule(l)
	if err != nil {
		return err
	}
	r, err := s.Posterior()
	var impossible *belief.Impossible
	switch {
	case errors.As(err, &impossible) || errors.Is(err, belief.ErrUnderflow):
		return nil
	case err != nil:
		return err
	}
	exp := r.Exp + l.exp
	if len(f.memo) == 0 {
		f.exp = exp
	}
	w.p = math.Ldexp(r.Z*l.factor, exp-f.exp)
	for v := range f.n.nodes {
		if f.n.nodes[v].kind == netCause {
			w.causes[v] = w.p * l.lastOf(belief.Node(v), r)
		}
	}
	return nil
}

// Layered networks gain more from a good order than others: where an inference takes longer than trying many orders, many are tried.
const (
	dear      = 1e7 // table entries
	manyTries = 150
)

// schedule lays out an inference. Nothing is set aside.
func (f *family) schedule(l *layered) (*belief.Schedule, error) {
	o := belief.Options{Tries: f.o.Tries, Limit: math.Inf(1)}
	s, err := belief.Plan(l.net, &l.e, o)
	if err != nil {
		return nil, err
	}
	if o.Tries == 0 && s.Cost() > dear {
		o.Tries = manyTries
		more, err := belief.Plan(l.net, &l.e, o)
		if err != nil {
			return nil, err
		}
		if more.Cost() < s.Cost() {
			s = more
		}
	}
	if s.Cost() > cmp.Or(f.o.Limit, belief.DefaultLimit) {
		return nil, fmt.Errorf("%w: %.2g table entries", ErrTooLarge, s.Cost())
	}
	return s, nil
}

// lastOf is the probability of a cause in its last version, divided by the probability that it outlives the repairs until then.
func (l *layered) lastOf(v belief.Node, r *belief.Result) float64 {
	x := &l.nodes[v]
	if len(x.at) == 0 {
		return l.n.nodes[v].p
	}
	last := len(x.at) - 1
	if x.at[last] == none {
		return 0
	}
	return r.P[x.at[last]] / l.n.survives(v, l.layers[x.layers[last]])
}
