package carburetor

import "math"

// A Liquid is what flows through a jet.
type Liquid struct {
	// Density above 0; see Fuel.
	Density Density
	// Viscosity above 0: petrol 0.5 to 0.6 mm2/s at 20 °C, 0.8 to 1.0 at -29 °C, ethanol 1.5 at
	// 20 °C (Alternative Fuels Data Center, Properties of fuels).
	Viscosity Viscosity
}

func (l Liquid) check(bad *faults) {
	positive(bad, "density", l.Density)
	positive(bad, "viscosity", l.Viscosity)
}

// A Jet is a drilled metering hole whose discharge depends on the flow.
type Jet struct {
	// Bore above 0: pilot jets 0.35 to 0.50 mm, main jets 0.9 to 1.5 mm (recalled).
	Bore Length
	// LengthOverDiameter of the drilled part, 0 to 10; zero means 2. Use ThinPlate for a sharp
	// edge.
	LengthOverDiameter float64
}

// ThinPlate is the length over diameter of a jet that is a sharp edge: as good as 0.
const ThinPlate = 1e-9

// usualLengthOverDiameter of a jet, recalled.
const usualLengthOverDiameter = 2

// A JetFlow is the flow through a jet.
type JetFlow struct {
	Mass MassFlow
	// Discharge is the coefficient at this flow.
	Discharge float64
	// Reynolds is formed with the mean speed in the bore, IdealReynolds with the ideal speed.
	Reynolds, IdealReynolds float64
}

// Flow returns what the jet passes under a pressure drop.
//
//	m = Cd(Re) A sqrt(2 rho dp),  Re = sqrt(2 dp/rho) d/nu
//
// with Cd of BoreDischarge, whose range holds here too. Source: BoreDischarge; that the
// Reynolds number is what jets correlate by: SAE 710207, Influence of fuel properties on
// metering in carburetors, abstract. Most pilot jets are in the viscous range (Re below about
// 2000), where temperature and gum count; a main jet is nearly square-law.
func (j Jet) Flow(fuel Liquid, drop Pressure) (JetFlow, error) {
	var bad faults
	j.check(&bad)
	fuel.check(&bad)
	notNegative(&bad, "pressure drop", drop)
	if bad != nil {
		return JetFlow{}, bad.err()
	}
	if drop == 0 {
		return JetFlow{}, nil
	}
	f := j.flow(fuel, drop)
	if err := j.within(f); err != nil {
		return JetFlow{}, err
	}
	return f, nil
}

func (j Jet) check(bad *faults) {
	positive(bad, "jet bore", j.Bore)
	notNegative(bad, "jet length over diameter", number(j.LengthOverDiameter))
}

func (j Jet) ratio() float64 { return or(j.LengthOverDiameter, usualLengthOverDiameter) }

func (j Jet) within(f JetFlow) error {
	return withinBore(f.IdealReynolds, j.ratio(), float64(f.Mass))
}

// flow is Flow without checks; drop may be 0 or less, which gives no flow.
func (j Jet) flow(fuel Liquid, drop Pressure) JetFlow {
	if drop <= 0 {
		return JetFlow{}
	}
	re := math.Sqrt(2*float64(drop)/float64(fuel.Density)) * float64(j.Bore) / float64(fuel.Viscosity)
	cd := boreDischarge(re, j.ratio())
	return JetFlow{orificeFlow(cd, CircleArea(j.Bore), fuel.Density, drop), cd, cd * re, re}
}

// Film returns the factor by which a uniform film of deposit on the bore cuts the flow.
//
//	factor = (1 - 2 t/d)^2
//
// Source: own derivation (area rule; the discharge coefficient held). Thickness 0 or more, less
// than half the bore.
func (j Jet) Film(thickness Length) (float64, error) {
	var bad faults
	positive(&bad, "jet bore", j.Bore)
	notNegative(&bad, "film thickness", thickness)
	below(&bad, "film thickness", thickness, j.Bore/2)
	if bad != nil {
		return 0, bad.err()
	}
	open := 1 - 2*float64(thickness)/float64(j.Bore)
	return open * open, nil
}

// FilmFor is Film turned round: the film that leaves the given share (above 0, at most 1) of
// the flow.
//
//	t = d/2 (1 - sqrt(factor))
//
// Source: as Film.
func (j Jet) FilmFor(factor float64) (Length, error) {
	var bad faults
	positive(&bad, "jet bore", j.Bore)
	share(&bad, "share of the flow", factor)
	if bad != nil {
		return 0, bad.err()
	}
	return j.Bore / 2 * Length(1-math.Sqrt(factor)), nil
}

// FlowCurve samples the flow in grams per second over the pressure drop in kilopascals.
func (j Jet) FlowCurve(fuel Liquid, drops Span[Pressure]) (Curve, error) {
	x, y := Axis{"pressure over the jet", "kPa"}, Axis{"fuel flow", "g/s"}
	return sample(drops, x, y, func(p Pressure) (Point, error) {
		f, err := j.Flow(fuel, p)
		return Point{p.In(Kilopascal), f.Mass.In(GramPerSecond)}, err
	})
}
