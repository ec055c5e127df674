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
	Questions int     // how many questions are affordable, for Options.Budget; 0 is 1000
}

const defaultQuestions = 1000

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
	memo    map[string]*weighed
	exp     int // probabilities are multiples of 2^exp
}

// weighed is the result of one inference.
type weighed struct {
	p float64 // of the evidence
	// causes gives, by node, the probability of a cause in the last layer divided by the probability that it outlives the repairs until then.
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
	for _, v := range n.complaint {
		f.matters |= f.up[v]
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

// Chance implements Belief: the sum, over what the repair cures, of the probability that it is there and is cured.
func (b *NetworkBelief) Chance(repair int) (float64, error) {
	p, err := b.Causes()
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, c := range b.f.n.repairs[repair] {
		sum += c.Chance * p[c.Fault]
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
			x := s.all.causes[v] * s.all.p
			if s.gone.p > 0 {
				x -= s.gone.causes[v] * s.gone.p
			}
			out[v] = probability(x / s.still * b.f.n.survives(belief.Node(v), b.hist.repairs))
		}
	}
	return out, nil
}

// weigh finds the probability of a history, or of that and the complaint gone once some repairs have been done.
func (f *family) weigh(h history, gone *uint64) (*weighed, error) {
	key := "all" + h.key(0)
	if gone != nil {
		key = "gone" + h.key(*gone&f.matters)
	}
	if w := f.memo[key]; w != nil {
		return w, nil
	}
	l := f.layered(h, gone)
	w := &weighed{causes: make([]float64, len(f.n.nodes))}
	if l.build() {
		if err := f.infer(l, w); err != nil {
			return nil, err
		}
	}
	f.memo[key] = w
	return w, nil
}

// layered lays out the moments at which something was seen. A test goes into the earliest layer in which it shows the same.
func (f *family) layered(h history, gone *uint64) *layered {
	l := &layered{n: f.n, up: f.up, layers: []uint64{0}, gone: -1}
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
	return l.last()
}

// infer does the inference. Impossible evidence has probability zero.
func (f *family) infer(l *layered, w *weighed) error {
	s, err := belief.Plan(l.net, &l.e, belief.Options{Tries: f.o.Tries, Limit: f.o.Limit})
	if err != nil {
		return err
	}
	if len(s.SetAside()) > 0 {
		return ErrTooLarge
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
			w.causes[v] = l.causeIn(belief.Node(v), r)
		}
	}
	return nil
}

// causeIn is the probability of a cause in the last layer, divided by the probability that it outlives the repairs until then.
func (l *layered) causeIn(v belief.Node, r *belief.Result) float64 {
	p := &l.parts[v]
	switch {
	case !l.need[v]:
		return l.n.nodes[v].p
	case p.part == nil:
		return r.P[p.whole]
	}
	s := l.n.survives(v, l.layers[l.last()])
	if s == 0 || p.part[l.last()] == none {
		return 0
	}
	return r.P[p.part[l.last()]] / s
}
