package carburetor

import "math"

// Specific heats for icing: air 1005 J/(kg K) (Cengel and Cimbala, example 12-4, p. 648),
// liquid petrol about 2200 J/(kg K) (MEMORY).
const liquidFuelHeat = 2200.0

// EvaporationCooling returns by how much the mixture cools when a share of its fuel evaporates.
//
//	dT = x h_fg / (AFR cp_a + cp_f)
//
// cp_a 1005, cp_f 2200 J/(kg K). Share 0 to 1. At full evaporation and AFR 13 petrol gives 23
// K; a published figure for aircraft is 22 K (greenskyadventures.com, Carb heat). Source:
// energy balance, own derivation.
func EvaporationCooling(latent SpecificEnergy, ratio AFR, share float64) (TemperatureDifference, error) {
	var bad faults
	positive(&bad, "latent heat", latent)
	positive(&bad, "air-fuel ratio", ratio)
	between(&bad, "share evaporated", number(share), 0, 1)
	if bad != nil {
		return 0, bad.err()
	}
	return TemperatureDifference(share * float64(latent) / (float64(ratio)*float64(dryAirHeat) + liquidFuelHeat)), nil
}

// VenturiCooling returns by how much air cools in a throat.
//
//	dT = T (1 - (1 - dp/p)^((k-1)/k))
//
// Source: Gas.Expand; about 5 K published for aircraft (ppl-monkey.com, Carburettor icing).
func VenturiCooling(air GasState, depression Pressure) (TemperatureDifference, error) {
	var bad faults
	air.check(&bad)
	notNegative(&bad, "depression", depression)
	below(&bad, "depression", depression, air.Pressure)
	if bad != nil {
		return 0, bad.err()
	}
	r := 1 - float64(depression/air.Pressure)
	return TemperatureDifference(float64(air.Temperature) * (1 - math.Pow(r, (airGamma-1)/airGamma))), nil
}

// Icing is a state of air and carburetor in which ice may form.
type Icing struct {
	Air Air
	// Fuel, AFR and Evaporated give the cooling by fuel; Evaporated is the share that
	// evaporates before the throttle, 0 to 1.
	Fuel       Fuel
	AFR        AFR
	Evaporated float64
	// Depression at the throat.
	Depression Pressure
}

// An IcingResult says how cold the throat gets and whether water can freeze there.
type IcingResult struct {
	// Evaporation and Venturi are the two coolings, Throat the temperature that they leave.
	Evaporation, Venturi TemperatureDifference
	Throat               Temperature
	// Dew is the dew point of the air; -100 °C where it is drier than the formula goes.
	Dew Temperature
	// Possible: the throat is below 0 °C and below the dew point.
	Possible bool
	// RoadBand: the air is between -2 and 13 °C with humidity above 64 %, where road vehicles
	// ice (automotivedictionary.org, Icing).
	RoadBand bool
}

// Result computes whether ice can form: the throat is colder than 0 °C and than the dew point.
//
//	T_throat = T - dT_evaporation - dT_venturi
//
// Metal that is warmed by the engine stays warmer than that, so Possible is a necessary
// condition and no prediction. Source: EvaporationCooling, VenturiCooling, DewPoint.
func (i Icing) Result() (IcingResult, error) {
	if err := i.Air.check(); err != nil {
		return IcingResult{}, err
	}
	evaporation, err := EvaporationCooling(i.Fuel.Latent, i.AFR, i.Evaporated)
	if err != nil {
		return IcingResult{}, err
	}
	venturi, err := VenturiCooling(i.Air.State(), i.Depression)
	if err != nil {
		return IcingResult{}, err
	}
	r := IcingResult{Evaporation: evaporation, Venturi: venturi, Dew: coldestVapour}
	r.Throat = i.Air.Temperature - Temperature(evaporation+venturi)
	if v := i.Air.vapour(); v > saturation(coldestVapour) {
		r.Dew, err = DewPoint(v)
	}
	r.Possible = r.Throat < zeroCelsius && r.Throat < r.Dew
	t := i.Air.Temperature.Celsius()
	r.RoadBand = t >= -2 && t <= 13 && i.Air.Humidity > 0.64
	return r, err
}

// ThroatCurve samples the throat temperature in °C over that of the air in °C.
func (i Icing) ThroatCurve(temperatures Span[Temperature]) (Curve, error) {
	x, y := Axis{"air temperature", "°C"}, Axis{"throat temperature", "°C"}
	return sample(temperatures, x, y, func(t Temperature) (Point, error) {
		i.Air.Temperature = t
		r, err := i.Result()
		return Point{t.Celsius(), r.Throat.Celsius()}, err
	})
}
