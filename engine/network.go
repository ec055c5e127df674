package engine

import (
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// network is the knowledge instantiated for the machine of one sheet, as a layered noisy-OR network.
type network struct {
	*layout
	know  *knowledge
	sheet *symptoms.Sheet
	cases []*condition.Case // by place
	// readings are those of the sheet, and after them those that were computed from others.
	readings []symptoms.Reading
	net      *belief.Net

	causes []*causeAt
	// causeOf and effectOf give the instance by record number and place; nil where there is none.
	causeOf  [][]*causeAt
	effectOf [][]*effectAt
	effects  []*effectAt
	// findings lists, by observation and place, the findings that read the observation there and apply.
	findings map[observedAt][]*findingAt
	// compound are the findings whose condition reads more than one observation.
	compound []*findingAt
	// waiting are rules whose circumstance is not known.
	waiting []*findingAt
}

type causeAt struct {
	number int // in knowledge
	index  int // in network.causes
	cause  *rules.Cause
	place  int
	node   belief.Node
	prior  float64
}

type effectAt struct {
	number int
	effect *rules.Effect
	place  int
	node   belief.Node
	// parents are what makes it.
	parents []parent
}

type observedAt struct {
	observation *symptoms.Observation
	place       int
}

// findingAt is a rule at a place.
type findingAt struct {
	rule  *rules.Rule
	place int
	node  belief.Node
	// parents are what makes it.
	parents []parent
}

// parent is one end of a link into a finding: a cause or an effect at a place.
type parent struct {
	cause  *causeAt
	effect *effectAt
	chance float64
	link   *rules.Link
}

func (p parent) node() belief.Node {
	if p.cause != nil {
		return p.cause.node
	}
	return p.effect.node
}

// networkOf instantiates a set for one sheet.
func networkOf(set *rules.Set, sheet *symptoms.Sheet) (*network, error) {
	know, err := newKnowledge(set)
	if err != nil {
		return nil, err
	}
	return newNetwork(know, sheet)
}

// newNetwork instantiates the knowledge for the sheet's machine. Findings nobody looked for are part of it: they cost
// nothing without evidence.
func newNetwork(know *knowledge, sheet *symptoms.Sheet) (*network, error) {
	n := &network{layout: layoutOf(&sheet.Machine), know: know, sheet: sheet, net: belief.NewNet(),
		findings: map[observedAt][]*findingAt{}}
	n.readings = slices.Clone(sheet.Readings)
	n.cases = rawCases(n)
	n.compute()
	n.cases = casesOf(n)
	n.addCauses()
	n.addEffects()
	for _, r := range know.set.Rules {
		for _, p := range n.at[r.About] {
			n.addFinding(r, p)
		}
	}
	return n, n.net.Err()
}

func (n *network) addCauses() {
	n.causeOf = make([][]*causeAt, len(n.know.set.Causes))
	for i, c := range n.know.set.Causes {
		n.causeOf[i] = make([]*causeAt, len(n.places))
		built := condition.True
		if c.Exists != nil {
			built = c.Exists.Eval(n.cases[machinePlace])
		}
		prior := c.Prior.With(n.sheet.History)
		switch built {
		case condition.False:
			continue
		case condition.Unknown:
			prior *= rules.BuiltSoUntold
		}
		for _, p := range n.at[c.About] {
			at := &causeAt{number: i, index: len(n.causes), cause: c, place: p, prior: prior}
			at.node = n.net.Cause(prior, n.block(p))
			n.causes = append(n.causes, at)
			n.causeOf[i][p] = at
		}
	}
}

func (n *network) addEffects() {
	set := n.know.set
	n.effectOf = make([][]*effectAt, len(set.Effects))
	for _, i := range n.know.effectOrder {
		e := set.Effects[i]
		n.effectOf[i] = make([]*effectAt, len(n.places))
		for _, p := range n.at[e.About] {
			block := n.block(p)
			if n.know.sumsUp[i] {
				block = n.summaryBlock()
			}
			at := &effectAt{number: i, effect: e, place: p, node: n.net.Effect(e.Otherwise, block)}
			n.effectOf[i][p] = at
			n.effects = append(n.effects, at)
			for _, from := range n.know.madeBy[i] {
				n.linkInto(at, from)
			}
		}
	}
}

// linkInto draws one link of the knowledge into an effect at a place, from every place that belongs to it.
func (n *network) linkInto(to *effectAt, from madeBy) {
	about := n.know.set.Effects
	if from.isCause {
		c := n.know.set.Causes[from.number]
		for _, p := range n.reach(to.place, c.About) {
			if at := n.causeOf[from.number][p]; at != nil {
				n.make(to, parent{cause: at, chance: from.link.Chance, link: from.link})
			}
		}
		return
	}
	for _, p := range n.reach(to.place, about[from.number].About) {
		n.make(to, parent{effect: n.effectOf[from.number][p], chance: from.link.Chance, link: from.link})
	}
}

func (n *network) make(to *effectAt, by parent) {
	to.parents = append(to.parents, by)
	n.net.Link(by.node(), to.node, by.chance)
}

// addFinding puts a rule at a place into the network if its circumstance holds there.
func (n *network) addFinding(r *rules.Rule, place int) {
	f := &findingAt{rule: r, place: place, parents: n.parentsOf(r, place), node: noNode}
	applies := condition.True
	if r.Given != nil {
		applies = r.Given.Eval(n.cases[place])
	}
	switch {
	case applies == condition.False || len(f.parents) == 0:
		return
	case applies == condition.Unknown:
		n.waiting = append(n.waiting, f)
		return
	}
	block := n.block(place)
	for _, p := range f.parents {
		if p.effect != nil && n.know.sumsUp[p.effect.number] {
			block = n.summaryBlock()
		}
	}
	f.node = n.net.Finding(r.Otherwise, block)
	for _, p := range f.parents {
		n.net.Link(p.node(), f.node, p.chance)
	}
	if !r.Simple {
		n.compound = append(n.compound, f)
		return
	}
	key := observedAt{n.know.reads[r], place}
	n.findings[key] = append(n.findings[key], f)
}

// noNode marks a finding that is not part of the network.
const noNode belief.Node = -1

func (n *network) parentsOf(r *rules.Rule, place int) []parent {
	var out []parent
	for i := range r.SeenWith {
		link := &r.SeenWith[i]
		if c, ok := n.know.causeNumber[link.To]; ok {
			for _, p := range n.reach(place, n.know.set.Causes[c].About) {
				if at := n.causeOf[c][p]; at != nil {
					out = append(out, parent{cause: at, chance: link.Chance, link: link})
				}
			}
			continue
		}
		e := n.know.effectNumber[link.To]
		for _, p := range n.reach(place, n.know.set.Effects[e].About) {
			out = append(out, parent{effect: n.effectOf[e][p], chance: link.Chance, link: link})
		}
	}
	return out
}
