package report

import "slices"

// page prints a page as the other writers lay it out for a terminal or in Markdown.
func (p *printout) page(pg *page) {
	for i := range pg.blocks {
		b := &pg.blocks[i]
		switch b.kind {
		case heading:
			p.heading(b.level, b.spans...)
		case paragraph:
			p.para(b.spans...)
		case item:
			p.item(b.level, labelled(b)...)
		case caution:
			p.caution(lettersOf(b.spans))
		case verbatim:
			p.note(b.lines)
		case tabular:
			p.grid(p.printed(b.table))
		}
	}
}

func lettersOf(spans []span) string {
	s := ""
	for _, x := range spans {
		s += x.text
	}
	return s
}

// printed gives a table columns in millimetres: as wide as their longest cell, as long as they leave room for the second, the
// main one.
func (p *printout) printed(t *table) *printTable {
	out := &printTable{}
	main := min(1, len(t.head)-1)
	for i, h := range t.head {
		w := p.measure(one(dim(h)), bodySize)
		for _, r := range t.rows {
			if i < len(r) {
				w = max(w, p.measure(r[i], bodySize))
			}
		}
		c := printColumn{head: h, width: min(w+2*cellPad+0.1, p.width/3), right: slices.Contains(t.right, i)}
		if i == main {
			c.width = 0
		}
		out.columns = append(out.columns, c)
	}
	for _, r := range t.rows {
		out.rows = append(out.rows, printRow{cells: r})
	}
	return out
}
