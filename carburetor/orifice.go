package carburetor

import "math"

// An Orifice is a hole that meters, with a discharge coefficient that is known and constant.
// Where it depends on the flow, see Jet.
type Orifice struct {
	// Area of the hole, above 0.
	Area Area
	// Discharge is its coefficient, above 0, at most 1. Textbook carburetor examples take 0.6
	// to 0.75 for fuel and 0.8 to 0.93 for the venturi.
	Discharge float64
}

func (o Orifice) check(bad *faults, what string) {
	before := len(*bad)
	positive(bad, "area", o.Area)
	share(bad, "discharge coefficient", o.Discharge)
	bad.name(before, what)
}

// orificeFlow is the equation behind every orifice of the model.
func orificeFlow(discharge float64, a Area, fluid Density, drop Pressure) MassFlow {
	return MassFlow(discharge * float64(a) * math.Sqrt(2*float64(fluid)*float64(drop)))
}

// MassFlow returns the flow of a liquid, or of a gas at a small drop.
//
//	m = Cd A sqrt(2 rho dp)
//
// Density above 0, drop 0 or more. For gases at drops above 1 % of the pressure see
// Gas.NozzleFlux. Source: as used in M. L. Mathur, R. P. Sharma, Internal Combustion Engine,
// example 11.2, p. 248, and H. B. Keswani, Internal Combustion Engines, example 9.10, p. 212
// (as solved in open textbook companions).
func (o Orifice) MassFlow(fluid Density, drop Pressure) (MassFlow, error) {
	var bad faults
	o.check(&bad, "orifice")
	positive(&bad, "density", fluid)
	notNegative(&bad, "pressure drop", drop)
	if bad != nil {
		return 0, bad.err()
	}
	return orificeFlow(o.Discharge, o.Area, fluid, drop), nil
}

// Drop returns the pressure that drives a given flow.
//
//	dp = (m / (Cd A))^2 / (2 rho)
//
// Source: Mathur and Sharma, example 11.3, p. 253.
func (o Orifice) Drop(fluid Density, flow MassFlow) (Pressure, error) {
	var bad faults
	o.check(&bad, "orifice")
	positive(&bad, "density", fluid)
	notNegative(&bad, "flow", flow)
	if bad != nil {
		return 0, bad.err()
	}
	v := float64(flow) / (o.Discharge * float64(o.Area))
	return Pressure(v * v / (2 * float64(fluid))), nil
}

// OrificeArea returns the area that passes a flow at a drop.
//
//	A = m / (Cd sqrt(2 rho dp))
//
// Source: Mathur and Sharma, example 11.2, p. 248.
func OrificeArea(discharge float64, fluid Density, drop Pressure, flow MassFlow) (Area, error) {
	var bad faults
	positive(&bad, "discharge coefficient", number(discharge))
	positive(&bad, "density", fluid)
	positive(&bad, "pressure drop", drop)
	positive(&bad, "flow", flow)
	if bad != nil {
		return 0, bad.err()
	}
	return Area(float64(flow) / float64(orificeFlow(discharge, 1, fluid, drop))), nil
}

// MeasuredDischarge returns the discharge coefficient that a measured flow shows.
//
//	Cd = Q / (A sqrt(2 dp/rho)), for a head: Cd = Q / (A sqrt(2 g H))
//
// A result above 1 is an InputError: the area, the head or the flow is wrong. Source: J. Lal,
// Hydraulics, example 3.1, p. 70 (as solved in an open textbook companion).
func MeasuredDischarge(a Area, liquid Density, drop Pressure, flow VolumeFlow) (float64, error) {
	var bad faults
	positive(&bad, "area", a)
	positive(&bad, "density", liquid)
	positive(&bad, "pressure drop", drop)
	positive(&bad, "flow", flow)
	if bad != nil {
		return 0, bad.err()
	}
	cd := float64(flow) / (float64(a) * math.Sqrt(2*float64(drop)/float64(liquid)))
	between(&bad, "discharge coefficient", number(cd), 0, 1)
	return cd, bad.err()
}

// VelocityCoefficient returns the coefficient of velocity of an outlet that loses part of its
// head.
//
//	Cv = sqrt((H - h_L) / H)
//
// Source: K. Subramanya, 1000 Solved Problems in Fluid Mechanics, example 13.1, p. 320 (as
// solved in an open textbook companion).
func VelocityCoefficient(head, loss Length) (float64, error) {
	var bad faults
	positive(&bad, "head", head)
	between(&bad, "head loss", loss, 0, head)
	if bad != nil {
		return 0, bad.err()
	}
	return math.Sqrt(float64((head - loss) / head)), nil
}
