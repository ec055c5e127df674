package belief

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

// The reference: full enumeration of all causes and effects in double-double arithmetic (a value is hi+lo, about 106 bits;
// Dekker 1971, with fused multiply-add). TestReferenceAgainstBigFloat checks it against math/big with 300 bits.

type dd struct{ hi, lo float64 }

func toDD(x float64) dd { return dd{x, 0} }

func (a dd) add(b dd) dd {
	s := a.hi + b.hi
	t := s - a.hi
	e := (a.hi - (s - t)) + (b.hi - t)
	e += a.lo + b.lo
	h := s + e
	return dd{h, e - (h - s)}
}

func (a dd) mul(b dd) dd {
	p := a.hi * b.hi
	e := math.FMA(a.hi, b.hi, -p)
	e += a.hi*b.lo + a.lo*b.hi
	h := p + e
	return dd{h, e - (h - p)}
}

// not is 1-a.
func (a dd) not() dd { return toDD(1).add(dd{-a.hi, -a.lo}) }

// over is a/b as a float64.
func (a dd) over(b dd) float64 {
	q := a.hi / b.hi
	r := a.add(dd{-q, 0}.mul(b))
	return q + r.hi/b.hi
}

// model is a network as a test states it, apart from Net.
type model struct {
	kind  []kind
	p     []float64 // prior or leak
	block []int
	links [][]mlink // by child
}

type mlink struct {
	from int
	l    float64
}

func (m *model) add(k kind, p float64, block int) int {
	m.kind, m.p, m.block, m.links = append(m.kind, k), append(m.p, p), append(m.block, block), append(m.links, nil)
	return len(m.kind) - 1
}

func (m *model) link(from, to int, l float64) { m.links[to] = append(m.links[to], mlink{from, l}) }

func (m *model) net() *Net {
	n := NewNet()
	for v, k := range m.kind {
		switch k {
		case cause:
			n.Cause(m.p[v], m.block[v])
		case effect:
			n.Effect(m.p[v], m.block[v])
		default:
			n.Finding(m.p[v], m.block[v])
		}
		for _, l := range m.links[v] {
			n.Link(Node(l.from), Node(v), l.l)
		}
	}
	return n
}

// fact is one evidence item as a test states it: weights over the pattern of some nodes; a single node for all but joint.
type fact struct {
	nodes []int
	w     []float64
	ask   bool
}

func single(v int, w0, w1 float64) fact { return fact{nodes: []int{v}, w: []float64{w0, w1}} }
func seen(v int) fact                   { return single(v, 0, 1) }
func notSeen(v int) fact                { return single(v, 1, 0) }
func ask(v int) fact                    { return fact{nodes: []int{v}, w: []float64{1, 1}, ask: true} }

func evidence(facts []fact) *Evidence {
	e := new(Evidence)
	for _, f := range facts {
		v := Node(f.nodes[0])
		switch {
		case f.ask:
			e.Ask(v)
		case len(f.nodes) > 1:
			var ns []Node
			for _, x := range f.nodes {
				ns = append(ns, Node(x))
			}
			e.Joint(ns, f.w)
		case f.w[0] == 0 && f.w[1] == 1:
			e.Seen(v)
		case f.w[0] == 1 && f.w[1] == 0:
			e.NotSeen(v)
		default:
			e.Likelihood(v, f.w[0], f.w[1])
		}
	}
	return e
}

// enumerate returns P(evidence) and the posterior of every cause, effect and finding with a fact, NaN for the others.
func (m *model) enumerate(facts []fact) (dd, []float64) {
	en := newEnumeration(m, facts)
	en.visit(0, toDD(1))
	post := make([]float64, len(m.kind))
	for v := range post {
		post[v] = math.NaN()
		if m.kind[v] != finding || en.touched[v] {
			post[v] = en.acc[v].over(en.z)
		}
	}
	return en.z, post
}

// part is what one fact contributes in one state: its weight, and the share of each of its findings.
type part struct {
	total dd
	per   [MaxJoint]dd
}

type enumeration struct {
	m       *model
	parts   []part
	hidden  []int // causes and effects, parents first
	facts   []fact
	p       []dd
	q       [][]dd // 1-link, like m.links
	x       []int
	onHid   [][]fact
	touched []bool
	z       dd
	acc     []dd
}

func newEnumeration(m *model, facts []fact) *enumeration {
	n := len(m.kind)
	en := &enumeration{m: m, x: make([]int, n), acc: make([]dd, n), touched: make([]bool, n), onHid: make([][]fact, n)}
	alone := map[int]fact{} // by finding: the product of its single facts
	grouped := map[int]bool{}
	for _, f := range facts {
		for _, v := range f.nodes {
			en.touched[v] = true
			grouped[v] = grouped[v] || len(f.nodes) > 1
		}
		if v := f.nodes[0]; m.kind[v] != finding {
			en.onHid[v] = append(en.onHid[v], f)
		} else if len(f.nodes) == 1 {
			if g, ok := alone[v]; ok {
				f = single(v, g.w[0]*f.w[0], g.w[1]*f.w[1])
			}
			alone[v] = f
		}
	}
	for _, f := range facts {
		if len(f.nodes) > 1 {
			en.facts = append(en.facts, f.times(alone))
		}
	}
	for v := range m.kind {
		if f, ok := alone[v]; ok && !grouped[v] {
			en.facts = append(en.facts, f)
		}
	}
	en.parts = make([]part, len(en.facts))
	for v, k := range m.kind {
		if k != finding {
			en.hidden = append(en.hidden, v)
		}
		en.p = append(en.p, toDD(m.p[v]))
		var qs []dd
		for _, l := range m.links[v] {
			qs = append(qs, toDD(l.l).not())
		}
		en.q = append(en.q, qs)
	}
	return en
}

// times is a joint fact with the single facts about its findings multiplied in.
func (f fact) times(alone map[int]fact) fact {
	w := slices.Clone(f.w)
	for b := range w {
		for k, v := range f.nodes {
			if g, ok := alone[v]; ok {
				w[b] *= g.w[b>>k&1]
			}
		}
	}
	return fact{nodes: f.nodes, w: w}
}

// off is P(v = 0 | parents).
func (en *enumeration) off(v int) dd {
	q := en.p[v].not()
	for i, l := range en.m.links[v] {
		if en.x[l.from] == 1 {
			q = q.mul(en.q[v][i])
		}
	}
	return q
}

func (en *enumeration) visit(k int, w dd) {
	if w.hi == 0 {
		return
	}
	if k == len(en.hidden) {
		en.leaf(w)
		return
	}
	v := en.hidden[k]
	q := en.off(v)
	for x, p := range [2]dd{q, q.not()} {
		if en.m.kind[v] == cause && x == 1 {
			p = en.p[v]
		}
		for _, f := range en.onHid[v] {
			p = p.mul(toDD(f.w[x]))
		}
		en.x[v] = x
		en.visit(k+1, w.mul(p))
	}
	en.x[v] = 0
}

func (en *enumeration) leaf(w dd) {
	parts := en.parts
	for i, f := range en.facts {
		parts[i] = part{}
		var qs [MaxJoint]dd
		for k, v := range f.nodes {
			qs[k] = en.off(v)
		}
		for b, g := range f.w {
			t := toDD(g)
			for k := range f.nodes {
				if b>>k&1 == 1 {
					t = t.mul(qs[k].not())
				} else {
					t = t.mul(qs[k])
				}
			}
			parts[i].total = parts[i].total.add(t)
			for k := range f.nodes {
				if b>>k&1 == 1 {
					parts[i].per[k] = parts[i].per[k].add(t)
				}
			}
		}
		w = w.mul(parts[i].total)
	}
	en.z = en.z.add(w)
	for _, v := range en.hidden {
		if en.x[v] == 1 {
			en.acc[v] = en.acc[v].add(w)
		}
	}
	if w.hi == 0 {
		return
	}
	for i, f := range en.facts {
		for k, v := range f.nodes {
			s := parts[i].per[k].over(parts[i].total)
			en.acc[v] = en.acc[v].add(w.mul(toDD(s)))
		}
	}
}

// shape bounds a random network.
type shape struct {
	causes, effects, findings int
	deep                      bool // effects point at effects
	extreme                   bool // zero leaks, links of one, priors to 1e-6
	private                   bool // half of the findings have a cause of their own as well, or nothing but that
	narrow                    bool // findings hang on one or two of the first four effects, so that factors arise
}

func (s shape) random(rng *rand.Rand) *model {
	m := new(model)
	tenTo := func(lo, hi float64) float64 { return math.Pow(10, lo+(hi-lo)*rng.Float64()) }
	link := func() float64 {
		if s.extreme && rng.IntN(5) == 0 {
			return 1
		}
		return 0.05 + 0.93*rng.Float64()
	}
	leak := func() float64 {
		if s.extreme && rng.IntN(5) < 2 {
			return 0
		}
		return tenTo(-3, -0.7)
	}
	pick := func(from []int, k int) []int {
		var r []int
		for _, i := range rng.Perm(len(from))[:min(k, len(from))] {
			r = append(r, from[i])
		}
		return r
	}
	var cs, es []int
	for range s.causes {
		p := tenTo(-3, -0.5)
		if s.extreme && rng.IntN(2) == 0 {
			p = tenTo(-6, -2)
		}
		cs = append(cs, m.add(cause, p, rng.IntN(4)))
	}
	for j := range s.effects {
		e := m.add(effect, 0.2*leak(), rng.IntN(4))
		for _, c := range pick(cs, 1+rng.IntN(4)) {
			m.link(c, e, link())
		}
		if s.deep && j > 0 && rng.IntN(5) < 3 {
			for _, u := range pick(es, 1+rng.IntN(2)) {
				m.link(u, e, link())
			}
		}
		es = append(es, e)
	}
	for range s.findings {
		own := -1
		if s.private && rng.IntN(2) == 0 {
			own = m.add(cause, 0.5*rng.Float64(), 0)
		}
		f := m.add(finding, leak(), rng.IntN(4))
		if own >= 0 {
			m.link(own, f, link())
			if rng.IntN(2) == 0 {
				continue
			}
		}
		if s.narrow {
			for _, e := range pick(es[:4], 1+rng.IntN(2)) {
				m.link(e, f, link())
			}
			continue
		}
		for _, e := range pick(es, 1+rng.IntN(3)) {
			m.link(e, f, link())
		}
		for _, c := range pick(cs, max(0, rng.IntN(4)-1)) {
			m.link(c, f, link())
		}
	}
	return m
}

func (m *model) nodes(k kind) []int {
	var r []int
	for v := range m.kind {
		if m.kind[v] == k {
			r = append(r, v)
		}
	}
	return r
}

// randomFacts draws evidence of every sort; count tells how often each was drawn.
func (m *model) randomFacts(rng *rand.Rand, count map[string]int) []fact {
	fs := m.nodes(finding)
	rng.Shuffle(len(fs), func(i, j int) { fs[i], fs[j] = fs[j], fs[i] })
	var facts []fact
	note := func(what string, f fact) {
		count[what]++
		facts = append(facts, f)
	}
	for len(fs) >= 3 && rng.IntN(3) > 0 {
		g := make([]float64, 8)
		for b := range g {
			if rng.IntN(5) > 0 || b == 1 || b == 2 || b == 4 {
				g[b] = rng.Float64()
			}
		}
		note("joint", fact{nodes: fs[:3], w: g})
		fs = fs[3:]
	}
	for _, f := range fs {
		a := rng.Float64()
		switch r := rng.Float64(); {
		case r < 0.35:
			note("seen", seen(f))
		case r < 0.6:
			note("not seen", notSeen(f))
		case r < 0.7:
			note("rather so", single(f, a*rng.Float64(), a))
		case r < 0.8:
			note("rather not", single(f, a, a*rng.Float64()))
		case r < 0.9:
			note("asked", ask(f))
		default:
			count["unknown"]++
		}
	}
	cs, es := m.nodes(cause), m.nodes(effect)
	if rng.IntN(2) == 0 {
		note("weighed cause", single(cs[rng.IntN(len(cs))], 1, 0.05+8*rng.Float64()))
	}
	for _, e := range es {
		switch rng.IntN(8) {
		case 0:
			note("asked effect", ask(e))
		case 1:
			note("weighed effect", single(e, rng.Float64(), rng.Float64()))
		}
	}
	if rng.IntN(8) == 0 {
		note("effect not seen", notSeen(es[rng.IntN(len(es))]))
	}
	return facts
}

// bigEnumerate is enumerate with 300-bit numbers, P(evidence) and causes only; slow and plain.
func (m *model) bigEnumerate(facts []fact) (*big.Float, []*big.Float) {
	bf := func(x float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(x) }
	one := bf(1)
	sub := func(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(300).Sub(a, b) }
	var hidden []int
	for v, k := range m.kind {
		if k != finding {
			hidden = append(hidden, v)
		}
	}
	z, acc := bf(0), make([]*big.Float, len(m.kind))
	for v := range acc {
		acc[v] = bf(0)
	}
	x := make([]int, len(m.kind))
	off := func(v int) *big.Float {
		q := sub(one, bf(m.p[v]))
		for _, l := range m.links[v] {
			if x[l.from] == 1 {
				q.Mul(q, sub(one, bf(l.l)))
			}
		}
		return q
	}
	for s := range 1 << len(hidden) {
		for i, v := range hidden {
			x[v] = s >> i & 1
		}
		w := bf(1)
		for _, v := range hidden {
			q := off(v)
			if x[v] == 1 {
				q = sub(one, q)
				if m.kind[v] == cause {
					q = bf(m.p[v])
				}
			}
			w.Mul(w, q)
		}
		for _, f := range facts {
			t := bf(0)
			for b, g := range f.w {
				u := bf(g)
				for k, v := range f.nodes {
					switch {
					case m.kind[v] != finding && x[v] != b>>k&1:
						u = bf(0)
					case m.kind[v] != finding:
					case b>>k&1 == 1:
						u.Mul(u, sub(one, off(v)))
					default:
						u.Mul(u, off(v))
					}
				}
				t.Add(t, u)
			}
			w.Mul(w, t)
		}
		z.Add(z, w)
		for _, v := range hidden {
			if x[v] == 1 {
				acc[v].Add(acc[v], w)
			}
		}
	}
	return z, acc
}

func TestReferenceAgainstBigFloat(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 6 {
		m := shape{causes: 5, effects: 3, findings: 6, deep: true, extreme: true}.random(rng)
		facts := m.randomFacts(rng, map[string]int{})
		z, post := m.enumerate(facts)
		bz, acc := m.bigEnumerate(facts)
		if z.hi == 0 || bz.Sign() == 0 {
			if z.hi != 0 || bz.Sign() != 0 {
				t.Fatalf("P(evidence): enumeration %v, big.Float %v", z, bz)
			}
			continue
		}
		d := new(big.Float).Sub(new(big.Float).SetPrec(300).Add(big.NewFloat(z.hi), big.NewFloat(z.lo)), bz)
		rel, _ := d.Quo(d, bz).Float64()
		if math.Abs(rel) > 1e-28 {
			t.Errorf("P(evidence): relative difference %g; want at most 1e-28", rel)
		}
		for v, k := range m.kind {
			if k == finding {
				continue
			}
			want, _ := new(big.Float).Quo(acc[v], bz).Float64()
			if math.Abs(post[v]-want) > 1e-16 {
				t.Errorf("posterior of %v %d: enumeration %v; big.Float %v", k, v, post[v], want)
			}
		}
	}
}
