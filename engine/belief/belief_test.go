package belief

import (
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

// tolerance is the project's promise for posteriors against enumeration.
const tolerance = 1e-12

// worst collects the largest differences seen, for the test log.
type worst struct{ cause, effect, finding, z float64 }

func (w *worst) add(k kind, d float64) {
	switch k {
	case cause:
		w.cause = max(w.cause, d)
	case effect:
		w.effect = max(w.effect, d)
	default:
		w.finding = max(w.finding, d)
	}
}

// compare checks a result against the enumeration. It reports false if the evidence is impossible on both sides.
func compare(t *testing.T, m *model, facts []fact, w *worst) (*Schedule, bool) {
	t.Helper()
	z, want := m.enumerate(facts)
	s, err := Plan(m.net(), evidence(facts), Options{})
	if err != nil {
		t.Fatalf("Plan: %v", err)
	}
	got, err := s.Posterior()
	var imp *Impossible
	if errors.As(err, &imp) {
		if z.hi != 0 {
			t.Fatalf("Posterior: %v; enumeration finds P(evidence) = %g", err, z.hi)
		}
		return s, false
	}
	if err != nil {
		t.Fatalf("Posterior: %v", err)
	}
	if z.hi == 0 {
		t.Fatalf("Posterior found P(evidence) = %g; enumeration finds 0", got.Z)
	}
	rel := math.Abs(dd{math.Ldexp(got.Z, got.Exp), 0}.over(z) - 1)
	w.z = max(w.z, rel)
	if rel > tolerance {
		t.Errorf("P(evidence) = %g; want %g, relative difference %g", math.Ldexp(got.Z, got.Exp), z.hi, rel)
	}
	for v, k := range m.kind {
		if math.IsNaN(got.P[v]) && (k == cause || len(factsOn(facts, v)) > 0) {
			t.Errorf("P[%v %d] = NaN; want %v", k, v, want[v])
		}
		if math.IsNaN(got.P[v]) || math.IsNaN(want[v]) {
			continue
		}
		d := math.Abs(got.P[v] - want[v])
		w.add(k, d)
		if d > tolerance {
			t.Errorf("P[%v %d] = %v; want %v, difference %g", k, v, got.P[v], want[v], d)
		}
	}
	return s, true
}

func factsOn(facts []fact, v int) []fact {
	var r []fact
	for _, f := range facts {
		for _, x := range f.nodes {
			if x == v {
				r = append(r, f)
			}
		}
	}
	return r
}

// Source: full enumeration over causes and effects (reference_test.go).
func TestPosteriorAgainstEnumeration(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	count, widths, steps := map[string]int{}, [32]int{}, [6]int{}
	var w worst
	for i := range 60 {
		sh := shape{causes: 8 + rng.IntN(3), effects: 6 + rng.IntN(2), findings: 8 + rng.IntN(3),
			deep: i%2 == 1, extreme: i%4 == 3, narrow: i%3 == 2}
		m := sh.random(rng)
		s, ok := compare(t, m, m.randomFacts(rng, count), &w)
		if !ok {
			count["impossible"]++
			continue
		}
		widths[s.Width()]++
		for _, st := range s.program.steps {
			steps[st.op]++
		}
		if t.Failed() {
			t.Fatalf("network %d, shape %+v", i, sh)
		}
	}
	t.Logf("largest difference: causes %.1e, effects %.1e, findings %.1e; P(evidence), relative: %.1e", w.cause, w.effect, w.finding, w.z)
	t.Logf("evidence %v; widths %v; open, link, root, act, group and factor steps %v", count, widths, steps)
	for op, n := range steps {
		if n == 0 {
			t.Errorf("no step of sort %d in any network; the test does not reach it", op)
		}
	}
}

func posterior(t *testing.T, n *Net, e *Evidence) (*Schedule, *Result) {
	t.Helper()
	s, err := Plan(n, e, Options{})
	if err != nil {
		t.Fatalf("Plan: %v", err)
	}
	r, err := s.Posterior()
	if err != nil {
		t.Fatalf("Posterior: %v", err)
	}
	return s, r
}

// A two-layer network needs no bit for a negative finding; below an effect that may be produced by several causes it couples them.
func TestOnlyNegativesBelowEffects(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	var w worst
	coupled := 0
	for i := range 10 {
		m := shape{causes: 8, effects: 6, findings: 10, deep: i%2 == 1}.random(rng)
		var facts []fact
		for _, f := range m.nodes(finding) {
			facts = append(facts, notSeen(f))
		}
		s, _ := compare(t, m, facts, &w)
		if s.Width() > 0 {
			coupled++
		}
	}
	if coupled == 0 {
		t.Error("no network needed a table; want coupling through the effects")
	}

	flat := new(model)
	c1, c2 := flat.add(cause, 0.1, 0), flat.add(cause, 0.2, 0)
	f := flat.add(finding, 0.1, 0)
	flat.link(c1, f, 0.5)
	flat.link(c2, f, 0.5)
	if s, _ := compare(t, flat, []fact{notSeen(f)}, &w); s.Width() != 0 || s.Cost() != 0 {
		t.Errorf("negative finding on causes: width %d, cost %v; want 0, 0", s.Width(), s.Cost())
	}
}

// Joint weights over findings that partly hang on nothing but causes of their own, which are summed out before any table is made.
func TestGroupsWithPrivateCauses(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	var w worst
	constants, inTables := 0, 0
	for i := range 40 {
		m := shape{causes: 4, effects: 4, findings: 6, private: true, narrow: i%2 == 1, extreme: i%4 == 3}.random(rng)
		fs, es := m.nodes(finding), m.nodes(effect)
		for _, f := range fs[3:5] {
			if i%4 == 0 { // private causes come after the last effect
				m.links[f] = slices.DeleteFunc(m.links[f], func(l mlink) bool { return l.from <= es[3] })
			}
		}
		var facts []fact
		for _, nodes := range [][]int{fs[:3], fs[3:5]} {
			g := make([]float64, 1<<len(nodes))
			for b := range g {
				if b&(i%5) == 0 { // in some networks one or two members, or all, must be absent
					g[b] = rng.Float64()
				}
			}
			facts = append(facts, fact{nodes: nodes, w: g})
		}
		facts = append(facts, single(fs[5], rng.Float64(), rng.Float64()), single(fs[0], rng.Float64(), rng.Float64()))
		s, _ := compare(t, m, facts, &w)
		for _, r := range s.core.g.log {
			if r.rule == ruleGroup && r.to < 0 {
				constants++
			}
		}
		for _, g := range s.core.groups {
			if len(g.open) < len(s.core.g.groups[g.of].members) {
				inTables++
			}
		}
	}
	if constants == 0 || inTables == 0 {
		t.Errorf("%d groups without parents, %d closed in tables in part; want some of each", constants, inTables)
	}
	t.Logf("largest difference: causes %.1e, effects %.1e, findings %.1e", w.cause, w.effect, w.finding)
}

// Likelihood evidence both ways on findings with several parents, which cannot be folded away.
func TestLikelihoodBothWays(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2))
	var w worst
	for range 10 {
		m := shape{causes: 8, effects: 6, findings: 8, deep: true}.random(rng)
		var facts []fact
		for i, f := range m.nodes(finding) {
			a, b := rng.Float64(), 0.01*rng.Float64()
			if i%2 == 0 {
				a, b = b, a
			}
			facts = append(facts, single(f, a, b))
		}
		compare(t, m, facts, &w)
	}
	t.Logf("largest difference: causes %.1e, effects %.1e, findings %.1e", w.cause, w.effect, w.finding)
}

// Seen word w of a choice: w true, the words before it false, those after it unknown; the normal word: all false.
func TestWordsOfAChoiceSumToOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 10 {
		m := shape{causes: 8, effects: 6, findings: 8, deep: true}.random(rng)
		fs := m.nodes(finding)
		given := []fact{seen(fs[6]), notSeen(fs[7])}
		_, base := posterior(t, m.net(), evidence(given))
		sum := 0.0
		for w := range 5 {
			facts := given
			for i, f := range fs[:4] {
				if i < w {
					facts = append(facts, notSeen(f))
				} else if i == w {
					facts = append(facts, seen(f))
				}
			}
			_, r := posterior(t, m.net(), evidence(facts))
			sum += math.Ldexp(r.Z/base.Z, r.Exp-base.Exp)
		}
		if math.Abs(sum-1) > sameness {
			t.Errorf("probabilities of the five words sum to %v; want 1", sum)
		}
	}
}

// "Somewhere" as a pooled finding is the joint weight "at least one" over the members.
func TestPoolIsJointWeight(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	atLeastOne := make([]float64, 16)
	for b := 1; b < 16; b++ {
		atLeastOne[b] = 1
	}
	for i := range 10 {
		m := shape{causes: 8, effects: 6, findings: 8, deep: true, extreme: i%2 == 1}.random(rng)
		fs := m.nodes(finding)
		rest := []fact{seen(fs[6]), notSeen(fs[7])}
		e := evidence(rest)
		var members []Node
		for _, f := range fs[:4] {
			members = append(members, Node(f))
		}
		n := m.net()
		pool := n.Pool(members)
		e.Seen(pool)
		_, got := posterior(t, n, e)

		joint := append(rest, fact{nodes: fs[:4], w: atLeastOne})
		_, want := posterior(t, m.net(), evidence(joint))
		for _, v := range append(m.nodes(cause), m.nodes(effect)...) {
			if math.Abs(got.P[v]-want.P[v]) > sameness {
				t.Errorf("network %d, node %d: pooled %v; want %v", i, v, got.P[v], want.P[v])
			}
		}
		if d := math.Ldexp(got.Z/want.Z, got.Exp-want.Exp) - 1; math.Abs(d) > sameness {
			t.Errorf("network %d: P(evidence) pooled differs by %g; want at most %g", i, d, sameness)
		}
	}
}

// NotSeen on a pool keeps its digits although its links are nearly one: 1-(1-l)^6 is not formed and taken from one again.
func TestPoolKeepsSmallChances(t *testing.T) {
	n := NewNet()
	c := n.Cause(0.5, 0)
	var fs []Node
	for range 6 {
		f := n.Finding(0, 0)
		n.Link(c, f, 0.999)
		fs = append(fs, f)
	}
	e := new(Evidence)
	e.NotSeen(n.Pool(fs))
	_, r := posterior(t, n, e)
	q := math.Pow(1-0.999, 6)
	if want := q / (1 + q); math.Abs(r.P[c]/want-1) > 1e-12 {
		t.Errorf("P[cause] = %g; want %g within 1e-12 of itself", r.P[c], want)
	}
}

// Priors of 1e-70, several present at once: tables are rescaled by powers of two. Source: enumeration with 300-bit numbers.
func TestTinyPriors(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	largest, smallest := 0.0, 0
	for i := range 12 {
		m := new(model)
		var facts []fact
		for range 7 {
			m.add(cause, 1e-70*(1+rng.Float64()), 0)
		}
		for c := range 7 { // a ring: every cause explains two of seven, so four are present at least
			u := c
			if i%2 == 1 {
				u = m.add(effect, 0, 0)
				m.link(c, u, 1-0.5*rng.Float64())
			}
			f := m.add(finding, 0, 0)
			m.link(u, f, rng.Float64())
			m.link((c+1)%7, f, rng.Float64())
			facts = append(facts, seen(f))
		}
		z, acc := m.bigEnumerate(facts)
		_, r := posterior(t, m.net(), evidence(facts))
		smallest = min(smallest, r.Exp)
		got := new(big.Float).SetMantExp(big.NewFloat(r.Z), r.Exp)
		if d, _ := new(big.Float).Quo(new(big.Float).Sub(got, z), z).Float64(); math.Abs(d) > tolerance {
			t.Errorf("network %d: P(evidence) off by %g relatively; want at most %g", i, d, tolerance)
		}
		for v, k := range m.kind {
			if k == finding {
				continue
			}
			want, _ := new(big.Float).Quo(acc[v], z).Float64()
			d := math.Abs(r.P[v] - want)
			largest = max(largest, d)
			if d > tolerance || want > 0 && math.Abs(r.P[v]/want-1) > tolerance {
				t.Errorf("network %d, %v %d: %g; want %g", i, k, v, r.P[v], want)
			}
		}
	}
	t.Logf("largest difference %.1e, smallest binary exponent of P(evidence) %d", largest, smallest)
	if smallest > -800 {
		t.Errorf("smallest exponent %d; want below -800, so that rescaling is tried", smallest)
	}
}

func TestEvidenceOrderIsIrrelevant(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 1))
	for i := range 20 {
		m := shape{causes: 9, effects: 7, findings: 10, deep: i%2 == 1, extreme: i%4 == 3}.random(rng)
		facts := m.randomFacts(rng, map[string]int{})
		s, err := Plan(m.net(), evidence(facts), Options{})
		if err != nil {
			t.Fatal(err)
		}
		want, err := s.Posterior()
		if err != nil {
			continue
		}
		rng.Shuffle(len(facts), func(i, j int) { facts[i], facts[j] = facts[j], facts[i] })
		for _, ls := range m.links {
			rng.Shuffle(len(ls), func(i, j int) { ls[i], ls[j] = ls[j], ls[i] })
		}
		_, got := posterior(t, m.net(), evidence(facts))
		for v := range want.P {
			if math.Abs(got.P[v]-want.P[v]) > sameness {
				t.Errorf("network %d, node %d: %v with evidence and links in another order; want %v", i, v, got.P[v], want.P[v])
			}
		}
	}
}

func TestClosedForms(t *testing.T) {
	n := NewNet()
	loose, weighed := n.Cause(0.125, 0), n.Cause(0.25, 0)
	c, e := n.Cause(0.5, 0), n.Effect(0, 0)
	n.Link(c, e, 1)
	lone := n.Finding(0.25, 0)
	f := n.Finding(0, 0)
	n.Link(e, f, 0.5)
	unseen := n.Finding(0.1, 0)
	n.Link(c, unseen, 0.5)
	ev := new(Evidence)
	ev.Weigh(weighed, 1, 3)
	ev.Seen(lone)
	ev.NotSeen(f)
	s, r := posterior(t, n, ev)
	if s.Width() != 0 || s.Cost() != 0 {
		t.Errorf("width %d, cost %v; want 0, 0: nothing is coupled", s.Width(), s.Cost())
	}
	for _, tt := range []struct {
		name string
		v    Node
		want float64
	}{
		{"a cause without evidence keeps its prior", loose, 0.125},
		{"a weighed cause: odds times three", weighed, 0.5},
		{"cause of an effect not shown: 0.25 to 0.5", c, 1.0 / 3},
		{"the effect, produced exactly by the cause", e, 1.0 / 3},
		{"a finding seen", lone, 1},
		{"a finding not seen", f, 0},
		{"a finding nobody asked for", unseen, math.NaN()},
	} {
		if got := r.P[tt.v]; got != tt.want && !(math.IsNaN(got) && math.IsNaN(tt.want)) && math.Abs(got-tt.want) > 1e-16 {
			t.Errorf("%s: P = %v; want %v", tt.name, got, tt.want)
		}
	}
	if z := math.Ldexp(r.Z, r.Exp); math.Abs(z-1.5*0.25*0.75) > 1e-16 {
		t.Errorf("P(evidence) = %v; want %v", z, 1.5*0.25*0.75)
	}
}

// Asking changes nothing but what is reported.
func TestAskIsNoEvidence(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	var w worst
	for i := range 10 {
		m := shape{causes: 8, effects: 6, findings: 8, deep: i%2 == 1}.random(rng)
		fs := m.nodes(finding)
		facts := []fact{seen(fs[0]), notSeen(fs[1])}
		_, before := posterior(t, m.net(), evidence(facts))
		for _, v := range append(m.nodes(effect), fs...) {
			facts = append(facts, ask(v))
		}
		_, after := posterior(t, m.net(), evidence(facts))
		for _, c := range m.nodes(cause) {
			if math.Abs(before.P[c]-after.P[c]) > sameness {
				t.Errorf("network %d, cause %d: %v after asking; want %v", i, c, after.P[c], before.P[c])
			}
		}
		for v, p := range after.P {
			if math.IsNaN(p) {
				t.Errorf("network %d: P[%d] = NaN after asking for everything", i, v)
			}
		}
		compare(t, m, facts, &w)
	}
}
