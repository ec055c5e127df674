package carburetor

// usualHydrogen and usualOxygen are the atoms per carbon atom of petrol in Brettschneider's
// formula (MEMORY).
const (
	usualHydrogen = 1.7261
	usualOxygen   = 0.0176
)

// leastCarbonOxides is the least CO2 and CO together of a warm engine that fires and whose
// exhaust is tight, in per cent (MEMORY).
const leastCarbonOxides = 12

// A FuelRatio is the atoms of hydrogen and oxygen per atom of carbon in the fuel.
type FuelRatio struct{ Hydrogen, Oxygen float64 }

// UsualPetrol returns the ratios usual for petrol in Brettschneider's formula: 1.7261 and
// 0.0176 (MEMORY).
func UsualPetrol() FuelRatio { return FuelRatio{usualHydrogen, usualOxygen} }

// Ratio returns the atoms per carbon atom; the fuel must have carbon.
func (f Composition) Ratio() (FuelRatio, error) {
	var bad faults
	f.check(&bad)
	positive(&bad, "carbon in the fuel", number(f.Carbon))
	if bad != nil {
		return FuelRatio{}, bad.err()
	}
	return FuelRatio{f.Hydrogen / f.Carbon, f.Oxygen / f.Carbon}, nil
}

// A LambdaReading is the mixture that an exhaust gas shows.
type LambdaReading struct {
	Lambda Lambda
	// Diluted says that CO2 and CO together are under 12 %: outside air in the exhaust or a
	// misfire, and then Lambda is not to be trusted.
	Diluted bool
}

// Brettschneider returns the mixture from a dry exhaust gas. Extra air in the exhaust and
// misfires count as air.
//
//	lambda = (CO2 + CO/2 + O2 + NO/2 + (H/4 3.5/(3.5 + CO/CO2) - O/2)(CO2 + CO)) / ((1 + H/4 - O/2)(CO2 + CO + HC))
//
// H and O are atoms per carbon atom of the fuel, HC counts carbon atoms. Source: J.
// Brettschneider, Bosch Technische Berichte 6 (1979) 4, 177-186, as restated in a white paper
// on lambda from exhaust gas. CO2 must be above 0.
func (e Exhaust) Brettschneider(fuel FuelRatio) (LambdaReading, error) {
	var bad faults
	e.check(&bad)
	positive(&bad, "CO2 in per cent", number(e.CO2))
	notNegative(&bad, "hydrogen per carbon", number(fuel.Hydrogen))
	notNegative(&bad, "oxygen per carbon", number(fuel.Oxygen))
	need := 1 + fuel.Hydrogen/4 - fuel.Oxygen/2
	positive(&bad, "oxygen that the fuel needs", number(need))
	if bad != nil {
		return LambdaReading{}, bad.err()
	}
	burnt := e.CO2 + e.CO
	water := fuel.Hydrogen / 4 * waterGas / (waterGas + e.CO/e.CO2)
	oxygen := e.CO2 + e.CO/2 + e.O2 + e.NO/2 + (water-fuel.Oxygen/2)*burnt
	return LambdaReading{
		Lambda:  Lambda(oxygen / (need * (burnt + e.HC))),
		Diluted: burnt < leastCarbonOxides,
	}, nil
}

// CarbonNitrogenAFR returns the air-fuel ratio from the nitrogen of the air and the carbon of a
// known fuel.
//
//	AFR = N2/(1 - x_O2) M_air / (C/c M_fuel),  C = CO2 + CO + HC
//
// Source: Rajput, Engineering Thermodynamics, example 11.28, p. 531 (as solved in an open
// textbook companion).
func (e Exhaust) CarbonNitrogenAFR(fuel Composition, c Convention) (AFR, error) {
	bad := e.checkFor(fuel, c)
	positive(&bad, "N2 in per cent", number(e.N2))
	if bad != nil {
		return 0, bad.err()
	}
	c = c.filled()
	return AFR(e.N2 / (1 - c.OxygenInAir) * c.AirMass / e.fuelGrams(fuel, c)), nil
}

// OxygenAFR returns the air-fuel ratio from the oxygen in all products of a known fuel.
//
//	O2_air = CO2 + CO/2 + O2 + NO/2 + H2O/2 - (o/c)(CO2 + CO)/2
//	H2O = (h/c)(CO2 + CO)/2 - H2
//	AFR = O2_air/x_O2 M_air / (C/c M_fuel)
//
// Source: Moran and Shapiro, Fundamentals of Engineering Thermodynamics, example 13.2, p. 626.
func (e Exhaust) OxygenAFR(fuel Composition, c Convention) (AFR, error) {
	bad := e.checkFor(fuel, c)
	if bad != nil {
		return 0, bad.err()
	}
	c = c.filled()
	burnt := e.CO2 + e.CO
	water := fuel.Hydrogen/fuel.Carbon*burnt/2 - e.H2
	oxygen := e.CO2 + e.CO/2 + e.O2 + e.NO/2 + water/2 - fuel.Oxygen/fuel.Carbon*burnt/2
	notNegative(&bad, "water from the balance", number(water))
	positive(&bad, "oxygen from the balance", number(oxygen))
	if bad != nil {
		return 0, bad.err()
	}
	return AFR(oxygen / c.OxygenInAir * c.AirMass / e.fuelGrams(fuel, c)), nil
}

func (e Exhaust) checkFor(fuel Composition, c Convention) faults {
	var bad faults
	e.check(&bad)
	fuel.check(&bad)
	c.check(&bad)
	positive(&bad, "carbon in the fuel", number(fuel.Carbon))
	return bad
}

// fuelGrams is the fuel behind 100 moles of dry gas.
func (e Exhaust) fuelGrams(fuel Composition, c Convention) float64 {
	return e.carbon() / fuel.Carbon * fuel.grams(c)
}

// An UnknownFuel is what an exhaust with its nitrogen tells of mixture and fuel together.
type UnknownFuel struct {
	AFR AFR
	// Fuel by mass, taken as a hydrocarbon.
	Fuel MassAnalysis
}

// UnknownFuel returns mixture and fuel from a complete dry analysis; the fuel is taken as
// carbon and hydrogen.
//
//	H = 4 (N2 x_O2/(1 - x_O2) - CO2 - CO/2 - O2 - NO/2) + 2 H2
//	AFR = N2/(1 - x_O2) M_air / (M_C C + M_H H)
//
// Source: Gupta, Fundamentals of Internal Combustion Engines, example 3.4, p. 71.
func (e Exhaust) UnknownFuel(c Convention) (UnknownFuel, error) {
	var bad faults
	e.check(&bad)
	c.check(&bad)
	positive(&bad, "N2 in per cent", number(e.N2))
	c = c.filled()
	hydrogen := 4*(e.N2*c.OxygenInAir/(1-c.OxygenInAir)-e.CO2-e.CO/2-e.O2-e.NO/2) + 2*e.H2
	notNegative(&bad, "hydrogen from the balance", number(hydrogen))
	if bad != nil {
		return UnknownFuel{}, bad.err()
	}
	fuel := Composition{Carbon: e.carbon(), Hydrogen: hydrogen}
	analysis, err := fuel.MassAnalysis(c)
	return UnknownFuel{AFR(e.N2 / (1 - c.OxygenInAir) * c.AirMass / fuel.grams(c)), analysis}, err
}

// LeanAFR returns the air-fuel ratio from CO2 alone, in per cent, for a known fuel burnt
// completely in excess air, and the O2 that must then be in the exhaust. More CO2 than the fuel
// can make is an InputError.
//
//	CO2 + O2 + (1 - x_O2)/x_O2 (need C + O2) = 100,  need = (c + h/4 + s - o/2)/c
//
// Source: Rajput, Engineering Thermodynamics, example 11.29, p. 532.
func LeanAFR(co2 float64, fuel Composition, c Convention) (ratio AFR, o2 float64, err error) {
	e := Exhaust{CO2: co2}
	bad := e.checkFor(fuel, c)
	if bad != nil {
		return 0, 0, bad.err()
	}
	c = c.filled()
	nitrogen := (1 - c.OxygenInAir) / c.OxygenInAir
	need := fuel.oxygenNeed() / fuel.Carbon * co2
	o2 = (100 - co2 - nitrogen*need) / (1 + nitrogen)
	// A stoichiometric gas leaves nothing, but for rounding.
	const slack = 1e-9
	if o2 < 0 && o2 > -slack {
		o2 = 0
	}
	notNegative(&bad, "O2 left in per cent", number(o2))
	if bad != nil {
		return 0, 0, bad.err()
	}
	return AFR((need + o2) / c.OxygenInAir * c.AirMass / e.fuelGrams(fuel, c)), o2, nil
}
