package carburetor

import "math"

// A FloatValve is the needle and seat at the inlet of a bowl.
type FloatValve struct {
	// Seat is the diameter of the ring on which the needle seals: the inlet pressure acts on
	// its whole area. Above 0; 1.5 to 2.5 mm with gravity feed, 1.0 to 1.5 mm with a pump
	// (recalled).
	Seat Length
	// NeedleWeight is what the needle weighs in fuel, where it stands on the tang; zero is
	// usually near enough. See ApparentWeight.
	NeedleWeight Force
	// Lift is the needle's travel when fully open, needed for Flow only; 1 to 2 mm (recalled).
	Lift Length
	// Discharge is the discharge coefficient of the open valve, 0 to 1; zero means 0.7
	// (recalled, of the order of short drilled passages).
	Discharge float64
	// Preload is the spring in the needle's tip; zero for a solid needle. It makes a dead band
	// (see DeadBand), not a shift of the level.
	Preload Force
}

// openValveDischarge is the default discharge coefficient of an open float valve, recalled.
const openValveDischarge = 0.7

func (v FloatValve) check(bad *faults) {
	positive(bad, "seat diameter", v.Seat)
	notNegative(bad, "needle weight", v.NeedleWeight)
}

// Force returns the force that the float must put on the needle to hold the valve shut against
// a gauge pressure at the inlet.
//
//	F_n = p_in pi/4 d_s^2 + W_needle
//
// Source: own derivation from hydrostatics. Note that a seat worn wider counts with its square.
func (v FloatValve) Force(inlet Pressure) (Force, error) {
	var bad faults
	v.check(&bad)
	notNegative(&bad, "inlet pressure", inlet)
	if bad != nil {
		return 0, bad.err()
	}
	return v.force(inlet), nil
}

func (v FloatValve) force(inlet Pressure) Force {
	return Force(float64(inlet)*float64(CircleArea(v.Seat))) + v.NeedleWeight
}

// Flow returns what the valve passes when it is fully open.
//
//	Q = Cd min(pi d_s lift, pi/4 d_s^2) sqrt(2 p / rho_f)
//
// The narrower of the ring under the needle and the bore meters. Source: own derivation from
// the orifice equation (see Orifice). Lift must be above 0.
func (v FloatValve) Flow(inlet Pressure, fuel Density) (VolumeFlow, error) {
	var bad faults
	v.check(&bad)
	positive(&bad, "needle lift", v.Lift)
	between(&bad, "discharge coefficient", number(v.Discharge), 0, 1)
	notNegative(&bad, "inlet pressure", inlet)
	positive(&bad, "fuel density", fuel)
	if bad != nil {
		return 0, bad.err()
	}
	ring := Area(math.Pi * v.Seat * v.Lift)
	m := orificeFlow(or(v.Discharge, openValveDischarge), min(ring, CircleArea(v.Seat)), fuel, inlet)
	return VolumeFlow(float64(m) / float64(fuel)), nil
}

// FillTime returns how long a valve that leaks takes to fill what is free above the level,
// while the motor uses some of it. It returns ErrNoDifference when the motor uses as much as
// leaks in, or more: the level then finds a balance and does not reach the overflow.
//
//	t = V_free / (Q_leak - Q_use)
//
// Source: mass balance.
func FillTime(free Volume, leak, use VolumeFlow) (Duration, error) {
	var bad faults
	positive(&bad, "free volume of the bowl", free)
	notNegative(&bad, "leak", leak)
	notNegative(&bad, "consumption", use)
	if bad != nil {
		return 0, bad.err()
	}
	if leak-use < tiniest {
		return 0, ErrNoDifference
	}
	return Duration(float64(free) / float64(leak-use)), nil
}
