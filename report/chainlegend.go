package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"diagnose.example/engine"
)

// legendEntry is one sign of the drawing with its meaning.
type legendEntry struct {
	means string
	draw  func(s *sketch, p point) // around p, at most 34 wide and 20 high
}

// legend explains the signs that occur, side by side as far as they fit.
func (s *sketch) legend(boxes []*chainBox) {
	const signRoom, cellWidth, gap = 44.0, 270.0, 12.0
	s.y += 3 * paragraphs
	s.rule()
	columns := max(1, int((s.width+gap)/(cellWidth+gap)))
	cell := (s.width - gap*float64(columns-1)) / float64(columns)
	entries := signs(boxes)
	for len(entries) > 0 {
		n := min(columns, len(entries))
		height := 22.0
		for i, e := range entries[:n] {
			x := float64(i) * (cell + gap)
			lines := wrap(e.means, captionSize, cell-signRoom)
			e.draw(s, point{x + signRoom/2 - 5, s.y + 11})
			for j, l := range lines {
				s.letters(x+signRoom, s.y+11+captionSize*(0.35+leading*(float64(j)-float64(len(lines)-1)/2)), captionSize, "", l)
			}
			height = max(height, leading*captionSize*float64(len(lines)))
		}
		s.y += height + paragraphs
		entries = entries[n:]
	}
}

func (s *sketch) rule() {
	fmt.Fprintf(&s.b, "<path d=\"M0 %sH%s\" fill=\"none\" "+inked+" stroke-width=\"0.8\"/>\n", at1(s.y), at1(s.width))
	s.y += 2 * paragraphs
}

// signs are the entries of the legend for what is in the picture.
func signs(boxes []*chainBox) []legendEntry {
	var out []legendEntry
	add := func(means string, there bool, draw func(*sketch, point)) {
		if there {
			out = append(out, legendEntry{means, draw})
		}
	}
	has := func(f func(*chainBox) bool) bool { return slices.ContainsFunc(boxes, f) }
	says := func(state engine.State) bool {
		return has(func(b *chainBox) bool {
			return slices.ContainsFunc(b.says, func(l saysLine) bool { return l.marked && l.state == state })
		})
	}
	sample := func(kind chainKind, open bool) func(*sketch, point) {
		return func(s *sketch, p point) {
			s.frame(&chainBox{kind: kind, open: open, x: p.x, y: p.y - 10, w: 34, h: 20})
		}
	}
	mark := func(state engine.State) func(*sketch, point) {
		return func(s *sketch, p point) { s.mark(p, state) }
	}
	add("Plate with its corners off: a cause, which can be repaired or adjusted", true, sample(causeKind, false))
	add("Rounded frame: an effect, what goes wrong inside", has(func(b *chainBox) bool { return b.kind == effectKind }), sample(effectKind, false))
	add("Tag with an eye: a finding, what is seen, heard or measured", has(func(b *chainBox) bool { return b.kind == findingKind && !b.open }), sample(findingKind, false))
	add("Broken line: nobody asked about it", has(func(b *chainBox) bool { return b.open }), sample(findingKind, true))
	add("Full disc: observed", says(engine.Seen), mark(engine.Seen))
	add("Cross: looked at, not so; speaks against", says(engine.NotSeen), mark(engine.NotSeen))
	add("Half a disc: in doubt, the reading is near a limit", says(engine.Doubtful), mark(engine.Doubtful))
	add("Number: a line that runs far leaves here, and ends at the arrows with the same number", has(func(b *chainBox) bool { return b.number > 0 }),
		func(s *sketch, p point) { s.balloon(p, "1") })
	joined := has(func(b *chainBox) bool { return len(b.words) > 0 })
	add("Lines join at a dot; without one they only cross", joined, func(s *sketch, p point) {
		fmt.Fprintf(&s.b, "<path d=\"M%s %sh34m-24 -9v18m14 -18v18\" fill=\"none\" "+inked+" stroke-width=\"1.2\"/>\n<path d=\"%s\" fill=\"%s\"/>\n",
			at1(p.x-17), at1(p.y), disc(point{p.x - 7, p.y}, 2.6), ink)
	})
	return out
}

// caption writes how the picture is read, and the sources, which list lists.
func (s *sketch) caption(list func(*sketch)) {
	s.rule()
	for _, p := range s.reading() {
		s.paragraph(p, captionSize, "")
	}
	list(s)
	s.unpublished()
	s.paragraph(localCodes, captionSize, boldLetters)
}

// sources lists what was cited, with chapter and verse, which the drawing has no room for.
func (s *sketch) sources() {
	at := s.chapters()
	if len(s.cites.order) > 0 {
		s.paragraph("Sources", titleSize, boldLetters)
	}
	for i, id := range s.cites.order {
		entry := fmt.Sprintf("[%d] %s", i+1, s.cites.entry(id))
		if len(at[id]) > 0 {
			entry += ". Here: " + strings.Join(at[id], "; ")
		}
		s.paragraph(entry, captionSize, "")
		s.y -= paragraphs / 2
	}
}

// sourcesElsewhere leaves the titles of what was cited to the end of what the picture is part of.
func (s *sketch) sourcesElsewhere() {
	at := s.chapters()
	var here []string
	for i, id := range s.cites.order {
		if len(at[id]) > 0 {
			here = append(here, fmt.Sprintf("[%d] %s", i+1, strings.Join(at[id], "; ")))
		}
	}
	if len(here) > 0 {
		s.paragraph("Sources are listed at the end. Here: "+strings.Join(here, "; ")+".", captionSize, "")
	}
}

// chapters returns where in each source the nodes have theirs from.
func (s *sketch) chapters() map[string][]string {
	at := map[string][]string{}
	for _, n := range s.nodes {
		for _, x := range n.cites {
			if x.At != "" {
				at[x.Source] = appendNew(at[x.Source], oneLine(x.At))
			}
		}
	}
	return at
}

// unpublished says what the marks of statements without a published source mean.
func (s *sketch) unpublished() {
	for _, m := range []struct{ mark, means string }{{practiceMark, "common practice"}, {memoryMark, "from memory, no source"}} {
		if slices.ContainsFunc(s.nodes, func(n chainNode) bool { return drawnMark(s.cites, n.cites) == m.mark }) {
			s.paragraph(strings.TrimSpace(m.mark)+" "+m.means, captionSize, "")
		}
	}
}

// document puts head and foot around what was drawn.
func (s *sketch) document() string {
	return s.framed("chain-"+xmlID(s.title), s.title+": "+lowerFirst(s.subtitle), s.description())
}

// framed puts head and foot around what was drawn, with a title and a description for those who do not see it.
func (s *sketch) framed(id, title, description string) string {
	w, h := s.width+2*margin, s.y+2*margin
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" viewBox=\"0 0 %s %s\" width=\"%s\" height=\"%s\""+
		" style=\"max-width:100%%;height:auto\" role=\"img\" aria-labelledby=\"%s-title %s-desc\">\n", at1(w), at1(h), at1(w), at1(h), id, id)
	fmt.Fprintf(&b, "<title id=\"%s-title\">%s</title>\n", id, escapeXML(title))
	fmt.Fprintf(&b, "<desc id=\"%s-desc\">%s</desc>\n", id, escapeXML(description))
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"%s\" fill=\"%s\"/>\n", at1(w), at1(h), paper)
	fmt.Fprintf(&b, "<g transform=\"translate(%s %s)\" fill=\"%s\" font-family=\"sans-serif\">\n", at1(margin), at1(margin), ink)
	b.WriteString(s.b.String())
	b.WriteString("</g>\n</svg>\n")
	return b.String()
}

// description says in sentences what the drawing shows, for those who do not see it.
func (s *sketch) description() string {
	var b strings.Builder
	out := downward(len(s.nodes), s.links)
	for i, n := range s.nodes {
		fmt.Fprintf(&b, "%s: %s%s%s", n.kind, n.title, s.spot(n), s.chance(n))
		if states := s.states(n); states != "" {
			b.WriteString(", " + states)
		}
		var leads []string
		for _, l := range out[i] {
			leads = append(leads, l.word+" to "+strconv.Quote(s.nodes[l.to].title))
		}
		if len(leads) > 0 {
			b.WriteString("; leads " + strings.Join(leads, ", "))
		}
		b.WriteString(". ")
	}
	return strings.TrimSpace(b.String())
}

// at1 writes a coordinate to a tenth of a pixel.
func at1(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}

// xmlEscapes holds what clean text may have that means something else between tags. Two characters of clean text are none in XML
// (XML 1.0, 2.2).
var xmlEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\ufffe", "\ufffd", "\uffff", "\ufffd")

// escapeXML makes clean text mean itself between tags.
func escapeXML(s string) string { return xmlEscapes.Replace(s) }

// xmlID makes an identifier out of a title; letters outside ASCII become hyphens.
func xmlID(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, s)
}
