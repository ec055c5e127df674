package carburetor

// A ConstantVelocity carburetor lifts its slide by the depression that it makes itself.
type ConstantVelocity struct {
	// SlideMass is the mass of slide, needle and diaphragm, above 0.
	SlideMass Mass
	// Piston is the area on which the depression acts, above 0: the diaphragm or piston, less
	// the slide's own section where that is vented to the throat.
	Piston Area
	// Spring is the force of the spring at no lift, 0 or more; Rate its gain per metre of lift
	// in newtons per metre, 0 or more.
	Spring Force
	Rate   float64
	// Bore of the carburetor, above 0, and Discharge of the passage under the slide, above 0,
	// at most 1.
	Bore      Length
	Discharge float64
	// Air before the carburetor.
	Air Inlet
}

func (c ConstantVelocity) check(bad *faults) {
	positive(bad, "slide mass", c.SlideMass)
	positive(bad, "piston area", c.Piston)
	notNegative(bad, "spring force", c.Spring)
	notNegative(bad, "spring rate", number(c.Rate))
	Venturi{Throat: c.Bore, Discharge: c.Discharge}.check(bad)
	c.Air.check(bad)
}

// Depression returns the depression that carries the slide at a lift.
//
//	dp_v = (m g + F_0 + k x) / A_piston
//
// Nearly constant with a soft spring, hence the name. A torn diaphragm or a stuck slide is
// outside it. Source: own derivation (balance of forces).
func (c ConstantVelocity) Depression(lift Length) (Pressure, error) {
	var bad faults
	c.check(&bad)
	between(&bad, "slide lift", lift, 0, c.Bore)
	if bad != nil {
		return 0, bad.err()
	}
	return c.depression(lift), nil
}

func (c ConstantVelocity) depression(lift Length) Pressure {
	return Pressure((float64(c.SlideMass)*gravity + float64(c.Spring) + c.Rate*float64(lift)) / float64(c.Piston))
}

// AirFlow returns the air that passes when the slide floats at a lift.
//
//	m_a = Cda A(x) sqrt(2 rho_a dp_v(x)) Phi
//
// Source: SlideOpening, Depression and Venturi.AirFlow.
func (c ConstantVelocity) AirFlow(lift Length) (MassFlow, error) {
	p, err := c.Depression(lift)
	if err != nil {
		return 0, err
	}
	var bad faults
	below(&bad, "depression that carries the slide", p, c.Air.Pressure)
	if bad != nil {
		return 0, bad.err()
	}
	return c.airFlow(lift), nil
}

func (c ConstantVelocity) airFlow(lift Length) MassFlow {
	a := slideOpening(c.Bore, lift)
	return Venturi{Throat: a.Diameter(), Discharge: c.Discharge}.airFlow(c.Air, c.depression(lift))
}

// Lift returns how far the slide rises for an air flow: the lift at which AirFlow equals it.
// Above the flow of the full bore it is the bore; the depression then rises as in a fixed
// venturi.
//
//	AirFlow(x) = m_a
//
// Source: as AirFlow.
func (c ConstantVelocity) Lift(flow MassFlow) (Length, error) {
	full, err := c.AirFlow(c.Bore)
	if err != nil {
		return 0, err
	}
	var bad faults
	notNegative(&bad, "air flow", flow)
	if bad != nil {
		return 0, bad.err()
	}
	if flow >= full {
		return c.Bore, nil
	}
	return Length(root(0, float64(c.Bore), func(x float64) float64 {
		return float64(c.airFlow(Length(x)) - flow)
	})), nil
}

// LiftCurve samples the slide's lift in millimetres over the air flow in grams per second.
func (c ConstantVelocity) LiftCurve(flows Span[MassFlow]) (Curve, error) {
	x, y := Axis{"air flow", "g/s"}, Axis{"slide lift", "mm"}
	return sample(flows, x, y, func(m MassFlow) (Point, error) {
		l, err := c.Lift(m)
		return Point{m.In(GramPerSecond), l.In(Millimetre)}, err
	})
}
