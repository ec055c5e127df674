package report

import (
	"io"
	"strings"
)

// terminal writes lines of spans, with escape sequences where the style allows them.
type terminal struct {
	b      strings.Builder
	width  int
	colour ColourMode
}

// onScreen writes the whole page in the details, and otherwise the lines of a screen.
func onScreen(w io.Writer, s Style, whole func() *page, brief func() []screenLine) error {
	t := &terminal{width: s.filled().Width, colour: s.Colour}
	if s.Details == Full {
		t.page(whole())
		return t.flush(w)
	}
	for _, l := range brief() {
		t.line(l.indent, l.spans)
	}
	return t.flush(w)
}

// The renditions of letters (ECMA-48, function SGR): bold 1, faint 2, and cyan 36 as the one accent.
var renditions = [...]string{plain: "", strong: "1", faint: "2", code: "36"}

const normal = "\x1b[0m" // the end of every rendition

// paint returns the spans as they go to the terminal.
func (t *terminal) paint(spans []span) string {
	var b strings.Builder
	for _, s := range spans {
		letters := strings.ReplaceAll(s.text, nbsp, " ")
		if t.colour == None || renditions[s.as] == "" || letters == "" {
			b.WriteString(letters)
			continue
		}
		b.WriteString("\x1b[" + renditions[s.as] + "m" + letters + normal)
	}
	return b.String()
}

func (t *terminal) line(indent string, spans []span) {
	t.b.WriteString(strings.TrimRight(strings.ReplaceAll(indent, nbsp, " ")+t.paint(spans), " "))
	t.b.WriteByte('\n')
}

// hang writes spans filled to the width: opened by first, the following lines indented by as many columns.
func (t *terminal) hang(first string, spans []span) {
	room := t.width - width(first)
	for i, l := range fill(spans, room, room) {
		if i == 1 {
			first = strings.Repeat(" ", width(first))
		}
		t.line(first, l)
	}
}

// page lays out a page.
func (t *terminal) page(p *page) {
	for i := range p.blocks {
		if i > 0 && apart(&p.blocks[i-1], &p.blocks[i]) {
			t.b.WriteByte('\n')
		}
		t.block(&p.blocks[i])
	}
}

// apart says whether an empty line stands between two blocks: everywhere but inside a list, between a heading of the third
// rank and its text, and between a step and its caution.
func apart(before, b *block) bool {
	inList := func(b *block) bool { return b.kind == item || b.kind == caution }
	if before.kind == heading && (before.level > 2 || b.kind != heading) {
		return false
	}
	return !(inList(before) && inList(b))
}

func (t *terminal) block(b *block) {
	indent := strings.Repeat("  ", b.level)
	switch b.kind {
	case heading:
		t.heading(b)
	case paragraph:
		t.hang("", b.spans)
	case item:
		t.hang(indent+"- ", labelled(b))
	case caution:
		t.hang(indent+"! ", labelled(b))
	case verbatim:
		t.note(b.lines)
	case tabular:
		t.table(b.table)
	}
}

func (t *terminal) heading(b *block) {
	spans := make([]span, len(b.spans))
	for i, s := range b.spans {
		spans[i] = span{s.text, strong}
	}
	longest := 0
	for _, l := range fill(spans, t.width, t.width) {
		t.line("", l)
		longest = max(longest, word(l).width())
	}
	if b.level <= 2 {
		rule := map[int]string{1: "=", 2: "-"}[b.level]
		t.line("", one(dim(strings.Repeat(rule, longest))))
	}
}

// note marks every line of a note, so that it cannot be taken for a line of the report.
func (t *terminal) note(lines []string) {
	const mark = "  | "
	for _, l := range lines {
		filled := fill(one(text(l)), t.width-width(mark), t.width-width(mark))
		for _, f := range filled {
			t.line(mark, f)
		}
		if len(filled) == 0 {
			t.line(mark, nil)
		}
	}
}

func labelled(b *block) []span {
	if b.label == "" {
		return b.spans
	}
	return append(one(bold(b.label+":"), text(" ")), b.spans...)
}

// flush writes what was laid out.
func (t *terminal) flush(w io.Writer) error {
	_, err := io.WriteString(w, t.b.String())
	return err
}
