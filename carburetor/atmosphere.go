package carburetor

import "math"

// Constants of the standard atmosphere. MEMORY: U.S. Standard Atmosphere, 1976 was seen only
// through tables and libraries that follow it, which the checks compare with.
const (
	lapseRate                 = 0.0065          // K/m, below 11 km
	atmosphereExponent        = 5.25588         // g M/(R lapse rate)
	airMolarMass              = 28.9644         // kg/kmol
	gasConstant               = 8314.32         // J/(kmol K), the value of that standard
	earthRadius        Length = 6356766 * Metre // for geopotential height
	lowestAltitude     Length = -5000 * Metre   // geopotential
	highestAltitude    Length = 11000 * Metre   // geopotential, the end of the lapse rate
)

// Geopotential returns the geopotential height of a height above the sea: the height with
// gravity taken as constant. At 2000 m it is 0.6 m less.
//
//	H = r_0 Z / (r_0 + Z)
//
// Source: U.S. Standard Atmosphere, 1976 (MEMORY, seen through the tests of the fluids
// library).
func Geopotential(altitude Length) Length { return earthRadius * altitude / (earthRadius + altitude) }

// StandardAtmosphere returns pressure and temperature at a height above the sea on a standard
// day.
//
//	T = 288.15 - 0.0065 H,  p = 101325 (T/288.15)^5.25588,  H = r_0 Z/(r_0 + Z)
//
// From -5000 to 11000 m. Source: U.S. Standard Atmosphere, 1976 (MEMORY), checked against the
// tests of the fluids library (C. Bell and contributors), engineersedge.com and NCL
// documentation.
func StandardAtmosphere(altitude Length) (GasState, error) {
	var bad faults
	finite(&bad, "altitude", altitude)
	above(&bad, "altitude", altitude, -earthRadius)
	if bad != nil {
		return GasState{}, bad.err()
	}
	return GeopotentialAtmosphere(Geopotential(altitude))
}

// GeopotentialAtmosphere is StandardAtmosphere at a geopotential height, as many tables have
// it.
//
//	T = 288.15 - 0.0065 H,  p = 101325 (T/288.15)^5.25588
//
// Source: as StandardAtmosphere; checked against the tests of PsychroLib and
// engineeringtoolbox.com.
func GeopotentialAtmosphere(height Length) (GasState, error) {
	var bad faults
	finite(&bad, "altitude", height)
	if bad != nil {
		return GasState{}, bad.err()
	}
	t := float64(StandardTemperature) - lapseRate*float64(height)
	p := float64(StandardPressure) * math.Pow(t/float64(StandardTemperature), atmosphereExponent)
	if err := withinAtmosphere(height, p); err != nil {
		return GasState{}, err
	}
	return GasState{Pressure(p), Temperature(t)}, nil
}

func withinAtmosphere(height Length, value float64) error {
	low, high := metres(lowestAltitude), metres(highestAltitude)
	return within("standard atmosphere", "altitude", metres(height), low, high, value)
}

// metres is a length that prints as an altitude.
type metres Length

func (m metres) String() string { return show(float64(m), "m") }

// StandardDensity returns the density of air at a height above the sea on a standard day.
//
//	rho = p M / (R T)
//
// Source: as StandardAtmosphere.
func StandardDensity(altitude Length) (Density, error) {
	s, err := StandardAtmosphere(altitude)
	if err != nil {
		return 0, err
	}
	return standardAir().density(s), nil
}

// standardAir is the air of the standard atmosphere, R = 287.053 J/(kg K).
func standardAir() Gas { return Gas{Constant: gasConstant / airMolarMass, Gamma: airGamma} }

// PressureAltitude returns the height above the sea at which the standard atmosphere has a
// pressure: what an altimeter shows.
//
//	H = (288.15 - 288.15 (p/101325)^(1/5.25588)) / 0.0065,  Z = r_0 H/(r_0 - H)
//
// Source: StandardAtmosphere turned round.
func PressureAltitude(p Pressure) (Length, error) {
	var bad faults
	positive(&bad, "pressure", p)
	if bad != nil {
		return 0, bad.err()
	}
	t := math.Pow(float64(p/StandardPressure), 1/atmosphereExponent)
	h := Length(float64(StandardTemperature) * (1 - t) / lapseRate)
	if err := withinAtmosphere(h, float64(h)); err != nil {
		return 0, err
	}
	return earthRadius * h / (earthRadius - h), nil
}
