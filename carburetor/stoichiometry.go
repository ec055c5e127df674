package carburetor

// A Composition is the moles of each element in an amount of fuel: per molecule, or per any
// other amount, since only ratios count for the air-fuel ratio. All are 0 or more, some carbon
// or hydrogen above 0.
type Composition struct {
	Carbon, Hydrogen, Oxygen, Sulphur float64
	// Inert is mass that takes no part, in kilograms for the same amount; usually 0.
	Inert Mass
}

// A Convention is the molar masses and the air with which an air-fuel ratio is computed. The
// zero value has today's. Older texts round: ethanol comes out between 8.96 and 9.07 by their
// air alone.
type Convention struct {
	// Carbon, Hydrogen, Oxygen and Sulphur are molar masses in g/mol; zero means 12.011, 1.008,
	// 15.999 and 32.06 (MEMORY: standard atomic weights).
	Carbon, Hydrogen, Oxygen, Sulphur float64
	// OxygenInAir is the mole fraction of oxygen in dry air; zero means 0.20946.
	OxygenInAir float64
	// AirMass is the molar mass of dry air in g/mol; zero means 28.9647.
	AirMass float64
}

// Dry air as the zero Convention has it: oxygen 20.946 % by volume, 28.9647 g/mol (MEMORY; with
// it ethanol comes out at the 9.00 of the Alternative Fuels Data Center's Properties of fuels).
const (
	oxygenInAir = 0.20946
	airMass     = 28.9647
)

// OxygenByMass returns a convention with rounded molar masses (C 12, H 1, O 16, S 32) and air
// that has the given mass fraction of oxygen, as older texts do: 0.23, 0.233.
func OxygenByMass(fraction float64) Convention {
	c := Convention{Carbon: 12, Hydrogen: 1, Oxygen: 16, Sulphur: 32, OxygenInAir: oxygenInAir}
	c.AirMass = oxygenInAir * 32 / fraction
	return c
}

// filled returns the convention with its defaults in place.
func (c Convention) filled() Convention {
	return Convention{
		Carbon: or(c.Carbon, 12.011), Hydrogen: or(c.Hydrogen, 1.008), Oxygen: or(c.Oxygen, 15.999), Sulphur: or(c.Sulphur, 32.06),
		OxygenInAir: or(c.OxygenInAir, oxygenInAir), AirMass: or(c.AirMass, airMass),
	}
}

func (c Convention) check(bad *faults) {
	c = c.filled()
	positive(bad, "molar mass of carbon", number(c.Carbon))
	positive(bad, "molar mass of hydrogen", number(c.Hydrogen))
	positive(bad, "molar mass of oxygen", number(c.Oxygen))
	positive(bad, "molar mass of sulphur", number(c.Sulphur))
	positive(bad, "oxygen in air", number(c.OxygenInAir))
	below(bad, "oxygen in air", number(c.OxygenInAir), 1)
	positive(bad, "molar mass of air", number(c.AirMass))
}

func (f Composition) check(bad *faults) {
	notNegative(bad, "carbon in the fuel", number(f.Carbon))
	notNegative(bad, "hydrogen in the fuel", number(f.Hydrogen))
	notNegative(bad, "oxygen in the fuel", number(f.Oxygen))
	notNegative(bad, "sulphur in the fuel", number(f.Sulphur))
	notNegative(bad, "inert mass in the fuel", f.Inert)
	positive(bad, "oxygen that the fuel needs", number(f.oxygenNeed()))
}

// oxygenNeed is moles of O2 for the amount of fuel.
func (f Composition) oxygenNeed() float64 {
	return f.Carbon + f.Hydrogen/4 + f.Sulphur - f.Oxygen/2
}

// grams is the mass of the amount of fuel in grams.
func (f Composition) grams(c Convention) float64 {
	return c.Carbon*f.Carbon + c.Hydrogen*f.Hydrogen + c.Oxygen*f.Oxygen + c.Sulphur*f.Sulphur + f.Inert.In(Gram)
}

// MolarMass returns the mass of the amount of fuel that the composition describes: of a mole,
// if it describes a molecule.
func (f Composition) MolarMass(c Convention) (MolarMass, error) {
	var bad faults
	c.check(&bad)
	f.check(&bad)
	return MolarMass(f.grams(c.filled())) * GramPerMole, bad.err()
}

// StoichiometricAFR returns the air that just burns the fuel, by mass.
//
//	AFR_st = (c + h/4 + s - o/2)/x_O2 M_air / (M_C c + M_H h + M_O o + M_S s)
//
// Source: M. J. Moran, H. N. Shapiro, Fundamentals of Engineering Thermodynamics, example 13.1,
// p. 624; Rajput, Engineering Thermodynamics, examples 11.12 to 11.22, pp. 516-525; Gupta,
// example 3.3, p. 69 (as solved in open textbook companions).
func (f Composition) StoichiometricAFR(c Convention) (AFR, error) {
	var bad faults
	c.check(&bad)
	f.check(&bad)
	if bad != nil {
		return 0, bad.err()
	}
	c = c.filled()
	return AFR(f.oxygenNeed() / c.OxygenInAir * c.AirMass / f.grams(c)), nil
}

// A MassAnalysis is a fuel by mass fractions, together at most 1; what is missing to 1 is
// inert.
type MassAnalysis struct{ Carbon, Hydrogen, Oxygen, Sulphur float64 }

// Composition returns the moles in a kilogram of the fuel.
//
//	c = 1000 w_C/M_C, and so on
//
// Source: definition; used as in Gupta, example 3.3, p. 69.
func (m MassAnalysis) Composition(c Convention) (Composition, error) {
	var bad faults
	c.check(&bad)
	notNegative(&bad, "mass fraction of carbon", number(m.Carbon))
	notNegative(&bad, "mass fraction of hydrogen", number(m.Hydrogen))
	notNegative(&bad, "mass fraction of oxygen", number(m.Oxygen))
	notNegative(&bad, "mass fraction of sulphur", number(m.Sulphur))
	inert := 1 - m.Carbon - m.Hydrogen - m.Oxygen - m.Sulphur
	// Fractions that add to 1 in print miss it by rounding in binary.
	const slack = 1e-12
	if inert < -slack {
		bad.add("sum of the mass fractions", number(1-inert).String(), "at most 1")
	}
	if bad != nil {
		return Composition{}, bad.err()
	}
	c = c.filled()
	return Composition{
		Carbon: 1000 * m.Carbon / c.Carbon, Hydrogen: 1000 * m.Hydrogen / c.Hydrogen,
		Oxygen: 1000 * m.Oxygen / c.Oxygen, Sulphur: 1000 * m.Sulphur / c.Sulphur,
		Inert: Mass(max(0, inert)),
	}, nil
}

// MassAnalysis returns the composition by mass.
//
//	w_C = M_C c / M, and so on
//
// Source: definition.
func (f Composition) MassAnalysis(c Convention) (MassAnalysis, error) {
	var bad faults
	c.check(&bad)
	f.check(&bad)
	if bad != nil {
		return MassAnalysis{}, bad.err()
	}
	c = c.filled()
	m := f.grams(c)
	return MassAnalysis{
		Carbon: c.Carbon * f.Carbon / m, Hydrogen: c.Hydrogen * f.Hydrogen / m,
		Oxygen: c.Oxygen * f.Oxygen / m, Sulphur: c.Sulphur * f.Sulphur / m,
	}, nil
}

// VapourShare returns the volume fraction of fuel vapour in a mixture with lambda times the air
// that burns it; the composition must be of one molecule.
//
//	v = 1 / (1 + lambda (c + h/4 + s - o/2)/x_O2)
//
// Source: own derivation; ethanol 6.5 % and gasoline about 2 % in the Alternative Fuels Data
// Center's Properties of fuels.
func (f Composition) VapourShare(l Lambda, c Convention) (float64, error) {
	var bad faults
	c.check(&bad)
	f.check(&bad)
	notNegative(&bad, "lambda", l)
	if bad != nil {
		return 0, bad.err()
	}
	return 1 / (1 + float64(l)*f.oxygenNeed()/c.filled().OxygenInAir), nil
}
