package carburetor

import "math"

// A Gas is a perfect gas with constant heats.
type Gas struct {
	// Constant is its own gas constant R/M, 50 to 5000 J/(kg K).
	Constant SpecificHeat
	// Gamma is cp/cv, 1.05 to 2.
	Gamma float64
	// Heat is cp, 100 to 20000 J/(kg K); zero means R gamma/(gamma-1). Texts that give a
	// rounded cp beside R and gamma need it here.
	Heat SpecificHeat
}

// DryAir returns dry air: R 287.05 J/(kg K) (airgunguild.com, How to determine air density),
// gamma 1.4 (Y. A. Cengel, J. M. Cimbala, Fluid Mechanics, example 12-4, p. 648).
func DryAir() Gas { return Gas{Constant: dryAirConstant, Gamma: airGamma} }

const (
	dryAirConstant SpecificHeat = 287.05
	airGamma       float64      = 1.4
)

func (g Gas) check(bad *faults) {
	between(bad, "gas constant", g.Constant, 50, 5000)
	between(bad, "ratio of specific heats", number(g.Gamma), 1.05, 2)
	if g.Heat != 0 {
		between(bad, "specific heat", g.Heat, 100, 20000)
	}
}

// cp returns the specific heat at constant pressure.
func (g Gas) cp() float64 {
	return float64(or(g.Heat, g.Constant*SpecificHeat(g.Gamma/(g.Gamma-1))))
}

// A GasState is a gas at rest.
type GasState struct {
	// Pressure is absolute, above 0.
	Pressure Pressure
	// Temperature 1 to 10000 K.
	Temperature Temperature
}

func (s GasState) check(bad *faults) {
	positive(bad, "pressure", s.Pressure)
	between(bad, "absolute temperature", number(s.Temperature), 1, 1e4)
}

func checkGas(g Gas, s GasState) faults {
	var bad faults
	g.check(&bad)
	s.check(&bad)
	return bad
}

// Density returns the density of the gas.
//
//	rho = p / (R T)
//
// Source: perfect gas law; airgunguild.com, How to determine air density, worked example.
func (g Gas) Density(s GasState) (Density, error) {
	if bad := checkGas(g, s); bad != nil {
		return 0, bad.err()
	}
	return g.density(s), nil
}

func (g Gas) density(s GasState) Density {
	return Density(float64(s.Pressure) / (float64(g.Constant) * float64(s.Temperature)))
}

// CriticalRatio returns the ratio of throat pressure to pressure at rest at which the flow
// through a nozzle becomes sonic, 0.5283 for air.
//
//	p*/p0 = (2/(k+1))^(k/(k-1))
//
// Source: Cengel and Cimbala, example 12-3, p. 645 (as solved in an open textbook companion).
func (g Gas) CriticalRatio() (float64, error) {
	var bad faults
	g.check(&bad)
	if bad != nil {
		return 0, bad.err()
	}
	return criticalRatio(g.Gamma), nil
}

func criticalRatio(k float64) float64 { return math.Pow(2/(k+1), k/(k-1)) }

// CriticalTemperature returns the temperature where the flow is sonic, for a gas at rest at t.
//
//	T*/T0 = 2/(k+1)
//
// Source: Cengel and Cimbala, example 12-3, p. 645.
func (g Gas) CriticalTemperature(t Temperature) (Temperature, error) {
	var bad faults
	g.check(&bad)
	positive(&bad, "absolute temperature", number(t))
	if bad != nil {
		return 0, bad.err()
	}
	return t * Temperature(2/(g.Gamma+1)), nil
}

// Stagnation returns the state of a moving gas brought to rest without loss.
//
//	T0 = T + v^2/(2 cp),  p0 = p (T0/T)^(k/(k-1))
//
// Source: Cengel and Cimbala, example 12-1, p. 638. Speed 0 to 100 km/s.
func (g Gas) Stagnation(s GasState, v Speed) (GasState, error) {
	bad := checkGas(g, s)
	between(&bad, "speed", v, 0, 1e5)
	if bad != nil {
		return GasState{}, bad.err()
	}
	t0 := float64(s.Temperature) + float64(v)*float64(v)/(2*g.cp())
	p0 := float64(s.Pressure) * math.Pow(t0/float64(s.Temperature), g.Gamma/(g.Gamma-1))
	return GasState{Pressure(p0), Temperature(t0)}, nil
}

// StagnationPressure returns the pressure of a gas at a Mach number, 0 to 100, brought to rest.
//
//	p0 = p (1 + (k-1)/2 M^2)^(k/(k-1))
//
// Source: R. W. Fox, A. T. McDonald, Introduction to Fluid Mechanics, ch. 12 example 1, p. 628
// (as solved in an open textbook companion).
func (g Gas) StagnationPressure(p Pressure, mach float64) (Pressure, error) {
	var bad faults
	g.check(&bad)
	positive(&bad, "pressure", p)
	between(&bad, "Mach number", number(mach), 0, 100)
	if bad != nil {
		return 0, bad.err()
	}
	return p * Pressure(math.Pow(1+(g.Gamma-1)/2*mach*mach, g.Gamma/(g.Gamma-1))), nil
}

// Mach returns the Mach number of a gas expanded from rest at p0 to p without loss.
//
//	M = sqrt(2/(k-1) ((p0/p)^((k-1)/k) - 1))
//
// Source: Fox and McDonald, ch. 12 example 2, p. 634. The pressure p at most p0.
func (g Gas) Mach(p0, p Pressure) (float64, error) {
	var bad faults
	g.check(&bad)
	positive(&bad, "pressure at rest", p0)
	positive(&bad, "pressure", p)
	between(&bad, "pressure", p, 0, p0)
	if bad != nil {
		return 0, bad.err()
	}
	k := g.Gamma
	return math.Sqrt(2 / (k - 1) * (math.Pow(float64(p0/p), (k-1)/k) - 1)), nil
}

// Expand returns speed and temperature of a gas expanded from rest at s to the pressure p
// without loss.
//
//	v = sqrt(2 cp T0 (1 - (p/p0)^((k-1)/k))),  T = T0 (p/p0)^((k-1)/k)
//
// Source: H. N. Gupta, Fundamentals of Internal Combustion Engines, example 9.3, p. 283 (as
// solved in an open textbook companion).
func (g Gas) Expand(s GasState, p Pressure) (Speed, Temperature, error) {
	bad := checkGas(g, s)
	positive(&bad, "pressure", p)
	between(&bad, "pressure", p, 0, s.Pressure)
	if bad != nil {
		return 0, 0, bad.err()
	}
	ratio := math.Pow(float64(p/s.Pressure), (g.Gamma-1)/g.Gamma)
	v := math.Sqrt(2 * g.cp() * float64(s.Temperature) * (1 - ratio))
	return Speed(v), s.Temperature * Temperature(ratio), nil
}

// NozzleFlux returns the mass flow per effective area (Cd A) from a gas at rest at s into a
// pressure downstream, subsonic or sonic.
//
//	m/(Cd A) = p0 sqrt(2k/((k-1) R T0) (r^(2/k) - r^((k+1)/k))),  r = p/p0 > r*
//	m/(Cd A) = p0 sqrt(k/(R T0)) (2/(k+1))^((k+1)/(2(k-1))),      r <= r*
//
// r* is the CriticalRatio; below it the flow no longer depends on the pressure downstream. The
// two forms meet there. Source: Fox and McDonald, ch. 12 example 2, p. 634; Cengel and Cimbala,
// example 12-4, p. 648. Downstream pressure 0 to s.Pressure.
func (g Gas) NozzleFlux(s GasState, downstream Pressure) (MassFlux, error) {
	bad := checkGas(g, s)
	between(&bad, "pressure downstream", downstream, 0, s.Pressure)
	if bad != nil {
		return 0, bad.err()
	}
	return g.nozzleFlux(s, downstream), nil
}

func (g Gas) nozzleFlux(s GasState, downstream Pressure) MassFlux {
	k := g.Gamma
	r := math.Max(float64(downstream/s.Pressure), criticalRatio(k))
	shape := 2 * k / (k - 1) * (math.Pow(r, 2/k) - math.Pow(r, (k+1)/k))
	// At hardly any difference, rounding may bring the two powers below zero.
	shape = math.Max(0, shape)
	return MassFlux(float64(s.Pressure) * math.Sqrt(shape/(float64(g.Constant)*float64(s.Temperature))))
}
