package carburetor

// waterToAir is the ratio of the molar masses of water and dry air: PsychroLib and the ASHRAE
// Handbook have 0.621945.
const waterToAir = 0.621945

// A Psychrometer turns what a wet-bulb thermometer or a hygrometer shows into moisture. The
// zero value has the usual constants.
type Psychrometer struct {
	// MolarRatio is the molar mass of water over that of air; zero means 0.621945. Older texts
	// have 0.622.
	MolarRatio float64
	// AirHeat is the specific heat of dry air; zero means 1005 J/(kg K) (P. K. Nag, Basic and
	// Applied Thermodynamics, example 15.1, p. 631).
	AirHeat SpecificHeat
}

const dryAirHeat SpecificHeat = 1005

func (p Psychrometer) check(bad *faults) {
	if p.MolarRatio != 0 {
		between(bad, "ratio of molar masses", number(p.MolarRatio), 0.5, 0.7)
	}
	notNegative(bad, "specific heat of air", p.AirHeat)
}

// Ratio returns the mass of vapour per mass of dry air.
//
//	W = 0.621945 p_v / (p - p_v)
//
// Source: tests of PsychroLib (humidity ratio from vapour pressure).
func (p Psychrometer) Ratio(vapour, total Pressure) (float64, error) {
	var bad faults
	p.check(&bad)
	notNegative(&bad, "vapour pressure", vapour)
	positive(&bad, "air pressure", total)
	below(&bad, "vapour pressure", vapour, total)
	if bad != nil {
		return 0, bad.err()
	}
	return or(p.MolarRatio, waterToAir) * float64(vapour/(total-vapour)), nil
}

// Vapour returns the vapour pressure of air with a humidity ratio.
//
//	p_v = p (W/0.621945) / (1 + W/0.621945)
//
// Source: Nag, example 15.1, p. 631 (as solved in an open textbook companion).
func (p Psychrometer) Vapour(ratio float64, total Pressure) (Pressure, error) {
	var bad faults
	p.check(&bad)
	notNegative(&bad, "humidity ratio", number(ratio))
	positive(&bad, "air pressure", total)
	if bad != nil {
		return 0, bad.err()
	}
	x := ratio / or(p.MolarRatio, waterToAir)
	return total * Pressure(x/(1+x)), nil
}

// MoistVolume returns the volume of moist air per mass of its dry air.
//
//	v = R_a T (1 + W/0.621945) / p
//
// Source: tests of PsychroLib (moist air volume), R_a = 287.05 J/(kg K).
func (p Psychrometer) MoistVolume(s GasState, ratio float64) (SpecificVolume, error) {
	var bad faults
	p.check(&bad)
	s.check(&bad)
	notNegative(&bad, "humidity ratio", number(ratio))
	if bad != nil {
		return 0, bad.err()
	}
	moist := 1 + ratio/or(p.MolarRatio, waterToAir)
	return SpecificVolume(float64(dryAirConstant) * float64(s.Temperature) * moist / float64(s.Pressure)), nil
}

// MoistDensity returns the density of moist air.
//
//	rho = (1 + W) / v
//
// Source: tests of PsychroLib (moist air density).
func (p Psychrometer) MoistDensity(s GasState, ratio float64) (Density, error) {
	v, err := p.MoistVolume(s, ratio)
	if err != nil {
		return 0, err
	}
	return Density((1 + ratio) / float64(v)), nil
}

// Steam is what a steam table says of the water at the wet bulb and of the vapour at the dry
// bulb.
type Steam struct {
	// Latent is the heat of vaporisation at the wet bulb, Liquid the enthalpy of water there,
	// Vapour the enthalpy of vapour at the dry bulb.
	Latent, Liquid, Vapour SpecificEnergy
}

// UsualSteam returns straight lines through the steam table, good to 0.3 % against the values
// in the texts that were seen, at 20 to 32 °C.
//
//	h_fg = 2501 - 2.38 t_wet,  h_f = 4.186 t_wet,  h_g = 2501 + 1.84 t_dry,  kJ/kg, t in °C
//
// Source: MEMORY, the usual lines of psychrometry.
func UsualSteam(dry, wet Temperature) Steam {
	return Steam{
		Latent: SpecificEnergy(2501-2.38*wet.Celsius()) * KilojoulePerKilogram,
		Liquid: SpecificEnergy(4.186*wet.Celsius()) * KilojoulePerKilogram,
		Vapour: SpecificEnergy(2501+1.84*dry.Celsius()) * KilojoulePerKilogram,
	}
}

// WetBulb returns the humidity ratio of air from its dry and wet bulb. saturated is the
// humidity ratio at the wet bulb (Ratio of the saturation pressure there).
//
//	W_1 = (cp_a (T_wet - T_dry) + W_2 h_fg) / (h_g - h_f)
//
// Source: Nag, Basic and Applied Thermodynamics, example 15.1, p. 631. Readings that give
// negative moisture are an InputError.
func (p Psychrometer) WetBulb(dry, wet Temperature, saturated float64, s Steam) (float64, error) {
	var bad faults
	p.check(&bad)
	positive(&bad, "absolute temperature", number(dry))
	positive(&bad, "absolute temperature of the wet bulb", number(wet))
	between(&bad, "wet bulb", wet, 0, dry)
	notNegative(&bad, "saturated humidity ratio", number(saturated))
	positive(&bad, "enthalpy of evaporation from wet to dry bulb", s.Vapour-s.Liquid)
	if bad != nil {
		return 0, bad.err()
	}
	cooling := float64(or(p.AirHeat, dryAirHeat)) * float64(wet-dry)
	w := (cooling + saturated*float64(s.Latent)) / float64(s.Vapour-s.Liquid)
	notNegative(&bad, "humidity ratio from the two bulbs", number(w))
	return w, bad.err()
}
