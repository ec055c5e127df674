package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"diagnose.example/carburetor"
)

// ReckonSVG writes a reckoning as a drawing in SVG 1.1 for paper or a browser: the results and what they mean, the float bowl cut through
// where the calculator is about it, the curve where there is one, and what it all rests on. It is dark on white, one document without
// scripts, style sheets or anything from outside, and says the same in its description. Of the style it takes the units.
// A bowl that cannot be drawn is an error that holds an [InputFault].
func ReckonSVG(w io.Writer, r *Reckoning, style Style, p Picture) error {
	var b *bowl
	if r.picture != nil {
		var err error
		if b, err = r.picture(r.given, r); err != nil {
			return err
		}
	}
	r = r.in(style.Units)
	room := p.Width
	if room == 0 {
		room = PageWidth
	}
	s := &sketch{width: float64(max(room, PhoneWidth)) - 2*margin}
	s.results(r)
	if b != nil {
		s.section("The bowl, cut through")
		s.cutAway(b)
	}
	if r.Curve != nil {
		s.section("how it changes with " + lowerFirst(r.Curve.X.Name))
		s.curve(r)
	}
	s.ground(r)
	_, err := io.WriteString(w, s.framed("reckon-"+r.ID, upperFirst(r.Title), r.description(b)))
	return err
}

// section opens a part of the page.
func (s *sketch) section(title string) {
	s.y += paragraphs
	s.rule()
	s.paragraph(upperFirst(title), titleSize, boldLetters)
}

// results writes what came out.
func (s *sketch) results(r *Reckoning) {
	s.paragraph(upperFirst(r.Title), headingSize, boldLetters)
	for _, x := range r.Results {
		s.paragraph(x.Name+": "+x.told()+x.plusMinus(), titleSize, "")
		s.y -= paragraphs
	}
	s.y += 2 * paragraphs
	s.paragraph("It means: "+r.Meaning, titleSize, "")
	if r.Caution != "" {
		s.paragraph("Caution: "+r.Caution, captionSize, boldLetters)
	}
}

// ground writes what it rests on.
func (s *sketch) ground(r *Reckoning) {
	s.section("What it rests on")
	lines := func(title string, texts []string) {
		if len(texts) > 0 {
			s.paragraph(title+": "+strings.Join(texts, "; ")+".", captionSize, "")
		}
	}
	lines("Given", r.givenTexts())
	lines("Taken for granted", r.takenTexts())
	for _, n := range r.Notes {
		s.paragraph(n, captionSize, "")
	}
	if r.uncertain() {
		s.paragraph(uncertaintyRule, captionSize, "")
	}
	for _, f := range r.formulas() {
		here := r.given.formulas[f.Func]
		s.paragraph(formulaName(f)+": "+strings.Join(f.Lines, "; ")+"; here "+strings.Join(here, "; "), captionSize, "")
		s.y -= paragraphs
		s.paragraph(sourceOf(f), captionSize, slopedLetters)
	}
	s.paragraph(localCodes, captionSize, boldLetters)
}

// description says what the drawing shows.
func (r *Reckoning) description(b *bowl) string {
	var out strings.Builder
	for _, x := range r.Results {
		fmt.Fprintf(&out, "%s: %s%s. ", x.Name, x.told(), x.plusMinus())
	}
	out.WriteString(r.Meaning)
	if b != nil {
		out.WriteString(" " + b.description())
	}
	if r.Curve != nil {
		first, last := r.Curve.Points[0], r.Curve.Points[len(r.Curve.Points)-1]
		fmt.Fprintf(&out, " Curve of %s over %s, from %s at %s to %s at %s; these figures stand at %s and %s.", lowerFirst(r.Curve.Y.Name), lowerFirst(r.Curve.X.Name),
			short(first.Y, r.Curve.Y.Unit), short(first.X, r.Curve.X.Unit), short(last.Y, r.Curve.Y.Unit), short(last.X, r.Curve.X.Unit),
			short(r.Here.Y, r.Curve.Y.Unit), short(r.Here.X, r.Curve.X.Unit))
	}
	return oneLine(plainSpaces(out.String()))
}

func short(v float64, unit string) string { return measure(roundTo(v, 3), unit) }

// The plot: its height, and the most it is wide.
const (
	plotHeight = 250.0
	plotMost   = 620.0
	tickSize   = 11.0
)

// curve draws the plot with the point of these inputs on it.
func (s *sketch) curve(r *Reckoning) {
	c := *r.Curve
	most := 10
	if s.width < 2*PhoneWidth {
		most = 6
	}
	x, y := r.axes(most, 8)
	labels := 0.0
	for _, v := range y.at {
		labels = max(labels, advance(y.label(v), tickSize))
	}
	left, top := labels+10, s.y+tickSize*leading+8
	wide := min(s.width-left-14, plotMost)
	px := func(v float64) float64 { return left + x.share(v)*wide }
	py := func(v float64) float64 { return top + (1-y.share(v))*plotHeight }
	s.letters(0, s.y+tickSize, tickSize, "", named(c.Y))
	s.grid(x, y, px, py, left)
	s.letters(left+wide/2, top+plotHeight+tickSize*2*leading+8, tickSize, `text-anchor="middle"`, named(c.X))
	var path strings.Builder
	for i, p := range c.Points {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		fmt.Fprintf(&path, "%s%s %s", letter, at1(px(p.X)), at1(py(p.Y)))
	}
	fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"none\" %s stroke-width=\"2.4\" stroke-linejoin=\"round\"/>\n", &path, inked)
	doubt := r.here()
	s.bars(px, py, x, y, r.Here, doubt)
	fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"%s\" %s stroke-width=\"2.4\"/>\n", disc(point{px(r.Here.X), py(r.Here.Y)}, 5), paper, inked)
	s.y = top + plotHeight + tickSize*2*leading + 20
	reading := "Ring: these figures, " + measure(roundTo(r.Here.X, 4), c.X.Unit) + " and " + short(r.Here.Y, c.Y.Unit) + "."
	if doubt.X > 0 || doubt.Y > 0 {
		reading += " The bars are one standard uncertainty to each side."
	}
	if c.Ends != nil {
		reading += " Where the curve ends the model does not answer: " + c.Ends.Error() + "."
	}
	s.paragraph(reading, captionSize, "")
}

// named is an axis with its unit.
func named(a carburetor.Axis) string {
	if a.Unit == "" {
		return upperFirst(a.Name)
	}
	return upperFirst(a.Name) + ", " + a.Unit
}

// grid draws the axes with their numbers.
func (s *sketch) grid(x, y ticks, px, py func(float64) float64, left float64) {
	const faintLine = `stroke="#c4ccd5" stroke-width="0.8"`
	line := func(x0, y0, x1, y1 float64, attributes string) {
		fmt.Fprintf(&s.b, "<path d=\"M%s %sL%s %s\" fill=\"none\" %s/>\n", at1(x0), at1(y0), at1(x1), at1(y1), attributes)
	}
	for _, v := range x.at {
		line(px(v), py(y.low), px(v), py(y.high), faintLine)
		s.letters(px(v), py(y.low)+tickSize*leading+2, tickSize, `text-anchor="middle"`, x.label(v))
	}
	for _, v := range y.at {
		line(px(x.low), py(v), px(x.high), py(v), faintLine)
		s.letters(left-5, py(v)+0.35*tickSize, tickSize, `text-anchor="end"`, y.label(v))
	}
	line(px(x.low), py(y.low), px(x.high), py(y.low), inked+` stroke-width="1.2"`)
	line(px(x.low), py(y.low), px(x.low), py(y.high), inked+` stroke-width="1.2"`)
	if y.low < 0 && y.high > 0 {
		line(px(x.low), py(0), px(x.high), py(0), inked+` stroke-width="1"`)
	}
}

// here is the standard uncertainty of the point in both directions, 0 where there is none.
func (r *Reckoning) here() carburetor.Point {
	var p carburetor.Point
	for _, x := range r.Results {
		if x.axis() == r.Curve.Y.Name && !math.IsNaN(x.Uncertainty) {
			p.Y = x.Uncertainty
		}
	}
	return p
}

// bars draws the uncertainty of a point, within the plot.
func (s *sketch) bars(px, py func(float64) float64, x, y ticks, at, doubt carburetor.Point) {
	if doubt.Y <= 0 {
		return
	}
	low, high := max(y.low, at.Y-doubt.Y), min(y.high, at.Y+doubt.Y)
	fmt.Fprintf(&s.b, "<path d=\"M%s %sV%sM%s %sh10M%s %sh10\" fill=\"none\" %s stroke-width=\"1.4\"/>\n", at1(px(at.X)), at1(py(low)), at1(py(high)),
		at1(px(at.X)-5), at1(py(low)), at1(px(at.X)-5), at1(py(high)), inked)
}
