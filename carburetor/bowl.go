package carburetor

// A Bowl is a float, its valve, the fuel in it and the pressure at its inlet.
type Bowl struct {
	Float Float
	Valve FloatValve
	// Fuel is the density of the fuel, above 0; see Fuel.
	Fuel Density
	// Inlet is the gauge pressure at the valve, over the air in the bowl, 0 or more:
	// HeadPressure for a tank, the pump's pressure with a pump.
	Inlet Pressure
}

func (b Bowl) check() error {
	var bad faults
	b.Float.check(&bad)
	b.Valve.check(&bad)
	positive(&bad, "fuel density", b.Fuel)
	notNegative(&bad, "inlet pressure", b.Inlet)
	return bad.err()
}

// A Closing is how well a float holds its valve.
type Closing struct {
	// Needed is the force at the needle that holds the valve shut.
	Needed Force
	// Available is the force at the needle with the float fully under.
	Available Force
	// Margin is Available - Needed: negative when the bowl must flood.
	Margin Force
	// Immersed is the volume of float that is under when the valve is just shut. When Margin is
	// negative it is more than the float has.
	Immersed Volume
	// MaxInlet is the highest inlet pressure that the float can hold; negative when the float
	// sinks or cannot even lift the needle.
	MaxInlet Pressure
}

// Holds reports whether the valve shuts at all.
func (c Closing) Holds() bool { return c.Margin >= 0 }

// Closing computes whether the float can close the valve, and by what margin.
//
//	F_available = (rho_f V - m_fl) g a_f/a_n
//	p_max       = (F_available - W_needle) / (pi/4 d_s^2)
//	V_imm       = m_fl/rho_f + F_n (a_n/a_f) / (rho_f g)
//
// V_imm is the balance of moments about the hinge pin when the valve just shuts: (rho_f g V_imm
// - m_fl g) a_f = F_n a_n. Small angles. Source: own derivation from Archimedes' law and the
// law of the lever. A grooved or dirty tip leaks at any force and is not seen here.
func (b Bowl) Closing() (Closing, error) {
	if err := b.check(); err != nil {
		return Closing{}, err
	}
	f := b.Float
	lever := float64(f.Arm) / float64(f.NeedleArm)
	c := Closing{
		Needed:    b.Valve.force(b.Inlet),
		Available: Force((float64(b.Fuel)*float64(f.Volume) - float64(f.Mass)) * gravity * lever),
		Immersed:  b.immersed(),
	}
	c.Margin = c.Available - c.Needed
	c.MaxInlet = Pressure(float64(c.Available-b.Valve.NeedleWeight) / float64(CircleArea(b.Valve.Seat)))
	return c, nil
}

// immersed is V_imm of Closing.
func (b Bowl) immersed() Volume {
	f := b.Float
	lever := float64(f.NeedleArm) / float64(f.Arm)
	return Volume(float64(f.Mass)/float64(b.Fuel) + float64(b.Valve.force(b.Inlet))*lever/(float64(b.Fuel)*gravity))
}

// ClosingMargin is the margin of Closing alone: the force to spare at the needle with the float
// fully under, negative when the float cannot close the valve.
func (b Bowl) ClosingMargin() (Force, error) {
	c, err := b.Closing()
	return c.Margin, err
}

// MarginCurve samples the closing margin in newtons over the inlet pressure in kilopascals.
func (b Bowl) MarginCurve(inlet Span[Pressure]) (Curve, error) {
	x, y := Axis{"inlet pressure", "kPa"}, Axis{"force to spare at the needle", "N"}
	return sample(inlet, x, y, func(p Pressure) (Point, error) {
		b.Inlet = p
		m, err := b.ClosingMargin()
		return Point{p.In(Kilopascal), m.In(Newton)}, err
	})
}
