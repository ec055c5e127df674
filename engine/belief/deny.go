package belief

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// MaxTerms is the largest number of terms that a Deny or None is made of. With more of them it is mostly quicker to plan anew.
const MaxTerms = 4

// ErrManyTerms reports that what is denied hangs on too many effects that the evidence does not reach; plan it as evidence instead.
var ErrManyTerms = errors.New("belief: denied through too many effects without evidence")

// Deny returns the posteriors given the evidence of s and that none of some nodes is present, without planning anew and without a table
// larger than those of s. It is meant for findings that nobody looked for yet, one after another: a net often costs little with an answer
// "no" and much with the answer "yes", which follows, P(x, evidence, yes) being P(x, evidence) - P(x, evidence, no).
//
// An absent noisy-OR is a product over its parents, (1-leak) * product of (1-link), so a weight on each of them and no coupling. A parent
// u that the evidence reaches, or that is a cause, takes its weight. An effect that the evidence does not reach would need a place in the
// tables; but a weight q on its presence is q times nothing said, plus 1-q times its absence, which is again a product. So P is a sum of
// at most [MaxTerms] such terms, all positive, each at the cost of s; with more the error is [ErrManyTerms].
//
// A node may be denied that carries evidence, unless it stands in a Joint. P is NaN for effects and findings that s does not reach. If all
// of them cannot be absent, Z is 0 and P is nil.
func (s *Schedule) Deny(nodes ...Node) (*Result, error) {
	terms, err := s.terms(nodes)
	if err != nil {
		return nil, err
	}
	sum := &Result{}
	for i := range terms {
		r, err := s.denied(&terms[i])
		if err != nil {
			return nil, err
		}
		sum = sum.plus(r)
	}
	for i := range sum.P {
		sum.P[i] /= sum.Z
	}
	return sum, nil
}

// None returns P(evidence, and none of some nodes is present), as [Schedule.Probability] does; see [Schedule.Deny], of which it is the
// forward pass. For causes, one less its share of P(evidence) is the probability that one of them is there at least.
func (s *Schedule) None(nodes ...Node) (z float64, exp int, err error) {
	terms, err := s.terms(nodes)
	if err != nil {
		return 0, 0, err
	}
	sum := magnitude{}
	for i := range terms {
		g, outside := s.reweighed(&terms[i])
		g.constant(outside)
		z, exp, err := s.again(g).Probability()
		if err != nil {
			return 0, 0, err
		}
		sum.add(magnitude{z, exp})
	}
	return sum.m, sum.e, nil
}

// term is one product: a coefficient, and by node a weight on its presence.
type term struct {
	coefficient float64
	weight      map[Node]float64
}

func (t *term) weigh(v Node, w float64) {
	if old, ok := t.weight[v]; ok {
		w *= old
	}
	t.weight[v] = w
}

// terms writes the absence of some nodes as a sum of products of weights on causes and on nodes that the evidence reaches.
func (s *Schedule) terms(nodes []Node) ([]term, error) {
	first := term{1, map[Node]float64{}}
	for _, v := range nodes {
		if v < 0 || int(v) >= len(s.core.g.at) {
			return nil, fmt.Errorf("belief: there was no node %d when this was planned", v)
		}
		if at := s.core.g.at[v]; at >= 0 && s.core.g.v[at].group >= 0 {
			return nil, fmt.Errorf("belief: node %d stands in a joint; plan what is denied as evidence", v)
		}
		first.weight[v] = 0
	}
	todo, done := []term{first}, []term(nil)
	for len(todo) > 0 {
		t := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		v := s.lastOutside(t)
		if v < 0 {
			done = append(done, t)
			continue
		}
		if todo = append(todo, s.split(t, v)...); len(todo)+len(done) > MaxTerms {
			return nil, ErrManyTerms
		}
	}
	return done, nil
}

// lastOutside is the last effect or finding with a weight that the evidence does not reach, -1 if there is none. Its parents come before it.
func (s *Schedule) lastOutside(t term) Node {
	last := Node(-1)
	for v := range t.weight {
		if s.core.g.at[v] < 0 && s.net.nodes[v].kind != cause {
			last = max(last, v)
		}
	}
	return last
}

// split does away with the weight q on v: q times nothing said of v, and 1-q times its absence.
func (s *Schedule) split(t term, v Node) []term {
	var out []term
	q := t.weight[v]
	delete(t.weight, v)
	if q > 0 {
		free := term{t.coefficient * q, make(map[Node]float64, len(t.weight))}
		for u, w := range t.weight {
			free.weight[u] = w
		}
		out = append(out, free)
	}
	x := &s.net.nodes[v]
	t.coefficient *= (1 - q) * x.leak[0]
	for _, a := range x.up {
		t.weigh(a.from, a.q)
	}
	if t.coefficient > 0 {
		out = append(out, t)
	}
	return out
}

// reweighed strips the graph again with the weights of a term; outside is the factor of the coefficient and of causes that are not in it.
func (s *Schedule) reweighed(t *term) (g *graph, outside float64) {
	outside = t.coefficient
	var ws []weighed
	for v, w := range t.weight {
		if at := s.core.g.at[v]; at >= 0 {
			ws = append(ws, weighed{at, w})
		} else {
			prior := s.net.nodes[v].leak
			outside *= prior[0] + prior[1]*w
		}
	}
	slices.SortFunc(ws, func(a, b weighed) int { return int(a.at - b.at) })
	return s.core.g.restripped(ws), outside
}

// denied is one term, P not yet divided by Z.
func (s *Schedule) denied(t *term) (*Result, error) {
	g, outside := s.reweighed(t)
	g.constant(outside)
	if g.z.m == 0 {
		return &Result{}, nil
	}
	r, err := s.again(g).posterior()
	if err != nil || r == nil {
		return &Result{}, err
	}
	for v, w := range t.weight {
		if s.core.g.at[v] < 0 {
			prior := s.net.nodes[v].leak
			r.P[v] = prior[1] * w / (prior[0] + prior[1]*w)
		}
	}
	for i := range r.P {
		r.P[i] *= r.Z
	}
	return r, nil
}

// plus adds two terms, P not yet divided by Z.
// Either may be zero.
func (r *Result) plus(o *Result) *Result {
	if r.Z == 0 {
		return o
	}
	if o.Z == 0 {
		return r
	}
	if o.Exp > r.Exp {
		r, o = o, r
	}
	shift := math.Ldexp(1, o.Exp-r.Exp)
	for i := range r.P {
		r.P[i] += shift * o.P[i]
	}
	z := magnitude{r.Z + shift*o.Z, r.Exp}
	z.mul(1)
	scale := math.Ldexp(1, r.Exp-z.e)
	for i := range r.P {
		r.P[i] *= scale
	}
	r.Z, r.Exp = z.m, z.e
	return r
}
