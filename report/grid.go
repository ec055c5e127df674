package report

import (
	"slices"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

const (
	gap         = 2  // columns between two columns of a table
	longestWord = 30 // longer words may be cut
	leastMain   = 24 // columns that the main column needs to be read with ease
)

// table lays out a table as a grid, or row under row when the terminal is too narrow for one.
func (t *terminal) table(tb *table) {
	widths, ok := tb.fit(t.width)
	if !ok {
		t.records(tb)
		return
	}
	var out strings.Builder
	grid := tablewriter.NewTable(&out, gridOptions(tb)...)
	grid.Header(anySlice(t.cells(headSpans(tb.head), widths)))
	for _, row := range tb.rows {
		// The writers of the library cannot fail on a strings.Builder and rows of equal length.
		_ = grid.Append(t.cells(row, widths))
	}
	_ = grid.Render()
	for line := range strings.Lines(out.String()) {
		t.b.WriteString(trimmed(line) + "\n")
	}
}

// trimmed cuts the spaces that fill up the last column, which the library puts before the end of a rendition.
func trimmed(line string) string {
	line = strings.TrimRight(line, " \n")
	if open, painted := strings.CutSuffix(line, normal); painted {
		return strings.TrimRight(open, " ") + normal
	}
	return line
}

// gridOptions asks for a grid without lines but the one under the head. Cells come filled already, since the library does
// not cut long words; letters of ambiguous width count as narrow, as everywhere in this package.
func gridOptions(tb *table) []tablewriter.Option {
	align := make([]tw.Align, len(tb.head))
	for i := range align {
		align[i] = tw.AlignLeft
		if slices.Contains(tb.right, i) {
			align[i] = tw.AlignRight
		}
	}
	cell := tw.CellConfig{
		Formatting: tw.CellFormatting{AutoWrap: tw.WrapNone, AutoFormat: tw.Off},
		Alignment:  tw.CellAlignment{Global: tw.AlignLeft, PerColumn: align},
		Padding:    tw.CellPadding{Global: tw.Padding{Right: strings.Repeat(" ", gap), Overwrite: true}},
	}
	return []tablewriter.Option{
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithConfig(tablewriter.Config{
			Header: cell, Row: cell,
			Behavior: tw.Behavior{TrimSpace: tw.Off, TrimLine: tw.Off},
		}),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone,
			Symbols: tw.NewSymbols(tw.StyleASCII),
			Settings: tw.Settings{
				Lines:      tw.Lines{ShowTop: tw.Off, ShowBottom: tw.Off, ShowHeaderLine: tw.On, ShowFooterLine: tw.Off},
				Separators: tw.Separators{ShowHeader: tw.On, BetweenRows: tw.Off, BetweenColumns: tw.Off},
			},
		})),
	}
}

// cells fills each cell to its column and paints it.
func (t *terminal) cells(row [][]span, widths []int) []string {
	out := make([]string, len(row))
	for i, cell := range row {
		lines := fill(cell, widths[i], widths[i])
		painted := make([]string, len(lines))
		for j, l := range lines {
			painted[j] = t.paint(l)
		}
		out[i] = strings.Join(painted, "\n")
	}
	return out
}

// fit returns the widths of the columns. When the natural ones need too much room, the widest are cut, but none below its
// longest word; ok is false when that is not enough.
func (tb *table) fit(columns int) (widths []int, ok bool) {
	widths = make([]int, len(tb.head))
	least := make([]int, len(tb.head))
	for _, row := range append([][][]span{headSpans(tb.head)}, tb.rows...) {
		for i, cell := range row {
			whole := 0
			for _, w := range words(cell) {
				whole += w.width() + 1
				least[i] = max(least[i], min(w.width(), longestWord))
			}
			widths[i] = max(widths[i], whole-1)
		}
	}
	if len(least) > 1 {
		least[1] = max(least[1], min(widths[1], leastMain))
	}
	for total(widths) > columns-gap*len(widths) {
		widest := -1
		for i := range widths {
			if widths[i] > least[i] && (widest < 0 || widths[i] > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return nil, false
		}
		widths[widest]--
	}
	return widths, true
}

func total(n []int) int {
	sum := 0
	for _, x := range n {
		sum += x
	}
	return sum
}

func headSpans(head []string) [][]span {
	out := make([][]span, len(head))
	for i, h := range head {
		out[i] = one(bold(h))
	}
	return out
}

func anySlice(s []string) []any {
	out := make([]any, len(s))
	for i := range s {
		out[i] = s[i]
	}
	return out
}

// records writes a table row under row: the first cell with the brief ones behind it, below it the main one, and the others
// with their heads.
func (t *terminal) records(tb *table) {
	for _, row := range tb.rows {
		title, main := row[0], 1
		if empty(title) { // a row that has no name of its own is named by its main cell
			title, main = row[1], 0
		}
		if b := tb.behind(row); b != "" {
			title = append(title[:len(title):len(title)], text(" ("+b+")"))
		}
		t.hang("", title)
		for i, cell := range row {
			switch {
			case i == 0 || empty(cell) || slices.Contains(tb.brief, i):
			case i == 1 && main == 0:
			case i == 1:
				t.hang("    ", cell)
			default:
				t.hang("    ", append(one(text(tb.head[i]+": ")), cell...))
			}
		}
	}
}

func (tb *table) behind(row [][]span) string {
	var out []string
	for _, i := range tb.brief {
		for _, s := range row[i] {
			if s.text != "" {
				out = append(out, s.text)
			}
		}
	}
	return strings.Join(out, ", ")
}
