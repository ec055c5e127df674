package report

// line draws a straight line of a thickness.
func (p *printout) line(x0, y0, x1, y1, thick float64, c shade) {
	p.pdf.SetDrawColor(c.r, c.g, c.b)
	p.pdf.SetLineWidth(thick)
	p.pdf.Line(x0, y0, x1, y1)
}

// rect draws a filled frame; without thickness it has no edge.
func (p *printout) rect(x, y, w, h, thick float64, edge, inside shade) {
	p.pdf.SetFillColor(inside.r, inside.g, inside.b)
	style := "F"
	if thick > 0 {
		p.pdf.SetDrawColor(edge.r, edge.g, edge.b)
		p.pdf.SetLineWidth(thick)
		style = "FD"
	}
	p.pdf.Rect(x, y, w, h, style)
}

// signatureHeight is the room that signatures take.
const signatureHeight = 16.0

// signatures sets lines to sign on, side by side, kept together, each with what it is for below it.
func (p *printout) signatures(labels ...string) {
	const gap = 8.0
	p.room(signatureHeight)
	p.y += 11
	w := (p.width - gap*float64(len(labels)-1)) / float64(len(labels))
	for i, l := range labels {
		x := p.left + float64(i)*(w+gap)
		p.line(x, p.y, x+w, p.y, 0.3, black)
		p.put(x, p.y+1, smallSize, one(dim(l)))
	}
	p.y += 5
}
