package report

import (
	"io"
	"slices"
	"strings"

	"diagnose.example/engine"
)

// ChainText writes a chain as an indented tree. What can be reached on several paths is told on the first and named on the
// others. Height, Top and Details of the style have no meaning here.
func ChainText(w io.Writer, c *Chain, s Style) error {
	t := &terminal{width: s.filled().Width, colour: s.Colour}
	t.page(c.page())
	return t.flush(w)
}

// ChainMarkdown is ChainText as GitHub-flavoured Markdown.
func ChainMarkdown(w io.Writer, c *Chain) error {
	m := &hypertext{}
	m.page(c.page())
	return m.flush(w)
}

func (c *Chain) page() *page {
	p := &page{}
	cites := &citations{k: c.k}
	p.heading(1, text(c.title))
	if c.view != nil {
		p.para(text(upperFirst(c.view.machineText())))
		v := *c.view // a chain may be written by several at once
		v.cites = cites
		v.stopSection(p)
	}
	p.heading(2, text(c.subtitle))
	c.tree(p, cites)
	for _, s := range c.reading() {
		p.para(text(s))
	}
	cites.list(p)
	p.para(bold(localCodes))
	return p
}

// tree adds the chain as an outline, with marks of sources that are listed elsewhere.
func (c *Chain) tree(p *page, cites *citations) {
	t := &chainTelling{Chain: c, p: p, cites: cites, out: downward(len(c.nodes), c.links), told: make([]bool, len(c.nodes))}
	roots := upward(len(c.nodes), c.links)
	for i := range c.nodes {
		if len(roots[i]) == 0 {
			p.item(0, t.titled(i)...)
			t.below(i, 1)
		}
	}
}

// chainTelling writes the tree.
type chainTelling struct {
	*Chain
	p     *page
	cites *citations
	out   [][]chainLink
	told  []bool
}

// below tells what a node leads to: first by what it is seen, then the effects with all below them.
func (t *chainTelling) below(from, depth int) {
	t.told[from] = true
	for _, kind := range []chainKind{findingKind, effectKind} {
		for _, l := range t.out[from] {
			if t.nodes[l.to].kind != kind {
				continue
			}
			t.p.item(min(depth, deepest), t.link(l)...)
			if !t.told[l.to] {
				t.below(l.to, depth+1)
			}
		}
	}
}

func (t *chainTelling) link(l chainLink) []span {
	n := t.nodes[l.to]
	leads, holder := l.word+" -> ", t.nodes[l.from]
	if n.kind == findingKind {
		leads, holder = l.word+" seen: ", n
	}
	if t.told[l.to] {
		return one(text(leads+lowerFirst(n.title)), dim(", told above"))
	}
	out := one(text(leads), bold(lowerFirst(n.title)), text(t.spot(n)), text(t.chance(n)))
	out = append(out, text(t.cites.mark(holder.cites)))
	if s := t.states(n); s != "" {
		out = append(out, text("; "+s))
	}
	return out
}

func (t *chainTelling) titled(i int) []span {
	n := t.nodes[i]
	return one(bold(n.title), text(t.spot(n)), text(t.chance(n)))
}

// spot names the places of a node: " at left", " at every cylinder", or nothing where there is one only.
func (c *Chain) spot(n chainNode) string {
	if places := c.places(n); places != "" {
		return " at " + places
	}
	return ""
}

func (c *Chain) places(n chainNode) string {
	if c.view == nil || len(n.at) == 0 || c.view.single(n.at[0].place.Level) {
		return ""
	}
	level := n.at[0].place.Level
	if len(n.at) == len(c.view.d.Sheet.Machine.Places(level)) {
		return "every" + nbsp + level.String()
	}
	names := make([]string, len(n.at))
	for i, at := range n.at {
		names[i] = where(at.place)
	}
	return list(names, "and")
}

// chance is the probability of a cause or effect with a space, or before several places a colon, in front.
func (c *Chain) chance(n chainNode) string {
	says := c.chances(n)
	if strings.Contains(says, ",") {
		return ": " + says
	} else if says != "" {
		return " " + says
	}
	return ""
}

// chances is the probability of a cause or effect at its places: "93 %", "93 % each", "left 93 %, right 4 %".
func (c *Chain) chances(n chainNode) string {
	if n.kind == findingKind || len(n.at) == 0 {
		return ""
	}
	first, same := percent(n.at[0].probability), true
	var each []string
	for _, at := range n.at {
		p := percent(at.probability)
		same = same && p == first
		each = append(each, where(at.place)+nbsp+p)
	}
	switch {
	case len(n.at) == 1:
		return first
	case same:
		return first + " each"
	}
	return strings.Join(each, ", ")
}

// remark is one line about a finding: what the sheet says of it, at some or all of its places.
type remark struct {
	state engine.State
	text  string
}

// remarks are what the sheet says of a finding, for all places at which it says the same at once.
func (c *Chain) remarks(n chainNode) []remark {
	if n.kind != findingKind {
		return nil
	}
	type same struct {
		state  engine.State
		answer string
	}
	var order []same
	names := map[same][]string{}
	for _, at := range n.at {
		s := same{at.state, at.answer}
		if !slices.Contains(order, s) {
			order = append(order, s)
		}
		names[s] = append(names[s], where(at.place))
	}
	var out []remark
	for _, s := range order {
		says := chainState(s.state)
		if len(order) > 1 {
			says += " at " + list(names[s], "and")
		}
		if s.answer != "" {
			says += " (" + s.answer + ")"
		}
		out = append(out, remark{s.state, says})
	}
	return out
}

func (c *Chain) states(n chainNode) string {
	var out []string
	for _, r := range c.remarks(n) {
		out = append(out, r.text)
	}
	return strings.Join(out, "; ")
}

// chainState says what the sheet says of a finding. A chance of being seen that was not borne out lowers the odds of
// everything above the finding, so a finding that is not so always speaks against.
func chainState(s engine.State) string {
	switch s {
	case engine.Seen:
		return "observed"
	case engine.NotSeen:
		return "against: not so"
	case engine.Doubtful:
		return "in doubt"
	}
	return "not asked"
}

// reading says how a chain is read, in the tree and in the drawing alike, and what is not in it.
func (c *Chain) reading() []string {
	out := []string{"\"Almost always\" and the like say how often the upper thing makes the lower happen, whatever else does."}
	if c.view == nil {
		return out
	}
	out = append(out, "A percentage is the chance that it is so, all that is on the sheet being known. "+roundingRule)
	if c.left > 0 {
		out = append(out, "Left out: "+count(c.left, "other finding")+" that nobody asked about.")
	}
	return out
}
