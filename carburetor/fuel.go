package carburetor

// A Fuel is what the model needs to know of a fuel.
type Fuel struct {
	Name string
	// Composition of one molecule, of a typical one for petrol.
	Composition Composition
	// Density at 15 °C.
	Density Density
	// Expansion is the relative loss of density per kelvin.
	Expansion float64
	// Viscosity at 20 °C.
	Viscosity Viscosity
	// Latent is the heat of vaporisation, LowerHeat the lower heating value, both of the
	// liquid.
	Latent, LowerHeat SpecificEnergy
	// LeanLimit and RichLimit are the volume fractions of vapour in air between which it can
	// burn.
	LeanLimit, RichLimit float64
}

// The Alternative Fuels Data Center's table Properties of fuels is the source of composition,
// latent heat, heating values, viscosity and limits below, unless noted. Expansion and the
// molecule of petrol are MEMORY. EN 228 allows petrol 720 to 775 kg/m3 at 15 °C (BS EN
// 228:2012, table).

// Petrol returns a typical petrol without alcohol: C7.4 H13.8, that is CH1.87 as in the exhaust
// script of MIT course 2.61, 745 kg/m3, the middle of EN 228.
func Petrol() Fuel {
	return Fuel{
		Name: "petrol", Composition: Composition{Carbon: 7.4, Hydrogen: 7.4 * 1.87},
		Density: 745, Expansion: 9.5e-4, Viscosity: 0.55 * SquareMillimetrePerSecond,
		Latent: 150 * BTUPerPound, LowerHeat: 18676 * BTUPerPound,
		LeanLimit: 0.014, RichLimit: 0.076,
	}
}

// Ethanol returns ethanol: 794 kg/m3 (specific gravity 0.794 to 0.796 in the table).
func Ethanol() Fuel {
	return Fuel{
		Name: "ethanol", Composition: Composition{Carbon: 2, Hydrogen: 6, Oxygen: 1},
		Density: 794, Expansion: 1.09e-3, Viscosity: 1.5 * SquareMillimetrePerSecond,
		Latent: 396 * BTUPerPound, LowerHeat: 11585 * BTUPerPound,
		LeanLimit: 0.043, RichLimit: 0.19,
	}
}

// Methanol returns methanol; density and viscosity are MEMORY.
func Methanol() Fuel {
	return Fuel{
		Name: "methanol", Composition: Composition{Carbon: 1, Hydrogen: 4, Oxygen: 1},
		Density: 796, Expansion: 1.19e-3, Viscosity: 0.74 * SquareMillimetrePerSecond,
		Latent: 506 * BTUPerPound, LowerHeat: 8637 * BTUPerPound,
		LeanLimit: 0.073, RichLimit: 0.36,
	}
}

// Liquid returns density and viscosity for a jet.
func (f Fuel) Liquid() Liquid { return Liquid{f.Density, f.Viscosity} }

func (f Fuel) check(bad *faults) {
	f.Composition.check(bad)
	positive(bad, "fuel density", f.Density)
	notNegative(bad, "expansion of the fuel", number(f.Expansion))
	notNegative(bad, "fuel viscosity", f.Viscosity)
	notNegative(bad, "latent heat", f.Latent)
	notNegative(bad, "heating value", f.LowerHeat)
}

// DensityAt returns the density at a temperature, -40 to 80 °C.
//
//	rho = rho_15 (1 - beta (t - 15))
//
// Source: definition of the coefficient of expansion; the coefficients of the fuels here are
// MEMORY.
func (f Fuel) DensityAt(t Temperature) (Density, error) {
	var bad faults
	positive(&bad, "fuel density", f.Density)
	notNegative(&bad, "expansion of the fuel", number(f.Expansion))
	positive(&bad, "absolute temperature", number(t))
	if bad != nil {
		return 0, bad.err()
	}
	rho := f.Density * Density(1-f.Expansion*(t.Celsius()-15))
	return rho, within("density of fuel", "temperature", t, Celsius(-40), Celsius(80), float64(rho))
}

// StoichiometricAFR returns that of the composition by today's molar masses.
//
// Source: Composition.StoichiometricAFR.
func (f Fuel) StoichiometricAFR() (AFR, error) { return f.Composition.StoichiometricAFR(Convention{}) }

// HeatPerVolume returns the lower heating value of a volume of fuel.
//
//	H_v = H_u rho
//
// Source: definition.
func (f Fuel) HeatPerVolume() (EnergyDensity, error) {
	var bad faults
	positive(&bad, "fuel density", f.Density)
	positive(&bad, "heating value", f.LowerHeat)
	return EnergyDensity(float64(f.LowerHeat) * float64(f.Density)), bad.err()
}

// LatentPerAir returns the heat that evaporates the fuel of a mixture, per mass of its air.
//
//	q = h_fg / AFR
//
// Source: Alternative Fuels Data Center, Properties of fuels, latent heat per lb air.
func (f Fuel) LatentPerAir(ratio AFR) (SpecificEnergy, error) {
	var bad faults
	positive(&bad, "latent heat", f.Latent)
	positive(&bad, "air-fuel ratio", ratio)
	if bad != nil {
		return 0, bad.err()
	}
	return f.Latent / SpecificEnergy(ratio), nil
}

// HeatOfCombustion returns higher and lower heating value per mass from the molar heat of
// combustion with liquid water; the composition must be of one molecule.
//
//	H_o = dHc/M,  H_u = (dHc - (h/2) 44.0 kJ/mol)/M
//
// 44.0 kJ/mol is the heat of vaporisation of water at 25 °C (MEMORY). Source: definition;
// isooctane: encyclopaedia article 2,2,4-Trimethylpentane.
func (f Composition) HeatOfCombustion(molar MolarEnergy) (higher, lower SpecificEnergy, err error) {
	var bad faults
	f.check(&bad)
	positive(&bad, "heat of combustion", molar)
	water := MolarEnergy(f.Hydrogen/2) * 44.0 * KilojoulePerMole
	above(&bad, "heat of combustion", molar, water)
	if bad != nil {
		return 0, 0, bad.err()
	}
	m := f.grams(Convention{}.filled()) * float64(GramPerMole)
	return SpecificEnergy(float64(molar) / m), SpecificEnergy(float64(molar-water) / m), nil
}
