package report

import (
	"io"
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// treeRow is one line of a decision tree: an outcome of the step above, and what to do then or why nothing follows.
type treeRow struct {
	depth  int
	parent int // index of the row whose step it is an outcome of; -1 for the first step
	// outcome is empty for the first step; chance is that of the outcome when the step is done, reach that from the beginning.
	outcome       string
	chance, reach float64
	// step is what to do then; else end says how the branch ends.
	step, takes, end string
	cautions         []string
	// from and to are the minutes of work when the step begins and ends.
	from, to float64
}

// treeRows lists a tree, likelier branches first; branches too rare to be followed are put together.
func (n *nextView) treeRows(root *engine.TreeNode) []treeRow {
	var rows []treeRow
	var walk func(t *engine.TreeNode, at int)
	add := func(r treeRow, t *engine.TreeNode) int {
		if t != nil {
			p := &t.Proposal
			r.step, r.takes, r.to = n.title(p), n.takesOf(p), r.from+p.Minutes
			if p.Kind() == engine.HandOver {
				r.step, r.takes, r.to, r.end = "", "", r.from, "send the job out, or renew the unit"
			}
			for _, a := range p.Actions {
				r.cautions = append(r.cautions, actionCaution(a))
			}
		}
		rows = append(rows, r)
		return len(rows) - 1
	}
	walk = func(t *engine.TreeNode, at int) {
		rare := treeRow{depth: rows[at].depth + 1, parent: at, from: rows[at].to}
		many := 0
		for _, b := range t.Branches {
			r := treeRow{depth: rows[at].depth + 1, parent: at, outcome: n.outcome(&t.Proposal, &b.Outcome), chance: b.Outcome.Probability, reach: b.Reach,
				from: rows[at].to, to: rows[at].to}
			switch b.End {
			case engine.Done:
				r.end = "done"
			case engine.Deep:
				r.end = n.after(&b.Outcome, 1)
			case engine.Rare:
				many++
				rare.chance, rare.reach = rare.chance+r.chance, rare.reach+r.reach
				continue
			}
			if next := add(r, b.Node); b.Node != nil {
				walk(b.Node, next)
			}
		}
		if many > 0 && rare.chance > 0 {
			rare.outcome, rare.end, rare.to = count(many, "rarer outcome"), "not followed", rare.from
			rows = append(rows, rare)
		}
	}
	if root != nil {
		walk(root, add(treeRow{parent: -1, chance: 1, reach: 1}, root))
	}
	return rows
}

// NextTreeText writes the tree of what to do next, and then: indented from left to right, with the chance from the beginning and a bar
// before each line.
func NextTreeText(w io.Writer, root *engine.TreeNode, a *engine.Advice, k *rules.Set, s Style) error {
	n := newNextView(a, k, s)
	t := &terminal{width: n.style.Width, colour: s.Colour}
	for _, l := range n.treeHead() {
		t.line(l.indent, l.spans)
	}
	rows := n.treeRows(root)
	for _, r := range rows {
		chance := percent(r.reach)
		if r.parent < 0 {
			chance = ""
		}
		lead := strings.Repeat(" ", max(0, 10-width(chance))) + chance + " " + bar(r.reach, n.barLetters()) + " " + strings.Repeat("  ", r.depth)
		t.hang(lead, r.spans())
	}
	t.b.WriteByte('\n')
	t.hang("", one(text(treeReads)))
	for _, c := range cautionsOf(rows) {
		t.hang("! ", one(bold("Caution:"), text(" "), text(c)))
	}
	t.hang("", one(bold(localCodes)))
	return t.flush(w)
}

const treeReads = "The chance at each line is that of coming there from the first step. Each step is planned anew with the outcomes before it on the sheet."

// spans is the row as a sentence.
func (r *treeRow) spans() []span {
	var out []span
	if r.outcome != "" {
		out = append(out, text(upperFirst(r.outcome)+": "))
	}
	if r.step != "" {
		return append(out, bold(r.step), text(" ("+r.takes+")"))
	}
	return append(out, text(r.end))
}

func (n *nextView) treeHead() []screenLine {
	s := &screen{view: n.view, cut: cut{titleLines: 2, stops: withAction, gaps: 4}}
	s.stops()
	s.machine()
	s.gap(1)
	return s.lines
}

// cautionsOf lists the cautions of all steps, each once.
func cautionsOf(rows []treeRow) []string {
	var out []string
	for _, r := range rows {
		for _, c := range r.cautions {
			if c = oneLine(c); c != "" && !slices.Contains(out, c) {
				out = append(out, c)
			}
		}
	}
	return out
}

// NextTreeMarkdown writes the tree as nested lists.
func NextTreeMarkdown(w io.Writer, root *engine.TreeNode, a *engine.Advice, k *rules.Set, s Style) error {
	n := newNextView(a, k, s)
	p := &page{}
	p.heading(1, text("Next, and then: "+strings.TrimSuffix(n.sheetName(), ":")))
	n.stopSection(p)
	p.para(text(upperFirst(n.machineText()) + "."))
	rows := n.treeRows(root)
	for _, r := range rows {
		chance := percent(r.reach) + " "
		if r.parent < 0 {
			chance = ""
		}
		p.item(r.depth, append(one(text(chance)), r.spans()...)...)
	}
	p.para(text(treeReads))
	p.heading(2, text("Cautions"))
	for _, c := range cautionsOf(rows) {
		p.caution(0, c)
	}
	n.planSection(p)
	n.cites.list(p)
	p.para(bold(localCodes))
	m := &hypertext{}
	m.page(p)
	return m.flush(w)
}
