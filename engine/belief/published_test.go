package belief

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
)

// publishedNet is a general discrete network of testdata/published_networks.json; each names its source. Every node has two states but
// FM of the car start problem, a leaf with three.
type publishedNet struct {
	Name, Source string
	Nodes        map[string]struct {
		States, Parents []string
		CPT             map[string][]float64
	}
	Published []map[string]json.RawMessage
	Computed  []struct {
		Evidence  map[string]string
		PEvidence float64 `json:"p_evidence"`
		Posterior map[string]map[string]float64
	}
}

func publishedNets(t *testing.T) map[string]*publishedNet {
	t.Helper()
	var file struct{ Networks []*publishedNet }
	readJSON(t, "published_networks.json", &file)
	nets := map[string]*publishedNet{}
	for _, p := range file.Networks {
		nets[p.Name] = p
	}
	if len(nets) != 4 {
		t.Fatalf("%d published networks; want 4", len(nets))
	}
	return nets
}

func (p *publishedNet) names() []string { return slices.Sorted(maps.Keys(p.Nodes)) }

// p is P(name = state | the parents' states given).
func (p *publishedNet) p(name, state string, given ...string) float64 {
	nd := p.Nodes[name]
	return nd.CPT[strings.Join(given, "|")][slices.Index(nd.States, state)]
}

// encoding is a published network as causes, effects and findings: node[v] is present where v has state[v]. Leaves that are not in node
// enter as likelihoods of their only parent.
type encoding struct {
	n     *Net
	node  map[string]Node
	state map[string]string
	base  func(e *Evidence)
}

// evidence lays down the states given, on top of what the encoding itself needs, and asks for everything else.
func (c *encoding) evidence(p *publishedNet, given map[string]string) *Evidence {
	e := new(Evidence)
	c.base(e)
	for _, name := range p.names() {
		v, ok := c.node[name]
		state, told := given[name]
		switch {
		case !told && ok:
			e.Ask(v)
		case !told:
		case ok && state == c.state[name]:
			e.Seen(v)
		case ok:
			e.NotSeen(v)
		default:
			u := p.Nodes[name].Parents[0]
			e.Likelihood(c.node[u], p.p(name, state, other(p, u, c.state[u])), p.p(name, state, c.state[u]))
		}
	}
	return e
}

func other(p *publishedNet, name, state string) string {
	states := p.Nodes[name].States
	return states[1-slices.Index(states, state)]
}

// check compares with all computed and published figures.
func (c *encoding) check(t *testing.T, p *publishedNet) {
	t.Helper()
	figures := 0
	for _, want := range p.Computed {
		_, r := posterior(t, c.n, c.evidence(p, want.Evidence))
		if z := math.Ldexp(r.Z, r.Exp); math.Abs(z/want.PEvidence-1) > tolerance {
			t.Errorf("P(%v) = %v; want %v", want.Evidence, z, want.PEvidence)
		}
		for name, states := range want.Posterior {
			for state, q := range states {
				figures++
				if got := c.posterior(t, p, want.Evidence, name, state); math.Abs(got-q) > tolerance {
					t.Errorf("P(%s=%s | %v) = %v; want %v", name, state, want.Evidence, got, q)
				}
			}
		}
	}
	for _, pub := range p.Published {
		figures += c.checkPublished(t, p, pub)
	}
	if figures < 10 {
		t.Errorf("%d figures compared; want 10 or more", figures)
	}
}

// posterior is P(name = state | given). For a leaf that is not a node it is a ratio of two P(evidence).
func (c *encoding) posterior(t *testing.T, p *publishedNet, given map[string]string, name, state string) float64 {
	t.Helper()
	_, r := posterior(t, c.n, c.evidence(p, given))
	v, ok := c.node[name]
	if ok && state == c.state[name] {
		return r.P[v]
	}
	if ok {
		return 1 - r.P[v]
	}
	more := maps.Clone(given)
	more[name] = state
	_, s := posterior(t, c.n, c.evidence(p, more))
	return math.Ldexp(s.Z/r.Z, s.Exp-r.Exp)
}

// checkPublished compares with one list of published figures, within half a unit of the last digit given. A key such as "St.no" is one
// state, "FM" all of them.
func (c *encoding) checkPublished(t *testing.T, p *publishedNet, pub map[string]json.RawMessage) int {
	t.Helper()
	var given map[string]string
	var digits int
	if json.Unmarshal(pub["evidence"], &given) != nil || json.Unmarshal(pub["digits"], &digits) != nil {
		t.Fatalf("%s: published figures without evidence or digits", p.Name)
	}
	figures := 0
	compare := func(name, state string, want float64) {
		figures++
		if got := c.posterior(t, p, given, name, state); math.Abs(got-want) > 0.5000001*math.Pow10(-digits) {
			t.Errorf("P(%s=%s | %v) = %.12f; published %v (%s)", name, state, given, got, want, p.Source)
		}
	}
	for key, raw := range pub {
		name, state, one := strings.Cut(key, ".")
		if _, ok := p.Nodes[name]; !ok {
			continue
		}
		var want []float64
		if one {
			want = make([]float64, 1)
			if err := json.Unmarshal(raw, &want[0]); err != nil {
				t.Fatal(err)
			}
			compare(name, state, want[0])
			continue
		}
		if err := json.Unmarshal(raw, &want); err != nil {
			t.Fatal(err)
		}
		for i, s := range p.Nodes[name].States {
			compare(name, s, want[i])
		}
	}
	return figures
}

// asGroups encodes any network of two-state nodes: every node is a cause of prior 1/2, every table a joint weight on copies of its node
// and parents, a copy being a finding without leak on a certain link. The weights are twice the table, for the prior.
func asGroups(t *testing.T, p *publishedNet) *encoding {
	c := &encoding{n: NewNet(), node: map[string]Node{}, state: map[string]string{}}
	for _, name := range p.names() {
		if len(p.Nodes[name].States) == 2 {
			c.node[name], c.state[name] = c.n.Cause(0.5, 0), "yes"
		} else if len(p.Nodes[name].Parents) != 1 {
			t.Fatalf("%s: %s has more than two states and is not a leaf on one parent", p.Name, name)
		}
	}
	type table struct {
		copies  []Node
		weights []float64
	}
	var tables []table
	for _, name := range p.names() {
		if _, ok := c.node[name]; !ok {
			continue
		}
		parents := p.Nodes[name].Parents
		tab := table{weights: make([]float64, 2<<len(parents))}
		for _, v := range append([]string{name}, parents...) {
			f := c.n.Finding(0, 0)
			c.n.Link(c.node[v], f, 1)
			tab.copies = append(tab.copies, f)
		}
		yesNo := func(b int) string { return []string{"no", "yes"}[b&1] }
		for b := range tab.weights {
			given := []string{}
			for i := range parents {
				given = append(given, yesNo(b>>(i+1)))
			}
			tab.weights[b] = 2 * p.p(name, yesNo(b), given...)
		}
		tables = append(tables, tab)
	}
	c.base = func(e *Evidence) {
		for _, tab := range tables {
			e.Joint(tab.copies, tab.weights)
		}
	}
	return c
}

// Every published network, as nothing but causes and joint weights.
func TestPublishedNetworksAsGroups(t *testing.T) {
	nets := publishedNets(t)
	for _, name := range slices.Sorted(maps.Keys(nets)) {
		t.Run(name, func(t *testing.T) { asGroups(t, nets[name]).check(t, nets[name]) })
	}
}

// noisy builds an encoding by hand. strength solves (1-leak)(1-l) = P(absent | this parent alone).
type noisy struct {
	encoding
	p *publishedNet
}

func newNoisy(p *publishedNet) *noisy {
	return &noisy{encoding{n: NewNet(), node: map[string]Node{}, state: map[string]string{}, base: func(*Evidence) {}}, p}
}

func (c *noisy) cause(name, state string) Node {
	c.node[name], c.state[name] = c.n.Cause(c.p.p(name, state), 0), state
	return c.node[name]
}

// or adds a node that is a noisy-OR of its parents, all the table being checked: present means state.
func (c *noisy) or(t *testing.T, name, state string) Node {
	t.Helper()
	parents := c.p.Nodes[name].Parents
	given := func(x int) []string {
		var g []string
		for i, u := range parents {
			if x>>i&1 == 1 {
				g = append(g, c.state[u])
			} else {
				g = append(g, other(c.p, u, c.state[u]))
			}
		}
		return g
	}
	leak := c.p.p(name, state, given(0)...)
	v := c.n.Effect(leak, 0)
	c.node[name], c.state[name] = v, state
	stay := make([]float64, len(parents))
	for i, u := range parents {
		stay[i] = (1 - c.p.p(name, state, given(1<<i)...)) / (1 - leak)
		c.n.Link(c.node[u], v, 1-stay[i])
	}
	for x := range 1 << len(parents) {
		want := 1 - leak
		for i := range parents {
			if x>>i&1 == 1 {
				want *= stay[i]
			}
		}
		if got := 1 - c.p.p(name, state, given(x)...); math.Abs(got-want) > 1e-12 {
			t.Fatalf("%s: the table of %s is not a noisy-OR: P(absent | %v) = %v, noisy-OR gives %v", c.p.Name, name, given(x), got, want)
		}
	}
	return v
}

// copies adds findings that repeat nodes, for a joint weight.
func (c *noisy) copies(names ...string) []Node {
	var fs []Node
	for _, name := range names {
		f := c.n.Finding(0, 0)
		c.n.Link(c.node[name], f, 1)
		fs = append(fs, f)
	}
	return fs
}

// Car start: "does not start" is a noisy-OR of "no fuel" and "plugs dirty"; the fuel meter, of three states, is a likelihood.
func TestCarStart(t *testing.T) {
	p := publishedNets(t)["car_start_jensen"]
	c := newNoisy(p)
	c.cause("Fu", "no")
	c.cause("SP", "no")
	c.or(t, "St", "no")
	c.check(t, p)
}

// Asia: a noisy-OR throughout ("either" a plain OR) but for dyspnoea, whose table with both parents, 0.9, is not the 0.933 of a noisy-OR:
// it is a joint weight on copies.
func TestAsia(t *testing.T) {
	p := publishedNets(t)["asia_lauritzen_spiegelhalter"]
	c := newNoisy(p)
	c.cause("asia", "yes")
	c.cause("smoke", "yes")
	for _, name := range []string{"tub", "lung", "bronc", "either", "xray"} {
		c.or(t, name, "yes")
	}
	c.addTable("dysp", "bronc", "either")
	c.check(t, p)
}

// Burglary: the calls are noisy-ORs of the alarm, but the alarm is not one of burglary and earthquake: 0.95 for both where a noisy-OR
// of 0.001, 0.94 and 0.29 gives 0.957.
func TestBurglary(t *testing.T) {
	p := publishedNets(t)["burglary_alarm"]
	c := newNoisy(p)
	c.cause("B", "yes")
	c.cause("E", "yes")
	c.addTable("A", "B", "E")
	c.or(t, "J", "yes")
	c.or(t, "M", "yes")
	c.check(t, p)
}

// Sprinkler: "not cloudy" starts the sprinkler and keeps the rain away, so one of the two is not a noisy-OR of it; the wet grass is a
// noisy-OR of sprinkler and rain.
func TestSprinkler(t *testing.T) {
	p := publishedNets(t)["sprinkler_murphy"]
	c := newNoisy(p)
	c.cause("C", "no")
	c.or(t, "S", "yes")
	c.addTable("R", "C")
	c.or(t, "W", "yes")
	c.check(t, p)
}

// addTable adds a node of any table as a cause of prior 1/2 with a joint weight on copies of it and its parents.
func (c *noisy) addTable(name string, parents ...string) {
	c.node[name], c.state[name] = c.n.Cause(0.5, 0), "yes"
	fs := c.copies(append([]string{name}, parents...)...)
	w := make([]float64, 1<<len(fs))
	for b := range w {
		var given []string
		for i, u := range parents {
			if b>>(i+1)&1 == 1 {
				given = append(given, c.state[u])
			} else {
				given = append(given, other(c.p, u, c.state[u]))
			}
		}
		state := c.state[name]
		if b&1 == 0 {
			state = other(c.p, name, state)
		}
		w[b] = 2 * c.p.p(name, state, given...)
	}
	before := c.base
	c.base = func(e *Evidence) {
		before(e)
		e.Joint(fs, w)
	}
}
