package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// picture prints a drawing in SVG across the page, in its own size or as much smaller as it takes to fit into the width and into
// most millimetres of height (0: what a page holds). It understands what the drawings of this package are made of (g with
// translate, rect, path of straight lines and circular arcs, text) and refuses the rest.
func (p *printout) picture(svg []byte, most float64) error {
	v := &vectors{printout: p}
	root, err := v.root(svg)
	if err != nil {
		return err
	}
	if most == 0 || most > p.bottom()-topMargin-10 {
		most = p.bottom() - topMargin - 10
	}
	const natural = 25.4 / 96 // a CSS pixel in millimetres
	v.scale = min(natural, p.width/root.number("width"), most/root.number("height"))
	p.room(root.number("height") * v.scale)
	v.x0, v.y0 = p.left+(p.width-root.number("width")*v.scale)/2, p.y
	if err := v.draw(svg); err != nil {
		return fmt.Errorf("drawing: %w", err)
	}
	p.y += root.number("height")*v.scale + 3
	return nil
}

// vectors draws on a printout in the units of a drawing.
type vectors struct {
	*printout
	x0, y0, scale float64
}

// element is what is in force for an element of a drawing: its own attributes and those it inherits.
type element struct {
	attributes map[string]string
	dx, dy     float64
}

func (e element) number(name string) float64 {
	f, err := strconv.ParseFloat(e.attributes[name], 64)
	if err != nil {
		return 0
	}
	return f
}

func (v *vectors) root(svg []byte) (element, error) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		t, err := d.Token()
		if err != nil {
			return element{}, fmt.Errorf("drawing: %w", err)
		}
		if s, ok := t.(xml.StartElement); ok {
			e := inherit(element{}, s)
			if s.Name.Local != "svg" || e.number("width") <= 0 || e.number("height") <= 0 {
				return e, errors.New("drawing: not an svg with width and height")
			}
			return e, nil
		}
	}
}

func (v *vectors) draw(svg []byte) error {
	d := xml.NewDecoder(bytes.NewReader(svg))
	stack := []element{{}}
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			e := inherit(stack[len(stack)-1], t)
			stack = append(stack, e)
			if err := v.element(d, t.Name.Local, e); err != nil {
				return err
			}
			if t.Name.Local == "text" || t.Name.Local == "title" || t.Name.Local == "desc" {
				stack = stack[:len(stack)-1] // its end has been read
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
}

// inherit adds the attributes of an element to those that it inherits.
func inherit(up element, s xml.StartElement) element {
	e := element{attributes: map[string]string{}, dx: up.dx, dy: up.dy}
	for _, name := range []string{"fill", "stroke", "stroke-width", "font-size", "font-weight", "font-style", "text-anchor"} {
		if value, ok := up.attributes[name]; ok {
			e.attributes[name] = value
		}
	}
	for _, a := range s.Attr {
		e.attributes[a.Name.Local] = a.Value
	}
	var dx, dy float64
	if n, _ := fmt.Sscanf(e.attributes["transform"], "translate(%g %g)", &dx, &dy); n > 0 {
		e.dx, e.dy = e.dx+dx, e.dy+dy
	}
	return e
}

func (v *vectors) element(d *xml.Decoder, name string, e element) error {
	switch name {
	case "svg", "g":
		return nil
	case "title", "desc":
		return d.Skip()
	case "rect":
		return v.box(e)
	case "path":
		return v.path(e, e.attributes["d"])
	case "text":
		return v.words(d, e)
	}
	return fmt.Errorf("cannot print <%s>", name)
}

func (v *vectors) at(e element, x, y float64) (float64, float64) {
	return v.x0 + (x+e.dx)*v.scale, v.y0 + (y+e.dy)*v.scale
}

// style sets inks and lines, and returns the operator that paints: fill, draw, both, or "" for nothing.
func (v *vectors) style(e element) string {
	op := ""
	if c, ok := inkOf(e.attributes["fill"], "#000000"); ok {
		v.pdf.SetFillColor(c.r, c.g, c.b)
		op = "F"
	}
	if c, ok := inkOf(e.attributes["stroke"], "none"); ok {
		v.pdf.SetDrawColor(c.r, c.g, c.b)
		thick := 1.0
		if _, ok := e.attributes["stroke-width"]; ok {
			thick = e.number("stroke-width")
		}
		v.pdf.SetLineWidth(thick * v.scale)
		op += "D"
	}
	var dashes []float64
	for _, f := range strings.Fields(e.attributes["stroke-dasharray"]) {
		if n, err := strconv.ParseFloat(f, 64); err == nil {
			dashes = append(dashes, n*v.scale)
		}
	}
	if dashes == nil {
		dashes = []float64{}
	}
	v.pdf.SetDashPattern(dashes, 0)
	return op
}

// inkOf reads #rrggbb; none is no ink.
func inkOf(value, fallback string) (shade, bool) {
	if value == "" {
		value = fallback
	}
	var c shade
	n, _ := fmt.Sscanf(value, "#%02x%02x%02x", &c.r, &c.g, &c.b)
	return c, n == 3
}

func (v *vectors) box(e element) error {
	x, y := v.at(e, e.number("x"), e.number("y"))
	w, h, r := e.number("width")*v.scale, e.number("height")*v.scale, e.number("rx")*v.scale
	if op := v.style(e); op != "" {
		v.pdf.RoundedRect(x, y, w, h, r, "1234", op)
	}
	v.pdf.SetDashPattern([]float64{}, 0)
	return nil
}

func (v *vectors) words(d *xml.Decoder, e element) error {
	var b strings.Builder
	for {
		t, err := d.Token()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.CharData:
			b.Write(t)
		case xml.StartElement:
			return fmt.Errorf("cannot print <%s> inside text", t.Name.Local)
		case xml.EndElement:
			v.letter(e, b.String())
			return nil
		}
	}
}

func (v *vectors) letter(e element, s string) {
	style := ""
	if e.attributes["font-weight"] == "bold" {
		style = "B"
	} else if e.attributes["font-style"] == "italic" {
		style = "I"
	}
	v.pdf.SetFont(serifless, style, e.number("font-size")*v.scale/pointMM)
	c, _ := inkOf(e.attributes["fill"], "#000000")
	v.pdf.SetTextColor(c.r, c.g, c.b)
	s = v.glyphs.printable(s)
	x, y := v.at(e, e.number("x"), e.number("y"))
	switch e.attributes["text-anchor"] {
	case "middle":
		x -= v.pdf.GetStringWidth(s) / 2
	case "end":
		x -= v.pdf.GetStringWidth(s)
	}
	v.pdf.Text(x, y, s)
}

// pen follows the commands of a path.
type pen struct {
	v              *vectors
	e              element
	x, y           float64
	startX, startY float64
	numbers        []string
}

func (v *vectors) path(e element, data string) error {
	op := v.style(e)
	defer v.pdf.SetDashPattern([]float64{}, 0)
	if op == "" {
		return nil
	}
	p := &pen{v: v, e: e}
	for data != "" {
		command := data[0]
		end := 1 + strings.IndexAny(data[1:], "MLHVAZmlhvaz")
		if end == 0 {
			end = len(data)
		}
		p.numbers = strings.Fields(strings.ReplaceAll(data[1:end], ",", " "))
		if err := p.command(command); err != nil {
			return err
		}
		data = data[end:]
	}
	v.pdf.DrawPath(op)
	return nil
}

// arity is how many numbers a command takes.
func arity(command byte) int {
	return map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'a': 7, 'z': 0}[command|0x20]
}

func (p *pen) command(c byte) error {
	n := arity(c)
	if len(p.numbers) != n || !strings.ContainsRune("mlhvaz", rune(c|0x20)) {
		return fmt.Errorf("cannot print %q with %d numbers in a path", c, len(p.numbers))
	}
	f := make([]float64, n)
	for i, s := range p.numbers {
		var err error
		if f[i], err = strconv.ParseFloat(s, 64); err != nil {
			return fmt.Errorf("path: %q is no number", s)
		}
	}
	var x, y float64 // what the numbers count from
	if c >= 'a' {
		x, y = p.x, p.y
	}
	switch c | 0x20 {
	case 'm':
		p.to(x+f[0], y+f[1])
		p.startX, p.startY = p.x, p.y
		p.v.pdf.MoveTo(p.v.at(p.e, p.x, p.y))
	case 'l':
		p.lineTo(x+f[0], y+f[1])
	case 'h':
		p.lineTo(x+f[0], p.y)
	case 'v':
		p.lineTo(p.x, y+f[0])
	case 'a':
		p.arc([2]float64{p.x, p.y}, [2]float64{x + f[5], y + f[6]}, f[0], f[3] != 0, f[4] != 0)
	case 'z':
		p.to(p.startX, p.startY)
		p.v.pdf.ClosePath()
	}
	return nil
}

func (p *pen) to(x, y float64) { p.x, p.y = x, y }

func (p *pen) lineTo(x, y float64) {
	p.to(x, y)
	p.v.pdf.LineTo(p.v.at(p.e, x, y))
}

// arc draws a circular arc as cubic curves of at most a quarter, after the conversion from end points to centre of the SVG 1.1
// recommendation, appendix F.6.5 (from memory), for equal radii.
func (p *pen) arc(from, to [2]float64, r float64, large, sweep bool) {
	dx, dy := (from[0]-to[0])/2, (from[1]-to[1])/2
	half := math.Hypot(dx, dy)
	r = max(r, half)
	if half == 0 {
		return
	}
	off := math.Sqrt(max(0, r*r-half*half)) / half
	if large == sweep {
		off = -off
	}
	cx, cy := (from[0]+to[0])/2+off*dy, (from[1]+to[1])/2-off*dx
	a0 := math.Atan2(from[1]-cy, from[0]-cx)
	turn := math.Atan2(to[1]-cy, to[0]-cx) - a0
	if sweep && turn <= 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn >= 0 {
		turn -= 2 * math.Pi
	}
	n := math.Ceil(math.Abs(turn)/(math.Pi/2) - 1e-9)
	k := 4.0 / 3 * math.Tan(turn/n/4)
	for i := range int(n) {
		a := a0 + turn*float64(i)/n
		b := a + turn/n
		x1, y1 := p.v.at(p.e, cx+r*(math.Cos(a)-k*math.Sin(a)), cy+r*(math.Sin(a)+k*math.Cos(a)))
		x2, y2 := p.v.at(p.e, cx+r*(math.Cos(b)+k*math.Sin(b)), cy+r*(math.Sin(b)-k*math.Cos(b)))
		x3, y3 := p.v.at(p.e, cx+r*math.Cos(b), cy+r*math.Sin(b))
		p.v.pdf.CurveBezierCubicTo(x1, y1, x2, y2, x3, y3)
	}
	p.to(to[0], to[1])
}
