package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"diagnose.example/carburetor"
	"diagnose.example/symptoms"
)

// ReckonText writes a reckoning for a terminal or a pipe: the results with their uncertainty, what they mean, a small plot where
// there is a curve, what was given and taken, and the formulas with their sources.
func ReckonText(w io.Writer, r *Reckoning, s Style) error {
	s = s.filled()
	r = r.in(s.Units)
	t := &terminal{width: s.Width, colour: s.Colour}
	t.page(r.resultPage())
	if r.Curve != nil {
		t.b.WriteByte('\n')
		for _, l := range r.plot(min(s.Width, plotWidth)) {
			t.line("", one(text(l)))
		}
	}
	t.b.WriteByte('\n')
	t.page(r.groundPage())
	return t.flush(w)
}

// ReckonMarkdown writes a reckoning as GitHub-flavoured Markdown, without the plot. Of the style it takes the units.
func ReckonMarkdown(w io.Writer, r *Reckoning, s Style) error {
	r = r.in(s.Units)
	m := &hypertext{}
	m.page(r.resultPage())
	m.b.WriteByte('\n')
	m.page(r.groundPage())
	return m.flush(w)
}

// resultPage is what came out.
func (r *Reckoning) resultPage() *page {
	p := &page{}
	p.heading(1, text(upperFirst(r.Title)))
	doubt := false
	for _, x := range r.Results {
		p.field(0, x.Name, text(x.told()+x.plusMinus()))
		doubt = doubt || x.Uncertainty > 0
	}
	p.para(bold("It means:"), text(" "+r.Meaning))
	p.caution(0, r.Caution)
	return p
}

// groundPage is what it rests on.
func (r *Reckoning) groundPage() *page {
	p := &page{}
	p.heading(3, text("Given"))
	for _, s := range r.givenTexts() {
		p.item(0, text(s))
	}
	if taken := r.takenTexts(); len(taken) > 0 {
		p.heading(3, text("Taken for granted; the flag of that name changes it"))
		for _, s := range taken {
			p.item(0, text(s))
		}
	}
	notes := slices.Clone(r.Notes)
	if r.uncertain() {
		notes = append(notes, uncertaintyRule)
	}
	if len(notes) > 0 {
		p.heading(3, text("To be known"))
		for _, n := range notes {
			p.item(0, text(n))
		}
	}
	p.heading(3, text("Formulas, with the numbers put in"))
	for _, f := range r.formulas() {
		p.field(0, formulaName(f), typed(strings.Join(f.Lines, "; ")))
		for _, s := range r.given.formulas[f.Func] {
			p.item(1, text("here "+s))
		}
		p.item(1, text(sourceOf(f)))
	}
	p.para(bold(localCodes))
	return p
}

// uncertaintyRule says what the figure after ± is.
const uncertaintyRule = "The figure after ± is a standard uncertainty, worked out from those of the inputs: in about two cases of three the truth is no " +
	"farther off, nearly always it is within twice that."

func (r *Reckoning) uncertain() bool {
	for _, x := range r.Results {
		if x.Uncertainty > 0 {
			return true
		}
	}
	return false
}

// formulas are those that the model worked with, in the calculator's order.
func (r *Reckoning) formulas() []carburetor.Formula {
	var out []carburetor.Formula
	for _, name := range r.Formulas {
		if f, ok := carburetor.LookupFormula(name); ok && len(r.given.formulas[name]) > 0 {
			out = append(out, f)
		}
	}
	return out
}

// givenTexts are the inputs that somebody wrote and the model used.
func (r *Reckoning) givenTexts() []string {
	var out []string
	for _, in := range r.Inputs {
		e, ok := r.given.entries[in.Name]
		if !ok || e.taken {
			continue
		}
		if !r.given.used[in.Name] {
			out = append(out, upperFirst(in.name())+": "+in.shown(e)+", which is not needed for this")
			continue
		}
		s := upperFirst(in.name()) + ": " + in.shown(e)
		if in.Uncertainty > 0 && !strings.Contains(e.written, "±") {
			s += fmt.Sprintf(" (± %s taken)", measure(in.Uncertainty, in.Unit))
		}
		out = append(out, s)
	}
	return out
}

// takenTexts are the defaults that the model used, those of one origin together.
func (r *Reckoning) takenTexts() []string {
	var order []string
	by := map[string][]string{}
	for _, in := range r.Inputs {
		e, ok := r.given.entries[in.Name]
		if !ok || !e.taken || !r.given.used[in.Name] {
			continue
		}
		if by[in.Because] == nil {
			order = append(order, in.Because)
		}
		by[in.Because] = append(by[in.Because], in.Name+" "+in.shown(e))
	}
	out := make([]string, len(order))
	for i, because := range order {
		out[i] = strings.Join(by[because], ", ") + ": " + because
	}
	return out
}

// name is the quantity without what the help says besides.
func (in *Input) name() string {
	name, _, _ := strings.Cut(in.Text, ";")
	return name
}

// shown is an entry as it was written, with the unit that a bare number has; numbers stay on one line with theirs.
func (in *Input) shown(e inputEntry) string {
	s := e.written
	if in.Unit != "" && strings.Trim(s, "+-0123456789.,/ ±") == "" {
		s += " " + in.Unit
	}
	return strings.ReplaceAll(oneLine(s), " ", nbsp)
}

// measure writes a figure with its unit, which stay on one line.
func measure(v float64, unit string) string {
	return strings.TrimSuffix(number(v)+nbsp+unit, nbsp)
}

// told writes the value with as many digits as count, its unit, and the word for its sign.
func (r Result) told() string {
	v := r.Value
	if r.More != "" {
		v = math.Abs(v)
	}
	s := r.digits(v)
	unit := r.Unit
	if unit != "" {
		unit = nbsp + unit
	}
	switch {
	case r.More == "":
		return s + unit
	case strings.Trim(s, "0.") == "" && r.Uncertainty > 0:
		return r.Same + ", to " + s + unit
	case strings.Trim(s, "0.") == "":
		return r.Same
	case r.Value < 0:
		return s + unit + " " + r.Less
	}
	return s + unit + " " + r.More
}

// plusMinus is the uncertainty in brackets, or nothing.
func (r Result) plusMinus() string {
	switch {
	case math.IsNaN(r.Uncertainty):
		return " (uncertainty not worked out: the model ends near here)"
	case r.Uncertainty <= 0:
		return ""
	case r.Unit == "":
		return " (±" + nbsp + r.digits(r.Uncertainty) + ")"
	}
	return " (±" + nbsp + r.digits(r.Uncertainty) + nbsp + r.Unit + ")"
}

// digits writes a number of the result's unit to the digits that its uncertainty leaves.
func (r Result) digits(v float64) string {
	if !(r.Uncertainty > 0) {
		n := r.Digits
		if n == 0 {
			n = 3
		}
		return number(roundTo(v, n))
	}
	places := r.places()
	if places < 0 {
		scale := math.Pow(10, -places)
		v, places = math.Round(v/scale)*scale, 0
	}
	s := strconv.FormatFloat(v, 'f', int(places), 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// places is the number of decimals: the uncertainty keeps two digits where it begins with 1 or 2, else one. More than four digits of
// the value say nothing at a bench.
func (r Result) places() float64 {
	places := -math.Floor(math.Log10(r.Uncertainty))
	if r.Uncertainty*math.Pow(10, places) < 2.95 {
		places++
	}
	if v := math.Abs(r.Value); v > 0 {
		coarse := max(places-1, -math.Floor(math.Log10(r.Uncertainty))) // one digit of the uncertainty is always shown
		places = max(coarse, min(places, 3-math.Floor(math.Log10(v))))
	}
	return min(places, 9)
}

// in returns the reckoning with results and curve in the first of the units that has the same dimension.
func (r *Reckoning) in(units []symptoms.Unit) *Reckoning {
	if len(units) == 0 {
		return r
	}
	other := *r
	other.Notes = nil
	other.Results = make([]Result, len(r.Results))
	for i, x := range r.Results {
		other.Results[i] = x.in(units)
	}
	if r.Curve != nil {
		other.Curve, other.Here = converted(*r.Curve, r.Here, units)
	}
	other.tell(r.given, &other)
	return &other
}

// conversion finds the unit to show one in, and how the numbers change. A length that is told in millimetres is not told in feet.
func conversion(unit string, units []symptoms.Unit) (to string, convert func(float64) float64, ok bool) {
	own, known := symptoms.LookupUnit(unit)
	if !known || unit == "" || unit == "%" {
		return unit, nil, false
	}
	for _, u := range units {
		if own.Name == "m" && u.Name == "in" { // nobody tells a height above the sea in inches
			u, _ = symptoms.LookupUnit("ft")
		}
		if u.Dim == own.Dim && u.Name != own.Name && (u.Factor < 0.1) == (own.Factor < 0.1) {
			return u.Name, func(v float64) float64 { return u.FromSI(own.SI(v)) }, true
		}
	}
	return unit, nil, false
}

func (r Result) in(units []symptoms.Unit) Result {
	to, convert, ok := conversion(r.Unit, units)
	if !ok {
		return r
	}
	high := convert(r.Value + r.Uncertainty)
	r.Unit, r.Value = to, convert(r.Value)
	r.Uncertainty = math.Abs(high - r.Value)
	return r
}

func converted(c carburetor.Curve, here carburetor.Point, units []symptoms.Unit) (*carburetor.Curve, carburetor.Point) {
	same := func(v float64) float64 { return v }
	x, y := same, same
	if to, convert, ok := conversion(c.X.Unit, units); ok {
		c.X.Unit, x = to, convert
	}
	if to, convert, ok := conversion(c.Y.Unit, units); ok {
		c.Y.Unit, y = to, convert
	}
	points := make([]carburetor.Point, len(c.Points))
	for i, p := range c.Points {
		points[i] = carburetor.Point{X: x(p.X), Y: y(p.Y)}
	}
	c.Points = points
	return &c, carburetor.Point{X: x(here.X), Y: y(here.Y)}
}
