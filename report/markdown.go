package report

import (
	"io"
	"slices"
	"strings"
)

// hypertext lays out a page as GitHub-flavoured Markdown (GFM specification 0.29). Nothing is wrapped: a paragraph, an item
// and a table row is one line each.
type hypertext struct{ b strings.Builder }

func (m *hypertext) page(p *page) {
	for i := range p.blocks {
		if i > 0 && apart(&p.blocks[i-1], &p.blocks[i]) || i > 0 && p.blocks[i-1].kind == heading {
			m.b.WriteByte('\n')
		}
		m.block(&p.blocks[i])
	}
}

func (m *hypertext) block(b *block) {
	indent := strings.Repeat("  ", b.level)
	switch b.kind {
	case heading:
		m.line(strings.Repeat("#", b.level)+" ", b.spans)
	case paragraph:
		m.line("", b.spans)
	case item, caution:
		m.line(indent+"- ", labelled(b))
	case verbatim:
		m.note(b.lines)
	case tabular:
		m.table(b.table)
	}
}

func (m *hypertext) line(first string, spans []span) {
	m.b.WriteString(first + strings.TrimSpace(inline(spans)) + "\n")
}

// note quotes lines as they were written; a backslash keeps the line ends (GFM 6.12).
func (m *hypertext) note(lines []string) {
	for i, l := range lines {
		quoted := inline(one(text(l)))
		if quoted != "" && i+1 < len(lines) && oneLine(lines[i+1]) != "" {
			quoted += "\\"
		}
		m.b.WriteString(strings.TrimSpace("> "+quoted) + "\n")
	}
}

// inline returns spans as Markdown for the middle of a line.
func inline(spans []span) string {
	var b strings.Builder
	for _, s := range spans {
		letters := strings.ReplaceAll(s.text, nbsp, " ")
		switch {
		case strings.TrimSpace(letters) == "":
			b.WriteString(letters)
		case s.as == strong:
			b.WriteString("**" + escapeMarkdown(letters) + "**")
		case s.as == code:
			b.WriteString(codeSpan(letters))
		default:
			b.WriteString(escapeMarkdown(letters))
		}
	}
	return b.String()
}

// escapeMarkdown makes letters mean themselves in GFM: every character that could open or close a construct is escaped by a
// backslash (GFM 6.1), the two that could open a tag or an entity are written as entities (6.2), and so is a marker at the
// beginning, where the text may open a line.
func escapeMarkdown(s string) string {
	var b strings.Builder
	lead := len(s) - len(strings.TrimLeft(s, " "))
	for i, r := range s {
		switch {
		case strings.ContainsRune("\\`*_[]|~$", r):
			b.WriteByte('\\')
		case r == '<':
			b.WriteString("&lt;")
			continue
		case r == '&':
			b.WriteString("&amp;")
			continue
		case i >= lead && opensBlock(s[lead:], i-lead, r):
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// longestNumber is how many digits the number of a list item can have (GFM 5.2).
const longestNumber = 9

// opensBlock tells a marker that opens a heading, quotation, list or underline when it stands first on a line: # > + - =, or
// the mark behind a number.
func opensBlock(s string, i int, r rune) bool {
	if strings.ContainsRune("#>+-=", r) {
		return i == 0
	}
	return (r == '.' || r == ')') && i > 0 && i <= longestNumber && strings.Trim(s[:i], "0123456789") == ""
}

// codeSpan sets letters between more backticks than they hold themselves (GFM 6.3).
func codeSpan(s string) string {
	fence := "`"
	for strings.Contains(s, fence) {
		fence += "`"
	}
	if len(fence) > 1 || strings.HasPrefix(s, " ") {
		s = " " + s + " "
	}
	return fence + s + fence
}

func (m *hypertext) table(tb *table) {
	marks := make([]string, len(tb.head))
	for i := range marks {
		marks[i] = "---"
		if slices.Contains(tb.right, i) {
			marks[i] = "--:"
		}
	}
	m.row(headCells(tb.head))
	m.row(marks)
	for _, row := range tb.rows {
		cells := make([]string, len(row))
		for i, c := range row {
			cells[i] = inline(barred(c))
		}
		m.row(cells)
	}
}

// barred escapes the bars of code spans, which end a table cell even there (GFM, tables extension); other spans escape theirs anyway.
func barred(cell []span) []span {
	out := make([]span, len(cell))
	for i, s := range cell {
		if s.as == code {
			s.text = strings.ReplaceAll(s.text, "|", `\|`)
		}
		out[i] = s
	}
	return out
}

func (m *hypertext) row(cells []string) {
	m.b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
}

func headCells(head []string) []string {
	out := make([]string, len(head))
	for i, h := range head {
		out[i] = escapeMarkdown(h)
	}
	return out
}

func (m *hypertext) flush(w io.Writer) error {
	_, err := io.WriteString(w, m.b.String())
	return err
}
