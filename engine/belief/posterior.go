package belief

import (
	"errors"
	"fmt"
	"math"
)

// Result holds the posteriors given the evidence.
type Result struct {
	P   []float64 // by Node: P(present | evidence); NaN for an effect or finding that was dropped, see Evidence.Ask
	Z   float64   // the probability of the evidence (times all weights) is Z * 2^Exp, Z in [1/2, 1)
	Exp int
}

// ErrUnderflow reports evidence that is possible but so improbable that it cannot be told from impossible in float64.
var ErrUnderflow = errors.New("belief: the evidence is possible, but its probability is lost in rounding")

// ErrInconsistent reports that the two independent values of P(evidence), from the forward and the backward pass, differ.
var ErrInconsistent = errors.New("belief: forward and backward pass disagree on the probability of the evidence")

// ErrTooWide reports a schedule with tables too large to make; only a limit far above the default lets one through.
var ErrTooWide = errors.New("belief: tables too large")

// widest is the largest width computed: tables of 8 GB.
const widest = 30

// agreement is how close forward and backward value must be, relatively.
const agreement = 1e-10

// Posterior does the computation, forward and backward once. It returns an *Impossible error if the evidence has probability
// zero. A Schedule may be used by several goroutines at once, and more than once.
func (s *Schedule) Posterior() (*Result, error) {
	r, err := s.posterior()
	if r == nil && err == nil {
		err = s.impossible()
	}
	return r, err
}

// posterior returns nil for evidence of probability zero.
func (s *Schedule) posterior() (*Result, error) {
	g := s.core.g
	if g.z.m == 0 {
		return nil, nil
	}
	if s.Width() > widest {
		return nil, fmt.Errorf("%w: 2^%d entries; set Options.Limit", ErrTooWide, s.Width())
	}
	r := s.runner()
	z := g.z
	if len(s.program.steps) > 0 {
		r.start()
		if !r.passes() {
			return nil, nil
		}
		if err := r.check(); err != nil {
			return nil, err
		}
		z.mul(r.z)
		z.e += r.zexp
		r.a.put(r.back)
	}
	b := backward{g: g, x: r.x, y: r.y, p: make([]float64, len(g.v))}
	b.run(s.core.v)
	s.net.handOn(r.a) // not after an error: tables are still out then
	return &Result{P: s.collect(b.p), Z: z.m, Exp: z.e}, nil
}

// runner prepares a pass, with an arena that another may have used.
func (s *Schedule) runner() *runner {
	a := s.net.handedOn()
	n := len(s.program.kept) + 1
	pairs := make([]pair, 2*len(s.core.g.v))
	return &runner{p: s.program, a: a, tab: make([]table, n), exp: make([]int, n),
		x: pairs[:len(pairs)/2], y: pairs[len(pairs)/2:], sign: s.core.g.sign}
}

// passes runs forward and back. It reports false if nothing is left at the end of the forward pass.
func (x *runner) passes() bool {
	last := len(x.p.kept)
	return x.reverse(0, last, x.budget())
}

func (x *runner) check() error {
	d := math.Ldexp(x.back.t[0]/x.z, x.bexp-x.zexp)
	if !(math.Abs(d-1) <= agreement) {
		return fmt.Errorf("%w: relative difference %g", ErrInconsistent, d-1)
	}
	return nil
}

// collect orders the posteriors by node. A cause that the evidence does not reach keeps its prior.
func (s *Schedule) collect(byVertex []float64) []float64 {
	g := s.core.g
	p := make([]float64, len(g.at))
	for id, v := range g.at {
		switch {
		case v >= 0:
			p[id] = byVertex[v]
		case s.net.nodes[id].kind == cause:
			p[id] = s.net.nodes[id].leak[1]
		default:
			p[id] = math.NaN()
		}
	}
	return p
}

// backward goes through the stripping log in reverse. x and y hold what multiplies n and w of each vertex in P(evidence), every
// pair up to a common factor; they are known for the core to begin with. y of a parent changes as the weights folded into it are
// taken back, so its posterior p is noted while w is complete.
type backward struct {
	g    *graph
	x, y []pair
	p    []float64
}

func (b *backward) run(core []int32) {
	for _, v := range core {
		b.note(v)
	}
	for i := len(b.g.log) - 1; i >= 0; i-- {
		r := &b.g.log[i]
		switch r.rule {
		case ruleRoot:
			b.x[r.v], b.y[r.v] = b.g.v[r.v].w, b.g.v[r.v].n
			b.note(r.v)
		case ruleDeny:
			b.deny(r.v)
		case ruleSure:
			b.sure(r)
		case ruleAbsorb:
			b.absorb(r)
		case ruleFold:
			b.fold(r)
		default:
			b.group(r)
		}
	}
	for k := range b.g.groups {
		for _, v := range b.g.groups[k].members {
			b.note(v)
		}
	}
}

func (b *backward) note(v int32) { b.p[v] = b.g.v[v].w.times(b.y[v]).ratio() }

func (b *backward) deny(v int32) {
	x := &b.g.v[v]
	b.y[v], b.p[v] = pair{1, 0}, 0
	for i := x.upLo; i < x.upHi; i++ {
		a := &b.g.arcs[i]
		b.y[a.from][1] *= a.q
	}
}

func (b *backward) sure(r *record) {
	if r.to >= 0 {
		a := &b.g.arcs[r.arc]
		b.x[r.to], _ = b.x[r.to].lower(a.l, a.q).fit()
		return
	}
	v := &b.g.v[r.v]
	b.x[r.v], b.y[r.v] = v.w, pair{0, v.n[1]}
	b.note(r.v)
}

func (b *backward) absorb(r *record) {
	v, a, x := &b.g.v[r.v], &b.g.arcs[r.arc], b.x[r.to]
	up := x.lower(a.l, a.q)
	k, _ := pair{r.old.dot(x), r.old.dot(up)}.fit()
	b.x[r.v], b.y[r.v] = v.w.times(k), v.n.times(k)
	b.note(r.v)
	p := v.n.times(v.w)
	b.x[r.to], _ = pair{p[0]*x[0] + p[1]*up[0], p[0]*x[1] + p[1]*up[1]}.fit()
}

func (b *backward) fold(r *record) {
	v, a, y := &b.g.v[r.v], &b.g.arcs[r.arc], b.y[r.to]
	d, _ := y.times(r.old).fit()
	n1, w1 := v.n.raise(a.l, a.q), v.w.lower(a.l, a.q)
	b.y[r.v], _ = pair{d[0]*v.n[0] + d[1]*n1[0], d[0]*v.n[1] + d[1]*n1[1]}.fit()
	b.x[r.v], _ = pair{d[0]*v.w[0] + d[1]*w1[0], d[0]*v.w[1] + d[1]*w1[1]}.fit()
	b.note(r.v)
	b.y[r.to], _ = y.times(pair{v.n.dot(v.w), n1.dot(v.w)}).fit()
}

// group finds the weights of the members of a group that was summed out.
func (b *backward) group(r *record) {
	p := &b.g.groups[r.v]
	if r.to < 0 {
		b.g.unweigh(p, nil, []float64{1}, b.x, b.y)
		return
	}
	of := scope{r.to}
	m := b.g.weigh(p, of)
	d, _ := b.y[r.to].times(r.old).fit()
	b.g.unweigh(p, of, d[:], b.x, b.y)
	b.y[r.to], _ = b.y[r.to].times(pair{m[0], m[1]}).fit()
}

// groupSeen finds the weights of the members of a group that was closed in a table: seen[b] weighs the pattern b of its open
// members.
func (x *runner) groupSeen(k int32, seen []float64) {
	c := x.p.c
	p := &c.g.groups[c.groups[k].of]
	open := c.groups[k].open
	for b, w := range p.g {
		if w == 0 {
			continue
		}
		at, n := 0, 0
		all := w
		for i, f := range p.members {
			if n < len(open) && c.v[open[n]] == f {
				at |= b >> i & 1 << n
				n++
			} else {
				all *= c.g.v[f].n[b>>i&1]
			}
		}
		all *= seen[at]
		for i, f := range p.members {
			x.y[f][b>>i&1] += all
		}
		x.closedMembers(p, b, w*seen[at])
	}
}

// closedMembers adds the share of pattern b to what multiplies the n of the members that have no bit.
func (x *runner) closedMembers(p *group, b int, w float64) {
	for i, f := range p.members {
		v := &x.p.c.g.v[f]
		if v.up > 0 || !v.absorbed {
			continue
		}
		t := w
		for j, h := range p.members {
			if u := &x.p.c.g.v[h]; j != i && u.up == 0 {
				t *= u.n[b>>j&1]
			}
		}
		x.x[f][b>>i&1] += t
	}
}
