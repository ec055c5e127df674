package report

import (
	"errors"
	"math"

	"diagnose.example/carburetor"
	"diagnose.example/symptoms"
)

// Where defaults come from. What stands in the comments of package carburetor as recalled is from memory here too.
const (
	usualFloat  = "usual on small motorcycle carburetors (from memory)"
	usualPetrol = "middle of what EN 228 allows, 720 to 775 kg/m3"
	ownChoice   = "our choice"
)

// Words of the datum.
const (
	gasketFace = "gasket-face"
	bowlRim    = "bowl-rim"
	bowlFloor  = "bowl-floor"
)

// drainedFirst is the caution of whatever has the bowl off.
const drainedFirst = "Before the bowl comes off: tap shut, bowl drained into an approved can, no ignition source, gloves and glasses."

// The inputs of a float are the same in both calculators.

func floatArmInput() Input {
	return Input{
		Name: "float-arm", Text: "hinge pin to the centre of the float", Unit: "mm", Range: [2]float64{10, 80}, Uncertainty: 1,
		Default: "30 ± 3 mm", Because: usualFloat, Detail: true,
	}
}

func needleArmInput() Input {
	return Input{
		Name: "needle-arm", Text: "hinge pin to where the tang touches the needle", Unit: "mm", Range: [2]float64{2, 40}, Uncertainty: 0.3,
		Default: "9 ± 1.2 mm", Because: usualFloat, Detail: true,
	}
}

func floatMassInput() Input {
	return Input{
		Name: "float-mass", Text: "dry float with its arm", Question: "What does a dry float in good order weigh, with its arm?",
		Unit: "g", Range: [2]float64{1, 100}, Uncertainty: 0.1, Default: "9 ± 2.3 g", Because: usualFloat, Detail: true,
	}
}

func floatVolumeInput() Input {
	return Input{
		Name: "float-volume", Text: "what the float displaces when held under", Unit: "ml", Range: [2]float64{2, 200}, Uncertainty: 0.3,
		Default: "18 ± 3.8 ml", Because: usualFloat, Detail: true,
	}
}

func floatLengthInput() Input {
	return Input{
		Name: "float-length", Text: "float, from its near to its far end", Unit: "mm", Range: [2]float64{5, 80}, Uncertainty: 0.5,
		Default: "20 ± 2 mm", Because: usualFloat, Detail: true,
	}
}

func floatWidthInput() Input {
	return Input{
		Name: "float-width", Text: "float across, both halves of a pair together", Unit: "mm", Range: [2]float64{5, 120}, Uncertainty: 0.5,
		Default: "45 ± 7 mm", Because: usualFloat, Detail: true,
	}
}

func weightGainedInput() Input {
	return Input{
		Name: "weight-gained", Text: "what the float has gained", Question: "What does the float weigh more than one in good order?",
		Unit: "g", Range: [2]float64{0, 50}, Uncertainty: 0.2,
	}
}

func headInput() Input {
	return Input{
		Name: "head", Text: "fuel in the tank above the float valve", Question: "How high does the fuel in the tank stand above the float valve?",
		Unit: "mm", Range: [2]float64{10, 3000}, Uncertainty: 20, Default: "300 ± 100 mm", Because: "usual for a tank over the engine (from memory)", Detail: true,
	}
}

func densityInput() Input {
	return Input{
		Name: "fuel-density", Text: "fuel density", Unit: "kg/m3", Range: [2]float64{600, 900}, Uncertainty: 5,
		Default: "745 ± 16 kg/m3", Because: usualPetrol, Detail: true,
	}
}

func seatInput() Input {
	return Input{
		Name: "seat-bore", Text: "ring on which the needle seals", Question: "How wide is the ring on which the needle seals?",
		Unit: "mm", Range: [2]float64{0.5, 6}, Uncertainty: 0.05, Default: "2 ± 0.3 mm", Because: "usual with gravity feed (from memory)", Detail: true,
	}
}

// floatLevel answers what a float height, and a heavier float, do to the fuel level.
func floatLevel() *Calculator {
	mm := func(name, text, question string, lo, hi, u float64) Input {
		return Input{Name: name, Text: text, Question: question, Unit: "mm", Range: [2]float64{lo, hi}, Uncertainty: u}
	}
	height := mm("float-height", "float height as measured", "Valve just shut: what float height is measured?", 1, 80, 0.3)
	height.Required, height.Sample = true, "22.5 mm"
	book := mm("book-height", "float height of the book", "What float height does the book give, from the same datum?", 1, 80, 0)
	book.Required, book.Sample = true, "21 mm"
	mark := mm("mark-arm", "hinge pin to the point of the float where the height is measured", "", 10, 100, 1)
	mark.Default, mark.Because, mark.Detail = "40 ± 5 mm", usualFloat, true
	depth := mm("float-depth", "float, from its upper to its lower face; for the picture", "", 4, 80, 0)
	depth.Default, depth.Because, depth.Detail = "18 mm", usualFloat, true
	bowl := mm("bowl-depth", "gasket face to the floor of the bowl; for the picture", "", 10, 120, 0)
	bowl.Detail = true
	pin := mm("pin-depth", "gasket face to the hinge pin; for the picture", "", 0, 40, 0)
	pin.Default, pin.Because, pin.Detail = "8 mm", ownChoice, true
	return &Calculator{
		ID: "float-level", Also: []string{"float-height", "fuel-level"},
		Title: "what a float height does to the fuel level",
		Text: "Compares the float height as measured with that of the book and says how much higher or lower the fuel stands for it, and what " +
			"that does to the idle mixture. A float that has gained weight counts too. With the fuel level measured and that of the " +
			"book it says what is left unexplained. Small angles, and a float with straight sides.",
		Inputs: []Input{
			height, book, datumInput(), weightGainedInput(),
			mm("fuel-level", "fuel level as measured, from the bowl's edge, minus is below", "Where does the fuel stand, from the bowl's edge (minus is below)?", -60, 30, 0.7),
			mm("book-level", "fuel level of the book, from the bowl's edge, minus is below", "What fuel level does the book give, from the bowl's edge (minus is below)?", -60, 30, 0),
			floatArmInput(), mark, floatLengthInput(), floatWidthInput(), floatMassInput(), densityInput(),
			{
				Name: "idle-pressure", Text: "pressure over the idle jet at idle", Unit: "kPa", Range: [2]float64{0.05, 5}, Uncertainty: 0.05,
				Default: "0.4 ± 0.06 kPa", Because: "usual, 0.3 to 0.5 kPa (from memory)", Detail: true,
			},
			needleArmInput(), seatInput(), headInput(), depth, pin, bowl,
		},
		Formulas: []string{"FloatHeight.LevelShift", "LevelShift", "LevelMixture"},
		Caution:  drainedFirst,
		Worked: "a float set to 22.5 mm where the book has 21 mm shuts its valve too early; the fuel stands 1.12 mm lower, and the idle mixture is 1.0 % " +
			"leaner. So small an error is worth putting right, but it is not why a bike will not pull.",
		Examples: []string{
			`--float-height "22.5 mm" --book-height "21 mm"`,
			`--float-height 22.5 --book-height 21 --book-level "-4 mm" --output bowl.svg`,
			`--float-height "7/8 in" --book-height "13/16 in" --weight-gained "1.5 g"`,
		},
		blames: map[string]string{
			"error of the float height": "--float-height and --book-height",
			"hinge to waterplane":       "--float-arm", "hinge to measured point": "--mark-arm",
			"float mass": "--float-mass", "float waterplane": "--float-length and --float-width",
		},
		model: levelModel, picture: levelPicture,
		tell: levelTold,
		curve: func(g *given, r *Reckoning) error {
			book, now := 1e3*g.si("book-height"), 1e3*g.si("float-height")
			reach := min(10, max(4, 1.5*math.Abs(now-book)))
			return r.sweep("float-height", max(book-reach, 0.5), book+reach, "level_shift")
		},
	}
}

func datumInput() Input {
	return Input{
		Name: "datum", Text: "from where the float height is measured", Question: "From where is the float height measured?",
		Words: []symptoms.Word{
			{Word: gasketFace, Means: "cover upside down, from the bare gasket face to the far edge of the float"},
			{Word: bowlRim, Means: "float hinged in the bowl, from the rim down to the top of the float"},
			{Word: bowlFloor, Means: "float hinged in the bowl, from the floor up to the float"},
		},
		Default: gasketFace, Because: "the commonest (from memory)",
	}
}

// floatHeight is the misset float with its lever.
func (g *given) floatHeight() carburetor.FloatHeight {
	datum := map[string]carburetor.Datum{
		gasketFace: carburetor.FromGasketFace, bowlRim: carburetor.FromBowlRim, bowlFloor: carburetor.FromBowlFloor,
	}
	return carburetor.FloatHeight{
		Datum: datum[g.word("datum")], Error: carburetor.Length(g.si("float-height") - g.si("book-height")),
		ToWaterplane: carburetor.Length(g.si("float-arm")), ToMark: carburetor.Length(g.si("mark-arm")),
	}
}

// floatOf is a bowl with a float that has gained weight, of which only the waterplane counts.
func (g *given) floatOf(gained float64) carburetor.Bowl {
	arm := carburetor.Length(g.si("float-arm"))
	return deep(carburetor.Bowl{
		Float: carburetor.Float{
			Mass: carburetor.Gram + carburetor.Mass(gained), Waterplane: carburetor.Area(g.si("float-length") * g.si("float-width")), Arm: arm, NeedleArm: arm,
		},
		Valve: carburetor.FloatValve{Seat: carburetor.Millimetre}, Fuel: carburetor.Density(g.si("fuel-density")),
	})
}

func levelModel(g *given) ([]Result, error) {
	shift, err := g.floatHeight().LevelShift()
	if err != nil {
		return nil, err
	}
	const higher, lower = "higher than by the book", "lower than by the book"
	side := func(key, name string, v carburetor.Length) Result {
		return Result{Key: key, Name: name, Unit: "mm", Value: v.In(carburetor.Millimetre), More: higher, Less: lower, Same: "as by the book"}
	}
	height := g.floatHeight()
	sign := "-1"
	if height.Datum == carburetor.FromBowlFloor {
		sign = "1"
	}
	g.by("FloatHeight.LevelShift", "dh = %s x (%s - %s) x %s / %s = %s", sign, g.fig("float-height"), g.fig("book-height"), g.fig("float-arm"),
		g.fig("mark-arm"), measure(shift.Best.In(carburetor.Millimetre), "mm"))
	total := shift.Best
	var parts []Result
	if g.has("weight-gained") {
		rise, err := carburetor.LevelShift(g.floatOf(0), g.floatOf(g.si("weight-gained")))
		if err != nil {
			return nil, err
		}
		g.by("LevelShift", "dh = %s / (%s x %s x %s) = %s", g.fig("weight-gained"), g.fig("fuel-density"), g.fig("float-length"), g.fig("float-width"),
			measure(rise.In(carburetor.Millimetre), "mm"))
		total += rise
		parts = []Result{side("shift_by_height", "of this, by the float height", shift.Best), side("shift_by_weight", "of this, by the weight gained", rise)}
		for i := range parts {
			parts[i].More, parts[i].Less, parts[i].Same = "higher", "lower", "nothing"
		}
	}
	out := append([]Result{side("level_shift", "Fuel level", total)}, parts...)
	if g.has("fuel-level") && g.has("book-level") {
		measured := carburetor.Length(g.si("fuel-level") - g.si("book-level"))
		out = append(out, side("level_error", "Fuel level as measured", measured), side("level_unexplained", "Left unexplained", measured-total))
	}
	factor, err := carburetor.LevelMixture(total, carburetor.Density(g.si("fuel-density")), carburetor.Pressure(g.si("idle-pressure")))
	switch {
	case errors.Is(err, carburetor.ErrNoFuel): // the level does not reach the jet: told in a note
	case err != nil:
		return nil, err
	default:
		g.by("LevelMixture", "factor = sqrt(1 + %s x 9.81 m/s2 x %s / %s) = %s", g.fig("fuel-density"), measure(total.In(carburetor.Millimetre), "mm"),
			g.fig("idle-pressure"), number(factor))
		out = append(out, richer("idle_mixture", "Mixture at idle", factor))
	}
	return out, nil
}

// richer is the result for a factor on the fuel.
func richer(key, name string, factor float64) Result {
	return Result{Key: key, Name: name, Unit: "%", Value: 100 * (factor - 1), More: "richer", Less: "leaner", Same: "unchanged"}
}

func levelTold(g *given, r *Reckoning) {
	shift, _ := r.Result("level_shift")
	subject, moves := "The float height", " moves"
	if g.has("weight-gained") {
		subject, moves = "Float height and weight together", " move"
	}
	if g.si("weight-gained") > 0 {
		r.note("A hollow float that has gained weight leaks, and will go on gaining: renew it or have it mended (common practice).")
	}
	switch {
	case shift.within(2):
		r.Meaning = subject + moves + " the level by no more than the readings themselves leave open."
	case shift.Value < 0:
		r.Meaning = "The valve shuts too early and the fuel stands low: leaner at idle and just off it, hardly felt at full throttle."
	default:
		r.Meaning = "The valve shuts too late and the fuel stands high: richer at idle and just off it, and nearer to the overflow."
	}
	if left, ok := r.Result("level_unexplained"); ok {
		if left.within(2) {
			r.Meaning += " That explains the level that was measured."
		} else {
			r.Meaning += " That does not explain the level that was measured: look at the float's weight, the valve, its seat and the pressure."
		}
	}
	if g.has("fuel-level") != g.has("book-level") {
		r.note("With --fuel-level and --book-level together it says what the float height leaves unexplained.")
	}
	if _, ok := r.Result("idle_mixture"); !ok {
		r.note("So low a level lifts no fuel to the idle jet at the pressure taken: it would not idle.")
	}
}

// within says that the value is no more than k times its uncertainty.
func (r Result) within(k float64) bool { return math.Abs(r.Value) <= k*r.Uncertainty }

// floatValve answers whether a float can close its valve.
func floatValve() *Calculator {
	seat, mass, head := seatInput(), floatMassInput(), headInput()
	seat.Required, seat.Default, seat.Because, seat.Detail = true, "", "", false
	mass.Required, mass.Default, mass.Because, mass.Detail = true, "", "", false
	mass.Question, mass.Sample, seat.Sample = "What does the dry float weigh, with its arm?", "9.4 g", "2 mm"
	head.Detail = false
	return &Calculator{
		ID: "float-valve", Also: []string{"needle-valve", "float-needle"},
		Title: "whether this float can shut this valve",
		Text: "Weighs what the float can do against what the fuel does at the needle: whether the valve shuts at all, up to what pressure it " +
			"would, and how much the level moves for a float that gained weight or a seat that wore wider. A needle that is grooved " +
			"or dirty leaks at any force and is not seen here.",
		Inputs: []Input{
			mass, seat, head,
			{
				Name: "inlet-pressure", Text: "pressure at the inlet, in place of the head", Question: "With a fuel pump: what pressure does the fuel have at the carburetor?",
				Unit: "kPa", Range: [2]float64{0.05, 200}, Uncertainty: 0.5,
			},
			weightGainedInput(),
			{Name: "book-seat-bore", Text: "the ring when it was new", Question: "How wide was that ring when it was new?", Unit: "mm", Range: [2]float64{0.5, 6}, Uncertainty: 0.05},
			floatVolumeInput(), floatArmInput(), needleArmInput(), floatLengthInput(), floatWidthInput(), densityInput(),
		},
		Formulas: []string{"HeadPressure", "FloatValve.Force", "Bowl.Closing", "LevelShift"},
		Caution:  drainedFirst,
		Worked: "a float of 9.4 g over a seat of 2 mm would hold 19 times the pressure of a tank 300 mm above it, if its other sizes are the usual ones. The " +
			"figure after ± is nearly as large: only with the float's volume measured is it more than a guess.",
		Examples: []string{
			`--float-mass "9.4 g" --seat-bore "2 mm"`,
			`--float-mass "9.4 g" --seat-bore "2 mm" --inlet-pressure "20 kPa"`,
			`--float-mass "9.4 g" --seat-bore "2.4 mm" --book-seat-bore "2 mm" --weight-gained "3 g"`,
		},
		blames: map[string]string{
			"float mass": "--float-mass", "float volume": "--float-volume", "float arm": "--float-arm", "needle arm": "--needle-arm",
			"float waterplane": "--float-length and --float-width", "seat": "--seat-bore", "inlet pressure": "--head and --inlet-pressure",
		},
		model: valveModel, picture: valvePicture,
		tell: valveTold,
		curve: func(g *given, r *Reckoning) error {
			if g.has("inlet-pressure") {
				return r.sweepFromZero("inlet-pressure", 0.05, max(40, 2e-3*g.si("inlet-pressure")), "closing_margin")
			}
			return r.sweepFromZero("head", 10, max(1000, 2e3*g.si("head")), "closing_margin")
		},
	}
}

// bowl is the bowl with its float as found, or in good order.
func (g *given) bowl(as repair) carburetor.Bowl {
	b := carburetor.Bowl{
		Float: carburetor.Float{
			Mass: carburetor.Mass(g.si("float-mass")), Volume: carburetor.Volume(g.si("float-volume")),
			Waterplane: carburetor.Area(g.si("float-length") * g.si("float-width")),
			Arm:        carburetor.Length(g.si("float-arm")), NeedleArm: carburetor.Length(g.si("needle-arm")),
		},
		Valve: carburetor.FloatValve{Seat: carburetor.Length(g.si("seat-bore"))},
		Fuel:  carburetor.Density(g.si("fuel-density")),
		Inlet: g.inlet(),
	}
	if as == found {
		b.Float.Mass += carburetor.Mass(g.si("weight-gained"))
	} else if g.has("book-seat-bore") {
		b.Valve.Seat = carburetor.Length(g.si("book-seat-bore"))
	}
	return b
}

// repair is the state of float and seat.
type repair uint8

const (
	found repair = iota
	inGoodOrder
)

func (g *given) inlet() carburetor.Pressure {
	if g.has("inlet-pressure") {
		return carburetor.Pressure(g.si("inlet-pressure"))
	}
	p := carburetor.HeadPressure(carburetor.Density(g.si("fuel-density")), carburetor.Length(g.si("head")))
	g.by("HeadPressure", "p = %s x 9.81 m/s2 x %s = %s", g.fig("fuel-density"), g.fig("head"), measure(p.In(carburetor.Kilopascal), "kPa"))
	return p
}

func valveModel(g *given) ([]Result, error) {
	if g.has("inlet-pressure") && g.has("head") && !g.taken("head") {
		return nil, &InputFault{"--head and --inlet-pressure", "both are given", "leave one out: the pressure is that of the head, or that of the pump"}
	}
	bowl := g.bowl(found)
	c, err := bowl.Closing()
	if err != nil {
		return nil, err
	}
	const milli = 1e-3 * carburetor.Newton
	needed, available := measure(c.Needed.In(milli), "mN"), measure(c.Available.In(milli), "mN")
	g.by("FloatValve.Force", "F_n = %s x pi/4 x (%s)^2 = %s", measure(bowl.Inlet.In(carburetor.Kilopascal), "kPa"), g.fig("seat-bore"), needed)
	mass := measure(bowl.Float.Mass.In(carburetor.Gram), "g")
	g.by("Bowl.Closing", "F_available = (%s x %s - %s) x 9.81 m/s2 x %s / %s = %s", g.fig("fuel-density"), g.fig("float-volume"), mass, g.fig("float-arm"),
		g.fig("needle-arm"), available)
	g.by("Bowl.Closing", "p_max = %s / (pi/4 x (%s)^2) = %s", available, g.fig("seat-bore"), measure(c.MaxInlet.In(carburetor.Kilopascal), "kPa"))
	g.by("Bowl.Closing", "V_imm = %s / %s + %s x %s / %s / (%s x 9.81 m/s2) = %s", mass, g.fig("fuel-density"), needed, g.fig("needle-arm"), g.fig("float-arm"),
		g.fig("fuel-density"), measure(c.Immersed.In(carburetor.CubicCentimetre), "ml"))
	out := []Result{
		{Key: "closing_margin", Name: "Force to spare at the needle", Unit: "mN", Value: c.Margin.In(milli)},
		{Key: "force_available", Name: "Force that the float has, fully under", Unit: "mN", Value: c.Available.In(milli)},
		{Key: "force_needed", Name: "Force that holds the fuel back", Unit: "mN", Value: c.Needed.In(milli)},
		{Key: "max_inlet_pressure", Name: "Pressure up to which it would hold", Unit: "kPa", Value: c.MaxInlet.In(carburetor.Kilopascal)},
	}
	if bowl.Inlet > 0 {
		out = append(out, Result{Key: "hold_ratio", Name: "That is, times the pressure there is", Value: float64(c.MaxInlet / bowl.Inlet), Digits: 2})
	}
	out = append(out, Result{
		Key: "float_immersed", Name: "Float under fuel when the valve shuts", Unit: "%", Value: 100 * float64(c.Immersed/bowl.Float.Volume),
	})
	if !g.has("weight-gained") && !g.has("book-seat-bore") {
		return out, nil
	}
	shift, err := carburetor.LevelShift(deep(g.bowl(inGoodOrder)), deep(bowl))
	if err != nil {
		return nil, err
	}
	v0, err := g.bowl(inGoodOrder).Closing()
	if err != nil {
		return nil, err
	}
	area := g.fig("float-length") + " x " + g.fig("float-width")
	g.by("LevelShift", "dh = (%s - %s) / (%s) = %s", measure(c.Immersed.In(carburetor.CubicCentimetre), "ml"), measure(v0.Immersed.In(carburetor.CubicCentimetre), "ml"),
		area, measure(shift.In(carburetor.Millimetre), "mm"))
	return append(out, Result{
		Key: "level_shift", Name: "Fuel level for that", Unit: "mm", Value: shift.In(carburetor.Millimetre), More: "higher", Less: "lower", Same: "unchanged",
	}), nil
}

// deep returns the bowl with a float so deep that it never goes under: the level then has an answer beside the end of what the float
// can do as well, and whether the valve shuts is told by the margin.
func deep(b carburetor.Bowl) carburetor.Bowl {
	b.Float.Volume = carburetor.CubicMetre
	return b
}

func valveTold(_ *given, r *Reckoning) {
	margin, _ := r.Result("closing_margin")
	times, _ := r.Result("hold_ratio")
	switch {
	case margin.Value <= 0:
		r.Meaning = "The float cannot shut this valve at any float height: the bowl overflows, and bending the tang will not cure it. Look at the " +
			"float's weight, the width of the seat and the pressure."
	case margin.within(2):
		r.Meaning = "It shuts, but it may be only just: measure what was taken below before relying on it."
	default:
		r.Meaning = "The float shuts the valve and would against " + number(roundTo(times.Value, 2)) + " times this pressure. If it still drips, the needle, its " +
			"seat or the seat's joint leaks."
	}
	if margin.Value <= 0 { // nothing shuts: these two have no meaning
		r.drop("float_immersed", "level_shift")
	}
	if available, _ := r.Result("force_available"); available.Value <= 0 {
		r.drop("max_inlet_pressure", "hold_ratio")
		r.Meaning = "The float weighs more than the fuel that it pushes aside, so it sinks: the valve never shuts and the bowl overflows. " +
			"Shake it for fuel inside, weigh it dry, and renew it."
	}
	r.note("10 mN are about the weight of 1 g, for whoever wants to try it with a finger on a scale.")
	if level, ok := r.Result("level_shift"); ok && !level.within(2) {
		r.Meaning += " The fuel stands " + level.told() + " than it should; the float height does not show it."
	}
}

// roundTo keeps n digits that count.
func roundTo(v float64, n int) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	scale := math.Pow(10, float64(n-1)-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*scale) / scale
}
