package carburetor

import "math"

// A Venturi is the narrowest passage of the air.
type Venturi struct {
	// Throat is its bore, above 0; 24 to 34 mm on small motorcycles (recalled).
	Throat Length
	// Core is the diameter of a round obstacle in the throat, such as an emulsion tube; 0 or
	// more, less than Throat.
	Core Length
	// Discharge is its coefficient, above 0, at most 1; textbook examples take 0.80 to 0.93.
	Discharge float64
}

func (v Venturi) check(bad *faults) {
	positive(bad, "venturi bore", v.Throat)
	notNegative(bad, "core diameter", v.Core)
	below(bad, "core diameter", v.Core, v.Throat)
	share(bad, "venturi discharge coefficient", v.Discharge)
}

// Area returns the open area of the throat.
//
//	A_v = pi/4 (D^2 - d_core^2)
//
// Source: geometry.
func (v Venturi) Area() Area { return CircleArea(v.Throat) - CircleArea(v.Core) }

// An Inlet is the air at rest before a venturi.
type Inlet struct {
	// Pressure is absolute, above 0.
	Pressure Pressure
	// Density above 0; see Air.
	Density Density
}

func (i Inlet) check(bad *faults) {
	positive(bad, "air pressure", i.Pressure)
	positive(bad, "air density", i.Density)
}

// ExpansionFactor returns the factor by which a gas that expands falls short of the orifice
// equation for liquids, at the ratio r = p2/p1 (above the critical ratio, at most 1).
//
//	Phi = sqrt( k/(k-1) (r^(2/k) - r^((k+1)/k)) / (1 - r) )
//
// Source: own derivation from Gas.NozzleFlux.
func (g Gas) ExpansionFactor(r float64) (float64, error) {
	var bad faults
	g.check(&bad)
	if bad == nil {
		between(&bad, "pressure ratio", number(r), number(criticalRatio(g.Gamma)), 1)
	}
	if bad != nil {
		return 0, bad.err()
	}
	return expansionFactor(g.Gamma, r), nil
}

func expansionFactor(k, r float64) float64 {
	// Below this drop the quotient loses its digits; the factor is 1 - 3/(4k) (1-r) there.
	const small = 1e-6
	if 1-r < small {
		return 1 - 3/(4*k)*(1-r)
	}
	return math.Sqrt(k / (k - 1) * (math.Pow(r, 2/k) - math.Pow(r, (k+1)/k)) / (1 - r))
}

// AirFlow returns the air that a venturi passes when its throat is at the given depression;
// beyond the sonic depression it is the sonic flow.
//
//	m_a = Cda A_v sqrt(2 rho_a dp_v) Phi
//
// Phi is that of Gas.ExpansionFactor. Depression 0 or more, below the inlet pressure. Source:
// own derivation; sharper than the incompressible form of textbooks by 3 % at 5 kPa.
func (v Venturi) AirFlow(in Inlet, depression Pressure) (MassFlow, error) {
	bad := v.checkFlow(in, depression)
	if bad != nil {
		return 0, bad.err()
	}
	return v.airFlow(in, depression), nil
}

func (v Venturi) airFlow(in Inlet, depression Pressure) MassFlow {
	sonic := in.Pressure * Pressure(1-criticalRatio(airGamma))
	d := min(depression, sonic)
	phi := expansionFactor(airGamma, 1-float64(d/in.Pressure))
	return orificeFlow(v.Discharge, v.Area(), in.Density, d) * MassFlow(phi)
}

func (v Venturi) checkFlow(in Inlet, depression Pressure) faults {
	var bad faults
	v.check(&bad)
	in.check(&bad)
	notNegative(&bad, "depression", depression)
	below(&bad, "depression", depression, in.Pressure)
	return bad
}

// IncompressibleAirFlow returns the air flow as textbooks compute it, with constant density.
//
//	m_a = Cda A_v sqrt(2 rho_a dp_v)
//
// Too high by 0.5 % at 1 kPa, 3 % at 5 kPa. Source: R. K. Rajput, A Textbook of Internal
// Combustion Engines, example 11.2, p. 400 (as solved in an open textbook companion).
func (v Venturi) IncompressibleAirFlow(air Density, depression Pressure) (MassFlow, error) {
	var bad faults
	v.check(&bad)
	positive(&bad, "air density", air)
	notNegative(&bad, "depression", depression)
	if bad != nil {
		return 0, bad.err()
	}
	return orificeFlow(v.Discharge, v.Area(), air, depression), nil
}

// Depression returns the depression at the throat that a given air flow makes. A flow above the
// sonic one is an InputError.
//
// It solves AirFlow for dp_v:
//
//	m_a = Cda A_v sqrt(2 rho_a dp_v) Phi
//
// Source: as AirFlow.
func (v Venturi) Depression(in Inlet, flow MassFlow) (Pressure, error) {
	bad := v.checkFlow(in, 0)
	notNegative(&bad, "air flow", flow)
	if bad != nil {
		return 0, bad.err()
	}
	sonic := float64(in.Pressure) * (1 - criticalRatio(airGamma))
	between(&bad, "air flow", flow, 0, v.airFlow(in, Pressure(sonic)))
	if bad != nil {
		return 0, bad.err()
	}
	return Pressure(root(0, sonic, func(p float64) float64 {
		return float64(v.airFlow(in, Pressure(p)) - flow)
	})), nil
}

// FlowCurve samples the air flow in grams per second over the depression in kilopascals.
func (v Venturi) FlowCurve(in Inlet, depressions Span[Pressure]) (Curve, error) {
	x, y := Axis{"depression at the throat", "kPa"}, Axis{"air flow", "g/s"}
	return sample(depressions, x, y, func(p Pressure) (Point, error) {
		m, err := v.AirFlow(in, p)
		return Point{p.In(Kilopascal), m.In(GramPerSecond)}, err
	})
}
