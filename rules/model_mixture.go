package rules

import (
	"errors"

	"diagnose.example/carburetor"
)

// mixtureModels are about what is burnt: exhaust gas, fuel blends, jets and air leaks.
func mixtureModels() []Model {
	motor := []Param{{"displacement that this carburetor feeds", "ml"}, {"idle speed", "rpm"}, {"intake vacuum at idle", "kPa"}}
	return []Model{
		{Name: "exhaust_lambda", Params: []Param{{"carbon dioxide", "%"}, {"carbon monoxide", "%"}, {"oxygen", "%"}, {"hydrocarbons, read as hexane", "ppm"}},
			Result: Param{"mixture (lambda)", ""}, Formulas: []string{"Exhaust.Brettschneider", "HexaneHC"}, Example: []float64{12.5, 3.2, 0.8, 250},
			Doc:     "the mixture that an exhaust gas shows: below 1 it is rich",
			Assumes: "petrol with the usual hydrogen and oxygen (recalled); no answer where CO and CO2 together are under 12 %: outside air or a misfire",
			call:    exhaustLambda},
		{Name: "blend_leanness", Params: []Param{{"alcohol by volume", "%"}}, Result: Param{"how much leaner it runs", "%"},
			Formulas: []string{"FuelChange", "Blend.AFR"}, Monotone: true, Example: []float64{10},
			Doc: "how much leaner ethanol in the petrol makes it through the same jets", Assumes: "the fuel level as it was", call: blendLeanness},
		{Name: "bore_flow", Params: []Param{{"bore as measured", "mm"}, {"number stamped on the jet, by its bore", ""}},
			Result: Param{"flow over that of the number", ""}, Formulas: []string{"BoreNumber.FlowRatio"}, Monotone: true, Example: []float64{0.37, 40},
			Doc: "the flow of a jet of the measured bore over that of its number", Assumes: "the number is hundredths of a millimetre", call: boreFlow},
		{Name: "leak_leanness", Params: append([]Param{{"hole, as the bore of a round one", "mm"}}, motor...),
			Result: Param{"how much leaner it idles", "%"}, Formulas: []string{"LeakedLambda", "AirLeak.Flow", "Motor.AirFlow"},
			Monotone: true, Example: []float64{1, 250, 1200, 40}, Doc: "how much leaner an air leak of a size makes the idle",
			Assumes: "a quarter of the displacement drawn at idle, discharge 0.8, half the time at the vacuum (recalled); the idle fuel unchanged", call: leakLeanness},
		{Name: "leak_area", Params: append([]Param{{"mixture (lambda) without the leak", ""}, {"mixture (lambda) as found", ""}}, motor...),
			Result: Param{"area of the leak", "mm2"}, Formulas: []string{"LeakSearch.LeakArea", "Motor.AirFlow"},
			Monotone: true, Example: []float64{0.9, 1.1, 250, 1200, 40}, Doc: "how large an air leak must be to explain the mixture", Assumes: "as leak_leanness", call: leakArea},
	}
}

// errDiluted says that outside air or a misfire is in the exhaust.
var errDiluted = errors.New("the exhaust gas is diluted")

func exhaustLambda(a []float64) (float64, error) {
	const percent, ppm = 100, 1e6
	hc, err := carburetor.HexaneHC(a[3] * ppm)
	if err != nil {
		return 0, err
	}
	r, err := carburetor.Exhaust{CO2: a[0] * percent, CO: a[1] * percent, O2: a[2] * percent, HC: hc}.Brettschneider(carburetor.UsualPetrol())
	if err == nil && r.Diluted {
		err = errDiluted
	}
	return float64(r.Lambda), err
}

func blendLeanness(a []float64) (float64, error) {
	petrol := carburetor.Petrol()
	blend, err := carburetor.Blend{Base: petrol, Added: carburetor.Ethanol(), Share: a[0]}.Fuel()
	if err != nil {
		return 0, err
	}
	factor, err := carburetor.FuelChange(petrol, blend)
	return factor - 1, err
}

func boreFlow(a []float64) (float64, error) {
	return carburetor.BoreNumber(a[0] / float64(carburetor.Millimetre) * 100).FlowRatio(carburetor.BoreNumber(a[1]))
}

// Figures for an air leak at idle, recalled: see [carburetor.Motor] and [carburetor.AirLeak].
const (
	idleFilling = 0.25
	leakDuty    = 0.5
)

// idleAir returns what a motor draws at idle through one carburetor, and the air around.
func idleAir(displacement, speed float64) (carburetor.MassFlow, carburetor.Air, error) {
	air, err := carburetor.StandardDay(0)
	if err != nil {
		return 0, air, err
	}
	density, err := air.Density()
	if err != nil {
		return 0, air, err
	}
	flow, err := carburetor.Motor{Displacement: carburetor.Volume(displacement), Speed: carburetor.RotationSpeed(speed),
		VolumetricEfficiency: idleFilling}.AirFlow(density)
	return flow, air, err
}

func leakLeanness(a []float64) (float64, error) {
	drawn, air, err := idleAir(a[1], a[2])
	if err != nil {
		return 0, err
	}
	manifold, err := carburetor.ManifoldPressure(air.Pressure, carburetor.Pressure(a[3]))
	if err != nil {
		return 0, err
	}
	leak, err := carburetor.AirLeak{Area: carburetor.CircleArea(carburetor.Length(a[0])), Duty: leakDuty}.Flow(air.State(), manifold)
	if err != nil {
		return 0, err
	}
	l, err := carburetor.LeakedLambda(1, drawn, leak)
	return float64(l) - 1, err
}

func leakArea(a []float64) (float64, error) {
	drawn, air, err := idleAir(a[2], a[3])
	if err != nil {
		return 0, err
	}
	manifold, err := carburetor.ManifoldPressure(air.Pressure, carburetor.Pressure(a[4]))
	if err != nil {
		return 0, err
	}
	area, err := carburetor.LeakSearch{Before: carburetor.Lambda(a[0]), Now: carburetor.Lambda(a[1]), CarburetorAir: drawn,
		Outside: air.State(), Manifold: manifold, Leak: carburetor.AirLeak{Duty: leakDuty}}.LeakArea()
	return float64(area), err
}
