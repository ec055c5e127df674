package carburetor

// VapourAFR returns the air-fuel ratio of a mixture with a volume fraction of fuel vapour.
//
//	AFR = (1 - v)/v M_air/M_fuel
//
// Source: perfect gas law; limits in the Alternative Fuels Data Center's Properties of fuels
// (petrol 1.4 to 7.6 % is 19.8 to 3.4). Fraction above 0, below 1.
func VapourAFR(share float64, fuel MolarMass) (AFR, error) {
	var bad faults
	positive(&bad, "volume fraction of vapour", number(share))
	below(&bad, "volume fraction of vapour", number(share), 1)
	positive(&bad, "molar mass of the fuel", fuel)
	if bad != nil {
		return 0, bad.err()
	}
	return AFR((1 - share) / share * airMass / float64(fuel/GramPerMole)), nil
}

// A Band is a range of air-fuel ratios.
type Band struct {
	// Name says what the band is for.
	Name string
	// Rich and Lean are its ends, for petrol.
	Rich, Lean AFR
	// Source is the id of a Source.
	Source string
}

// Contains reports whether a ratio is in the band, ends included.
func (b Band) Contains(a AFR) bool { return a >= b.Rich && a <= b.Lean }

// Targets returns mixture bands of a petrol engine, from idle to economy. Those of source
// recalled are MEMORY.
//
// Source: Carburetor basics (training text): runs from 8 to 18.5, best power 12.5 to 13.5, best
// economy 15 to 16.
func Targets() []Band {
	return []Band{
		{"an engine fires at all", 8, 18.5, "carburetor-basics"},
		{"best power", 12.5, 13.5, "carburetor-basics"},
		{"best economy", 15, 16, "carburetor-basics"},
		{"idle", 11, 13, "recalled"},
		{"cruise", 15, 17, "recalled"},
		{"supplied for a cold start", 1, 9, "recalled"},
	}
}
