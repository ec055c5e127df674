package carburetor

// An Emulsion circuit is a jet below an emulsion well into which an air bleed opens, and a
// nozzle through which both leave together.
type Emulsion struct {
	Jet  Jet
	Fuel Liquid
	// Bleed is the air bleed: area 0 for a blocked one, else as Orifice; pilot air jets 0.8 to
	// 1.5 mm (recalled).
	Bleed Orifice
	// Nozzle is the outlet, for a needle circuit the annulus around the needle.
	Nozzle Orifice
	// Lift is the height of the well's outlet above the fuel level; positive: the fuel must be
	// lifted.
	Lift Length
	// Air around.
	Air Inlet
}

// An EmulsionFlow is the balance in the well.
type EmulsionFlow struct {
	// Fuel through the jet and air through the bleed.
	Fuel, Bleed MassFlow
	// Depression in the well; negative where fuel stands in it.
	Depression Pressure
	// Jet is the flow through the jet with its Reynolds number.
	Jet JetFlow
}

func (e Emulsion) check(bad *faults) {
	e.Jet.check(bad)
	e.Fuel.check(bad)
	e.Nozzle.check(bad, "nozzle")
	if e.Bleed.Area != 0 {
		e.Bleed.check(bad, "air bleed")
	}
	finite(bad, "lift", e.Lift)
	e.Air.check(bad)
}

// Flow returns fuel and bleed air at a depression at the nozzle.
//
//	m_f from the jet under dp_e - rho_f g z,  m_b = Cd_b A_b sqrt(2 rho_a dp_e)
//	m_f + m_b = Cd_n A_n sqrt(2 rho_m (dp_v - dp_e))
//	rho_m = (m_f + m_b) / (m_f/rho_f + m_b/rho_a)
//
// is solved for the depression dp_e in the well. A blocked bleed raises it and enriches, an
// oversized one leans. It returns ErrNoFuel where the fuel does not reach the well. The two
// phases are taken as one liquid of mean density, which is approximate (T. L. Hendricks,
// Numerical and experimental fuel flow analysis of small engine carburetor idle circuits, 2007,
// abstract), and air as incompressible: use IdleCircuit for large depressions. Source: own
// derivation.
func (e Emulsion) Flow(depression Pressure) (EmulsionFlow, error) {
	var bad faults
	e.check(&bad)
	positive(&bad, "depression", depression)
	below(&bad, "depression", depression, e.Air.Pressure)
	if bad != nil {
		return EmulsionFlow{}, bad.err()
	}
	f := e.balance(depression)
	if f.Fuel == 0 {
		return EmulsionFlow{}, ErrNoFuel
	}
	if err := e.Jet.within(f.Jet); err != nil {
		return EmulsionFlow{}, err
	}
	return f, nil
}

// balance multiplies the flow by its volume: mass times volume flow equals the drop over the
// nozzle times 2 (Cd A)^2. The left side rises with the well's depression, the right side
// falls, so there is one solution.
func (e Emulsion) balance(depression Pressure) EmulsionFlow {
	conductance := e.Nozzle.Discharge * float64(e.Nozzle.Area)
	excess := func(well float64) float64 {
		f := e.at(Pressure(well))
		mass := float64(f.Fuel + f.Bleed)
		volume := float64(f.Fuel)/float64(e.Fuel.Density) + float64(f.Bleed)/float64(e.Air.Density)
		return mass*volume - 2*conductance*conductance*(float64(depression)-well)
	}
	lowest := min(0, float64(HeadPressure(e.Fuel.Density, e.Lift)))
	return e.at(Pressure(root(lowest, float64(depression), excess)))
}

// at returns the flows into the well at its depression.
func (e Emulsion) at(well Pressure) EmulsionFlow {
	f := EmulsionFlow{Depression: well}
	f.Jet = e.Jet.flow(e.Fuel, well-HeadPressure(e.Fuel.Density, e.Lift))
	f.Fuel = f.Jet.Mass
	if well > 0 && e.Bleed.Area > 0 {
		f.Bleed = orificeFlow(e.Bleed.Discharge, e.Bleed.Area, e.Air.Density, well)
	}
	return f
}

// FuelCurve samples the fuel flow in grams per second over the depression at the nozzle in
// kilopascals.
func (e Emulsion) FuelCurve(depressions Span[Pressure]) (Curve, error) {
	x, y := Axis{"depression at the nozzle", "kPa"}, Axis{"fuel flow", "g/s"}
	return sample(depressions, x, y, func(p Pressure) (Point, error) {
		f, err := e.Flow(p)
		return Point{p.In(Kilopascal), f.Fuel.In(GramPerSecond)}, err
	})
}
