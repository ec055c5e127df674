package report

import (
	"fmt"
	"math"
	"strings"

	"diagnose.example/carburetor"
)

// bowlSketch draws a bowl in pixels: right and down from the upper left corner of the drawing.
type bowlSketch struct {
	*sketch
	*bowl
	scale       float64 // pixels per millimetre
	left, top   float64 // millimetres at the upper left corner of the metal
	dx, dy      float64 // pixels of the same corner
	right       float64 // x of the outside of the bowl, in millimetres
	levelTold   [2]string
	bottom      float64 // y of its underside
	seatY, tang float64 // y of the seat's lower edge and of the needle's lower end
}

const (
	wall       = 2.4 // of the bowl, mm
	flange     = 3.2 // beyond the wall, mm
	coverDepth = 9.0 // mm
	mostScale  = 8.0 // px per mm
	tallest    = 470.0
	dimSize    = 12.0
	dimGap     = 21.0 // between rows of dimensions
	thin       = inked + ` stroke-width="0.7"`
	firm       = inked + ` stroke-width="1.6" stroke-linejoin="round"`
	fuelTint   = "#dfe7ef"
	steelTint  = "#b9c4d0"
)

// cutAway draws the bowl across the room there is, and the legend below.
func (s *sketch) cutAway(b *bowl) {
	d := &bowlSketch{sketch: s, bowl: b}
	d.frame()
	s.b.WriteString("<defs><pattern id=\"reckon-cut\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">" +
		"<rect width=\"6\" height=\"6\" fill=\"" + paper + "\"/><path d=\"M0 0V6\" " + inked + " stroke-width=\"1.3\"/></pattern></defs>\n")
	d.fuel()
	d.levels()
	d.metal()
	d.floatAndArm()
	d.needle()
	d.dimensions()
	d.numbers()
	s.y = d.py(d.bottom) + 10 + dimGap*float64(len(b.arms)) + 8
	d.scaleBar()
	s.bowlLegend(b)
}

// frame finds scale and place.
func (d *bowlSketch) frame() {
	b := d.bowl
	lever := math.Tan(b.angle) * b.needleArm
	d.tang = max(1.2, lever+0.7)
	d.seatY = max(b.gasket-0.5, d.tang+5.5)
	d.left, d.right = -drawnClear-wall-flange, max(b.far, b.float[1].X, b.float[2].X)+drawnClear+wall+flange
	d.top, d.bottom = max(b.gasket+coverDepth, d.seatY+4, d.pocket()+3), b.floor-wall
	extent, atLeft, atRight := d.right, 8.0, 8.0
	for _, a := range b.arms {
		extent, atRight = max(extent, a.to), max(atRight, dimRoom(a.number))
	}
	if b.datum != "" {
		atRight = max(atRight, dimRoom(b.height), dimRoom(b.book))
	}
	if b.fromLevel && b.shuts {
		number, side, _ := strings.Cut(aboveOrBelow(b.level-b.gasket), " ") // not at the space before the unit, which does not break
		d.levelTold = [2]string{number, side}
		atLeft = max(dimRoom(number), dimRoom(side))
	}
	room := d.width - atLeft - atRight
	d.scale = min(mostScale, room/(extent-d.left), tallest/(d.top-d.bottom))
	middle := (d.width - d.scale*(d.right-d.left)) / 2
	d.dx = max(atLeft, min(middle, d.width-atRight-d.scale*(extent-d.left)))
	d.dy = d.y + 26
}

// dimRoom is what a dimension beside the bowl takes with its text.
func dimRoom(text string) float64 { return 14 + 9 + boldFactor*advance(text, dimSize) }

func (d *bowlSketch) px(x float64) float64 { return d.dx + (x-d.left)*d.scale }
func (d *bowlSketch) py(y float64) float64 { return d.dy + (d.top-y)*d.scale }

// shape writes a polygon of points in millimetres.
func (d *bowlSketch) shape(attributes string, points ...carburetor.Point) {
	var path strings.Builder
	for i, p := range points {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		fmt.Fprintf(&path, "%s%s %s", letter, at1(d.px(p.X)), at1(d.py(p.Y)))
	}
	fmt.Fprintf(&d.b, "<path d=\"%sZ\" %s/>\n", &path, attributes)
}

func (d *bowlSketch) box(attributes string, x0, y0, x1, y1 float64) {
	d.shape(attributes, carburetor.Point{X: x0, Y: y0}, carburetor.Point{X: x1, Y: y0}, carburetor.Point{X: x1, Y: y1}, carburetor.Point{X: x0, Y: y1})
}

// stroke writes a line in pixels.
func (d *bowlSketch) stroke(attributes string, x0, y0, x1, y1 float64) {
	fmt.Fprintf(&d.b, "<path d=\"M%s %sL%s %s\" fill=\"none\" %s/>\n", at1(x0), at1(y0), at1(x1), at1(y1), attributes)
}

// inside are the inner walls of the bowl.
func (d *bowlSketch) inside() (left, right float64) {
	return d.left + wall + flange, d.right - wall - flange
}

func (d *bowlSketch) fuel() {
	left, right := d.inside()
	tint := `fill="` + fuelTint + `"`
	d.box(tint, left, d.level, right, d.floor)
	half := d.seat / 2
	d.box(tint, d.needleArm-half, d.top, d.needleArm+half, d.seatY)
	// Broken strokes are the usual sign for a liquid.
	for i, y := 0, d.level-3.5; y > d.floor+1; i, y = i+1, y-3.5 {
		for x := left + 2 + 3*float64(i%2); x+3 < right; x += 7 {
			d.stroke(thin, d.px(x), d.py(y), d.px(x+2.4), d.py(y))
		}
	}
}

// metal draws what is cut: cover with the seat in it, gasket and bowl.
func (d *bowlSketch) metal() {
	const cut = `fill="url(#reckon-cut)" ` + firm
	half, body := d.seat/2, d.seat/2+2.2
	top := d.top
	at := func(x, y float64) carburetor.Point { return carburetor.Point{X: x, Y: y} }
	d.shape(cut, at(d.left, d.gasket), at(d.left, top), at(d.needleArm-body, top), at(d.needleArm-body, d.gasket))
	d.shape(cut, at(d.needleArm+body, d.gasket), at(d.needleArm+body, top), at(d.right, top), at(d.right, d.gasket))
	d.pocketInCover()
	solid := `fill="` + steelTint + `" ` + firm
	d.box(solid, d.needleArm-body, d.top, d.needleArm-half, d.seatY)
	d.box(solid, d.needleArm+half, d.top, d.needleArm+body, d.seatY)
	if d.gasket > 1.5 {
		d.box(cut, -1.6, d.gasket, 1.6, -1)
	}
	left, right := d.inside()
	const seal = 0.6
	lip := d.gasket - seal
	d.shape(cut, at(d.left, lip), at(left, lip), at(left, d.floor), at(right, d.floor), at(right, lip), at(d.right, lip), at(d.right, lip-3),
		at(right+wall, lip-3), at(right+wall, d.bottom), at(left-wall, d.bottom), at(left-wall, lip-3), at(d.left, lip-3))
	dark := `fill="` + ink + `"`
	d.box(dark, d.left, d.gasket, left, lip)
	d.box(dark, right, d.gasket, d.right, lip)
}

// pocket is y of the top of a pocket in the cover into which the float reaches; the gasket face where there is none.
func (d *bowlSketch) pocket() float64 {
	highest := max(d.float[0].Y, d.float[1].Y, d.ghost[0].Y, d.ghost[1].Y)
	if highest < d.gasket-0.5 {
		return d.gasket
	}
	return highest + 2
}

// pocketInCover cuts the pocket out of the cover.
func (d *bowlSketch) pocketInCover() {
	top := d.pocket()
	if top <= d.gasket {
		return
	}
	left, right := min(d.float[0].X, d.float[3].X, d.near)-2, max(d.float[1].X, d.float[2].X, d.far)+2
	d.box(`fill="`+paper+`"`, left, d.gasket-0.1, right, top)
	fmt.Fprintf(&d.b, "<path d=\"M%s %sV%sH%sV%s\" fill=\"none\" %s/>\n", at1(d.px(left)), at1(d.py(d.gasket)), at1(d.py(top)), at1(d.px(right)), at1(d.py(d.gasket)), firm)
}

func (d *bowlSketch) floatAndArm() {
	if d.ghost != d.float && d.ghost != [4]carburetor.Point{} {
		d.shape(`fill="none" `+inked+` stroke-width="1" stroke-dasharray="`+dashes+`"`, d.ghost[:]...)
	}
	d.shape(`fill="`+paper+`" `+inked+` stroke-width="2" stroke-linejoin="round"`, d.float[:]...)
	if d.ghost != d.float && d.ghost != [4]carburetor.Point{} { // once more, so that it is seen through the float
		d.shape(`fill="none" `+inked+` stroke-width="0.8" stroke-dasharray="`+dashes+`"`, d.ghost[:]...)
	}
	// The arm meets the float where its near end is nearest to the level of the pin.
	sin, cos := math.Sincos(d.angle)
	top := -sin*d.float[0].X + cos*d.float[0].Y
	bottom := -sin*d.float[3].X + cos*d.float[3].Y
	y := min(max(0, bottom+1), top-1)
	x, end := d.near*cos-y*sin, d.near*sin+y*cos
	const lever = inked + ` stroke-width="3.4" stroke-linecap="round"`
	d.stroke(lever, d.px(0), d.py(0), d.px(x), d.py(end))
	arm := end / x * d.needleArm
	d.stroke(inked+` stroke-width="3"`, d.px(d.needleArm), d.py(arm), d.px(d.needleArm), d.py(d.tang))
	fmt.Fprintf(&d.b, "<path d=\"%s\" fill=\"%s\" %s/>\n", disc(point{d.px(0), d.py(0)}, max(3.5, 0.9*d.scale)), paper, firm)
}

// needle draws the needle with its cone in the seat, or below it where the valve does not shut.
func (d *bowlSketch) needle() {
	const slope = 0.577 // tangent of half of a cone of 60 degrees
	half, body := d.seat/2, d.seat/2+0.8
	drop := 0.0
	if !d.shuts {
		drop = 0.9
	}
	seat, foot := d.seatY-drop, max(d.tang-drop, 0.4)
	shoulder := seat - (body-half)/slope
	at := func(x, y float64) carburetor.Point { return carburetor.Point{X: d.needleArm + x, Y: y} }
	d.shape(`fill="`+paper+`" `+firm, at(-body, shoulder), at(-half*0.3, seat+half*0.7/slope), at(half*0.3, seat+half*0.7/slope), at(body, shoulder), at(body, foot+1.2),
		at(0.5, foot+1.2), at(0.5, foot), at(-0.5, foot), at(-0.5, foot+1.2), at(-body, foot+1.2))
}

// levels draws the surfaces.
func (d *bowlSketch) levels() {
	left, right := d.inside()
	line := func(y float64, attributes string) {
		d.stroke(attributes, d.px(left), d.py(y), d.px(d.float[0].X), d.py(y))
		d.stroke(attributes, d.px(max(d.float[1].X, d.float[2].X)), d.py(y), d.px(right), d.py(y))
	}
	line(d.level, inked+` stroke-width="1.8"`)
	if !math.IsNaN(d.bookLevel) && d.shuts && math.Abs(d.bookLevel-d.level) > 0.05 {
		line(d.bookLevel, inked+` stroke-width="1" stroke-dasharray="`+dashes+`"`)
	}
	if !math.IsNaN(d.measuredLevel) {
		line(d.measuredLevel, inked+` stroke-width="1.2" stroke-dasharray="9 3 2 3"`)
	}
	// The triangle standing on the surface.
	x, y := d.px(right-drawnClear/2), d.py(d.level)
	fmt.Fprintf(&d.b, "<path d=\"M%s %sl-6 -10h12Z\" fill=\"%s\" %s/>\n", at1(x), at1(y), paper, firm)
}

func (d *bowlSketch) dimensions() {
	face := d.py(d.gasket)
	if d.fromLevel && d.shuts {
		x := d.px(d.left) - 14
		d.stroke(thin, x-5, face, d.px(d.left), face)
		left, _ := d.inside()
		d.stroke(thin, x-5, d.py(d.level), d.px(left), d.py(d.level))
		d.upright(x, face, d.py(d.level), -1, d.levelTold[:]...)
	}
	d.heightDimension()
	base := d.py(d.bottom) + 10
	row := func(i int) float64 { return base + dimGap*float64(i+1) - 4 }
	d.stroke(thin, d.px(0), d.py(-1.5), d.px(0), base+dimGap*float64(len(d.arms)))
	for i, a := range d.arms {
		start := d.py(d.bottom)
		if i == 0 {
			start = d.py(d.tang - 3)
		}
		d.stroke(thin, d.px(a.to), start, d.px(a.to), row(i)+5)
	}
	for i, a := range d.arms {
		d.across(d.px(0), d.px(a.to), row(i), a)
	}
}

// heightDimension is that of the float height, from its datum.
func (d *bowlSketch) heightDimension() {
	if d.datum == "" {
		return
	}
	from, to := d.gasket, d.float[2]
	switch d.datum {
	case bowlRim:
		to = d.float[1]
	case bowlFloor:
		from = d.floor
	}
	x := d.px(d.right) + 14
	d.stroke(thin, d.px(d.right), d.py(from), x+5, d.py(from))
	if d.datum == bowlFloor {
		_, right := d.inside()
		d.stroke(thin, d.px(right), d.py(from), d.px(d.right), d.py(from))
	}
	d.stroke(thin, d.px(to.X), d.py(to.Y), x+5, d.py(to.Y))
	d.upright(x, d.py(from), d.py(to.Y), 1, d.height, "book", d.book)
}

// upright draws a dimension up and down at x, with its text on one side: -1 left, 1 right.
func (d *bowlSketch) upright(x, y0, y1 float64, side float64, text ...string) {
	y0, y1 = min(y0, y1), max(y0, y1)
	const room = 20.0
	d.arrow(x, y0, 0, map[bool]float64{true: -1, false: 1}[y1-y0 >= room])
	d.arrow(x, y1, 0, map[bool]float64{true: 1, false: -1}[y1-y0 >= room])
	if y1-y0 >= room {
		d.stroke(thin, x, y0, x, y1)
	} else {
		d.stroke(thin, x, y0-14, x, y1+14)
	}
	anchor := `text-anchor="start"`
	if side < 0 {
		anchor = `text-anchor="end"`
	}
	y := (y0+y1)/2 - dimSize*leading*float64(len(text)-1)/2 + 0.35*dimSize
	for i, t := range text {
		attributes := anchor
		if i == 0 {
			attributes += " " + boldLetters
		}
		d.letters(x+7*side, y+dimSize*leading*float64(i), dimSize, attributes, t)
	}
}

// across draws a dimension from left to right, with its number on the line and its name behind it.
func (d *bowlSketch) across(x0, x1, y float64, a bowlArm) {
	d.stroke(thin, x0, y, x1, y)
	d.arrow(x0, y, -1, 0)
	d.arrow(x1, y, 1, 0)
	name := a.number + " " + a.name
	if x1+7+advance(name, dimSize) > d.width { // the legend has the name
		name = a.number
	}
	d.letters(x1+7, y+0.35*dimSize, dimSize, `stroke="`+paper+`" stroke-width="4"`, name) // keeps the lines it crosses away
	d.letters(x1+7, y+0.35*dimSize, dimSize, "", name)
}

// arrow draws the head of an arrow that points along (dx, dy) and ends at x, y.
func (d *bowlSketch) arrow(x, y, dx, dy float64) {
	const long, half = 8.0, 2.6
	bx, by := x-long*dx, y-long*dy
	fmt.Fprintf(&d.b, "<path d=\"M%s %sL%s %sL%s %sZ\" fill=\"%s\"/>\n", at1(x), at1(y), at1(bx-half*dy), at1(by+half*dx), at1(bx+half*dy), at1(by-half*dx), ink)
}

// numbers puts a balloon at each part, with a line to it, and the pressure at the inlet.
func (d *bowlSketch) numbers() {
	_, right := d.inside()
	middle := carburetor.Point{X: (d.float[0].X + d.float[2].X) / 2, Y: (d.float[0].Y + d.float[2].Y) / 2}
	reach := max(4.5, 2.6*balloonSize/d.scale) // between a balloon and what it names
	marks := []struct{ at, names carburetor.Point }{
		floatPart:  {middle, middle},
		needlePart: {carburetor.Point{X: d.needleArm + reach + 1, Y: (d.tang+d.seatY)/2 + 0.5}, carburetor.Point{X: d.needleArm + d.seat/2 + 0.4, Y: (d.tang + d.seatY) / 2}},
		seatPart:   {carburetor.Point{X: d.needleArm - reach - 4, Y: d.top - coverDepth/2}, carburetor.Point{X: d.needleArm - d.seat/2 - 1.2, Y: d.top - coverDepth/2 - 2}},
		pinPart:    {carburetor.Point{X: -reach - 0.5, Y: -reach * 0.8}, carburetor.Point{X: -0.6, Y: -0.5}},
		tangPart:   {carburetor.Point{X: d.needleArm - reach*0.8, Y: -reach}, carburetor.Point{X: d.needleArm - 0.1, Y: d.tang - 0.9}},
		gasketPart: {carburetor.Point{X: d.right - 1.5, Y: d.gasket + coverDepth/2 + 1}, carburetor.Point{X: d.right, Y: d.gasket}},
		levelPart:  {carburetor.Point{X: right - drawnClear/2, Y: d.level - reach}, carburetor.Point{X: right - drawnClear/2, Y: d.level}},
	}
	x, y := d.px(d.needleArm), d.py(d.top)
	d.stroke(inked+` stroke-width="1.4"`, x, y-20, x, y-6)
	d.arrow(x, y-1, 0, 1)
	d.letters(x+9, y-9, dimSize, "", "fuel, "+d.inlet)
	for i, m := range marks {
		d.stroke(thin, d.px(m.at.X), d.py(m.at.Y), d.px(m.names.X), d.py(m.names.Y))
		d.balloon(point{d.px(m.at.X), d.py(m.at.Y)}, fmt.Sprint(i+1))
	}
}

// scaleBar shows ten millimetres.
func (d *bowlSketch) scaleBar() {
	x, y, long := d.px(d.left), d.y+6, 10*d.scale
	d.stroke(inked+` stroke-width="1.4"`, x, y, x+long, y)
	d.stroke(inked+` stroke-width="1.4"`, x, y-4, x, y+4)
	d.stroke(inked+` stroke-width="1.4"`, x+long, y-4, x+long, y+4)
	d.letters(x+long+7, y+0.35*captionSize, captionSize, "", "10"+nbsp+"mm, to scale throughout")
	d.y += 26
}

// bowlLegend names the parts, in as many columns as fit.
func (s *sketch) bowlLegend(b *bowl) {
	const sign, gap, cell = 24.0, 16.0, 330.0
	columns := max(1, int((s.width+gap)/(cell+gap)))
	wide := (s.width - gap*float64(columns-1)) / float64(columns)
	for i := 0; i < len(b.parts); i += columns {
		height := 0.0
		for j := range min(columns, len(b.parts)-i) {
			p, x := b.parts[i+j], float64(j)*(wide+gap)
			text := p.name
			if p.numbers != "" {
				text += ": " + p.numbers
			}
			s.balloon(point{x + balloonSize, s.y + balloonSize}, fmt.Sprint(i+j+1))
			lines := wrap(text, dimSize, wide-sign)
			for k, l := range lines {
				s.letters(x+sign, s.y+balloonSize+0.35*dimSize+leading*dimSize*float64(k), dimSize, "", l)
			}
			height = max(height, leading*dimSize*float64(len(lines)))
		}
		s.y += max(height, 2*balloonSize) + 4
	}
	s.y += paragraphs
	if b.ghost != b.float && b.ghost != [4]carburetor.Point{} {
		s.paragraph("Broken lines: the float and the level as by the book."+measuredSign(b), captionSize, "")
	}
	var arms []string
	for _, a := range b.arms {
		arms = append(arms, a.number+" "+a.name)
	}
	s.paragraph("From the hinge pin: "+strings.Join(arms, ", ")+".", captionSize, "")
	for _, n := range b.notes {
		s.paragraph(n, captionSize, "")
	}
}

func measuredSign(b *bowl) string {
	if math.IsNaN(b.measuredLevel) {
		return ""
	}
	return " Line of dashes and dots: the level as measured."
}

// description says what the drawing shows.
func (b *bowl) description() string {
	var out strings.Builder
	out.WriteString("Cross-section of the float bowl, to scale, with the valve just shut.")
	if !b.shuts {
		out.Reset()
		out.WriteString("Cross-section of the float bowl, to scale; the valve does not shut.")
	}
	if b.height != "" {
		fmt.Fprintf(&out, " Float height %s, by the book %s.", b.height, b.book)
	}
	for i, p := range b.parts {
		if p.numbers != "" {
			fmt.Fprintf(&out, " %d, %s: %s.", i+1, p.name, p.numbers)
		}
	}
	for _, a := range b.arms {
		fmt.Fprintf(&out, " From the hinge pin %s: %s.", a.name, a.number)
	}
	return out.String()
}
