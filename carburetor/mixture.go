package carburetor

import "math"

// AFR is an air-fuel ratio by mass.
type AFR float64

// Lambda is an air-fuel ratio over the stoichiometric one: below 1 is rich.
type Lambda float64

// String prints the ratio.
func (a AFR) String() string { return show(float64(a), "") + ":1" }

// String prints the ratio.
func (l Lambda) String() string { return show(float64(l), "") }

// Lambda returns the ratio over the stoichiometric ratio of the fuel.
func (a AFR) Lambda(stoichiometric AFR) Lambda { return Lambda(a / stoichiometric) }

// An Elementary carburetor is a venturi, one fuel jet and a nozzle whose lip stands above the
// fuel level. It is what every carburetor does between its corrections.
type Elementary struct {
	Venturi Venturi
	// Jet is the fuel orifice, with a constant discharge coefficient.
	Jet Orifice
	// Lip is the height of the nozzle's lip above the fuel level; positive: the fuel must be
	// lifted; 2 to 6 mm (recalled). A negative lip runs over by itself.
	Lip Length
	// Fuel is the density of the fuel, above 0.
	Fuel Density
	// Air before the venturi.
	Air Inlet
}

// A Mixture is what a carburetor delivers.
type Mixture struct {
	Air, Fuel MassFlow
	AFR       AFR
}

func (e Elementary) check(depression Pressure) error {
	bad := e.Venturi.checkFlow(e.Air, depression)
	e.Jet.check(&bad, "fuel jet")
	finite(&bad, "lip", e.Lip)
	positive(&bad, "fuel density", e.Fuel)
	return bad.err()
}

// Mixture returns air, fuel and their ratio at a depression in the throat. It returns ErrNoFuel
// while the depression does not lift the fuel over the lip.
//
//	m_f = Cdf A_j sqrt(2 rho_f (dp_v - rho_f g z)),  0 for dp_v <= rho_f g z
//	AFR = (Cda/Cdf) (A_v/A_j) sqrt(rho_a/rho_f) Phi sqrt(dp_v / (dp_v - rho_f g z))
//
// Source: Rajput, A Textbook of Internal Combustion Engines, example 11.9, p. 405, and Gupta,
// Fundamentals of Internal Combustion Engines, example 9.6, p. 287 (as solved in open textbook
// companions), here with the expansion of air, Phi.
func (e Elementary) Mixture(depression Pressure) (Mixture, error) {
	if err := e.check(depression); err != nil {
		return Mixture{}, err
	}
	return e.mixture(depression, e.Venturi.airFlow(e.Air, depression))
}

// IncompressibleMixture is Mixture with the constant air density of textbooks.
//
//	AFR = (Cda/Cdf) (A_v/A_j) sqrt(rho_a/rho_f) sqrt(dp_v / (dp_v - rho_f g z))
//
// Source: Rajput, example 11.9, p. 405; Gupta, example 9.6, p. 287.
func (e Elementary) IncompressibleMixture(depression Pressure) (Mixture, error) {
	if err := e.check(depression); err != nil {
		return Mixture{}, err
	}
	return e.mixture(depression, orificeFlow(e.Venturi.Discharge, e.Venturi.Area(), e.Air.Density, depression))
}

func (e Elementary) mixture(depression Pressure, air MassFlow) (Mixture, error) {
	head := depression - HeadPressure(e.Fuel, e.Lip)
	if head <= 0 {
		return Mixture{}, ErrNoFuel
	}
	fuel := orificeFlow(e.Jet.Discharge, e.Jet.Area, e.Fuel, head)
	return Mixture{air, fuel, AFR(air / fuel)}, nil
}

// DepressionForFuel returns the depression in the throat that draws a fuel flow through a jet
// and over a lip.
//
//	dp_v = (m_f / (Cdf A_j))^2 / (2 rho_f) + rho_f g z
//
// Source: Rajput, example 11.2, p. 400; Gupta, example 9.5, p. 286.
func DepressionForFuel(jet Orifice, fuel Density, lip Length, flow MassFlow) (Pressure, error) {
	var bad faults
	finite(&bad, "lip", lip)
	if bad != nil {
		return 0, bad.err()
	}
	drop, err := jet.Drop(fuel, flow)
	if err != nil {
		return 0, err
	}
	return drop + HeadPressure(fuel, lip), nil
}

// MixtureCurve samples the air-fuel ratio over the depression in kilopascals.
func (e Elementary) MixtureCurve(depressions Span[Pressure]) (Curve, error) {
	x, y := Axis{"depression at the throat", "kPa"}, Axis{"air-fuel ratio", ""}
	return sample(depressions, x, y, func(p Pressure) (Point, error) {
		m, err := e.Mixture(p)
		return Point{p.In(Kilopascal), float64(m.AFR)}, err
	})
}

// CriticalAirSpeed returns the speed of the air in the throat at which fuel begins to come over
// the lip. It goes with the square root of the lip, so a low level delays the main jet.
//
//	v = sqrt(2 g z rho_f / rho_a)
//
// Source: Mathur and Sharma, example 11.8, p. 278; Rajput, example 11.9, p. 405; Keswani,
// example 9.9, p. 209. Gupta, example 9.5, p. 286 multiplies it by the venturi's discharge
// coefficient, which turns the ideal speed into the real one: set discharge for that, or 0 for
// the ideal speed.
func CriticalAirSpeed(lip Length, fuel, air Density, discharge float64) (Speed, error) {
	var bad faults
	notNegative(&bad, "lip", lip)
	positive(&bad, "fuel density", fuel)
	positive(&bad, "air density", air)
	between(&bad, "venturi discharge coefficient", number(discharge), 0, 1)
	if bad != nil {
		return 0, bad.err()
	}
	v := math.Sqrt(2 * gravity * float64(lip) * float64(fuel) / float64(air))
	return Speed(or(discharge, 1) * v), nil
}

// MixturePerLevel returns the relative change of fuel flow per metre of fuel level, at an
// effective pressure over the jet (that over the fuel above the lip), above 0.
//
//	dln(m_f)/dh = rho_f g / (2 dp_eff)
//
// One millimetre is 0.7 to 1.2 % where 0.3 to 0.5 kPa drives a pilot jet, under 0.1 % at full
// throttle: a level error alone does not explain a mixture that is wrong at full throttle only.
// Source: own derivation from the square-root law of the jet.
func MixturePerLevel(fuel Density, effective Pressure) (float64, error) {
	var bad faults
	positive(&bad, "fuel density", fuel)
	positive(&bad, "pressure over the jet", effective)
	if bad != nil {
		return 0, bad.err()
	}
	return float64(fuel) * gravity / (2 * float64(effective)), nil
}

// LevelMixture returns the factor on the fuel flow when the level rises by rise, at an
// effective pressure over the jet before it. It returns ErrNoFuel when a fall takes all of the
// pressure.
//
//	factor = sqrt(1 + rho_f g dh / dp_eff)
//
// Source: as MixturePerLevel, of which it is the exact form.
func LevelMixture(rise Length, fuel Density, effective Pressure) (float64, error) {
	var bad faults
	finite(&bad, "rise of the level", rise)
	positive(&bad, "fuel density", fuel)
	positive(&bad, "pressure over the jet", effective)
	if bad != nil {
		return 0, bad.err()
	}
	x := 1 + float64(HeadPressure(fuel, rise)/effective)
	if x <= 0 {
		return 0, ErrNoFuel
	}
	return math.Sqrt(x), nil
}
