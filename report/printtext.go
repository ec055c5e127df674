package report

import "strings"

// letters chooses the face for an emphasis.
func (p *printout) letters(as emphasis, size float64) {
	c := black
	switch as {
	case strong:
		p.pdf.SetFont(serifless, "B", size)
	case code:
		p.pdf.SetFont(typewriter, "", size*0.94)
	case faint:
		p.pdf.SetFont(serifless, "", size)
		c = grey
	default:
		p.pdf.SetFont(serifless, "", size)
	}
	p.pdf.SetTextColor(c.r, c.g, c.b)
}

// measure returns the length of a line of spans.
func (p *printout) measure(line []span, size float64) float64 {
	n := 0.0
	for _, s := range line {
		p.letters(s.as, size)
		n += p.pdf.GetStringWidth(p.glyphs.printable(s.text))
	}
	return n
}

// put sets one line with its upper edge at y.
func (p *printout) put(x, y, size float64, line []span) {
	for _, s := range line {
		shown := p.glyphs.printable(s.text)
		p.letters(s.as, size)
		p.pdf.Text(x, y+size*pointMM, shown)
		x += p.pdf.GetStringWidth(shown)
	}
}

// wrap breaks spans into lines of at most a width, at spaces; a longer word is cut.
func (p *printout) wrap(spans []span, size, width float64) [][]span {
	var lines [][]span
	var line []span
	used, gap := 0.0, p.measure(one(text("x x")), size)-p.measure(one(text("xx")), size)
	flush := func() { lines, line, used = append(lines, line), nil, 0 }
	for _, w := range words(spans) {
		n := p.measure(w, size)
		if used > 0 && used+gap+n > width {
			flush()
		}
		for n > width {
			head, tail := p.cut(w, size, width)
			if len(tail) == 0 {
				break
			}
			line = append(line, head...)
			flush()
			w, n = tail, p.measure(tail, size)
		}
		if used > 0 {
			line = append(line, text(" "))
			used += gap
		}
		line = append(line, w...)
		used += n
	}
	if len(line) > 0 {
		lines = append(lines, line)
	}
	return joinSpans(lines)
}

// cut splits a word so that its head fits; the head has one letter at least.
func (p *printout) cut(w word, size, width float64) (head, tail word) {
	used := 0.0
	for i, s := range w {
		for j, r := range s.text {
			n := p.measure(one(span{string(r), s.as}), size)
			if used > 0 && used+n > width {
				return append(append(head, w[:i]...), keep(s, s.text[:j])...), append(keep(s, s.text[j:]), w[i+1:]...)
			}
			used += n
		}
	}
	return w, nil
}

// joinSpans makes one span of neighbours of the same emphasis: a line is then set in few pieces, and found by a search in it.
func joinSpans(lines [][]span) [][]span {
	for i, line := range lines {
		var out []span
		for _, s := range line {
			if n := len(out) - 1; n >= 0 && (out[n].as == s.as || s.text == " ") {
				out[n].text += s.text
			} else {
				out = append(out, s)
			}
		}
		lines[i] = out
	}
	return lines
}

// block sets running text from the left edge plus indent, with what hangs before its first line.
func (p *printout) block(indent float64, hang string, size float64, spans []span) {
	h := lineHeight(size)
	lines := p.wrap(spans, size, p.width-indent)
	for i, l := range lines {
		if i == 0 && len(lines) > 1 {
			p.room(2 * h) // no single first line at the foot of a page
		}
		p.room(h)
		if i == 0 && hang != "" {
			p.put(p.left+indent-4, p.y, size, one(text(hang)))
		}
		p.put(p.left+indent, p.y, size, l)
		p.y += h
	}
}

// heading sets a heading: 1 is the title of the page, 2 a section, 3 a part of it. Some of what follows stays with it.
func (p *printout) heading(level int, spans ...span) {
	size, before, after := p.headingSize(level)
	p.room(before + 4*lineHeight(size))
	if p.y > topMargin+12 {
		p.y += before
	}
	bolder := make([]span, len(spans))
	for i, s := range spans {
		bolder[i] = span{s.text, strong}
	}
	p.block(0, "", size, bolder)
	p.y += after
}

// headingSize is the size of a heading's letters and the air before and after it.
func (p *printout) headingSize(level int) (size, before, after float64) {
	size, before, after = headSizes, 3.0, 0.8
	switch level {
	case 1:
		size, before, after = largeSize, 0, 3
	case 3:
		size, before, after = bodySize, 1.8, 0.4
	}
	return size, p.gap(before), p.gap(after)
}

// headed sets a table with its heading, which stays with the beginning of the table.
func (p *printout) headed(level int, spans []span, t *printTable) {
	size, before, after := p.headingSize(level)
	head, rows := p.setRows(t, p.columnWidths(t))
	p.room(before + lineHeight(size) + after + p.beginning(head, rows))
	p.heading(level, spans...)
	p.grid(t)
}

// para sets a paragraph.
func (p *printout) para(spans ...span) {
	p.block(0, "", bodySize, spans)
	p.y += p.gap(1.6)
}

// small sets a paragraph in small letters.
func (p *printout) small(spans ...span) {
	p.block(0, "", smallSize, spans)
	p.y += p.gap(1)
}

// item sets an item of a list at a depth from 0.
func (p *printout) item(level int, spans ...span) {
	p.block(5+5*float64(level), "\u2022", bodySize, spans)
	p.y += p.gap(0.3)
}

// items sets a list of texts, in two columns when that saves room and every one fits into a line of half the width.
func (p *printout) items(list []string) {
	const gap = 2.0
	half := (p.width-gap)/2 - 5
	fits := len(list) > 4
	for _, s := range list {
		fits = fits && p.measure(one(text(s)), bodySize) <= half
	}
	if !fits {
		for _, s := range list {
			p.item(0, text(s))
		}
		return
	}
	rows := (len(list) + 1) / 2
	for i := range rows {
		p.room(lineHeight(bodySize))
		for j, x := range []float64{p.left, p.left + half + 5 + gap} {
			if at := i + j*rows; at < len(list) {
				p.put(x+1, p.y, bodySize, one(text("\u2022")))
				p.put(x+5, p.y, bodySize, one(text(list[at])))
			}
		}
		p.y += lineHeight(bodySize) + 0.3
	}
}

// smallItem sets an item of a list in small letters.
func (p *printout) smallItem(spans ...span) {
	p.block(5, "\u2022", smallSize, spans)
	p.y += p.gap(0.4)
}

// field sets a label in a column of its own and what belongs to it beside it, unless there is nothing to say.
func (p *printout) field(label string, spans ...span) {
	if empty(spans) {
		return
	}
	const column = 28.0
	h := lineHeight(bodySize)
	lines := p.wrap(spans, bodySize, p.width-column)
	p.room(min(float64(len(lines)), 3) * h)
	p.put(p.left, p.y, bodySize, one(dim(label)))
	for _, l := range lines {
		p.room(h)
		p.put(p.left+column, p.y, bodySize, l)
		p.y += h
	}
	p.y += 0.5
}

// caution sets a caution in a frame with a bar at its left, kept whole on a page as long as a page holds it.
func (p *printout) caution(s string) { p.warning("Caution", s) }

// warning is caution with another word before it.
func (p *printout) warning(label, s string) {
	const inside = 4.0
	lines := p.wrap(one(bold(label+":"), text(" "+oneLine(s))), bodySize, p.width-2*inside)
	h := lineHeight(bodySize)
	p.room(float64(len(lines))*h + 3)
	for len(lines) > 0 {
		n := min(len(lines), max(1, int((p.bottom()-p.y-3)/h)))
		p.rect(p.left, p.y, p.width, float64(n)*h+2, 0, tint, tint)
		p.rect(p.left, p.y, 1.2, float64(n)*h+2, 0, black, black)
		for i, l := range lines[:n] {
			p.put(p.left+inside, p.y+1+float64(i)*h, bodySize, l)
		}
		p.y += float64(n)*h + 4
		if lines = lines[n:]; len(lines) > 0 {
			p.newPage()
		}
	}
}

// note sets lines as somebody wrote them, beside a thin line.
func (p *printout) note(lines []string) {
	for _, l := range lines {
		top := p.y
		if strings.TrimSpace(l) == "" {
			p.y += lineHeight(bodySize)
		} else {
			p.block(9, "", bodySize, one(text(l)))
		}
		if p.y > top {
			p.line(p.left+6, top, p.left+6, p.y, 0.3, pale)
		}
	}
	p.y += 1.6
}
