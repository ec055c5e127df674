package report

import (
	"errors"
	"fmt"
	"math"

	"diagnose.example/carburetor"
)

// bowl is a float bowl cut through, with the valve just shut: what [ReckonSVG] draws to scale. Lengths are in millimetres, x from the
// hinge pin towards the float and y up, as in [carburetor.Section].
type bowl struct {
	gasket, floor    float64 // y
	near, far        float64 // x of the ends of the float, with its arm level
	angle            float64 // of the arm, in radians
	float, ghost     [4]carburetor.Point
	needleArm, seat  float64 // x of the needle; bore of the seat
	level            float64 // y of the fuel
	bookLevel        float64 // y, NaN where the book's is not known
	measuredLevel    float64 // y, NaN where nobody measured it
	shuts, fromLevel bool    // fromLevel: the level is told, not only drawn
	inlet            string  // pressure of the fuel at the seat
	datum            string  // "" where no height is told
	height, book     string  // the float height as written, and that of the book
	parts            []bowlPart
	arms             []bowlArm
	notes            []string
}

// bowlPart is an entry of the legend: a part of the drawing with the numbers that belong to it.
type bowlPart struct{ name, numbers string }

// bowlArm is a length from the hinge pin, drawn as a dimension below the bowl.
type bowlArm struct {
	to     float64
	name   string
	number string
}

// The parts in the order of their numbers in the drawing.
const (
	floatPart = iota
	needlePart
	seatPart
	pinPart
	tangPart
	gasketPart
	levelPart
)

// What the picture takes where no input tells it; it changes nothing that is worked out.
const (
	drawnPin   = 8.0  // mm from the gasket face to the hinge pin
	drawnFloor = 40.0 // mm of depth of a bowl whose float height is measured from the floor
	drawnClear = 8.0  // mm between float and wall, and float and floor
)

// section is the bowl for the solver, with the arm level when the lower edge of the float is the given distance under the gasket face.
func (g *given) section(pin, depth, height float64) carburetor.Section {
	const mm = carburetor.Millimetre
	arm, half := carburetor.Length(g.si("float-arm")), carburetor.Length(g.si("float-length"))/2
	return carburetor.Section{
		Near: arm - half, Far: arm + half, FloatTop: carburetor.Length(pin+depth-height) * mm, Depth: carburetor.Length(depth) * mm,
		Width: carburetor.Length(g.si("float-width")), Gasket: max(carburetor.Length(pin)*mm, 0.01*mm), NeedleArm: carburetor.Length(g.si("needle-arm")),
	}
}

// drawn is the frame of a bowl for a section closed at a level.
func (g *given) drawn(s carburetor.Section, c carburetor.Closed) *bowl {
	const mm = carburetor.Millimetre
	b := &bowl{
		gasket: s.Gasket.In(mm), near: s.Near.In(mm), far: s.Far.In(mm), angle: float64(c.Angle), float: inMillimetres(c.Float),
		needleArm: s.NeedleArm.In(mm), seat: 1e3 * g.si("seat-bore"), level: c.Surface.In(mm), bookLevel: math.NaN(), measuredLevel: math.NaN(), shuts: true,
	}
	b.inlet = measure(roundTo(g.inlet().In(carburetor.Kilopascal), 3), "kPa")
	b.floor = min(b.float[2].Y, b.float[3].Y) - drawnClear
	return b
}

func inMillimetres(box [4]carburetor.Point) [4]carburetor.Point {
	for i, p := range box {
		box[i] = carburetor.Point{X: 1e3 * p.X, Y: 1e3 * p.Y}
	}
	return box
}

// loaded is the float with what rests on it, for the solver.
func (g *given) loaded(as repair) carburetor.Bowl {
	b := carburetor.Bowl{
		Float: carburetor.Float{Mass: carburetor.Mass(g.si("float-mass"))}, Valve: carburetor.FloatValve{Seat: carburetor.Length(g.si("seat-bore"))},
		Fuel: carburetor.Density(g.si("fuel-density")), Inlet: g.inlet(),
	}
	if as == found {
		b.Float.Mass += carburetor.Mass(g.si("weight-gained"))
	}
	return b
}

// levelPicture draws the float at the height that was measured, and where it would be by the book.
func levelPicture(g *given, r *Reckoning) (*bowl, error) {
	pin, depth := 1e3*g.si("pin-depth"), 1e3*g.si("float-depth")
	now, book, floor := g.lowerEdge(depth)
	s := g.section(pin, depth, book)
	const mm = carburetor.Millimetre
	byBook, err := s.Close(g.loaded(inGoodOrder), carburetor.Length(book)*mm)
	if err != nil {
		return nil, pictureFault(err)
	}
	asFound, err := s.Close(g.loaded(found), carburetor.Length(now)*mm)
	if err != nil && !errors.Is(err, carburetor.ErrCannotClose) {
		return nil, pictureFault(err)
	}
	if err != nil { // drawn where the book has it, with the bowl full to the rim
		asFound = byBook
	}
	b := g.drawn(s, asFound)
	b.shuts, b.fromLevel, b.ghost, b.bookLevel = err == nil, true, inMillimetres(byBook.Float), byBook.Surface.In(mm)
	if g.has("book-level") {
		b.bookLevel = b.gasket + 1e3*g.si("book-level")
	} else {
		b.notes = append(b.notes, "The level of the book is not given: the one drawn is where a box-shaped float of these sizes would hold it. With --book-level it is drawn from there.")
	}
	shift, _ := r.Result("level_shift")
	b.level = min(b.bookLevel+shift.Value, b.gasket)
	if !b.shuts {
		b.level = b.gasket
	}
	if g.has("fuel-level") {
		b.measuredLevel = b.gasket + 1e3*g.si("fuel-level")
	}
	if floor > 0 {
		b.floor = b.gasket - floor
	}
	if lowest := min(b.float[2].Y, b.float[3].Y); lowest <= b.floor {
		return nil, &InputFault{"--bowl-depth", "the float would stand on the floor of the bowl", fmt.Sprintf("write more than %s, or look whether the float height has its right datum",
			plainSpaces(measure(math.Ceil(b.gasket-lowest), "mm")))}
	}
	b.datum, b.height, b.book = g.word("datum"), g.fig("float-height"), g.fig("book-height")
	b.arms = []bowlArm{
		{b.needleArm, "to the needle", g.fig("needle-arm")}, {(b.near + b.far) / 2, "to the centre of the float", g.fig("float-arm")},
		{1e3 * g.si("mark-arm"), "to where the height is measured", g.fig("mark-arm")},
	}
	b.parts = g.bowlParts(b)
	if b.datum == gasketFace {
		b.notes = append(b.notes, "The height is measured with the cover upside down, so that the float's own weight shuts the valve; the distance is the same.")
	} else {
		b.notes = append(b.notes, "Hinge and valve are drawn as if they hung from the cover; with a float hinged in the bowl they stand elsewhere.")
	}
	return b, nil
}

// lowerEdge turns the float heights, from whatever datum, into distances from the gasket face to the lower edge of the float; floor is the
// depth of the bowl, 0 where nobody told it and nothing hangs on it.
func (g *given) lowerEdge(depth float64) (now, book, floor float64) {
	now, book = 1e3*g.si("float-height"), 1e3*g.si("book-height")
	if g.has("bowl-depth") {
		floor = 1e3 * g.si("bowl-depth")
	}
	switch g.word("datum") {
	case bowlRim:
		return now + depth, book + depth, floor
	case bowlFloor:
		if floor == 0 {
			floor = max(drawnFloor, max(now, book)+depth+drawnPin/2)
		}
		return floor - now, floor - book, floor
	}
	return now, book, floor
}

// valvePicture draws the float with its arm level, and what pulls on it.
func valvePicture(g *given, r *Reckoning) (*bowl, error) {
	depth := 1e9 * g.si("float-volume") / (1e6 * g.si("float-length") * g.si("float-width"))
	height := 0.75*depth + drawnPin // a quarter of the float above the pin: so it stands in many bowls (from memory)
	s := g.section(drawnPin, depth, height)
	c, err := s.Close(g.loaded(found), carburetor.Length(height)*carburetor.Millimetre)
	if err != nil && !errors.Is(err, carburetor.ErrCannotClose) {
		return nil, pictureFault(err)
	}
	shuts := err == nil
	if !shuts {
		c.Surface, c.Float = s.Gasket, [4]carburetor.Point{
			{X: float64(s.Near), Y: float64(s.FloatTop)}, {X: float64(s.Far), Y: float64(s.FloatTop)},
			{X: float64(s.Far), Y: float64(s.FloatTop - s.Depth)}, {X: float64(s.Near), Y: float64(s.FloatTop - s.Depth)},
		}
	}
	b := g.drawn(s, c)
	b.shuts = shuts
	b.arms = []bowlArm{{b.needleArm, "to the needle", g.fig("needle-arm")}, {(b.near + b.far) / 2, "to the centre of the float", g.fig("float-arm")}}
	b.parts = g.bowlParts(b)
	needed, _ := r.Result("force_needed")
	available, _ := r.Result("force_available")
	b.parts[needlePart].numbers = "fuel pushes with " + needed.told() + "; the float can hold " + available.told()
	b.notes = append(b.notes, fmt.Sprintf("The float is drawn as a box of the volume given, %s deep; where hinge and level stand in the bowl is not known here.", measure(roundTo(depth, 2), "mm")))
	return b, nil
}

// bowlParts is the legend.
func (g *given) bowlParts(b *bowl) []bowlPart {
	parts := []bowlPart{
		floatPart:  {"float", g.fig("float-mass") + " dry, " + g.fig("float-length") + " long, " + g.fig("float-width") + " across"},
		needlePart: {"needle", "its cone shuts the seat from below"},
		seatPart:   {"seat", "bore " + g.fig("seat-bore")},
		pinPart:    {"hinge pin", ""},
		tangPart:   {"tang", "bent to set the float height"},
		gasketPart: {"gasket face", "level and height count from here"},
		levelPart:  {"fuel level", ""},
	}
	if g.has("weight-gained") && g.si("weight-gained") > 0 {
		parts[floatPart].numbers += ", gained " + g.fig("weight-gained")
	}
	if b.datum == bowlFloor {
		parts[gasketPart].numbers = "the level counts from here"
	}
	level := "worked out " + aboveOrBelow(b.level-b.gasket)
	switch {
	case !b.shuts:
		level = "the valve does not shut: the bowl fills to the rim and overflows"
	case b.fromLevel:
		level += ", by the book " + aboveOrBelow(b.bookLevel-b.gasket)
		if !math.IsNaN(b.measuredLevel) {
			level += ", measured " + aboveOrBelow(b.measuredLevel-b.gasket)
		}
	default:
		level = "when the valve just shuts"
	}
	parts[levelPart].numbers = level
	return parts
}

// aboveOrBelow writes a height above or below the gasket face.
func aboveOrBelow(mm float64) string {
	v := math.Round(10*mm) / 10
	if v == 0 {
		return measure(0, "mm") + " below"
	}
	word := " above"
	if v < 0 {
		word = " below"
	}
	return measure(math.Abs(v), "mm") + word
}

// pictureFault names the flags for an error of the solver that they come from.
func pictureFault(err error) error {
	if errors.Is(err, carburetor.ErrCannotClose) {
		return &InputFault{"--float-mass and --float-depth", "such a float holds no level, even by the book: it goes under", "write --float-mass of the dry float, and its sizes"}
	}
	var input *carburetor.InputError
	if errors.As(err, &input) {
		return &InputFault{"--format svg", "a bowl of these sizes cannot be drawn: " + input.Error(), "check --float-arm, --float-length, --float-depth and --pin-depth, or write --format text"}
	}
	return err
}
