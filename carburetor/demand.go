package carburetor

// A Motor is what draws air through the carburetors.
type Motor struct {
	// Displacement of all cylinders, above 0.
	Displacement Volume
	// Speed of the crankshaft, above 0.
	Speed RotationSpeed
	// VolumetricEfficiency is above 0, at most 1.3; 0.7 to 0.85 at full throttle in textbook
	// examples, about 0.25 at idle (recalled).
	VolumetricEfficiency float64
	// Strokes is 2 or 4; zero means 4.
	Strokes int
	// Carburetors that share the air, 1 or more; zero means 1.
	Carburetors int
}

// mostFilling is the highest volumetric efficiency accepted: tuned pipes go a little above 1.
const mostFilling = 1.3

func (m Motor) check(bad *faults) {
	positive(bad, "displacement", m.Displacement)
	positive(bad, "engine speed", m.Speed)
	positive(bad, "volumetric efficiency", number(m.VolumetricEfficiency))
	between(bad, "volumetric efficiency", number(m.VolumetricEfficiency), 0, mostFilling)
	if m.Strokes != 0 && m.Strokes != 2 && m.Strokes != 4 {
		bad.add("strokes", number(m.Strokes).String(), "2 or 4")
	}
	notNegative(bad, "number of carburetors", number(m.Carburetors))
}

// AirVolume returns the volume of air that one carburetor passes.
//
//	Q = eta_v V_s N / (2 n_carb)   four strokes
//	Q = eta_v V_s N / n_carb       two strokes
//
// Source: Mathur and Sharma, Internal Combustion Engine, example 11.3, p. 253 (as solved in an
// open textbook companion); two strokes own derivation.
func (m Motor) AirVolume() (VolumeFlow, error) {
	var bad faults
	m.check(&bad)
	if bad != nil {
		return 0, bad.err()
	}
	turns := 2.0
	if m.Strokes == 2 {
		turns = 1
	}
	share := float64(max(m.Carburetors, 1))
	return VolumeFlow(m.VolumetricEfficiency * float64(m.Displacement) * float64(m.Speed) / turns / share), nil
}

// AirFlow returns the mass of air that one carburetor passes.
//
//	m_a = rho_a Q
//
// Source: Mathur and Sharma, example 11.3, p. 253.
func (m Motor) AirFlow(air Density) (MassFlow, error) {
	q, err := m.AirVolume()
	if err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "air density", air)
	return MassFlow(float64(q) * float64(air)), bad.err()
}

// FuelFlow returns the fuel in a charge that fills the cylinders with air and fuel vapour
// together.
//
//	m_f = Q / (AFR v_air + v_vapour)
//
// v_air and v_vapour are the specific volumes of air and of fuel vapour at the inlet, v_vapour
// 0 where the fuel is still liquid. Source: Rajput, A Textbook of Internal Combustion Engines,
// example 11.10, p. 406; Gupta, Fundamentals of Internal Combustion Engines, example 9.3, p.
// 283.
func (m Motor) FuelFlow(ratio AFR, air, vapour SpecificVolume) (MassFlow, error) {
	q, err := m.AirVolume()
	if err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "air-fuel ratio", ratio)
	positive(&bad, "specific volume of air", air)
	notNegative(&bad, "specific volume of fuel vapour", vapour)
	if bad != nil {
		return 0, bad.err()
	}
	return MassFlow(float64(q) / (float64(ratio)*float64(air) + float64(vapour))), nil
}

// FuelDemand returns the fuel that a motor burns at a power with a brake thermal efficiency.
//
//	m_f = P / (eta_b H_u)
//
// H_u is the lower heating value. Source: Gupta, example 9.9, p. 291.
func FuelDemand(p Power, efficiency float64, heat SpecificEnergy) (MassFlow, error) {
	var bad faults
	positive(&bad, "power", p)
	positive(&bad, "brake efficiency", number(efficiency))
	below(&bad, "brake efficiency", number(efficiency), 1)
	positive(&bad, "heating value", heat)
	if bad != nil {
		return 0, bad.err()
	}
	return MassFlow(float64(p) / (efficiency * float64(heat))), nil
}
