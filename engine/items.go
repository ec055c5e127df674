package engine

import (
	"math"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// item is one piece of evidence with the entries it has in the belief evidence.
type item struct {
	Evidence
	entries  []int
	findings []*findingAt
	states   []State
	// parents are what a repair that was tried would have cured.
	parents []parent
	value   symptoms.Value
}

// abnormal reports whether the item shows something wrong: a finding seen, or a repair that helped.
func (it *item) abnormal() bool {
	for _, s := range it.states {
		if s == Seen {
			return true
		}
	}
	return it.Kind == TriedOut && it.After != "no-change" && it.After != "worse"
}

// gathered is the sheet as evidence.
type gathered struct {
	ev    *belief.Evidence
	items []*item
	heard []Heard
	told  answers
}

// without returns the evidence less one item.
func (g *gathered) without(it *item) *belief.Evidence { return g.ev.Without(it.entries...) }

// only returns the evidence of one item alone.
func (g *gathered) only(it *item) *belief.Evidence {
	var drop []int
	for _, other := range g.items {
		if other != it {
			drop = append(drop, other.entries...)
		}
	}
	return g.ev.Without(drop...)
}

// gather enters everything the sheet says: readings at a place, readings somewhere, findings that read several
// observations, and repairs that were tried.
func (n *network) gather() *gathered {
	g := &gathered{ev: new(belief.Evidence)}
	g.told = answers{}
	for i := range n.readings {
		r := &n.readings[i]
		if p, ok := n.placeOf(r); ok {
			g.told[observedAt{r.Observation, p}] = r.Value
		}
	}
	for i := range n.readings {
		n.gatherReading(g, &n.readings[i])
	}
	n.gatherCompound(g)
	n.gatherTried(g)
	return g
}

func (n *network) gatherReading(g *gathered, r *symptoms.Reading) {
	from := g.ev.Len()
	it := &item{Evidence: Evidence{Observation: r.Observation, Answer: r.Value.Text, Pos: r.Pos}}
	var h heard
	if p, ok := n.placeOf(r); ok {
		it.Place = n.places[p]
		h = n.hear(g.ev, observedAt{r.Observation, p}, r.Value)
	} else {
		it.Somewhere = true
		h = n.hearSomewhere(g.ev, r.Observation, r.Value, g.told)
	}
	out := Heard{Reading: *r, Why: h.why, States: h.states}
	for i, f := range h.findings {
		out.Rules = append(out.Rules, f.rule)
		out.Used = out.Used || h.states[i] != NotAsked
	}
	if !out.Used && out.Why == "" {
		out.Why = "nothing in the knowledge reads this answer"
	}
	g.heard = append(g.heard, out)
	it.findings, it.states, it.Rules, it.value = h.findings, h.states, out.Rules, r.Value
	g.add(it, from)
}

// add keeps an item that put something into the evidence since entry from.
func (g *gathered) add(it *item, from int) {
	for e := from; e < g.ev.Len(); e++ {
		it.entries = append(it.entries, e)
	}
	if len(it.entries) > 0 {
		g.items = append(g.items, it)
	}
}

func (n *network) gatherCompound(g *gathered) {
	for _, f := range n.compound {
		from := g.ev.Len()
		state := NotAsked
		switch f.rule.When.Eval(n.cases[f.place]) {
		case condition.True:
			state = Seen
			g.ev.Seen(f.node)
		case condition.False:
			state = NotSeen
			g.ev.NotSeen(f.node)
		}
		it := &item{Evidence: Evidence{Place: n.places[f.place], Rules: []*rules.Rule{f.rule}, Answer: f.rule.When.String()},
			findings: []*findingAt{f}, states: []State{state}}
		for _, id := range f.rule.Evidence() {
			it.Observation, _ = n.know.set.Vocabulary.Lookup(id)
			break
		}
		g.add(it, from)
	}
}

// How a machine is after a repair is itself a noisy-OR finding: it is better if the repair cured a cause that was there.
// The leaks say how often it is called better or cured although the repair cured nothing: warmth, a cleaned plug, hope.
// Our own figures; no source gives any.
const (
	betterAnyway = 0.2
	curedAnyway  = 0.1
	// mostReliable keeps a repair that changed nothing from ruling its causes out: it may have been done badly.
	mostReliable = 0.95
)

func (n *network) gatherTried(g *gathered) {
	for _, t := range n.sheet.Tried {
		repair, ok := n.know.set.Repair(t.Did)
		if !ok {
			continue // a check cures nothing; its observations are on the sheet
		}
		from := g.ev.Len()
		it := &item{Evidence: Evidence{Kind: TriedOut, Repair: repair, After: t.After, Answer: t.After, Pos: t.Pos}}
		places, level := n.triedAt(t.At)
		if t.At != "" {
			it.Place = n.places[level]
		}
		leak := betterAnyway
		if t.After == "cured-for-a-while" {
			leak = curedAnyway
		}
		node := n.net.Finding(leak, n.summaryBlock())
		for i := range repair.Cures {
			link := &repair.Cures[i]
			for _, p := range places {
				c := n.causeOf[n.know.causeNumber[link.To]][p]
				if c == nil {
					continue
				}
				chance := min(link.Chance, mostReliable)
				n.net.Link(c.node, node, chance)
				it.parents = append(it.parents, parent{cause: c, chance: chance, link: link})
			}
		}
		if t.After == "better" || t.After == "cured-for-a-while" {
			g.ev.Seen(node)
		} else {
			g.ev.NotSeen(node)
		}
		g.add(it, from)
	}
}

// triedAt returns the places at which a repair was done: all that belong to the named one, or all of the machine.
func (n *network) triedAt(name string) (places []int, at int) {
	at = machinePlace
	if name != "" {
		for p, place := range n.places {
			if place.Name == name && p != machinePlace {
				at = p
				break
			}
		}
	}
	for p := range n.places {
		if at == machinePlace || n.holds(at, p) || p == n.up[at] && at != p && n.places[at].Level == symptoms.Cylinder {
			places = append(places, p)
		}
	}
	return places, at
}

// posterior is the outcome of one inference.
type posterior struct {
	*belief.Result
	schedule *belief.Schedule
}

// infer computes all posteriors for some evidence.
func (n *network) infer(ev *belief.Evidence, limit float64) (*posterior, error) {
	return n.inferLike(ev, limit, nil)
}

// inferLike computes all posteriors for nearly the same evidence as another inference, which saves planning it; nil is none.
func (n *network) inferLike(ev *belief.Evidence, limit float64, like *posterior) (*posterior, error) {
	s, err := n.planLike(ev, limit, like)
	if err != nil {
		return nil, err
	}
	return inferred(s)
}

func (n *network) planLike(ev *belief.Evidence, limit float64, like *posterior) (*belief.Schedule, error) {
	return belief.Plan(n.net, ev, belief.Options{Limit: limit, Like: like.order()})
}

func inferred(s *belief.Schedule) (*posterior, error) {
	r, err := s.Posterior()
	if err != nil {
		return nil, err
	}
	return &posterior{r, s}, nil
}

// order is the schedule that another may follow.
func (p *posterior) order() *belief.Schedule {
	if p == nil {
		return nil
	}
	return p.schedule
}

// of returns the posterior of a node.
func (p *posterior) of(node belief.Node) float64 { return p.P[node] }

// logZ is the natural logarithm of P(evidence).
func (p *posterior) logZ() float64 { return math.Log(p.Z) + float64(p.Exp)*math.Ln2 }
