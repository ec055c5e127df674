package carburetor

import "math"

// An OrificePlate measures air on a flow bench: a sharp plate in a pipe with corner tappings.
// It is for bores of 12.5 mm and more, and so never for a jet.
type OrificePlate struct {
	// Pipe is its inner diameter, above 0; Bore that of the hole, 0.1 to 0.75 of Pipe.
	Pipe, Bore Length
}

// smallestPlateBore is the limit of ISO 5167-2, as the documentation of the fluids library has
// it.
const smallestPlateBore = 12.5 * Millimetre

func (o OrificePlate) check() error {
	var bad faults
	positive(&bad, "pipe diameter", o.Pipe)
	positive(&bad, "plate bore", o.Bore)
	below(&bad, "plate bore", o.Bore, o.Pipe)
	if bad != nil {
		return bad.err()
	}
	const law = "orifice plate"
	if err := within(law, "bore", o.Bore, smallestPlateBore, 1*Metre, math.NaN()); err != nil {
		return err
	}
	return within(law, "bore over pipe", number(o.beta()), 0.1, 0.75, math.NaN())
}

func (o OrificePlate) beta() float64 { return float64(o.Bore / o.Pipe) }

// Discharge returns the discharge coefficient at a Reynolds number of the pipe, 5000 or more.
//
//	C = 0.5961 + 0.0261 b^2 - 0.216 b^8 + 0.000521 (10^6 b/Re)^0.7 + (0.0188 + 0.0063 A) b^3.5 (10^6/Re)^0.3
//	    + 0.011 (0.75 - b)(2.8 - D/25.4 mm) for D < 71.12 mm,  A = (19000 b/Re)^0.8,  b = d/D
//
// Source: Reader-Harris and Gallagher, ISO 5167-2, corner tappings: MEMORY, checked against the
// tests of the fluids library.
func (o OrificePlate) Discharge(reynolds float64) (float64, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "Reynolds number", number(reynolds))
	if bad != nil {
		return 0, bad.err()
	}
	c := o.discharge(reynolds)
	if err := within("orifice plate", "Reynolds number of the pipe", number(reynolds), 5000, 1e8, c); err != nil {
		return 0, err
	}
	return c, nil
}

func (o OrificePlate) discharge(re float64) float64 {
	b := o.beta()
	a := math.Pow(19000*b/re, 0.8)
	c := 0.5961 + 0.0261*b*b - 0.216*math.Pow(b, 8) + 0.000521*math.Pow(1e6*b/re, 0.7) +
		(0.0188+0.0063*a)*math.Pow(b, 3.5)*math.Pow(1e6/re, 0.3)
	if o.Pipe < 71.12*Millimetre {
		c += 0.011 * (0.75 - b) * (2.8 - o.Pipe.In(Inch))
	}
	return c
}

// Expansibility returns the factor for a gas of ratio of specific heats k (1.01 to 2), at a
// downstream pressure of 0.75 to 1 of that upstream.
//
//	eps = 1 - (0.351 + 0.256 b^4 + 0.93 b^8)(1 - (p2/p1)^(1/k))
//
// Source: ISO 5167-2: MEMORY, checked against the tests of the fluids library.
func (o OrificePlate) Expansibility(upstream, downstream Pressure, k float64) (float64, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "pressure upstream", upstream)
	between(&bad, "pressure downstream", downstream, 0, upstream)
	between(&bad, "ratio of specific heats", number(k), 1.01, 2)
	if bad != nil {
		return 0, bad.err()
	}
	b4 := math.Pow(o.beta(), 4)
	r := float64(downstream / upstream)
	eps := 1 - (0.351+0.256*b4+0.93*b4*b4)*(1-math.Pow(r, 1/k))
	if err := within("orifice plate", "pressure ratio", number(r), 0.75, 1, eps); err != nil {
		return 0, err
	}
	return eps, nil
}

// MassFlow returns the flow at a pressure difference, with known discharge and expansibility (1
// for a liquid).
//
//	m = C eps A sqrt(2 rho dp / (1 - b^4))
//
// Source: documentation and tests of the fluids library (flow_meter_discharge).
func (o OrificePlate) MassFlow(upstream Density, drop Pressure, discharge, expansibility float64) (MassFlow, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "density", upstream)
	notNegative(&bad, "pressure drop", drop)
	positive(&bad, "discharge coefficient", number(discharge))
	share(&bad, "expansibility", expansibility)
	if bad != nil {
		return 0, bad.err()
	}
	b := o.beta()
	return orificeFlow(discharge*expansibility/math.Sqrt(1-b*b*b*b), CircleArea(o.Bore), upstream, drop), nil
}
