package carburetor_test

import (
	"errors"
	"fmt"

	"diagnose.example/carburetor"
)

// A float that has taken in two grams of fuel still shuts its valve, but the fuel stands
// higher.
func ExampleBowl_Closing() {
	bowl := carburetor.Bowl{
		Float: carburetor.Float{
			Mass: 9 * carburetor.Gram, Volume: 18 * carburetor.CubicCentimetre, Waterplane: 9 * carburetor.SquareCentimetre,
			Arm: 28 * carburetor.Millimetre, NeedleArm: 9 * carburetor.Millimetre,
		},
		Valve: carburetor.FloatValve{Seat: 2 * carburetor.Millimetre},
		Fuel:  carburetor.Petrol().Density,
		Inlet: carburetor.HeadPressure(carburetor.Petrol().Density, 300*carburetor.Millimetre),
	}
	heavy := bowl
	heavy.Float.Mass += 2 * carburetor.Gram

	c, err := heavy.Closing()
	if err != nil {
		fmt.Println(err)
		return
	}
	rise, err := carburetor.LevelShift(bowl, heavy)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("shuts: %v, with %v to spare, up to %v\n", c.Holds(), c.Margin, c.MaxInlet)
	fmt.Printf("the fuel stands %v higher\n", rise)
	// Output:
	// shuts: true, with 0.06664 N to spare, up to 23.4 kPa
	// the fuel stands 2.983 mm higher
}

// Does the float height alone explain the level? Here it does not: 2 mm of level are left over.
func ExampleFloatHeight_UnexplainedLevel() {
	height := carburetor.FloatHeight{Datum: carburetor.FromGasketFace, Error: -3 * carburetor.Millimetre}
	shift, err := height.LevelShift()
	if err != nil {
		fmt.Println(err)
		return
	}
	left, err := height.UnexplainedLevel(5 * carburetor.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the height makes %v (%v to %v); %v are left\n", shift.Best, shift.Low, shift.High, left)
	// Output:
	// the height makes 2.25 mm (1.8 mm to 3 mm); 2 mm are left
}

// Jets that were right at the coast, for a bike that lives at 1500 m: the two kinds of jet
// number change differently.
func ExampleJetCorrection() {
	coast, err := carburetor.AirAt(0, carburetor.Celsius(20), 0.6)
	if err != nil {
		fmt.Println(err)
		return
	}
	hills, err := carburetor.AirAt(1500*carburetor.Metre, carburetor.Celsius(15), 0.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	factor, err := carburetor.JetCorrection(coast, hills)
	if err != nil {
		fmt.Println(err)
		return
	}
	bore, _ := carburetor.BoreNumber(110).Scale(factor)
	flow, _ := carburetor.FlowNumber(110).Scale(factor)
	fmt.Printf("flow by %.3f: bore number 110 becomes %.0f, flow number 110 becomes %.0f\n",
		factor, float64(bore), float64(flow))
	// Output:
	// flow by 0.924: bore number 110 becomes 106, flow number 110 becomes 102
}

// A leak of 1 mm2 makes a rich idle lean, and counts little when the throttle is open.
func ExampleLeakedLambda() {
	outside := carburetor.GasState{Pressure: carburetor.StandardPressure, Temperature: carburetor.StandardTemperature}
	leak := carburetor.AirLeak{Area: 1 * carburetor.SquareMillimetre}
	for _, c := range []struct {
		name     string
		air      carburetor.MassFlow
		manifold carburetor.Pressure
	}{
		{"idle", 0.77 * carburetor.GramPerSecond, 40 * carburetor.Kilopascal},
		{"half throttle", 10 * carburetor.GramPerSecond, 85 * carburetor.Kilopascal},
	} {
		m, err := leak.Flow(outside, c.manifold)
		if err != nil {
			fmt.Println(err)
			return
		}
		lambda, err := carburetor.LeakedLambda(0.9, c.air, m)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %v of false air, lambda %.2f\n", c.name, m, float64(lambda))
	}
	// Output:
	// idle: 0.193 g/s of false air, lambda 1.13
	// half throttle: 0.1455 g/s of false air, lambda 0.91
}

// A nearly full tank with a blocked vent stops first.
func ExampleBlockedTank_TimeToStarve() {
	tank := carburetor.BlockedTank{
		Head: 300 * carburetor.Millimetre, Fuel: carburetor.Petrol().Density,
		Outside: carburetor.StandardPressure, Vapour: 45 * carburetor.Kilopascal,
	}
	for _, gas := range []carburetor.Volume{0.5 * carburetor.Litre, 4 * carburetor.Litre} {
		tank.Gas = gas
		t, err := tank.TimeToStarve(30*carburetor.CubicCentimetre, 1*carburetor.MillilitrePerSecond)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f litres of air in the tank: %v\n", gas.In(carburetor.Litre), t)
	}
	// Output:
	// 0.5 litres of air in the tank: 50.24 s
	// 4.0 litres of air in the tank: 3.199 min
}

// Outside air in the exhaust makes every engine look lean, and shows by little CO2 and CO.
func ExampleExhaust_Brettschneider() {
	tight := carburetor.Exhaust{CO2: 12.5, CO: 3.2, O2: 0.6}
	leaky := carburetor.Exhaust{CO2: 8.8, CO: 2.2, O2: 6.7}
	for _, e := range []carburetor.Exhaust{tight, leaky} {
		r, err := e.Brettschneider(carburetor.UsualPetrol())
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("lambda %.2f, diluted: %v\n", float64(r.Lambda), r.Diluted)
	}
	// Output:
	// lambda 0.93, diluted: false
	// lambda 1.34, diluted: true
}

// A book value for sea level becomes less in the hills before anything is worn.
func ExampleCompressionShare() {
	hills, err := carburetor.StandardAtmosphere(1500 * carburetor.Metre)
	if err != nil {
		fmt.Println(err)
		return
	}
	share, err := carburetor.CompressionShare(9*carburetor.Bar, 11*carburetor.Bar, carburetor.StandardPressure, hills.Pressure)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("9 bar at 1500 m is %.0f %% of a book value of 11 bar at sea level\n", 100*share)
	// Output:
	// 9 bar at 1500 m is 98 % of a book value of 11 bar at sea level
}

// The float at its real angle, as points to draw.
func ExampleSection_Close() {
	section := carburetor.Section{
		Near: 14 * carburetor.Millimetre, Far: 44 * carburetor.Millimetre, FloatTop: 6 * carburetor.Millimetre,
		Depth: 20 * carburetor.Millimetre, Width: 30 * carburetor.Millimetre,
		Gasket: 8 * carburetor.Millimetre, NeedleArm: 9 * carburetor.Millimetre,
	}
	load := carburetor.Bowl{
		Float: carburetor.Float{Mass: 9 * carburetor.Gram}, Valve: carburetor.FloatValve{Seat: 2 * carburetor.Millimetre},
		Fuel: 745, Inlet: 2 * carburetor.Kilopascal,
	}
	for _, height := range []carburetor.Length{20 * carburetor.Millimetre, 24 * carburetor.Millimetre} {
		c, err := section.Close(load, height)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("height %v: arm at %v, fuel %v from the gasket face\n", height, c.Angle, c.Level)
	}
	// Output:
	// height 20 mm: arm at 2.587 deg, fuel -6.923 mm from the gasket face
	// height 24 mm: arm at -2.624 deg, fuel -9.657 mm from the gasket face
}

// What cannot be, and what nobody has checked, are different errors.
func ExampleRangeError() {
	hose := carburetor.Pipe{Bore: 6 * carburetor.Millimetre, Length: 300 * carburetor.Millimetre}
	_, err := hose.LaminarFlow(carburetor.Petrol().Liquid(), 2*carburetor.Kilopascal)
	var out *carburetor.RangeError
	if errors.As(err, &out) {
		fmt.Println("not answered:", err)
	}
	_, err = hose.LaminarFlow(carburetor.Petrol().Liquid(), -2*carburetor.Kilopascal)
	var input *carburetor.InputError
	if errors.As(err, &input) {
		fmt.Println("impossible:", err)
	}
	// Output:
	// not answered: laminar flow in a pipe: Reynolds number 199700 is outside 0 to 2000, where it has been checked
	// impossible: pressure drop -2 kPa: must be 0 or more
}

// The formula behind a result, to show beside it.
func ExampleLookupFormula() {
	f, ok := carburetor.LookupFormula("AltitudeAFR")
	if !ok {
		return
	}
	fmt.Println(f.Lines[0])
	fmt.Println(f.Standing)
	fmt.Println(f.Cites)
	// Output:
	// AFR_h = AFR_0 sqrt(rho_h/rho_0)
	// published
	// [gupta-ice-tbc mathur-sharma-tbc rajput-ice-tbc]
}

// A curve to plot, in the units of its axes.
func ExampleBurn_COCurve() {
	petrol := carburetor.Burn{Fuel: carburetor.Petrol().Composition}
	c, err := petrol.COCurve(carburetor.Span[carburetor.Lambda]{From: 0.85, To: 1, Steps: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range c.Points {
		fmt.Printf("%s %.2f: %s %.1f %s\n", c.X.Name, p.X, c.Y.Name, p.Y, c.Y.Unit)
	}
	// Output:
	// lambda 0.85: CO, dry 5.6 %
	// lambda 0.90: CO, dry 3.7 %
	// lambda 0.95: CO, dry 1.8 %
	// lambda 1.00: CO, dry 0.0 %
}

// What a measured float height, good to 0.3 mm, says of the level.
func ExamplePropagate() {
	level := func(x []float64) (float64, error) {
		h := carburetor.FloatHeight{Datum: carburetor.FromGasketFace, Error: carburetor.Length(x[0]-x[1]) * carburetor.Millimetre}
		shift, err := h.LevelShift()
		return shift.Best.In(carburetor.Millimetre), err
	}
	u, err := carburetor.Propagate(level, carburetor.Uncertain{Value: 24, Uncertainty: 0.3}, carburetor.Uncertain{Value: 22})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f ± %.2f mm\n", u.Value, u.Uncertainty)
	// Output:
	// -1.50 ± 0.23 mm
}
