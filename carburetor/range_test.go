package carburetor

import (
	"errors"
	"math"
	"testing"
)

// Each validated range: answered on its limits, refused just outside.
func TestRanges(t *testing.T) {
	plate := OrificePlate{Pipe: 50 * Millimetre, Bore: 20 * Millimetre}
	hose := Pipe{6 * Millimetre, 0.3}
	nu := coldPetrol.Viscosity
	atReynolds := func(re float64) VolumeFlow { return VolumeFlow(re * math.Pi * float64(hose.Bore) * float64(nu) / 4) }
	tests := []struct {
		name           string
		inside, beyond []float64
		call           func(x float64) error
	}{
		{"bore discharge, Reynolds number", []float64{10, 20000}, []float64{9.99, 20001}, func(x float64) error {
			_, err := BoreDischarge(x, 2)
			return err
		}},
		{"short bore discharge, Reynolds number", []float64{1000}, []float64{999}, func(x float64) error {
			_, err := BoreDischarge(x, 1)
			return err
		}},
		{"bore discharge, length", []float64{0, 10}, []float64{10.01}, func(x float64) error {
			_, err := BoreDischarge(5000, x)
			return err
		}},
		{"sharp edge, head in feet", []float64{1, 20}, []float64{0.99, 20.1}, func(x float64) error {
			_, err := SharpEdgeDischarge(Length(x)*Foot, 1*Inch)
			return err
		}},
		{"sharp edge, bore in inches", []float64{0.5, 3}, []float64{0.49, 3.1}, func(x float64) error {
			_, err := SharpEdgeDischarge(4*Foot, Length(x)*Inch)
			return err
		}},
		{"float height in mm", []float64{-10, 10}, []float64{-10.1, 10.1}, func(x float64) error {
			_, err := FloatHeight{Datum: FromBowlRim, Error: Length(x) * Millimetre}.LevelShift()
			return err
		}},
		{"water in °C", []float64{0, 40}, []float64{-0.1, 40.1}, func(x float64) error {
			_, err := WaterDensity(Celsius(x))
			return err
		}},
		{"fuel in °C", []float64{-40, 80}, []float64{-41, 81}, func(x float64) error {
			_, err := Petrol().DensityAt(Celsius(x))
			return err
		}},
		{"vapour in °C", []float64{-100, 200}, []float64{-101, 201}, func(x float64) error {
			_, err := SaturationPressure(Celsius(x))
			return err
		}},
		{"precise density in °C", []float64{15, 27}, []float64{14.9, 27.1}, func(x float64) error {
			_, err := Air{StandardPressure, Celsius(x), 0.5}.PreciseDensity()
			return err
		}},
		{"precise density in hPa", []float64{600, 1100}, []float64{599, 1101}, func(x float64) error {
			_, err := Air{Pressure(x) * Hectopascal, Celsius(20), 0.5}.PreciseDensity()
			return err
		}},
		{"standard atmosphere in m", []float64{-5000, 11000}, []float64{-5001, 11001}, func(x float64) error {
			_, err := GeopotentialAtmosphere(Length(x))
			return err
		}},
		{"plate, bore in mm", []float64{12.5, 37.5}, []float64{12.4}, func(x float64) error {
			_, err := OrificePlate{50 * Millimetre, Length(x) * Millimetre}.Discharge(20000)
			return err
		}},
		{"plate, bore over pipe", []float64{0.1, 0.75}, []float64{0.09, 0.76}, func(x float64) error {
			_, err := OrificePlate{200 * Millimetre, Length(x) * 200 * Millimetre}.Discharge(20000)
			return err
		}},
		{"plate, Reynolds number", []float64{5000, 1e8}, []float64{4999}, func(x float64) error {
			_, err := plate.Discharge(x)
			return err
		}},
		{"plate, pressure ratio", []float64{0.75, 1}, []float64{0.74}, func(x float64) error {
			_, err := plate.Expansibility(1*Bar, Pressure(x)*Bar, 1.4)
			return err
		}},
		{"pipe, Reynolds number", []float64{0, 1e5}, []float64{1.01e5}, func(x float64) error {
			_, err := hose.HeadLoss(atReynolds(x), nu)
			return err
		}},
	}
	for _, test := range tests {
		var out *RangeError
		for _, x := range test.inside {
			if err := test.call(x); err != nil {
				t.Errorf("%s at %v: %v; want an answer", test.name, x, err)
			}
		}
		for _, x := range test.beyond {
			if err := test.call(x); !errors.As(err, &out) {
				t.Errorf("%s at %v: %v; want a RangeError", test.name, x, err)
			}
		}
	}
}

// Limits of what can be: answered on them, impossible just outside.
func TestLimits(t *testing.T) {
	tests := []struct {
		name           string
		inside, beyond []float64
		call           func(x float64) error
	}{
		{"compression exponent", []float64{1, 1.4}, []float64{0.99, 1.41}, func(x float64) error {
			_, err := CrankingPressure(StandardPressure, 9, x)
			return err
		}},
		{"compression ratio", []float64{1.01, 20}, []float64{1, 20.1}, func(x float64) error {
			_, err := CrankingPressure(StandardPressure, x, 1.3)
			return err
		}},
		{"humidity", []float64{0, 1}, []float64{-0.01, 1.01}, func(x float64) error {
			_, err := Air{StandardPressure, Celsius(20), x}.Density()
			return err
		}},
		{"volumetric efficiency", []float64{0.01, 1.3}, []float64{0, 1.31}, func(x float64) error {
			_, err := Motor{Displacement: 1 * Litre, Speed: 3000 * RPM, VolumetricEfficiency: x}.AirVolume()
			return err
		}},
		{"strokes", []float64{0, 2, 4}, []float64{1, 3, 6}, func(x float64) error {
			_, err := Motor{Displacement: 1 * Litre, Speed: 3000 * RPM, VolumetricEfficiency: 0.8, Strokes: int(x)}.AirVolume()
			return err
		}},
		{"gamma", []float64{1.05, 2}, []float64{1.04, 2.01}, func(x float64) error {
			_, err := Gas{Constant: 287, Gamma: x}.CriticalRatio()
			return err
		}},
		{"lambda of a burn", []float64{0.6, 3}, []float64{0.49, 3.01}, func(x float64) error {
			_, err := Burn{Lambda: Lambda(x), Fuel: Petrol().Composition}.Exhaust()
			return err
		}},
		{"volume fraction of a blend", []float64{0, 1}, []float64{-0.1, 1.1}, func(x float64) error {
			_, err := Blend{Petrol(), Ethanol(), x}.MassShare()
			return err
		}},
		{"sum of mass fractions", []float64{0.14, 0.15}, []float64{0.151}, func(x float64) error {
			_, err := MassAnalysis{Carbon: 0.85, Hydrogen: x}.Composition(Convention{})
			return err
		}},
		{"vapour over a blocked tank in kPa", []float64{0, 99}, []float64{99.5}, func(x float64) error {
			_, err := BlockedTank{
				Gas: 1 * Litre, Head: 0.3, Fuel: 740, Outside: StandardPressure, Vapour: Pressure(x) * Kilopascal,
			}.Drawn()
			return err
		}},
		{"need of the valve in kPa", []float64{0, 2.1}, []float64{2.2}, func(x float64) error {
			_, err := BlockedTank{
				Gas: 1 * Litre, Head: 0.3, Fuel: 740, Outside: StandardPressure, ValveNeed: Pressure(x) * Kilopascal,
			}.Drawn()
			return err
		}},
		{"mass of a slide", []float64{0.04}, []float64{0}, func(x float64) error {
			_, err := ConstantVelocity{
				SlideMass: Mass(x), Piston: 1e-3, Bore: 0.03, Discharge: 0.8, Air: Inlet{StandardPressure, 1.2},
			}.Depression(0.01)
			return err
		}},
	}
	for _, test := range tests {
		var input *InputError
		for _, x := range test.inside {
			if err := test.call(x); err != nil {
				t.Errorf("%s at %v: %v; want an answer", test.name, x, err)
			}
		}
		for _, x := range test.beyond {
			if err := test.call(x); !errors.As(err, &input) {
				t.Errorf("%s at %v: %v; want an InputError", test.name, x, err)
			}
		}
	}
}
