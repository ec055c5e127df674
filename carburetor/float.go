package carburetor

// A Float is the moving part of a bowl, as weighed and measured outside of it.
type Float struct {
	// Mass is of the dry float with its arm, above 0. Small motorcycle carburetors: 6 to 14 g
	// (recalled).
	Mass Mass
	// Volume is what it displaces when pushed fully under, above 0; 12 to 25 cm3 (recalled).
	Volume Volume
	// Waterplane is the area that the fuel's surface cuts out of it at the working level, above
	// 0; 6 to 12 cm2 (recalled). The float is taken to have vertical sides there.
	Waterplane Area
	// Arm reaches from the hinge pin to the centre of the float, above 0; 25 to 35 mm
	// (recalled).
	Arm Length
	// NeedleArm reaches from the hinge pin to where the tang touches the needle, above 0; 7 to
	// 11 mm (recalled). A guided float without a lever has equal arms.
	NeedleArm Length
}

func (f Float) check(bad *faults) {
	positive(bad, "float mass", f.Mass)
	positive(bad, "float volume", f.Volume)
	positive(bad, "float waterplane area", f.Waterplane)
	positive(bad, "float arm", f.Arm)
	positive(bad, "needle arm", f.NeedleArm)
}

// ApparentWeight returns what a body of the given mass and density weighs hung in a liquid: a
// ballast, or a needle in fuel. It is negative for a body that floats.
//
//	W = m g (1 - rho_liquid/rho_body)
//
// Source: Archimedes' law; compare B. K. Sarkar, Fluid Mechanics and Hydraulic Machines,
// example 2.6, p. 44, and J. F. Douglas, Fluid Mechanics, example 3.5, p. 75 (as solved in open
// textbook companions). All inputs above 0.
func ApparentWeight(m Mass, body, liquid Density) (Force, error) {
	var bad faults
	positive(&bad, "mass", m)
	positive(&bad, "density of the body", body)
	positive(&bad, "density of the liquid", liquid)
	if bad != nil {
		return 0, bad.err()
	}
	return Force(float64(m) * gravity * (1 - float64(liquid)/float64(body))), nil
}

// HungMass is ApparentWeight turned round: the mass of a body, denser than the liquid, that
// weighs w when hung in it.
//
//	m = W / (g (1 - rho_liquid/rho_body))
//
// Source: as ApparentWeight (Sarkar, example 2.6, p. 44).
func HungMass(w Force, body, liquid Density) (Mass, error) {
	var bad faults
	positive(&bad, "apparent weight", w)
	positive(&bad, "density of the liquid", liquid)
	above(&bad, "density of the body", body, liquid)
	if bad != nil {
		return 0, bad.err()
	}
	return Mass(float64(w) / (gravity * (1 - float64(liquid)/float64(body)))), nil
}

// FloatVolume returns the volume of a float from weighing the force that holds it fully under
// in a liquid of known density, water for example (see WaterDensity).
//
//	V = (m + F/g) / rho
//
// Source: Archimedes' law, as ApparentWeight.
func FloatVolume(m Mass, hold Force, liquid Density) (Volume, error) {
	var bad faults
	positive(&bad, "float mass", m)
	notNegative(&bad, "holding force", hold)
	positive(&bad, "density of the liquid", liquid)
	if bad != nil {
		return 0, bad.err()
	}
	return Volume((float64(m) + float64(hold)/gravity) / float64(liquid)), nil
}
