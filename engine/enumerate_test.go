package engine_test

import (
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// enumeration computes posteriors over every state of every cause and effect, straight from the records and the sheet: its
// own instantiation, its own reading of the answers, no line of the engine.
type enumeration struct {
	t     *testing.T
	set   *rules.Set
	sheet *symptoms.Sheet
	nodes []enumNode
	index map[string]int // "id@place"
	// weigh returns the weight of the evidence in a state.
	weights []func(on []bool) float64
	z, lost float64
	on      []float64
	any     map[string]float64 // by cause id
	// visit, when set, is given every state with its weight.
	visit func(on []bool, p float64)
}

type enumNode struct {
	name    string
	id      string
	isCause bool
	prior   float64
	leak    float64
	parents []enumLink
}

type enumLink struct {
	node   int
	chance float64
}

// places at a level as names; the machine is "".
func (e *enumeration) places(l symptoms.Level) []string {
	if l == symptoms.WholeMachine {
		return []string{""}
	}
	if l == symptoms.Carburetor {
		return e.sheet.Machine.Carburetors
	}
	return e.sheet.Machine.Cylinders
}

// related reports whether two places belong to one another.
func (e *enumeration) related(l1 symptoms.Level, p1 string, l2 symptoms.Level, p2 string) bool {
	if l1 == symptoms.WholeMachine || l2 == symptoms.WholeMachine {
		return true
	}
	if l1 == l2 {
		return p1 == p2
	}
	if l1 == symptoms.Cylinder {
		p1, p2 = p2, p1
	}
	for i, cylinder := range e.sheet.Machine.Cylinders {
		if cylinder == p2 {
			return e.sheet.Machine.Carburetors[e.sheet.Machine.Feeds[i]] == p1
		}
	}
	return false
}

func enumerate(t *testing.T, set *rules.Set, sheet *symptoms.Sheet) *enumeration {
	e := &enumeration{t: t, set: set, sheet: sheet, index: map[string]int{}, any: map[string]float64{}}
	for _, c := range set.Causes {
		if c.Exists != nil && sheet.Machine.CarburetorKind != "" && sheet.Machine.CarburetorKind != "slide" {
			continue // the only condition of the small pack
		}
		share := 1.0
		if c.Exists != nil && sheet.Machine.CarburetorKind == "" {
			share = 0.5 // half of the machines are taken to be built so
		}
		odds := c.Prior.Base / (1 - c.Prior.Base)
		for _, f := range c.Prior.Odds {
			for _, h := range sheet.History {
				if h == f.History {
					odds *= f.Factor
				}
			}
		}
		for _, p := range e.places(c.About) {
			e.add(enumNode{name: c.ID + "@" + p, id: c.ID, isCause: true, prior: min(odds/(1+odds), .5) * share})
		}
	}
	for _, f := range set.Effects { // the small pack lists them in causal order
		for _, p := range e.places(f.About) {
			n := enumNode{name: f.ID + "@" + p, id: f.ID, leak: f.Otherwise}
			for _, c := range set.Causes {
				n.parents = append(n.parents, e.links(c.Makes, c.ID, c.About, f, p)...)
			}
			for _, g := range set.Effects {
				n.parents = append(n.parents, e.links(g.Makes, g.ID, g.About, f, p)...)
			}
			e.add(n)
		}
	}
	e.readSheet()
	e.sum()
	return e
}

func (e *enumeration) add(n enumNode) {
	e.index[n.name] = len(e.nodes)
	e.nodes = append(e.nodes, n)
}

func (e *enumeration) links(makes []rules.Link, id string, about symptoms.Level, to *rules.Effect, place string) []enumLink {
	var out []enumLink
	for _, l := range makes {
		if l.To != to.ID {
			continue
		}
		for _, p := range e.places(about) {
			if i, ok := e.index[id+"@"+p]; ok && e.related(about, p, to.About, place) {
				out = append(out, enumLink{i, l.Chance})
			}
		}
	}
	return out
}

// falseWith returns P(finding false | state) of a rule at a place.
func (e *enumeration) falseWith(r *rules.Rule, place string) func(on []bool) float64 {
	var parents []enumLink
	for _, l := range r.SeenWith {
		about := symptoms.WholeMachine
		if c, ok := e.set.Cause(l.To); ok {
			about = c.About
		} else if f, ok := e.set.Effect(l.To); ok {
			about = f.About
		}
		for _, p := range e.places(about) {
			if i, ok := e.index[l.To+"@"+p]; ok && e.related(about, p, r.About, place) {
				parents = append(parents, enumLink{i, l.Chance})
			}
		}
	}
	return func(on []bool) float64 {
		q := 1 - r.Otherwise
		for _, l := range parents {
			if on[l.node] {
				q *= 1 - l.chance
			}
		}
		return q
	}
}

func (e *enumeration) rule(id string) *rules.Rule {
	r, ok := e.set.Rule(id)
	if !ok {
		e.t.Fatalf("the small pack has no rule %q", id)
	}
	return r
}

// readSheet turns readings into weights, observation by observation of the small vocabulary, by hand.
func (e *enumeration) readSheet() {
	tapOpen := false
	for _, r := range e.sheet.Readings {
		if r.Observation.ID == "tap_open" && r.Value.Yes {
			tapOpen = true
		}
	}
	for _, r := range e.sheet.Readings {
		switch r.Observation.ID {
		case "smell":
			e.yesNo(e.falseWith(e.rule("smells"), ""), r.Value.Yes)
		case "bad_run":
			e.yesNo(e.falseWith(e.rule("reported-bad"), ""), r.Value.Yes)
		case "wet":
			if tapOpen {
				e.words(r, "pours", "bowl-pours", "drips", "bowl-drips", "dry", symptoms.Carburetor)
			}
		case "plug":
			e.words(r, "black", "plug-black", "white", "plug-white", "tan", symptoms.Cylinder)
		case "level":
			e.level(r)
		}
	}
}

func (e *enumeration) yesNo(q func([]bool) float64, yes bool) {
	e.weights = append(e.weights, func(on []bool) float64 {
		if yes {
			return 1 - q(on)
		}
		return q(on)
	})
}

// words weighs a choice of two abnormal words and a normal one: a word hides those after it.
func (e *enumeration) words(r symptoms.Reading, w1, rule1, w2, rule2, normal string, about symptoms.Level) {
	one := func(place string) func(on []bool) float64 {
		q1, q2 := e.falseWith(e.rule(rule1), place), e.falseWith(e.rule(rule2), place)
		return func(on []bool) float64 {
			switch r.Value.Words[0] {
			case w1:
				return 1 - q1(on)
			case w2:
				return q1(on) * (1 - q2(on))
			}
			return q1(on) * q2(on)
		}
	}
	if r.Scope != symptoms.Somewhere {
		e.weights = append(e.weights, one(r.Place))
		return
	}
	rule := e.rule(rule1)
	if r.Value.Words[0] == w2 {
		rule = e.rule(rule2)
	}
	e.weights = append(e.weights, func(on []bool) float64 {
		none := 1.0
		for _, p := range e.places(about) {
			none *= e.falseWith(rule, p)(on)
		}
		return 1 - none
	})
}

// level weighs a measured level: a mixture over the words it may stand for.
func (e *enumeration) level(r symptoms.Reading) {
	var spec float64
	for _, f := range e.sheet.Machine.Facts {
		if f.Observation.ID == "spec.level" {
			spec = f.Value.Lo
		}
	}
	w := r.Observation.BandWeights(r.Value, spec) // low, right, high
	low, high := e.falseWith(e.rule("level-low"), r.Place), e.falseWith(e.rule("level-high"), r.Place)
	e.weights = append(e.weights, func(on []bool) float64 {
		pLow := 1 - low(on)
		return pLow*w[0] + (1-pLow)*((1-high(on))*w[2]+high(on)*w[1])
	})
}

func (e *enumeration) sum() {
	e.on = make([]float64, len(e.nodes))
	state := make([]bool, len(e.nodes))
	var walk func(i int, p float64)
	walk = func(i int, p float64) {
		if i == len(e.nodes) {
			for _, w := range e.weights {
				p *= w(state)
			}
			e.count(state, p)
			return
		}
		n := &e.nodes[i]
		absent := 1 - n.prior
		if !n.isCause {
			absent = 1 - n.leak
			for _, l := range n.parents {
				if state[l.node] {
					absent *= 1 - l.chance
				}
			}
		}
		state[i] = false
		walk(i+1, p*absent)
		state[i] = true
		walk(i+1, p*(1-absent))
		state[i] = false
	}
	walk(0, 1)
}

func (e *enumeration) count(state []bool, p float64) {
	if e.visit != nil {
		e.visit(state, p)
	}
	// Kahan's compensated sum: half a million terms in plain float64 lose three digits.
	y := p - e.lost
	sum := e.z + y
	e.lost = (sum - e.z) - y
	e.z = sum
	counted := map[string]bool{}
	for i, on := range state {
		if !on {
			continue
		}
		e.on[i] += p
		if n := &e.nodes[i]; n.isCause && !counted[n.id] {
			counted[n.id] = true
			e.any[n.id] += p
		}
	}
}

func (e *enumeration) posterior(id, place string) float64 { return e.on[e.index[id+"@"+place]] / e.z }
func (e *enumeration) anywhere(id string) float64         { return e.any[id] / e.z }
