package carburetor

import "math"

// Air is the air around the machine.
type Air struct {
	// Pressure is the absolute pressure at the place, not reduced to sea level; above 0.
	Pressure Pressure
	// Temperature -100 to 200 °C.
	Temperature Temperature
	// Humidity is the relative humidity, 0 to 1.
	Humidity float64
}

// vapourConstant is the gas constant of water vapour: airgunguild.com, How to determine air
// density, has 461.495 J/(kg K).
const vapourConstant = 461.495

// AirAt returns the air at an altitude on a day of the given temperature and humidity: the
// pressure of the standard atmosphere, the rest as given. Weather moves the pressure by 3 % at
// most.
func AirAt(altitude Length, t Temperature, humidity float64) (Air, error) {
	s, err := StandardAtmosphere(altitude)
	if err != nil {
		return Air{}, err
	}
	a := Air{s.Pressure, t, humidity}
	return a, a.check()
}

func (a Air) check() error {
	var bad faults
	positive(&bad, "air pressure", a.Pressure)
	positive(&bad, "absolute temperature", number(a.Temperature))
	between(&bad, "relative humidity", number(a.Humidity), 0, 1)
	if bad != nil {
		return bad.err()
	}
	if err := within("humid air", "temperature", a.Temperature, coldestVapour, hottestVapour, math.NaN()); err != nil {
		return err
	}
	below(&bad, "vapour pressure", a.vapour(), a.Pressure)
	return bad.err()
}

func (a Air) vapour() Pressure { return Pressure(a.Humidity) * saturation(a.Temperature) }

func (a Air) dry() Density {
	return Density(float64(a.Pressure-a.vapour()) / (float64(dryAirConstant) * float64(a.Temperature)))
}

func (a Air) density() Density {
	return a.dry() + Density(float64(a.vapour())/(vapourConstant*float64(a.Temperature)))
}

// VapourPressure returns the pressure of the water vapour in the air.
//
//	p_v = RH psat(T)
//
// Source: definition of relative humidity.
func (a Air) VapourPressure() (Pressure, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	return a.vapour(), nil
}

// Density returns the density of the air with its vapour.
//
//	rho = ((p - p_v)/287.05 + p_v/461.495) / T
//
// It agrees with PreciseDensity to 0.04 %.
//
// Source: airgunguild.com, How to determine air density (formula and example).
func (a Air) Density() (Density, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	return a.density(), nil
}

// DryDensity returns the mass of dry air per volume: what burns fuel.
//
//	rho_dry = (p - p_v) / (287.05 T)
//
// Source: Density.
func (a Air) DryDensity() (Density, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	return a.dry(), nil
}

// Inlet returns the air as a venturi sees it.
func (a Air) Inlet() (Inlet, error) {
	if err := a.check(); err != nil {
		return Inlet{}, err
	}
	return Inlet{a.Pressure, a.density()}, nil
}

// State returns pressure and temperature.
func (a Air) State() GasState { return GasState{a.Pressure, a.Temperature} }

// PreciseDensity returns the density of moist air by the formula of metrology, for 15 to 27 °C
// and 600 to 1100 hPa.
//
//	rho = p M_a / (Z R T) (1 - x_v (1 - M_v/M_a)),  x_v = h f psv/p
//	psv = exp(A T^2 + B T + C + D/T),  f = 1.00062 + 3.14e-8 p + 5.6e-7 t^2
//	Z = 1 - p/T (a0 + a1 t + a2 t^2 + (b0 + b1 t) x_v + (c0 + c1 t) x_v^2) + p^2/T^2 (d + e x_v^2)
//
// Source: A. Picard, R. S. Davis, M. Glaser, K. Fujii, "Revised formula for the density of
// moist air (CIPM-2007)", Metrologia 45 (2008) 149-155: the abstract was seen, constants and
// range are MEMORY. Carbon dioxide at 0.0004.
func (a Air) PreciseDensity() (Density, error) {
	if err := a.check(); err != nil {
		return 0, err
	}
	rho := a.precise()
	const law = "density of moist air"
	if err := within(law, "temperature", a.Temperature, Celsius(15), Celsius(27), rho); err != nil {
		return 0, err
	}
	if err := within(law, "pressure", a.Pressure, 600*Hectopascal, 1100*Hectopascal, rho); err != nil {
		return 0, err
	}
	return Density(rho), nil
}

func (a Air) precise() float64 {
	const (
		molarAir, molarWater, gas = 28.96546e-3, 18.01528e-3, 8.314472
		a0, a1, a2                = 1.58123e-6, -2.9331e-8, 1.1043e-10
		b0, b1                    = 5.707e-6, -2.051e-8
		c0, c1                    = 1.9898e-4, -2.376e-6
		d, e                      = 1.83e-11, -0.765e-8
	)
	p, kelvin, t := float64(a.Pressure), float64(a.Temperature), a.Temperature.Celsius()
	saturated := math.Exp(1.2378847e-5*kelvin*kelvin - 1.9121316e-2*kelvin + 33.93711047 - 6.3431645e3/kelvin)
	x := a.Humidity * (1.00062 + 3.14e-8*p + 5.6e-7*t*t) * saturated / p
	z := 1 - p/kelvin*(a0+a1*t+a2*t*t+(b0+b1*t)*x+(c0+c1*t)*x*x) + p*p/(kelvin*kelvin)*(d+e*x*x)
	return p * molarAir / (z * gas * kelvin) * (1 - x*(1-molarWater/molarAir))
}
