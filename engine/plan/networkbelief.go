package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"

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
	if err := allKnown(repairs, len(b.f.n.repairs)); err != nil {
		return 0, err
	}
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
	if err := known("test", test, len(b.f.n.tests)); err != nil {
		return nil, err
	}
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
	if err := known("test", test, len(b.f.n.tests)); err != nil {
		return nil, err
	}
	if err := known("outcome", outcome, len(b.f.n.tests[test].outcomes)); err != nil {
		return nil, err
	}
	return &NetworkBelief{b.f, b.hist.observe(test, outcome, b.f.affects[test])}, nil
}

// Fail implements Belief.
func (b *NetworkBelief) Fail(repairs []int) (Belief, error) {
	if err := allKnown(repairs, len(b.f.n.repairs)); err != nil {
		return nil, err
	}
	return &NetworkBelief{b.f, b.hist.fail(repairs)}, nil
}

// Chance implements Belief: the sum, over what the repair cures and can have to do with the complaint, of the probability that it is there
// and is cured.
func (b *NetworkBelief) Chance(repair int) (float64, error) {
	if err := known("repair", repair, len(b.f.n.repairs)); err != nil {
		return 0, err
	}
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
