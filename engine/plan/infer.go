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

// schedule lays out an inference. Nothing is set aside.
func (f *family) schedule(l *layered) (*belief.Schedule, error) {
	s, err := belief.Plan(l.net, &l.e, belief.Options{Tries: f.o.Tries, Limit: math.Inf(1)})
	if err != nil {
		return nil, err
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
