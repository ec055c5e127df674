package report

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// ChainOfCause builds the chain of everything that the knowledge says a cause leads to: effects, their effects, and the
// findings by which they are seen.
func ChainOfCause(k *rules.Set, id string) (*Chain, error) {
	cause, ok := k.Cause(id)
	if !ok {
		return nil, fmt.Errorf("%q: no such cause", id)
	}
	b := &causeChain{k: k, number: map[string]int{}, seen: map[string][]*rules.Rule{}}
	for _, r := range k.Rules {
		for _, l := range r.SeenWith {
			b.seen[l.To] = append(b.seen[l.To], r)
		}
	}
	from := b.node(causeKind, cause.ID, cause.Title, cause.Cites)
	b.below(from, cause.Makes)
	c := &Chain{title: oneLine(cause.Title), subtitle: "What it leads to, and by what that is seen", k: k, nodes: b.nodes, links: b.links}
	return c.ordered(), nil
}

// causeChain follows the links of the knowledge from one cause.
type causeChain struct {
	k      *rules.Set
	nodes  []chainNode
	links  []chainLink
	number map[string]int           // of a node, by id
	seen   map[string][]*rules.Rule // findings by the id of what makes them
}

func (b *causeChain) node(kind chainKind, id, title string, cites []rules.Cite) int {
	n := len(b.nodes)
	b.number[id] = n
	b.nodes = append(b.nodes, chainNode{kind: kind, id: id, title: nodeTitle(title, id), cites: cites})
	return n
}

// below adds the findings that a node makes and then its effects with everything below them.
func (b *causeChain) below(from int, makes []rules.Link) {
	id := b.nodes[from].id
	for _, r := range b.seen[id] {
		to, known := b.number[r.ID]
		if !known {
			to = b.node(findingKind, r.ID, r.Title, r.Cites)
		}
		for _, l := range r.SeenWith {
			if l.To == id {
				b.links = append(b.links, chainLink{from, to, likelihood(l.Word, l.Chance)})
			}
		}
	}
	for _, l := range makes {
		to, known := b.number[l.To]
		e, ok := b.k.Effect(l.To)
		if !ok {
			continue
		}
		if !known {
			to = b.node(effectKind, e.ID, e.Title, e.Cites)
		}
		b.links = append(b.links, chainLink{from, to, likelihood(l.Word, l.Chance)})
		if !known {
			b.below(to, e.Makes)
		}
	}
}

func nodeTitle(title, id string) string {
	if t := oneLine(title); t != "" {
		return t
	}
	return oneLine(id)
}

// likelihood is a link's word, or its chance where it has none.
func likelihood(word string, chance float64) string {
	if w := oneLine(word); w != "" {
		return w
	}
	return percent(chance)
}

// ChainOfDiagnosis builds the chain from the n likeliest causes of a sheet, each at its likeliest place, down to the findings.
// n below 1 is taken as 1. A finding somebody looked for is always in it; of those nobody asked about it has the few that would
// tell most. The engine gives those only when its option WholeChain is set. It is an error when the diagnosis has no causes.
func ChainOfDiagnosis(d *engine.Diagnosis, k *rules.Set, n int) (*Chain, error) {
	if len(d.Ranked) == 0 {
		return nil, errors.New("the diagnosis has no causes to draw a chain from")
	}
	shown := d.Ranked[:min(max(n, 1), len(d.Ranked))]
	b := &sheetChain{k: k, d: d, number: map[engine.Node]int{}}
	for _, r := range shown {
		b.cause(r)
	}
	left := b.trim()
	v := newView(d, k, Style{})
	c := &Chain{title: strings.TrimSuffix(v.sheetName(), ":"), k: k, view: v, left: left,
		subtitle: "From the likeliest cause to what is seen"}
	if len(shown) > 1 {
		c.subtitle = fmt.Sprintf("From the %d likeliest causes to what is seen", len(shown))
	}
	c.nodes, c.links = merged(b.nodes, b.links)
	return c.ordered(), nil
}

// sheetChain puts the steps of several causes together; each node is at one place.
type sheetChain struct {
	k      *rules.Set
	d      *engine.Diagnosis
	nodes  []chainNode
	links  []chainLink
	number map[engine.Node]int
}

func (b *sheetChain) node(n engine.Node) int {
	if i, ok := b.number[n]; ok {
		return i
	}
	kind := map[string]chainKind{"cause": causeKind, "effect": effectKind}
	x := chainNode{kind: findingKind, id: n.ID, title: nodeTitle(n.Title, n.ID), at: []chainPlace{{place: n.Place}}}
	if k, ok := kind[n.Kind]; ok {
		x.kind = k
	}
	b.number[n] = len(b.nodes)
	b.nodes = append(b.nodes, x)
	return len(b.nodes) - 1
}

func (b *sheetChain) cause(r *engine.Ranked) {
	if len(r.Places) == 0 {
		return
	}
	at := r.Places[0]
	root := &b.nodes[b.node(engine.Node{Kind: "cause", ID: r.ID, Title: r.Title, Place: at.Place})]
	root.at[0].probability = at.Probability
	root.cites = r.Cites
	for _, s := range r.Chain {
		from, to := b.node(s.From), b.node(s.To)
		link := chainLink{from, to, likelihood(s.Word, s.Chance)}
		if !slices.Contains(b.links, link) {
			b.links = append(b.links, link)
		}
		// A step into an effect cites what the upper end says, one into a finding what the finding says.
		x, holder := &b.nodes[to], &b.nodes[from]
		if x.kind == findingKind {
			x.at[0].state, x.at[0].answer = s.State, oneLine(s.Answer)
			holder = x
		} else {
			x.at[0].probability = s.Probability
		}
		if len(holder.cites) == 0 {
			holder.cites = s.Cites
		}
	}
}

// mostOpen is how many findings that nobody asked about a chain shows besides those that somebody did: as many as one would
// look for next.
const mostOpen = 5

// trim takes out the findings nobody asked about, but for those that would tell most, and the effects that lead to nothing
// any more. It returns how many findings went, each counted once whatever its places.
func (b *sheetChain) trim() int {
	open := b.open()
	show, drop := open[:min(mostOpen, len(open))], open[min(mostOpen, len(open)):]
	keep := make([]bool, len(b.nodes))
	for i, n := range b.nodes {
		keep[i] = n.kind == causeKind || n.kind == findingKind && !slices.Contains(drop, n.id)
	}
	for more := true; more; {
		more = false
		for _, l := range b.links {
			if keep[l.to] && !keep[l.from] {
				keep[l.from], more = true, true
			}
		}
	}
	b.nodes, b.links = only(keep, b.nodes, b.links)
	return len(open) - len(show)
}

// only returns the nodes to keep with the links between them.
func only(keep []bool, nodes []chainNode, links []chainLink) ([]chainNode, []chainLink) {
	number := make([]int, len(nodes))
	var kept []chainNode
	for i, n := range nodes {
		number[i] = len(kept)
		if keep[i] {
			kept = append(kept, n)
		}
	}
	var between []chainLink
	for _, l := range links {
		if keep[l.from] && keep[l.to] {
			between = append(between, chainLink{number[l.from], number[l.to], l.word})
		}
	}
	return kept, between
}

// otherwise is how often a finding is there with nothing wrong.
func (b *sheetChain) otherwise(rule string) float64 {
	if b.k == nil {
		return 0
	}
	r, ok := b.k.Rule(rule)
	if !ok {
		return 0
	}
	return r.Otherwise
}

// open lists the ids of the findings nobody asked about at any place, most telling first: those that the engine proposes to
// ask about, and then those that a probable cause or effect makes much likelier than they are otherwise.
func (b *sheetChain) open() []string {
	asked, weight := map[string]bool{}, map[string]float64{}
	var ids []string
	for _, n := range b.nodes {
		if n.kind != findingKind {
			continue
		}
		asked[n.id] = asked[n.id] || n.at[0].state != engine.NotAsked
		if _, known := weight[n.id]; !known {
			ids = append(ids, n.id)
			weight[n.id] = 0
		}
	}
	for _, r := range b.d.Ranked {
		for _, s := range r.Chain {
			if n, ok := b.number[s.To]; ok && b.nodes[n].kind == findingKind {
				p := b.nodes[b.number[s.From]].at[0].probability
				weight[s.To.ID] = max(weight[s.To.ID], p*max(0, s.Chance-b.otherwise(s.To.ID)))
			}
		}
	}
	for i, q := range b.d.Unasked {
		if b.k == nil || q.Observation == nil {
			continue
		}
		for _, r := range b.k.Evidence(q.Observation.ID) {
			weight[r.ID] = max(weight[r.ID], float64(1+len(b.d.Unasked)-i)) // above every probability
		}
	}
	ids = slices.DeleteFunc(ids, func(id string) bool { return asked[id] })
	slices.SortStableFunc(ids, func(x, y string) int { return cmp.Compare(weight[y], weight[x]) })
	return ids
}
