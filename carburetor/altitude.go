package carburetor

import "math"

// AltitudeAFR returns the air-fuel ratio of a carburetor in air of another density, at the same
// throttle and speed: the volume of air stays, the fuel goes with the square root of the
// density.
//
//	AFR_h = AFR_0 sqrt(rho_h/rho_0)
//
// Source: Mathur and Sharma, Internal Combustion Engine, example 11.7, p. 273; Rajput, A
// Textbook of Internal Combustion Engines, example 11.11, p. 407; Gupta, Fundamentals of
// Internal Combustion Engines, example 9.7, p. 289 (as solved in open textbook companions).
func AltitudeAFR(at AFR, from, to Density) (AFR, error) {
	var bad faults
	positive(&bad, "air-fuel ratio", at)
	positive(&bad, "air density", from)
	positive(&bad, "air density", to)
	if bad != nil {
		return 0, bad.err()
	}
	return at * AFR(math.Sqrt(float64(to/from))), nil
}

// Enrichment returns the factor on the fuel-air ratio when a carburetor set in the air from
// runs in the air to, at the same throttle and speed: above 1 is richer. On lambda the factor
// is its inverse.
//
//	phi_2/phi_1 = sqrt(rho_2/rho_1) / (rho_dry2/rho_dry1)
//
// which is sigma^(-1/2) for dry air, sigma the ratio of densities: AltitudeAFR. Fuel follows
// the density of all the air, burning that of the dry air. Source: AltitudeAFR; humidity by own
// derivation.
func Enrichment(from, to Air) (float64, error) {
	if err := from.check(); err != nil {
		return 0, err
	}
	if err := to.check(); err != nil {
		return 0, err
	}
	return math.Sqrt(float64(to.density()/from.density())) / float64(to.dry()/from.dry()), nil
}

// JetCorrection returns the factor on the flow of every jet, fuel jets of all circuits alike,
// that gives in the air to the mixture that the jets gave in the air from.
//
//	factor = 1/(phi_2/phi_1), sqrt(sigma) for dry air
//
// A bore number is then scaled by its square root (sigma^(1/4)), a flow number by itself:
// BoreNumber.Scale, FlowNumber.Scale. Source: Enrichment.
func JetCorrection(from, to Air) (float64, error) {
	e, err := Enrichment(from, to)
	if err != nil {
		return 0, err
	}
	return 1 / e, nil
}

// Richness returns how rich jet n runs in the air here, over the mixture that jet book gives in
// the air there: above 1 is richer. It answers whether the jet fitted suits the place.
//
//	phi_n/phi_book = (n/n_book)^2 (phi_here/phi_there)
//
// Source: FlowRatio and Enrichment.
func (n BoreNumber) Richness(book BoreNumber, there, here Air) (float64, error) {
	r, err := n.FlowRatio(book)
	if err != nil {
		return 0, err
	}
	e, err := Enrichment(there, here)
	return r * e, err
}

// Richness returns how rich jet n runs in the air here, over the mixture that jet book gives in
// the air there: above 1 is richer. It answers whether the jet fitted suits the place.
//
//	phi_n/phi_book = (n/n_book) (phi_here/phi_there)
//
// Source: FlowRatio and Enrichment.
func (n FlowNumber) Richness(book FlowNumber, there, here Air) (float64, error) {
	r, err := n.FlowRatio(book)
	if err != nil {
		return 0, err
	}
	e, err := Enrichment(there, here)
	return r * e, err
}

// LambdaLeft returns the mixture that the change of air does not explain: measured in the air
// to with jets right in the air from for the mixture target. 1 says that the air explains it
// all, below 1 that it is richer than that, above 1 leaner.
//
//	rest = lambda_measured (phi_2/phi_1) / lambda_target
//
// Source: Enrichment.
func LambdaLeft(measured, target Lambda, from, to Air) (float64, error) {
	var bad faults
	positive(&bad, "measured lambda", measured)
	positive(&bad, "target lambda", target)
	if bad != nil {
		return 0, bad.err()
	}
	e, err := Enrichment(from, to)
	return float64(measured/target) * e, err
}

// EnrichmentCurve samples the enrichment in per cent over the altitude in metres, in air of the
// same temperature and humidity throughout as from; StandardDay has it fall with height.
func EnrichmentCurve(from Air, altitudes Span[Length]) (Curve, error) {
	x, y := Axis{"altitude", "m"}, Axis{"richer by", "%"}
	return sample(altitudes, x, y, func(z Length) (Point, error) {
		to, err := AirAt(z, from.Temperature, from.Humidity)
		if err != nil {
			return Point{}, err
		}
		e, err := Enrichment(from, to)
		return Point{float64(z), 100 * (e - 1)}, err
	})
}

// StandardDay returns the dry air of the standard atmosphere at an altitude.
func StandardDay(altitude Length) (Air, error) {
	s, err := StandardAtmosphere(altitude)
	return Air{Pressure: s.Pressure, Temperature: s.Temperature}, err
}
