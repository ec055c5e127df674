package carburetor

import "math"

// A Throat is the state of air in a throat, computed from the speed there.
type Throat struct {
	Pressure Pressure
	Density  Density
	// Depression is the pressure at rest less Pressure.
	Depression Pressure
}

// ThroatAt returns the state of a gas, at rest at s, in a throat where it has the speed v.
// velocityCoefficient is real speed over ideal, above 0, at most 1. A speed that the gas cannot
// reach is an InputError.
//
//	p2   = p1 (1 - (v/Cv)^2 / (2 cp T1))^(k/(k-1))
//	rho2 = p1/(R T1) (p2/p1)^(1/k)
//
// Source: Mathur and Sharma, Internal Combustion Engine, example 11.1, p. 243; Rajput, A
// Textbook of Internal Combustion Engines, example 11.7, p. 404; K. K. Ramalingam, Thermal
// Engineering, ch. 7 (as solved in open textbook companions).
func (g Gas) ThroatAt(s GasState, v Speed, velocityCoefficient float64) (Throat, error) {
	bad := checkGas(g, s)
	notNegative(&bad, "speed", v)
	share(&bad, "velocity coefficient", velocityCoefficient)
	if bad != nil {
		return Throat{}, bad.err()
	}
	ideal := float64(v) / velocityCoefficient
	below(&bad, "speed", v, Speed(velocityCoefficient*math.Sqrt(2*g.cp()*float64(s.Temperature))))
	if bad != nil {
		return Throat{}, bad.err()
	}
	ratio := math.Pow(1-ideal*ideal/(2*g.cp()*float64(s.Temperature)), g.Gamma/(g.Gamma-1))
	p := s.Pressure * Pressure(ratio)
	return Throat{p, g.density(s) * Density(math.Pow(ratio, 1/g.Gamma)), s.Pressure - p}, nil
}

// Area returns the area through which the throat passes a flow at the speed v with a discharge
// coefficient (1 where the speed is the real one).
//
//	A = m / (Cda rho2 v)
//
// Source: Mathur and Sharma, example 11.1, p. 243; Rajput, example 11.8, p. 404.
func (t Throat) Area(flow MassFlow, v Speed, discharge float64) (Area, error) {
	var bad faults
	positive(&bad, "flow", flow)
	positive(&bad, "speed", v)
	positive(&bad, "throat density", t.Density)
	share(&bad, "discharge coefficient", discharge)
	if bad != nil {
		return 0, bad.err()
	}
	return Area(float64(flow) / (discharge * float64(t.Density) * float64(v))), nil
}

// Speed returns the speed of a flow through an area of the throat.
//
//	v = m / (rho2 A)
//
// Source: Rajput, example 11.10, p. 406.
func (t Throat) Speed(flow MassFlow, a Area) (Speed, error) {
	var bad faults
	notNegative(&bad, "flow", flow)
	positive(&bad, "throat area", a)
	positive(&bad, "throat density", t.Density)
	if bad != nil {
		return 0, bad.err()
	}
	return Speed(float64(flow) / (float64(t.Density) * float64(a))), nil
}

// RingBore returns the bore of a round throat that keeps the given open area around a core of
// coreRatio (0 or more, below 1) times its bore.
//
//	D = sqrt(4 A / (pi (1 - coreRatio^2)))
//
// Source: Mathur and Sharma, example 11.6, p. 268; Rajput, example 11.8, p. 404.
func RingBore(open Area, coreRatio float64) (Length, error) {
	var bad faults
	positive(&bad, "open area", open)
	notNegative(&bad, "ratio of core to bore", number(coreRatio))
	below(&bad, "ratio of core to bore", number(coreRatio), 1)
	if bad != nil {
		return 0, bad.err()
	}
	return (open / Area(1-coreRatio*coreRatio)).Diameter(), nil
}
