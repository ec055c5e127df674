package report

// page is what a text says, before it is laid out: blocks in their order.
type page struct{ blocks []block }

// blockKind says what a block is.
type blockKind uint8

const (
	heading   blockKind = iota // level 1 to 3
	paragraph                  // running text
	item                       // of a list; level is the depth from 0
	caution                    // must stand out and stand where it belongs; level is the depth of the step it belongs to
	verbatim                   // lines of a user, kept apart
	tabular
)

// block is one piece of a page.
type block struct {
	kind  blockKind
	level int
	// label opens an item, and is set off from the spans that follow.
	label string
	spans []span
	lines []string // of a verbatim block
	table *table
}

// table is a grid of short texts: the first column names the row, the second is the main one. In a terminal that is too
// narrow for it the rows are written one under another.
type table struct {
	head  []string
	right []int // columns that are set flush right: figures
	brief []int // columns that are understood without their head
	rows  [][][]span
}

func (t *table) row(cells ...[]span) { t.rows = append(t.rows, cells) }

func (p *page) heading(level int, s ...span) {
	p.blocks = append(p.blocks, block{kind: heading, level: level, spans: s})
}

func (p *page) para(s ...span) {
	p.blocks = append(p.blocks, block{kind: paragraph, spans: s})
}

func (p *page) item(level int, s ...span) {
	p.blocks = append(p.blocks, block{kind: item, level: level, spans: s})
}

// field adds an item that opens with a label, unless there is nothing to say.
func (p *page) field(level int, label string, s ...span) {
	if empty(s) {
		return
	}
	p.blocks = append(p.blocks, block{kind: item, level: level, label: label, spans: s})
}

// caution adds a caution, unless there is none.
func (p *page) caution(level int, s string) {
	if oneLine(s) == "" {
		return
	}
	p.blocks = append(p.blocks, block{kind: caution, level: level, label: "Caution", spans: one(text(s))})
}

func (p *page) verbatim(lines []string) {
	p.blocks = append(p.blocks, block{kind: verbatim, lines: lines})
}

// table adds a table, unless it has no rows.
func (p *page) table(t *table) {
	if len(t.rows) > 0 {
		p.blocks = append(p.blocks, block{kind: tabular, table: t})
	}
}

func empty(s []span) bool {
	for _, x := range s {
		if x.text != "" {
			return false
		}
	}
	return true
}
