package rules

import "diagnose.example/carburetor"

// supplyModels are about tank, tap and demand.
func supplyModels() []Model {
	power := Param{"power", "kW"}
	return []Model{
		{Name: "fuel_demand", Params: []Param{power}, Result: Param{"fuel burnt at that power", "ml/min"}, Formulas: []string{"FuelDemand"},
			Monotone: true, Example: []float64{20}, Doc: "the fuel that an engine burns at a power", Assumes: demandTaken, call: fuelDemand},
		{Name: "clear_tap_flow", Params: []Param{{"narrowest bore of tap and filter", "mm"}, {"height of the fuel over it", "mm"}},
			Result: Param{"what runs through", "ml/min"}, Formulas: []string{"TapFlow"}, Monotone: true, Example: []float64{3, 300},
			Doc: "what a clear tap lets through", Assumes: "discharge 0.6, as of a sharp edge", call: tapFlow},
		{Name: "feed_reserve", Params: []Param{{"flow as measured", "ml/min"}, power}, Result: Param{"flow over demand", ""},
			Formulas: []string{"FlowReserve", "FuelDemand"}, Monotone: true, Example: []float64{150, 20},
			Doc: "whether a measured flow feeds the engine at full power: below 1 the bowl starves", Assumes: demandTaken + "; " + petrolTaken,
			call: feedReserve},
		{Name: "vent_time", Params: []Param{{"air space over the fuel in the tank", "l"}, {"height of the fuel over the carburetor", "mm"}, power},
			Result: Param{"time until it stops", "min"}, Formulas: []string{"BlockedTank.TimeToStarve", "BlockedTank.Drawn", "FuelDemand"},
			Monotone: true, Example: []float64{4, 300, 5},
			Doc:     "after how many minutes a blocked tank vent would starve the engine",
			Assumes: "40 kPa of fuel vapour, 45 ml in the bowls (recalled); " + demandTaken + "; no air leaks in", call: ventTime},
	}
}

// demandTaken and brakeEfficiency: 300 g/kWh, of petrol of 43 MJ/kg, are 0.28.
const (
	demandTaken     = "a brake efficiency of 0.28, that is about 300 g/kWh (recalled)"
	brakeEfficiency = 0.28
	bowlVolume      = 45 * carburetor.CubicCentimetre
	fuelVapour      = 40 * carburetor.Kilopascal
	tapDischarge    = 0.6
)

func massDemand(power float64) (carburetor.MassFlow, error) {
	return carburetor.FuelDemand(carburetor.Power(power), brakeEfficiency, carburetor.Petrol().LowerHeat)
}

func fuelDemand(a []float64) (float64, error) {
	m, err := massDemand(a[0])
	return float64(m) / float64(petrolDensity()), err
}

func tapFlow(a []float64) (float64, error) {
	q, err := carburetor.TapFlow(carburetor.Orifice{Area: carburetor.CircleArea(carburetor.Length(a[0])), Discharge: tapDischarge}, carburetor.Length(a[1]))
	return float64(q), err
}

func feedReserve(a []float64) (float64, error) {
	m, err := massDemand(a[1])
	if err != nil {
		return 0, err
	}
	return carburetor.FlowReserve(carburetor.VolumeFlow(a[0]), petrolDensity(), m)
}

func ventTime(a []float64) (float64, error) {
	q, err := fuelDemand(a[2:])
	if err != nil {
		return 0, err
	}
	t, err := carburetor.BlockedTank{Gas: carburetor.Volume(a[0]), Head: carburetor.Length(a[1]), Fuel: petrolDensity(),
		Outside: carburetor.StandardPressure, Vapour: fuelVapour}.TimeToStarve(bowlVolume, carburetor.VolumeFlow(q))
	return float64(t), err
}
