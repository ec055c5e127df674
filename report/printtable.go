package report

import "slices"

// printColumn is a column of a printed table.
type printColumn struct {
	head string
	// width in millimetres; 0 shares what the others leave.
	width float64
	right bool // flush right: figures
}

// rowKind says how a row of a printed table is set.
type rowKind uint8

const (
	bodyRow  rowKind = iota
	groupRow         // opens a group of rows: its first cell runs across, bold on a tint
	sumRow           // closes a group: its cells are set apart by a line above
	totalRow         // the same, bold
	noteRow          // the first cell runs across, in small letters
)

// printRow is a row of a printed table: a cell for each column, or the first one only.
type printRow struct {
	kind  rowKind
	cells [][]span
	// inset shifts the first cell to the right.
	inset float64
}

// printTable is a table with a head that is repeated on every page.
type printTable struct {
	columns []printColumn
	rows    []printRow
}

const (
	cellPad  = 1.6  // left and right of a cell
	rowSpace = 0.55 // above and below its lines
)

// setRow is a row broken into lines.
type setRow struct {
	printRow
	size   float64
	lines  [][][]span // by cell
	most   int        // lines of the longest cell
	height float64
}

// grid sets a table.
func (p *printout) grid(t *printTable) {
	widths := p.columnWidths(t)
	head, rows := p.setRows(t, widths)
	p.room(p.beginning(head, rows))
	p.drawRow(t, head, widths)
	for i, r := range rows {
		if p.y+p.together(rows[i:]) > p.bottom() && p.y > topMargin+30 {
			p.newPage()
			p.drawRow(t, head, widths)
		}
		for r.height > p.bottom()-p.y {
			part := r.split(max(1, int((p.bottom()-p.y-2*rowSpace)/lineHeight(r.size))))
			p.drawRow(t, part, widths)
			p.newPage()
			p.drawRow(t, head, widths)
		}
		p.drawRow(t, r, widths)
	}
	p.line(p.left, p.y, p.left+p.width, p.y, 0.3, black)
	p.y += 3
}

func (p *printout) setRows(t *printTable, widths []float64) (head *setRow, rows []*setRow) {
	head, rows = p.headRow(t, widths), make([]*setRow, len(t.rows))
	for i := range t.rows {
		rows[i] = p.setRow(t.rows[i], widths)
	}
	return head, rows
}

// beginning is the height with which a table begins at the foot of a page, at least: a head with one row below it looks like the whole
// table.
func (p *printout) beginning(head *setRow, rows []*setRow) float64 {
	const least = 3
	if len(rows) == 0 {
		return head.height
	}
	h := 0.0
	for _, r := range rows[:min(least, len(rows))] {
		h += r.height
	}
	return head.height + max(h, p.together(rows))
}

// wholeGroup is the height up to which a group of rows is not parted.
const wholeGroup = 90.0

// together is the height of the first row with those that must not be parted from it: a whole group after its head, unless it is
// a long one, and the sums after a last row.
func (p *printout) together(rows []*setRow) float64 {
	h := rows[0].height
	if rows[0].kind == groupRow {
		if g := groupHeight(rows); g <= wholeGroup {
			return g
		}
	}
	for i := 1; i < len(rows); i++ {
		opens := rows[i-1].kind == groupRow || rows[i-1].kind == noteRow && i == 1
		if !opens && rows[i].kind != sumRow && rows[i].kind != totalRow {
			break
		}
		h += rows[i].height
	}
	return min(h, p.bottom()-topMargin-30)
}

// groupHeight is the height of a group from its head to the row before the next head.
func groupHeight(rows []*setRow) float64 {
	h := rows[0].height
	for _, r := range rows[1:] {
		if r.kind == groupRow {
			break
		}
		h += r.height
	}
	return h
}

func (p *printout) columnWidths(t *printTable) []float64 {
	rest, open := p.width, 0
	for _, c := range t.columns {
		rest -= c.width
		if c.width == 0 {
			open++
		}
	}
	widths := make([]float64, len(t.columns))
	for i, c := range t.columns {
		widths[i] = c.width
		if c.width == 0 {
			widths[i] = rest / float64(open)
		}
	}
	return widths
}

func (p *printout) headRow(t *printTable, widths []float64) *setRow {
	row := printRow{kind: bodyRow}
	for _, c := range t.columns {
		row.cells = append(row.cells, one(dim(c.head)))
	}
	r := p.setRow(row, widths)
	r.kind = headKind
	return r
}

// headKind marks the head among the rows.
const headKind rowKind = 255

func (p *printout) setRow(row printRow, widths []float64) *setRow {
	r := &setRow{printRow: row, size: bodySize}
	if row.kind == noteRow {
		r.size = smallSize
	}
	for i, c := range row.cells {
		w := widths[i] - 2*cellPad
		switch {
		case row.kind == groupRow || row.kind == noteRow:
			w = p.width - 2*cellPad
		case i == 0 && (row.kind == sumRow || row.kind == totalRow):
			w = p.width - widths[len(widths)-1] - 2*cellPad // what lies between the name of a sum and the sum is empty
		}
		if i == 0 {
			w -= row.inset
		}
		if row.kind == groupRow || row.kind == totalRow {
			c = bolder(c)
		}
		r.lines = append(r.lines, p.wrap(c, r.size, w))
		r.most = max(r.most, len(r.lines[i]))
	}
	r.measure()
	return r
}

func bolder(spans []span) []span {
	out := slices.Clone(spans)
	for i := range out {
		out[i].as = strong
	}
	return out
}

func (r *setRow) measure() { r.height = float64(r.most)*lineHeight(r.size) + 2*rowSpace }

// split takes the first n lines off a row that is higher than a page.
func (r *setRow) split(n int) *setRow {
	head := *r
	head.lines, head.most = nil, min(n, r.most)
	for i, l := range r.lines {
		k := min(n, len(l))
		head.lines = append(head.lines, l[:k])
		r.lines[i] = l[k:]
	}
	r.most -= head.most
	head.measure()
	r.measure()
	return &head
}

func (p *printout) drawRow(t *printTable, r *setRow, widths []float64) {
	switch r.kind {
	case groupRow:
		p.rect(p.left, p.y, p.width, r.height, 0, tint, tint)
	case sumRow, totalRow:
		p.line(p.left, p.y, p.left+p.width, p.y, 0.2, pale)
	case headKind:
		p.line(p.left, p.y, p.left+p.width, p.y, 0.3, black)
	}
	x := p.left
	for i, lines := range r.lines {
		for j, l := range lines {
			at := x + cellPad
			if i == 0 {
				at += r.inset
			}
			if t.columns[i].right {
				at = x + widths[i] - cellPad - p.measure(l, r.size)
			}
			p.put(at, p.y+rowSpace+float64(j)*lineHeight(r.size), r.size, l)
		}
		x += widths[i]
	}
	p.y += r.height
	if r.kind == headKind {
		p.line(p.left, p.y, p.left+p.width, p.y, 0.3, black)
	}
}
