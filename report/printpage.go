package report

import (
	"math"
	"slices"
)

// page prints a page as the other writers lay it out for a terminal or in Markdown.
func (p *printout) page(pg *page) {
	for i := 0; i < len(pg.blocks); i++ {
		b := &pg.blocks[i]
		switch b.kind {
		case heading:
			if i+1 < len(pg.blocks) && pg.blocks[i+1].kind == tabular {
				i++
				p.headed(b.level, b.spans, p.printed(pg.blocks[i].table))
				continue
			}
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

// printed gives a table columns in millimetres: as wide as their longest cell, and where that is too much for the page, the wide
// ones share what the narrow ones leave, each by the root of what it would take, so that long texts wrap and short ones do not.
func (p *printout) printed(t *table) *printTable {
	out := &printTable{}
	natural := make([]float64, len(t.head))
	for i, h := range t.head {
		natural[i] = p.measure(one(dim(h)), bodySize)
		for _, r := range t.rows {
			if i < len(r) {
				natural[i] = max(natural[i], p.measure(r[i], bodySize))
			}
		}
		natural[i] += 2*cellPad + 0.1
	}
	for i, w := range shared(natural, p.width) {
		out.columns = append(out.columns, printColumn{head: t.head[i], width: w, right: slices.Contains(t.right, i)})
	}
	for _, r := range t.rows {
		out.rows = append(out.rows, printRow{cells: r})
	}
	return out
}

// shared cuts widths down to a whole: what is no wider than its share of the rest keeps its width.
func shared(natural []float64, whole float64) []float64 {
	widths := slices.Clone(natural)
	wide := map[int]bool{}
	for i := range natural {
		wide[i] = true
	}
	for again := true; again; {
		again = false
		rest, roots := whole, 0.0
		for i, w := range natural {
			if wide[i] {
				roots += math.Sqrt(w)
			} else {
				rest -= w
			}
		}
		for i, w := range natural {
			if !wide[i] {
				continue
			}
			widths[i] = rest * math.Sqrt(w) / roots
			if w <= widths[i] {
				widths[i], wide[i], again = w, false, true
			}
		}
	}
	return widths
}
