package carburetor

import "math"

// Range of SaturationPressure.
const (
	coldestVapour Temperature = 173.15 // -100 °C, the lower end of the formula over ice
	hottestVapour Temperature = 473.15 // 200 °C, well inside the formula over water
)

// SaturationPressure returns the pressure of water vapour over water, or below 0 °C over ice;
// -100 to 200 °C.
//
// Over water:
//
//	p = (2 C / (-B + sqrt(B^2 - 4 A C)))^4 MPa
//	A = q^2 + n1 q + n2,  B = n3 q^2 + n4 q + n5,  C = n6 q^2 + n7 q + n8,  q = T + n9/(T - n10)
//
// Source: IAPWS Industrial Formulation 1997, region 4 (MEMORY; a public library reproduces its
// recalled check value at 300 K). Over ice:
//
//	ln p = c1/T + c2 + c3 T + c4 T^2 + c5 T^3 + c6 T^4 + c7 ln T
//
// Source: Hyland and Wexler in the ASHRAE Handbook (MEMORY), checked against the tests of
// PsychroLib. The two meet at 0 °C to 0.02 %.
func SaturationPressure(t Temperature) (Pressure, error) {
	var bad faults
	positive(&bad, "absolute temperature", number(t))
	if bad != nil {
		return 0, bad.err()
	}
	if err := within("vapour pressure of water", "temperature", t, coldestVapour, hottestVapour, math.NaN()); err != nil {
		return 0, err
	}
	return saturation(t), nil
}

func saturation(t Temperature) Pressure {
	if t < zeroCelsius {
		return overIce(float64(t))
	}
	return overWater(float64(t))
}

func overWater(t float64) Pressure {
	const (
		n1, n2  = 0.11670521452767e4, -0.72421316703206e6
		n3, n4  = -0.17073846940092e2, 0.12020824702470e5
		n5, n6  = -0.32325550322333e7, 0.14915108613530e2
		n7, n8  = -0.48232657361591e4, 0.40511340542057e6
		n9, n10 = -0.23855557567849, 0.65017534844798e3
	)
	q := t + n9/(t-n10)
	a := q*q + n1*q + n2
	b := n3*q*q + n4*q + n5
	c := n6*q*q + n7*q + n8
	r := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return Megapascal * Pressure(r*r*r*r)
}

func overIce(t float64) Pressure {
	const (
		c1, c2, c3 = -5.6745359e3, 6.3925247, -9.677843e-3
		c4, c5, c6 = 6.2215701e-7, 2.0747825e-9, -9.484024e-13
		c7         = 4.1635019
	)
	return Pressure(math.Exp(c1/t + c2 + t*(c3+t*(c4+t*(c5+t*c6))) + c7*math.Log(t)))
}

// DewPoint returns the temperature at which water vapour of the given pressure begins to
// condense, as water or as frost.
//
//	psat(T_dew) = p_v
//
// Source: SaturationPressure turned round.
func DewPoint(vapour Pressure) (Temperature, error) {
	low, high := saturation(coldestVapour), saturation(hottestVapour)
	var bad faults
	positive(&bad, "vapour pressure", vapour)
	if bad != nil {
		return 0, bad.err()
	}
	if err := within("dew point", "vapour pressure", vapour, low, high, math.NaN()); err != nil {
		return 0, err
	}
	return Temperature(root(float64(coldestVapour), float64(hottestVapour), func(t float64) float64 {
		return math.Log(float64(saturation(Temperature(t)) / vapour))
	})), nil
}

// WaterDensity returns the density of water at one atmosphere, 0 to 40 °C: for finding a
// float's volume by weighing it in water.
//
//	rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4))),  t in °C
//	a1 = -3.983035, a2 = 301.797, a3 = 522528.9, a4 = 69.34881, a5 = 999.974950
//
// Source: M. Tanaka and others, Metrologia 38 (2001) 301-309 (MEMORY, not seen).
func WaterDensity(t Temperature) (Density, error) {
	var bad faults
	positive(&bad, "absolute temperature", number(t))
	if bad != nil {
		return 0, bad.err()
	}
	const a1, a2, a3, a4, a5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950
	c := t.Celsius()
	rho := a5 * (1 - (c+a1)*(c+a1)*(c+a2)/(a3*(c+a4)))
	if err := within("density of water", "temperature", t, Celsius(0), Celsius(40), rho); err != nil {
		return 0, err
	}
	return Density(rho), nil
}
