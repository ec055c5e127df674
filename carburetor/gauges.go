package carburetor

import "math"

// CrankingPressure returns the gauge pressure at the end of compression while cranking.
//
//	p_g = p_a (CR^n - 1)
//
// CR is the effective ratio from the closing of the intake valve, above 1, at most 20; n is 1
// to 1.4, in practice 1.2 to 1.3. With the geometric ratio the result is too high. Source:
// calculatorlib.com, Compression ratio to PSI.
func CrankingPressure(outside Pressure, ratio, exponent float64) (Pressure, error) {
	var bad faults
	positive(&bad, "pressure outside", outside)
	above(&bad, "compression ratio", number(ratio), 1)
	between(&bad, "compression ratio", number(ratio), 1, 20)
	between(&bad, "polytropic exponent", number(exponent), 1, 1.4)
	if bad != nil {
		return 0, bad.err()
	}
	return outside * Pressure(math.Pow(ratio, exponent)-1), nil
}

// CompressionAt returns what a compression gauge shows in air of the pressure to, of an engine
// that shows gauge in air of the pressure from: all absolute pressures scale.
//
//	g_2 = (g_1 + p_1) p_2/p_1 - p_2 = g_1 p_2/p_1
//
// Source: own derivation; T. R. Reed, "20 % less at altitude!", a magazine letter
// (snowtechmagazine.com), has 120 psi fall to 100 at 5000 ft. Use it to bring a book value to
// the place before calling a reading low.
func CompressionAt(gauge, from, to Pressure) (Pressure, error) {
	var bad faults
	notNegative(&bad, "compression", gauge)
	positive(&bad, "air pressure", from)
	positive(&bad, "air pressure", to)
	if bad != nil {
		return 0, bad.err()
	}
	return gauge * to / from, nil
}

// CompressionShare returns a measured compression over what the book value becomes at the
// place: 1 is by the book.
//
//	share = g_measured / CompressionAt(g_book, p_book, p_place)
//
// Source: CompressionAt.
func CompressionShare(measured, book, bookAir, placeAir Pressure) (float64, error) {
	expected, err := CompressionAt(book, bookAir, placeAir)
	var bad faults
	notNegative(&bad, "measured compression", measured)
	positive(&bad, "book compression", book)
	if err == nil {
		err = bad.err()
	}
	if err != nil {
		return 0, err
	}
	return float64(measured / expected), nil
}

// CompressionCurve samples the gauge reading in kilopascals over the altitude in metres, of an
// engine that shows gauge at sea level.
func CompressionCurve(gauge Pressure, altitudes Span[Length]) (Curve, error) {
	x, y := Axis{"altitude", "m"}, Axis{"compression", "kPa"}
	return sample(altitudes, x, y, func(z Length) (Point, error) {
		s, err := StandardAtmosphere(z)
		if err != nil {
			return Point{}, err
		}
		g, err := CompressionAt(gauge, StandardPressure, s.Pressure)
		return Point{float64(z), g.In(Kilopascal)}, err
	})
}

// ManifoldPressure returns the absolute pressure behind a vacuum gauge.
//
//	p_m = p_a - vacuum
//
// Source: definition. Vacuum 0 or more, less than the pressure outside.
func ManifoldPressure(outside, vacuum Pressure) (Pressure, error) {
	var bad faults
	positive(&bad, "pressure outside", outside)
	notNegative(&bad, "vacuum", vacuum)
	below(&bad, "vacuum", vacuum, outside)
	if bad != nil {
		return 0, bad.err()
	}
	return outside - vacuum, nil
}

// VacuumAt returns what a vacuum gauge shows at idle in air of the pressure to, of an engine
// that shows vacuum in air of the pressure from: the engine needs the same absolute pressure in
// its manifold. An engine that would need more than the air has is an InputError.
//
//	vacuum_2 = vacuum_1 - (p_1 - p_2)
//
// Source: own derivation; the rule of thumb is 1 inHg less per 1000 ft (vacuum gauge guides),
// the standard atmosphere has 1.07. The 17 to 22 inHg of those guides is for car engines:
// compare a motorcycle's carburetors with each other instead.
func VacuumAt(vacuum, from, to Pressure) (Pressure, error) {
	m, err := ManifoldPressure(from, vacuum)
	if err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "air pressure", to)
	between(&bad, "manifold pressure", m, 0, to)
	if bad != nil {
		return 0, bad.err()
	}
	return to - m, nil
}

// PressureLoss returns the fall of the standard atmosphere from sea level to an altitude.
//
//	p_0 - p(Z)
//
// Source: StandardAtmosphere.
func PressureLoss(altitude Length) (Pressure, error) {
	s, err := StandardAtmosphere(altitude)
	if err != nil {
		return 0, err
	}
	return StandardPressure - s.Pressure, nil
}
