package rules

import "diagnose.example/carburetor"

// petrolDensity is that of a typical petrol, for functions that are not told the fuel's.
func petrolDensity() carburetor.Density { return carburetor.Petrol().Density }

const petrolTaken = "petrol of 745 kg/m3, the middle of EN 228"

// floatModels are about float, valve and fuel level.
func floatModels() []Model {
	weight, area := Param{"float weight", "g"}, Param{"area that the fuel's surface cuts out of the float", "cm2"}
	return []Model{
		{Name: "closing_reserve",
			Params: []Param{weight, {"volume of the float", "ml"}, {"leverage of the float over the needle", ""}, {"bore of the seat", "mm"},
				{"height of the fuel in the tank over the valve", "mm"}},
			Result: Param{"pressure that the float can hold, over the pressure there is", ""}, Formulas: []string{"Bowl.Closing", "HeadPressure"},
			Monotone: true, Example: []float64{14, 20, 3.2, 3.2, 300},
			Doc: "whether this float can still close this valve: below 1 it cannot, at any level", Assumes: petrolTaken + "; a solid needle",
			call: closingReserve},
		{Name: "level_by_weight", Params: []Param{weight, {"float weight by the book", "g"}, area},
			Result: Param{"how much higher the fuel stands", "mm"}, Formulas: []string{"WeightGained"}, Monotone: true, Example: []float64{11, 9, 9},
			Doc: "how much higher the fuel stands because the float has gained weight", Assumes: petrolTaken + "; a float with upright sides",
			call: levelByWeight},
		{Name: "level_by_density", Params: []Param{weight, area, {"density of the fuel", "kg/m3"}},
			Result: Param{"how much higher the fuel stands than with usual petrol", "mm"}, Formulas: []string{"LevelShift"}, Monotone: true, Example: []float64{9, 9, 775},
			Doc: "how much higher the fuel stands because it is lighter, or lower because it is denser", Assumes: "the book level holds for " + petrolTaken,
			call: levelByDensity},
		{Name: "level_by_height", Params: []Param{{"float height", "mm"}, {"float height by the book", "mm"}},
			Result: Param{"how much higher the fuel stands", "mm"}, Formulas: []string{"FloatHeight.LevelShift"}, Monotone: true, Example: []float64{18, 21},
			Doc: "the level error that a misset float height makes by itself",
			Assumes: "height from the bare gasket face of the upturned cover to the far edge; 0.75 mm of level per millimetre, from recalled " +
				"dimensions", call: levelByHeight},
		{Name: "level_unexplained", Params: []Param{{"level error, up is above nought", "mm"}, {"float height", "mm"}, {"float height by the book", "mm"}},
			Result: Param{"what the float height does not explain", "mm"}, Formulas: []string{"FloatHeight.LevelShift"},
			Monotone: true, Example: []float64{7, 19, 21}, Doc: "how much of a level error the float height leaves unexplained",
			Assumes: "as level_by_height, with 0.6 to 1 mm of level per millimetre", call: levelUnexplained},
		{Name: "mixture_by_level", Params: []Param{{"how much higher the fuel stands", "mm"}, {"depression that drives the jet", "kPa"}},
			Result: Param{"how much richer it runs", "%"}, Formulas: []string{"LevelMixture", "MixturePerLevel"}, Monotone: true, Example: []float64{3, 0.4},
			Doc:     "how much richer a higher fuel level makes it",
			Assumes: petrolTaken + "; 0.3 to 0.5 kPa drive a pilot jet at idle, 4 to 6 kPa a main jet at full throttle (recalled)", call: mixtureByLevel},
	}
}

func closingReserve(a []float64) (float64, error) {
	const needleArm = 10 * carburetor.Millimetre // only the ratio counts
	head := carburetor.HeadPressure(petrolDensity(), carburetor.Length(a[4]))
	c, err := carburetor.Bowl{
		Float: carburetor.Float{Mass: carburetor.Mass(a[0]), Volume: carburetor.Volume(a[1]), Waterplane: 10 * carburetor.SquareCentimetre,
			Arm: carburetor.Length(a[2]) * needleArm, NeedleArm: needleArm},
		Valve: carburetor.FloatValve{Seat: carburetor.Length(a[3])}, Fuel: petrolDensity(), Inlet: head,
	}.Closing()
	return float64(c.MaxInlet / head), err
}

func levelByWeight(a []float64) (float64, error) {
	perMetre, err := carburetor.WeightGained(carburetor.Metre, petrolDensity(), carburetor.Area(a[2]))
	return (a[0] - a[1]) / float64(perMetre), err
}

func levelByDensity(a []float64) (float64, error) {
	bowl := func(d carburetor.Density) carburetor.Bowl {
		f := carburetor.Float{Mass: carburetor.Mass(a[0]), Volume: carburetor.Volume(a[0]) / 200, Waterplane: carburetor.Area(a[1]), Arm: 1, NeedleArm: 1}
		return carburetor.Bowl{Float: f, Valve: carburetor.FloatValve{Seat: carburetor.Millimetre}, Fuel: d}
	}
	dh, err := carburetor.LevelShift(bowl(petrolDensity()), bowl(carburetor.Density(a[2])))
	return float64(dh), err
}

func floatHeight(measured, book float64) carburetor.FloatHeight {
	return carburetor.FloatHeight{Datum: carburetor.FromGasketFace, Error: carburetor.Length(measured - book)}
}

func levelByHeight(a []float64) (float64, error) {
	e, err := floatHeight(a[0], a[1]).LevelShift()
	return float64(e.Best), err
}

func levelUnexplained(a []float64) (float64, error) {
	rest, err := floatHeight(a[1], a[2]).UnexplainedLevel(carburetor.Length(a[0]))
	return float64(rest), err
}

func mixtureByLevel(a []float64) (float64, error) {
	factor, err := carburetor.LevelMixture(carburetor.Length(a[0]), petrolDensity(), carburetor.Pressure(a[1]))
	return factor - 1, err
}
