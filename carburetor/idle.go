package carburetor

import "math"

// An IdleCircuit is a pilot jet, its air bleed and the outlet behind the throttle, which sees
// the vacuum of the manifold.
type IdleCircuit struct {
	Jet  Jet
	Fuel Liquid
	// Bleed is the pilot air jet, area 0 for a blocked one. An air-type mixture screw changes
	// it.
	Bleed Orifice
	// Outlet is the idle port. A fuel-type mixture screw changes it.
	Outlet Orifice
	// Lift is the height of the outlet passage above the fuel level.
	Lift Length
	// Air around, dry.
	Air GasState
}

// An IdleFlow is what the idle circuit delivers.
type IdleFlow struct {
	// Fuel through the pilot jet and air through its bleed.
	Fuel, Bleed MassFlow
	// Passage is the absolute pressure between jet, bleed and outlet.
	Passage Pressure
	// Sonic reports whether the outlet is choked: then more vacuum brings no more mixture.
	Sonic bool
	// Jet is the flow through the pilot jet with its Reynolds number.
	Jet JetFlow
}

func (c IdleCircuit) check(manifold Pressure) error {
	var bad faults
	c.Jet.check(&bad)
	c.Fuel.check(&bad)
	c.Outlet.check(&bad, "idle port")
	if c.Bleed.Area != 0 {
		c.Bleed.check(&bad, "pilot air jet")
	}
	finite(&bad, "lift", c.Lift)
	c.Air.check(&bad)
	positive(&bad, "manifold pressure", manifold)
	below(&bad, "manifold pressure", manifold, c.Air.Pressure)
	return bad.err()
}

// Flow returns what the idle circuit delivers into a manifold at an absolute pressure.
//
//	m_f from the pilot jet under p_a - p_e - rho_f g z,  m_b = Cd_b A_b NozzleFlux(air, p_e)
//	m_f + m_b = Cd_o A_o G,  G = sqrt(2 I)/v(p_t),  I = integral of v dp from p_t to p_e
//	v(p) = (1-x)/rho_f + x R T/p,  x = m_b/(m_f + m_b)
//
// is solved for the pressure p_e in the passage. Fuel and air leave as one fluid without slip
// or evaporation, the air at constant temperature because the fuel holds the heat; p_t is the
// manifold pressure or, if higher, that of the largest G, where the outlet is sonic. Source:
// own derivation; that the outlet governs idle mixture, and that the flow has two phases: T. L.
// Hendricks, Numerical and experimental fuel flow analysis of small engine carburetor idle
// circuits, 2007, abstract. It returns ErrNoFuel where the fuel does not reach the passage.
func (c IdleCircuit) Flow(manifold Pressure) (IdleFlow, error) {
	if err := c.check(manifold); err != nil {
		return IdleFlow{}, err
	}
	f := c.balance(manifold)
	if f.Fuel == 0 {
		return IdleFlow{}, ErrNoFuel
	}
	if err := c.Jet.within(f.Jet); err != nil {
		return IdleFlow{}, err
	}
	return f, nil
}

func (c IdleCircuit) balance(manifold Pressure) IdleFlow {
	conductance := c.Outlet.Discharge * float64(c.Outlet.Area)
	excess := func(p float64) float64 {
		f := c.at(Pressure(p))
		flux, _ := c.flux(f, manifold)
		return float64(f.Fuel+f.Bleed) - conductance*flux
	}
	highest := float64(c.Air.Pressure) + math.Max(0, -float64(HeadPressure(c.Fuel.Density, c.Lift)))
	f := c.at(Pressure(root(float64(manifold), highest, excess)))
	_, f.Sonic = c.flux(f, manifold)
	return f
}

// at returns the flows into the passage at its pressure.
func (c IdleCircuit) at(passage Pressure) IdleFlow {
	f := IdleFlow{Passage: passage}
	f.Jet = c.Jet.flow(c.Fuel, c.Air.Pressure-passage-HeadPressure(c.Fuel.Density, c.Lift))
	f.Fuel = f.Jet.Mass
	if passage < c.Air.Pressure && c.Bleed.Area > 0 {
		f.Bleed = MassFlow(c.Bleed.Discharge * float64(c.Bleed.Area) * float64(DryAir().nozzleFlux(c.Air, passage)))
	}
	return f
}

// flux returns the mass flux out of the passage and whether it is sonic.
func (c IdleCircuit) flux(f IdleFlow, manifold Pressure) (flux float64, sonic bool) {
	total := float64(f.Fuel + f.Bleed)
	if f.Passage <= manifold {
		return 0, false
	}
	x := 0.0
	if total > 0 {
		x = float64(f.Bleed) / total
	}
	m := bubbly{
		liquid: (1 - x) / float64(c.Fuel.Density),
		gas:    x * float64(dryAirConstant) * float64(c.Air.Temperature),
		from:   float64(f.Passage),
	}
	return m.flux(float64(manifold))
}

// bubbly is a liquid with bubbles of gas at constant temperature, at rest at the pressure from.
type bubbly struct {
	liquid float64 // m3 of liquid per kg of mixture
	gas    float64 // x R T, J per kg of mixture
	from   float64 // Pa
}

func (b bubbly) volume(p float64) float64 { return b.liquid + b.gas/p }

func (b bubbly) work(p float64) float64 {
	return b.liquid*(b.from-p) + b.gas*math.Log(b.from/p)
}

// flux returns the mass flux into the pressure to. The largest flux is where 2 I (-dv/dp) =
// v^2, from dG/dp = 0.
func (b bubbly) flux(to float64) (flux float64, sonic bool) {
	beyond := func(p float64) float64 {
		v := b.volume(p)
		return 2*b.work(p)*b.gas/(p*p) - v*v
	}
	throat := to
	if beyond(to) > 0 {
		throat, sonic = root(to, b.from, beyond), true
	}
	return math.Sqrt(2*b.work(throat)) / b.volume(throat), sonic
}

// FuelCurve samples the idle fuel in grams per second over the manifold vacuum in kilopascals.
func (c IdleCircuit) FuelCurve(vacuum Span[Pressure]) (Curve, error) {
	x, y := Axis{"manifold vacuum", "kPa"}, Axis{"idle fuel", "g/s"}
	return sample(vacuum, x, y, func(p Pressure) (Point, error) {
		f, err := c.Flow(c.Air.Pressure - p)
		return Point{p.In(Kilopascal), f.Fuel.In(GramPerSecond)}, err
	})
}
