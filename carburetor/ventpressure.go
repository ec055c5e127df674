package carburetor

import "math"

// A BowlVent says which pressure the float bowl sees.
type BowlVent int

const (
	// VentOutside: the bowl is open to the surrounding air.
	VentOutside BowlVent = iota + 1
	// VentIntake: the bowl is open to the air after the cleaner.
	VentIntake
)

// String names the vent.
func (v BowlVent) String() string {
	switch v {
	case VentOutside:
		return "open to the surroundings"
	case VentIntake:
		return "open to the intake"
	}
	return "unknown vent"
}

// CleanerThroat returns the pressure in the throat behind an air cleaner.
//
//	p_throat = p_0 - dp_c - dp_v
//
// Source: Mathur and Sharma, Internal Combustion Engine, example 11.9, p. 283 (as solved in an
// open textbook companion).
func CleanerThroat(outside, cleaner, venturi Pressure) (Pressure, error) {
	var bad faults
	positive(&bad, "pressure outside", outside)
	notNegative(&bad, "drop over the air cleaner", cleaner)
	notNegative(&bad, "depression of the venturi", venturi)
	p := outside - cleaner - venturi
	positive(&bad, "pressure in the throat", p)
	if bad != nil {
		return 0, bad.err()
	}
	return p, nil
}

// CleanerMixture returns the air-fuel ratio when an air cleaner drops cleaner, given the ratio
// without it at the same air flow. A dirty cleaner enriches a carburetor whose bowl is vented
// outside, and does nothing to one whose bowl is vented to the intake.
//
//	AFR_2 = AFR_1 sqrt(dp_v / (dp_v + dp_c))   vented outside
//	AFR_2 = AFR_1                              vented to the intake
//
// Source: Mathur and Sharma, example 11.9, p. 283; Rajput, example 11.5, p. 403; Gupta, example
// 9.8, p. 289; Keswani, example 9.12, p. 219. The second line is own derivation.
func CleanerMixture(clean AFR, venturi, cleaner Pressure, vent BowlVent) (AFR, error) {
	var bad faults
	positive(&bad, "air-fuel ratio", clean)
	positive(&bad, "depression of the venturi", venturi)
	notNegative(&bad, "drop over the air cleaner", cleaner)
	if vent != VentOutside && vent != VentIntake {
		bad.add("bowl vent", vent.String(), "one of the known vents")
	}
	if bad != nil {
		return 0, bad.err()
	}
	if vent == VentIntake {
		return clean, nil
	}
	return clean * AFR(math.Sqrt(float64(venturi/(venturi+cleaner)))), nil
}

// BlockedBowlVent returns the factor on the fuel flow when the bowl's own vent is blocked and
// the pressure over its fuel has fallen by below; effective is the pressure over the jet with a
// free vent. It returns ErrNoFuel when nothing is left: lean first, then starved.
//
//	factor = sqrt((dp_eff - (p_0 - p_bowl)) / dp_eff)
//
// Source: own derivation.
func BlockedBowlVent(effective, fall Pressure) (float64, error) {
	var bad faults
	positive(&bad, "pressure over the jet", effective)
	notNegative(&bad, "fall of the pressure in the bowl", fall)
	if bad != nil {
		return 0, bad.err()
	}
	if fall >= effective {
		return 0, ErrNoFuel
	}
	return math.Sqrt(float64((effective - fall) / effective)), nil
}
