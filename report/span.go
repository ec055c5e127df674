package report

import (
	"strings"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

// emphasis is how a span of letters stands out.
type emphasis uint8

const (
	plain  emphasis = iota
	strong          // bold: headings, labels, what must not be missed
	faint           // of second rank
	code            // to be typed or written as it stands: ids, lines of a sheet; the accent
)

// span is a run of text with one emphasis. Its text is clean.
type span struct {
	text string
	as   emphasis
}

// text keeps the spaces at its ends, which join it to its neighbours; the others lose theirs.
func text(s string) span  { return span{strings.ReplaceAll(clean(s), "\n", " "), plain} }
func bold(s string) span  { return span{oneLine(s), strong} }
func dim(s string) span   { return span{oneLine(s), faint} }
func typed(s string) span { return span{oneLine(s), code} }

func one(s ...span) []span { return s }

// word is what stays on one line: pieces of spans without a space between them.
type word []span

// words cuts spans at their spaces. No-break spaces do not cut.
func words(spans []span) []word {
	var out []word
	open := false
	for _, s := range spans {
		for i, part := range strings.Split(s.text, " ") {
			open = open && i == 0
			if part == "" {
				continue
			}
			if !open {
				out = append(out, nil)
				open = true
			}
			last := len(out) - 1
			out[last] = append(out[last], span{part, s.as})
		}
	}
	return out
}

func (w word) width() int {
	n := 0
	for _, p := range w {
		n += width(p.text)
	}
	return n
}

// width is the number of columns that s takes. Letters of ambiguous width (UAX 11) count as narrow whatever the locale, so
// that a text is the same everywhere.
func width(s string) int {
	n := 0
	for _, r := range s {
		if r >= firstCombining {
			return twwidth.WidthWithOptions(s, twwidth.Options{})
		}
		n++
	}
	return n
}

// firstCombining is the first letter in the order of Unicode that does not take one column; clean text has no control letters.
const firstCombining = 0x300

// fill breaks spans into lines: the first is at most first columns wide, the others rest. Longer words are cut.
func fill(spans []span, first, rest int) [][]span {
	first, rest = max(first, 2), max(rest, 2)
	if fitsAsItIs(spans, first) {
		return [][]span{spans[:len(spans):len(spans)]}
	}
	var lines [][]span
	var line []span
	used, room := 0, first
	flush := func() {
		lines = append(lines, line)
		line, used, room = nil, 0, rest
	}
	for _, w := range words(spans) {
		n := w.width()
		if used > 0 && used+1+n > room {
			flush()
		}
		for n > room {
			var head word
			head, w = w.cut(room)
			line = append(line, head...)
			flush()
			n -= head.width()
		}
		if used > 0 {
			line = append(line, text(" "))
			used++
		}
		line = append(line, w...)
		used += n
	}
	if len(line) > 0 {
		lines = append(lines, line)
	}
	return lines
}

// fitsAsItIs says that spans make one line without anything to be done: the common case, which need not be taken to pieces.
func fitsAsItIs(spans []span, room int) bool {
	used, space := 0, true
	for _, s := range spans {
		for i := 0; i < len(s.text); i++ {
			if s.text[i] == ' ' && space {
				return false
			}
			space = s.text[i] == ' '
		}
		if used += width(s.text); used > room {
			return false
		}
	}
	return !space
}

// cut splits a word after at most n columns, and never before a letter that joins onto the one before it.
func (w word) cut(n int) (head, tail word) {
	used := 0
	for i, p := range w {
		for j, r := range p.text {
			rw := width(string(r))
			if rw > 0 && used > 0 && used+rw > n {
				head = append(append(head, w[:i]...), keep(p, p.text[:j])...)
				return head, append(keep(p, p.text[j:]), w[i+1:]...)
			}
			used += rw
		}
	}
	return w, nil
}

func keep(p span, s string) word {
	if s == "" {
		return nil
	}
	return word{{s, p.as}}
}

// shorten returns spans in at most n columns: whole when they fit, otherwise cut at a word with "..." behind it.
func shorten(spans []span, n int) []span {
	lines := fill(spans, n, n)
	if len(lines) <= 1 {
		return join(lines)
	}
	lines = fill(spans, n-4, n-4)
	return append(lines[0], text(" ..."))
}

// shortenLines returns spans filled into at most k lines, the last one cut with "..." when there were more.
func shortenLines(spans []span, first, rest, k int) [][]span {
	lines := fill(spans, first, rest)
	if len(lines) <= k {
		return lines
	}
	room := rest
	if k == 1 {
		room = first
	}
	last := fill(lines[k-1], room-4, room-4)[0]
	return append(lines[:k-1:k-1], append(last, text(" ...")))
}

func join(lines [][]span) []span {
	if len(lines) == 0 {
		return nil
	}
	return lines[0]
}
