package carburetor

// Draught returns how deep the float stands in the fuel when the valve just shuts.
//
//	draught = V_imm / A_w
//
// V_imm is that of Closing. The float has vertical sides; for a float whose waterplane changes
// much with depth use Section. It returns ErrCannotClose when the float must go under
// altogether. Source: own derivation; compare Douglas, Fluid Mechanics, example 3.5, p. 75
// (draught goes as 1/density).
func (b Bowl) Draught() (Length, error) {
	c, err := b.Closing()
	if err != nil {
		return 0, err
	}
	if !c.Holds() {
		return 0, ErrCannotClose
	}
	return Length(float64(c.Immersed) / float64(b.Float.Waterplane)), nil
}

// LevelShift returns by how much the fuel stands higher in the bowl to than in the bowl from,
// the float's height at closing being the same: for a float that has gained weight, another
// fuel, a larger seat, more head. Negative is lower.
//
//	dh = V_imm,to/A_w,to - V_imm,from/A_w,from
//
// which gives dh = m/(rho_f A_w) for a mass m taken in, dh = (m_fl/A_w)(1/rho_2 - 1/rho_1) for
// another density, dh = dF_n (a_n/a_f)/(rho_f g A_w) for another force. It returns
// ErrCannotClose when either float cannot close its valve. Source: own derivation; see Draught.
func LevelShift(from, to Bowl) (Length, error) {
	a, err := from.Draught()
	if err != nil {
		return 0, err
	}
	b, err := to.Draught()
	return b - a, err
}

// WeightGained returns the mass that a float must have taken in, or gathered as deposit, to
// raise the fuel by the given amount; negative for a fall.
//
//	m = rho_f A_w dh
//
// Source: own derivation; compare Douglas, Fluid Mechanics, example 3.5, p. 75 (load of a
// pontoon from its sinkage).
func WeightGained(rise Length, fuel Density, waterplane Area) (Mass, error) {
	var bad faults
	finite(&bad, "rise of the level", rise)
	positive(&bad, "fuel density", fuel)
	positive(&bad, "float waterplane area", waterplane)
	if bad != nil {
		return 0, bad.err()
	}
	return Mass(float64(fuel) * float64(waterplane) * float64(rise)), nil
}

// DeadBand returns how far the level rises between the needle touching its seat and the spring
// in its tip giving way: a band of levels in which the valve is shut and the float rests on the
// spring. Zero for a solid needle.
//
//	dh = F_preload (a_n/a_f) / (rho_f g A_w)
//
// Source: own derivation.
func (b Bowl) DeadBand() (Length, error) {
	var bad faults
	notNegative(&bad, "spring preload", b.Valve.Preload)
	if err := b.check(); err != nil {
		bad = append(bad, err)
	}
	if bad != nil {
		return 0, bad.err()
	}
	f := b.Float
	lever := float64(f.NeedleArm) / float64(f.Arm)
	return Length(float64(b.Valve.Preload) * lever / (float64(b.Fuel) * gravity * float64(f.Waterplane))), nil
}

// WeightCurve samples the rise of the level in millimetres over the mass that the float gains
// in grams. It ends where the float can no longer close the valve.
func (b Bowl) WeightCurve(gain Span[Mass]) (Curve, error) {
	x, y := Axis{"weight gained by the float", "g"}, Axis{"rise of the fuel level", "mm"}
	return sample(gain, x, y, func(m Mass) (Point, error) {
		to := b
		to.Float.Mass += m
		h, err := LevelShift(b, to)
		return Point{m.In(Gram), h.In(Millimetre)}, err
	})
}
