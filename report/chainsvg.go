package report

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"diagnose.example/engine"
)

// ChainSVG writes a chain as a drawing in SVG 1.1: one document without scripts, style sheets or anything from outside, that
// says the same in its description, in black and grey as well as on a screen. Rows run from causes at the top to findings.
func ChainSVG(w io.Writer, c *Chain, p Picture) error {
	return c.draw(w, p, &citations{k: c.k}, (*sketch).sources)
}

// draw draws the chain with marks of the sources of cites, which list writes below it.
func (c *Chain) draw(w io.Writer, p Picture, cites *citations, list func(*sketch)) error {
	room := p.Width
	if room == 0 {
		room = PageWidth
	}
	room = max(room, PhoneWidth)
	s := &sketch{Chain: c, cites: cites}
	least := boxWidth
	if room < 2*PhoneWidth {
		least = slimWidth
	}
	boxes := c.boxes(s.cites, least)
	d := layOut(boxes, c.links, float64(room)-2*margin)
	s.width = max(d.width, PhoneWidth-2*margin)
	s.heading()
	d.move((s.width-d.width)/2, s.y)
	s.drawing(d)
	s.y += d.height
	s.legend(boxes)
	s.caption(list)
	_, err := io.WriteString(w, s.document())
	return err
}

// The ink of the drawing. One dark ink for everything keeps it the same in grey; the fill of causes is lighter than any print
// would lose.
const (
	ink   = "#14273b"
	paper = "#ffffff"
	plate = "#e8edf3"
	inked = `stroke="` + ink + `"`
)

const (
	margin      = 14.0
	paragraphs  = 7.0 // between paragraphs
	captionSize = 11.0
	headingSize = 17.0
)

// sketch writes the drawing from top to bottom.
type sketch struct {
	*Chain
	cites *citations
	b     strings.Builder
	width float64 // without the margins
	y     float64 // of what comes next
}

// letters writes one line of text with its base line at y.
func (s *sketch) letters(x, y, size float64, attributes, line string) {
	if attributes != "" {
		attributes = " " + attributes
	}
	fmt.Fprintf(&s.b, "<text x=\"%s\" y=\"%s\" font-size=\"%s\"%s>%s</text>\n", at1(x), at1(y), at1(size), attributes, escapeXML(line))
}

const (
	boldLetters   = `font-weight="bold"`
	slopedLetters = `font-style="italic"`
)

// paragraph writes running text across the picture.
func (s *sketch) paragraph(text string, size float64, attributes string) {
	factor := 1.0
	if attributes == boldLetters {
		factor = boldFactor
	}
	for _, l := range wrap(text, size*factor, s.width) {
		s.y += size * leading
		s.letters(0, s.y-size*(leading-1), size, attributes, l)
	}
	s.y += paragraphs
}

func (s *sketch) heading() {
	s.paragraph(s.title, headingSize, boldLetters)
	if s.view != nil {
		s.paragraph(upperFirst(s.view.machineText()), captionSize, "")
		s.stops()
	}
	s.paragraph(s.subtitle, titleSize, "")
	s.y += paragraphs
}

// stops writes the stop notices, which come before anything else, in a frame.
func (s *sketch) stops() {
	for _, n := range s.view.stopNotices() {
		top := s.y
		s.y += paragraphs
		s.indented(func() {
			s.paragraph("STOP: "+n.title+n.places, titleSize, boldLetters)
			s.paragraph(oneLine(n.stop.Do)+drawnMark(s.cites, n.stop.Cites), captionSize, "")
			if caution := oneLine(n.stop.Caution); caution != "" {
				s.paragraph("Caution: "+caution, captionSize, boldLetters)
			}
		})
		fmt.Fprintf(&s.b, "<rect x=\"0\" y=\"%s\" width=\"%s\" height=\"%s\" fill=\"none\" "+inked+" stroke-width=\"3\"/>\n", at1(top), at1(s.width), at1(s.y-top))
		s.y += 2 * paragraphs
	}
}

// indented writes what write does inside a frame.
func (s *sketch) indented(write func()) {
	const inside = 10.0
	fmt.Fprintf(&s.b, "<g transform=\"translate(%s 0)\">\n", at1(inside))
	s.width -= 2 * inside
	write()
	s.width += 2 * inside
	s.b.WriteString("</g>\n")
}

func (s *sketch) drawing(d *chainDrawing) {
	s.lines(d)
	for _, b := range d.boxes {
		s.box(b)
		if b.number > 0 {
			s.balloon(b.balloon(), strconv.Itoa(b.number))
		}
	}
	for _, w := range d.words {
		if w.number > 0 {
			s.balloon(point{w.x + balloonSize, w.y + w.height() - balloonSize - leastSpace/2}, strconv.Itoa(w.number))
		}
		for i, l := range w.lines {
			s.letters(w.x, w.y+wordSize*(1+leading*float64(i)), wordSize, slopedLetters, l)
		}
	}
}

// lines draws the lines with their arrows and dots: pieces that lead to what nobody asked about are broken.
func (s *sketch) lines(d *chainDrawing) {
	var whole, broken strings.Builder
	for _, w := range d.wires {
		to := &whole
		if w.open {
			to = &broken
		}
		fmt.Fprintf(to, "M%s %sL%s %s", at1(w.from.x), at1(w.from.y), at1(w.to.x), at1(w.to.y))
	}
	if whole.Len() > 0 {
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"none\" "+inked+" stroke-width=\"1.2\" stroke-linecap=\"square\"/>\n", &whole)
	}
	if broken.Len() > 0 {
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"none\" "+inked+" stroke-width=\"1.2\" stroke-dasharray=\"%s\"/>\n", &broken, dashes)
	}
	var solid strings.Builder
	for _, a := range d.arrows {
		solid.WriteString(arrowHead(a))
	}
	for _, p := range d.dots {
		solid.WriteString(disc(p, 2.6))
	}
	if solid.Len() > 0 {
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"%s\"/>\n", &solid, ink)
	}
}

const dashes = "4 3"

// box draws a frame with what stands in it.
func (s *sketch) box(b *chainBox) {
	s.frame(b)
	x, y := b.x-b.w/2+b.left(), b.y+boxPad
	put := func(dx, size float64, attributes, line string) {
		s.letters(x+dx, y+size, size, attributes, line)
		y += size * leading
	}
	for _, l := range b.head {
		put(0, headSize, `letter-spacing="0.2"`, l)
	}
	attributes := ""
	if b.kind == causeKind {
		attributes = boldLetters
	}
	for _, l := range b.title {
		put(0, titleSize, attributes, l)
	}
	for _, l := range b.says {
		switch {
		case b.kind != findingKind:
			put(0, saysSize, boldLetters, l.text)
		default:
			if l.marked {
				s.mark(point{x + 5, y + saysSize*0.62}, l.state)
			}
			put(markRoom, saysSize, "", l.text)
		}
	}
}

// frame draws the outline: a plate with its corners off for a cause, a rounded frame for an effect, a tie-on tag with its eye
// for a finding.
func (s *sketch) frame(b *chainBox) {
	x0, x1, y0, y1 := b.x-b.w/2, b.x+b.w/2, b.y, b.y+b.h
	const corner = 9.0
	switch b.kind {
	case causeKind:
		fmt.Fprintf(&s.b, "<path d=\"M%s %sH%sL%s %sV%sL%s %sH%sL%s %sV%sZ\" fill=\"%s\" "+inked+" stroke-width=\"2.4\"/>\n",
			at1(x0+corner), at1(y0), at1(x1-corner), at1(x1), at1(y0+corner), at1(y1-corner), at1(x1-corner), at1(y1),
			at1(x0+corner), at1(x0), at1(y1-corner), at1(y0+corner), plate)
	case effectKind:
		fmt.Fprintf(&s.b, "<rect x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" rx=\"%s\" fill=\"%s\" "+inked+" stroke-width=\"1.6\"/>\n",
			at1(x0), at1(y0), at1(b.w), at1(b.h), at1(corner), paper)
	default:
		style := inked + ` stroke-width="1.1"`
		if b.seen {
			style = inked + ` stroke-width="2"`
		} else if b.open {
			style = inked + ` stroke-width="1.1" stroke-dasharray="` + dashes + `"`
		}
		fmt.Fprintf(&s.b, "<path d=\"M%s %sH%sV%sH%sL%s %sV%sZ\" fill=\"%s\" %s/>\n",
			at1(x0+corner), at1(y0), at1(x1), at1(y1), at1(x0+corner), at1(x0), at1(y1-corner), at1(y0+corner), paper, style)
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"none\" "+inked+" stroke-width=\"1.1\"/>\n", disc(point{x0 + 9.5, b.y + b.h/2}, 3.2))
	}
}

// balloonSize is the radius of the circle around the number of a line; numberSize is that of its figures.
const (
	balloonSize = 7.6
	numberSize  = 9.5
)

// balloon is where the number of the line out of a box stands: on its lower edge, at the right.
func (b *chainBox) balloon() point { return point{b.x + b.w/2 - 2.5*balloonSize, b.y + b.h} }

func (s *sketch) balloon(p point, number string) {
	fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"%s\" "+inked+" stroke-width=\"1.1\"/>\n", disc(p, balloonSize), paper)
	s.letters(p.x, p.y+numberSize*0.36, numberSize, `text-anchor="middle"`, number)
}

// mark draws what a sheet says of a finding: a full disc where it was observed, a cross where it was looked for and is not so,
// a disc half full where it is in doubt, and an empty one where nobody asked.
func (s *sketch) mark(p point, state engine.State) {
	const r = 4.0
	switch state {
	case engine.Seen:
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"%s\" "+inked+" stroke-width=\"1.1\"/>\n", disc(p, r), ink)
	case engine.NotSeen:
		fmt.Fprintf(&s.b, "<path d=\"M%s %sL%s %sM%s %sL%s %s\" fill=\"none\" "+inked+" stroke-width=\"2\"/>\n",
			at1(p.x-r), at1(p.y-r), at1(p.x+r), at1(p.y+r), at1(p.x-r), at1(p.y+r), at1(p.x+r), at1(p.y-r))
	case engine.Doubtful:
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"none\" "+inked+" stroke-width=\"1.1\"/>\n<path d=\"M%s %sA4 4 0 0 0 %s %sZ\" fill=\"%s\" "+inked+" stroke-width=\"1.1\"/>\n",
			disc(p, r), at1(p.x), at1(p.y-r), at1(p.x), at1(p.y+r), ink)
	default:
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"none\" "+inked+" stroke-width=\"1.1\" stroke-dasharray=\"2 1.6\"/>\n", disc(p, r))
	}
}

func disc(p point, r float64) string {
	return fmt.Sprintf("M%s %sa%s %s 0 1 0 %s 0a%s %s 0 1 0 %s 0Z", at1(p.x-r), at1(p.y), at1(r), at1(r), at1(2*r), at1(r), at1(r), at1(-2*r))
}

func arrowHead(p point) string {
	return fmt.Sprintf("M%s %sl%s %sh%sZ", at1(p.x), at1(p.y), at1(-arrowSize*0.6), at1(-arrowSize), at1(arrowSize*1.2))
}
