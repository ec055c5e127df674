package carburetor

import (
	"errors"
	"maps"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// every lists each exported function and method that may fail, as a function value.
func every() []any {
	return []any{
		ApparentWeight, HungMass, FloatVolume, FloatValve.Force, FloatValve.Flow, FillTime, Bowl.Closing, Bowl.ClosingMargin,
		Bowl.MarginCurve, Bowl.Draught, LevelShift, WeightGained, Bowl.DeadBand, Bowl.WeightCurve, FloatHeight.LevelShift,
		FloatHeight.UnexplainedLevel, Section.Close, Section.HeightCurve, Orifice.MassFlow, Orifice.Drop, OrificeArea,
		MeasuredDischarge, VelocityCoefficient, BoreDischarge, SharpEdgeDischarge, DischargeCurve, BoreNumber.FlowRatio,
		FlowNumber.FlowRatio, BoreNumber.Scale, FlowNumber.Scale, BoreNumber.Richness,
		FlowNumber.Richness, FlowReserve, Jet.Flow, Jet.Film, Jet.FilmFor, Jet.FlowCurve,
		Gas.Density, Gas.CriticalRatio, Gas.CriticalTemperature, Gas.Stagnation, Gas.StagnationPressure, Gas.Mach, Gas.Expand,
		Gas.NozzleFlux, Gas.ExpansionFactor, Venturi.AirFlow, Venturi.IncompressibleAirFlow, Venturi.Depression,
		Venturi.FlowCurve, Gas.ThroatAt, Throat.Area, Throat.Speed, RingBore, Elementary.Mixture,
		Elementary.IncompressibleMixture, Elementary.MixtureCurve, DepressionForFuel, CriticalAirSpeed, MixturePerLevel,
		LevelMixture, CleanerThroat, CleanerMixture, BlockedBowlVent, Motor.AirVolume, Motor.AirFlow, Motor.FuelFlow,
		FuelDemand, Emulsion.Flow, Emulsion.FuelCurve, IdleCircuit.Flow, IdleCircuit.FuelCurve, AirLeak.Flow, SonicVacuum,
		LeakedLambda, LeakSearch.LeakArea, LeakSearch.LambdaCurve, SlideOpening, SlideCarburetor.FuelArea,
		SlideCarburetor.Mixture, SlideCarburetor.FuelAreaCurve, ConstantVelocity.Depression, ConstantVelocity.AirFlow,
		ConstantVelocity.Lift, ConstantVelocity.LiftCurve, StandardAtmosphere, GeopotentialAtmosphere, StandardDensity,
		PressureAltitude, SaturationPressure, DewPoint, WaterDensity, AirAt, Air.VapourPressure, Air.Density, Air.DryDensity,
		Air.Inlet, Air.PreciseDensity, Psychrometer.Ratio, Psychrometer.Vapour, Psychrometer.MoistVolume,
		Psychrometer.MoistDensity, Psychrometer.WetBulb, AltitudeAFR, Enrichment, JetCorrection, LambdaLeft, EnrichmentCurve,
		StandardDay, PowerFactor, Composition.MolarMass, Composition.StoichiometricAFR, MassAnalysis.Composition,
		Composition.MassAnalysis, Composition.VapourShare, Composition.HeatOfCombustion, Composition.Ratio, Fuel.DensityAt,
		Fuel.StoichiometricAFR, Fuel.HeatPerVolume, Fuel.LatentPerAir, Blend.MassShare, Blend.AFR, Blend.OxygenShare,
		Blend.Fuel, Blend.ShareCurve, FuelChange, HexaneHC, Burn.Exhaust, Burn.COCurve, Exhaust.Brettschneider,
		Exhaust.CarbonNitrogenAFR, Exhaust.OxygenAFR, Exhaust.UnknownFuel, LeanAFR, VapourAFR, EvaporationCooling,
		VenturiCooling, Icing.Result, Icing.ThroatCurve, CrankingPressure, CompressionAt, CompressionShare, CompressionCurve,
		ManifoldPressure, VacuumAt, PressureLoss, TapFlow, DrainTime, DrainCurve, Pipe.Reynolds, Pipe.LaminarFlow,
		Pipe.HeadLoss, FuelLine.Flow, FuelLine.Reserve, FuelLine.FlowCurve, BlockedTank.Drawn, BlockedTank.TimeToStarve,
		BlockedTank.PressureCurve, OrificePlate.Discharge, OrificePlate.Expansibility, OrificePlate.MassFlow,
	}
}

// infallible are the exported functions without an error result, and Propagate, which takes a
// function.
var infallible = strings.Fields(`Area.Diameter Band.Contains BoreNumber.Bore Celsius CircleArea Closing.Holds Datum.String
	BowlVent.String DryAir Ethanol Fahrenheit Formula.Citation Formulas Fuel.Liquid Geopotential HeadPressure
	LookupFormula LookupSource Methanol Needle.Diameter OxygenByMass Petrol PowerStandard.String Section.Float Sources
	Standing.String Targets Temperature.Celsius Temperature.Fahrenheit UsualPetrol UsualSteam Venturi.Area AFR.Lambda
	Air.State InputError.Error RangeError.Error Propagate`)

func funcName(f any) string {
	name := runtime.FuncForPC(reflect.ValueOf(f).Pointer()).Name()
	return name[strings.LastIndex(name, "/carburetor.")+len("/carburetor."):]
}

// The list above is complete, so that no function escapes the test below.
func TestHostileListComplete(t *testing.T) {
	listed := map[string]bool{}
	for _, f := range every() {
		listed[funcName(f)] = true
	}
	for _, name := range slices.Sorted(maps.Keys(functionComments(packageDocs(t)))) {
		unit := strings.HasSuffix(name, ".In") || strings.HasSuffix(name, ".String")
		name = strings.TrimPrefix(name, "*")
		if !listed[name] && !unit && !slices.Contains(infallible, name) {
			t.Errorf("%s is not tried with hostile input", name)
		}
	}
}

// hostile are numbers that no formula may fall over.
var hostile = []float64{
	math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), -1, -1e-9,
	1e-300, 5e-324, 1e300, math.MaxFloat64, 1, 1e-18, 1e12,
}

// draw fills a value of any input type of the package.
func draw(t *rapid.T, typ reflect.Type) reflect.Value {
	v := reflect.New(typ).Elem()
	switch typ.Kind() {
	case reflect.Float64:
		v.SetFloat(drawNumber(t, typ.Name()))
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(-1, 5).Draw(t, "int")))
	case reflect.Struct:
		for i := range typ.NumField() {
			v.Field(i).Set(draw(t, typ.Field(i).Type))
		}
	case reflect.Slice:
		for range rapid.IntRange(0, 3).Draw(t, "length") {
			v = reflect.Append(v, draw(t, typ.Elem()))
		}
	case reflect.String:
	default:
		t.Fatalf("no values for %s", typ)
	}
	return v
}

// usual are orders of magnitude by type, so that most calls get past the checks.
var usual = map[string][2]float64{
	"Length": {1e-4, 0.1}, "Area": {1e-8, 1e-2}, "Volume": {1e-6, 1e-2}, "Mass": {1e-3, 1}, "Force": {1e-3, 10},
	"Pressure": {10, 2e5}, "Temperature": {250, 320}, "Density": {0.8, 900}, "Viscosity": {1e-7, 1e-5}, "Lambda": {0.6, 1.5},
	"AFR": {5, 20}, "MassFlow": {1e-6, 0.1}, "VolumeFlow": {1e-8, 1e-4}, "float64": {0.01, 1.4}, "SpecificHeat": {280, 1005},
	"BoreNumber": {30, 200}, "FlowNumber": {30, 200}, "RotationSpeed": {5, 150}, "Speed": {1, 300},
}

func drawNumber(t *rapid.T, typ string) float64 {
	if rapid.IntRange(0, 19).Draw(t, "hostile") == 0 {
		return rapid.SampledFrom(hostile).Draw(t, typ)
	}
	span, ok := usual[typ]
	if !ok {
		span = [2]float64{1e-3, 1e3}
	}
	x := rapid.Float64Range(math.Log(span[0]), math.Log(span[1])).Draw(t, typ)
	return math.Exp(x)
}

// Whatever the input: no panic, and either an error of the package's own or finite numbers.
func TestHostileInput(t *testing.T) {
	for _, f := range every() {
		t.Run(funcName(f), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) { hostileCall(t, f) })
		})
	}
}

func hostileCall(t *rapid.T, f any) {
	fn := reflect.ValueOf(f)
	var in []reflect.Value
	for i := range fn.Type().NumIn() {
		in = append(in, draw(t, fn.Type().In(i)))
	}
	out := fn.Call(in)
	if err, _ := out[len(out)-1].Interface().(error); err != nil {
		ownError(t, err)
		return
	}
	for _, v := range out[:len(out)-1] {
		if path := notFinite(v, v.Type().Name()); path != "" {
			t.Fatalf("%s(%+v) = %+v without an error; want finite numbers", funcName(f), in, v)
		}
	}
}

func ownError(t *rapid.T, err error) {
	var input *InputError
	var out *RangeError
	switch {
	case errors.As(err, &input), errors.As(err, &out):
	case errors.Is(err, ErrCannotClose), errors.Is(err, ErrNoFuel), errors.Is(err, ErrNoDifference):
	default:
		t.Fatalf("error %v is of no kind that the package declares", err)
	}
	text := err.Error()
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".!") {
		t.Fatalf("error text %q; want one without a final stop", text)
	}
}

// notFinite returns where a NaN or an infinity stands in a result, or "".
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			return path
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if p := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); p != "" {
				return p
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if p := notFinite(v.Index(i), path); p != "" {
				return p
			}
		}
	}
	return ""
}
