package carburetor

import (
	"errors"
	"math"
	"testing"
)

// The texts of errors, word for word: what, its value, what would be possible.
func TestErrorTexts(t *testing.T) {
	bowl := usualLoad()
	bowl.Float = usualSection().Float(9 * Gram)
	tests := []struct {
		name string
		call func() error
		want string
	}{
		{"negative mass", func() error {
			b := bowl
			b.Float.Mass = -3 * Gram
			_, err := b.Closing()
			return err
		}, "float mass -3 g: must be more than 0"},
		{"two at once", func() error {
			b := bowl
			b.Valve.Seat, b.Inlet = 0, -1*Kilopascal
			_, err := b.Closing()
			return err
		}, "seat diameter 0 mm: must be more than 0\ninlet pressure -1 kPa: must be 0 or more"},
		{"not a number", func() error {
			_, err := MixturePerLevel(Density(math.NaN()), 1)
			return err
		}, "fuel density NaN kg/m3: must be more than 0"},
		{"throat wider than nothing", func() error {
			_, err := Venturi{Throat: 26 * Millimetre, Core: 30 * Millimetre, Discharge: 0.8}.IncompressibleAirFlow(1.2, 100)
			return err
		}, "core diameter 30 mm: must be less than 26 mm"},
		{"share", func() error {
			_, err := Orifice{1 * SquareMillimetre, 1.2}.MassFlow(740, 100)
			return err
		}, "orifice discharge coefficient 1.2: must be more than 0, at most 1"},
		{"datum", func() error {
			_, err := FloatHeight{Error: 1 * Millimetre}.LevelShift()
			return err
		}, "float height datum unknown datum: must be one of the known datums"},
		{"float height out of reach", func() error {
			_, err := usualSection().Close(bowl, 60*Millimetre)
			return err
		}, "float height 60 mm: must be from -13.21 mm to 49.01 mm"},
		{"flooding", func() error {
			b := bowl
			b.Inlet = 60 * Kilopascal
			_, err := b.Draught()
			return err
		}, "the float cannot close the valve at any level"},
		{"too high up", func() error {
			_, err := StandardAtmosphere(20000 * Metre)
			return err
		}, "standard atmosphere: altitude 19940 m is outside -5000 m to 11000 m, where it has been checked"},
		{"jet too slow", func() error {
			_, err := Jet{Bore: 0.35 * Millimetre}.Flow(coldPetrol, 0.05)
			return err
		}, "discharge of a drilled jet: Reynolds number 7.398 is outside 10 to 20000, where it has been checked"},
		{"turbulent hose", func() error {
			_, err := Pipe{6 * Millimetre, 300 * Millimetre}.LaminarFlow(coldPetrol, 2000)
			return err
		}, "laminar flow in a pipe: Reynolds number 201000 is outside 0 to 2000, where it has been checked"},
		{"power factor", func() error {
			_, err := PowerFactor(DIN70020, Air{850 * Millibar, Celsius(20), 0})
			return err
		}, "power factor by DIN 70020: factor 1.192 is outside 0.93 to 1.07, where it has been checked"},
		{"leak that enriches", func() error {
			s := GasState{StandardPressure, StandardTemperature}
			_, err := LeakSearch{Before: 1, Now: 0.9, CarburetorAir: 1, Outside: s, Manifold: 50 * Kilopascal}.LeakArea()
			return err
		}, "lambda now 0.9: must be at least lambda before: a leak does not enrich"},
		{"more exhaust than there is", func() error {
			_, err := Exhaust{CO2: 60, O2: 50}.Brettschneider(UsualPetrol())
			return err
		}, "sum of the gases in per cent 110: must be less than 100.5"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := test.call()
			if err == nil || err.Error() != test.want {
				t.Errorf("error = %v; want %s", err, test.want)
			}
		})
	}
}

// A caller can tell impossible from unchecked.
func TestErrorKinds(t *testing.T) {
	var input *InputError
	var out *RangeError
	_, err := BoreDischarge(-1, 2)
	if !errors.As(err, &input) || errors.As(err, &out) || input.Quantity != "Reynolds number" {
		t.Errorf("BoreDischarge(-1, 2): %v; want an InputError about the Reynolds number", err)
	}
	_, err = BoreDischarge(5, 2)
	if !errors.As(err, &out) || errors.As(err, new(*InputError)) || !(out.Value > 0) {
		t.Errorf("BoreDischarge(5, 2): %v; want a RangeError with a value", err)
	}
	if got, err := BoreDischarge(10, 2); err != nil || got <= 0 {
		t.Errorf("BoreDischarge(10, 2) = %v, %v; want a value at the limit of the range", got, err)
	}
}

// A curve that leaves the range ends there and says so; one that never enters it is an error.
func TestCurveEnds(t *testing.T) {
	j := Jet{Bore: 1.1 * Millimetre}
	c, err := j.FlowCurve(coldPetrol, Span[Pressure]{From: 1 * Kilopascal, To: 100 * Kilopascal})
	var out *RangeError
	if err != nil || len(c.Points) < 10 || len(c.Points) > 50 || !errors.As(c.Ends, &out) {
		t.Errorf("FlowCurve to 100 kPa: %d points, ends %v, %v; want it to end before", len(c.Points), c.Ends, err)
	}
	beyond := Span[Pressure]{From: 90 * Kilopascal, To: 100 * Kilopascal}
	if _, err := j.FlowCurve(coldPetrol, beyond); !errors.As(err, &out) {
		t.Errorf("FlowCurve from 90 kPa: %v; want a RangeError", err)
	}
	var input *InputError
	if _, err := j.FlowCurve(coldPetrol, Span[Pressure]{From: 1, To: 2, Steps: -1}); !errors.As(err, &input) {
		t.Errorf("FlowCurve of -1 steps: %v; want an InputError", err)
	}
	full, err := j.FlowCurve(coldPetrol, Span[Pressure]{From: 1 * Kilopascal, To: 5 * Kilopascal, Steps: 4})
	if err != nil || len(full.Points) != 5 || full.Points[0].X != 1 || full.Points[4].X != 5 || full.Ends != nil {
		t.Errorf("FlowCurve = %+v, %v; want 5 points from 1 to 5 kPa", full, err)
	}
}

func TestQuantitiesPrint(t *testing.T) {
	tests := []struct{ got, want string }{
		{(22.5 * Millimetre).String(), "22.5 mm"}, {(1 * Inch).String(), "25.4 mm"}, {(9 * Gram).String(), "9 g"},
		{(20 * Kilopascal).String(), "20 kPa"}, {(1 * PSI).String(), "6.895 kPa"}, {Celsius(20).String(), "20 °C"},
		{(3 * MillilitrePerSecond).String(), "180 ml/min"}, {(90 * Second).String(), "90 s"}, {(150 * Second).String(), "2.5 min"},
		{(1200 * RPM).String(), "1200 rpm"}, {AFR(14.7).String(), "14.7:1"}, {BoreNumber(105).String(), "105"},
		{Fahrenheit(68).String(), "20 °C"}, {(1 * SquareMillimetre).String(), "1 mm2"}, {(30 * Degree).String(), "30 deg"},
	}
	for _, test := range tests {
		if test.got != test.want {
			t.Errorf("String() = %q; want %q", test.got, test.want)
		}
	}
}

// Units against the definitions from which they follow.
func TestUnits(t *testing.T) {
	tests := []struct {
		name      string
		got, want float64
	}{
		{"psi", (1 * PSI).In(Pascal), 6894.757293168},
		{"inHg", (1 * InchOfMercury).In(Pascal), 3386.388640341},
		{"cmH2O", (1 * CentimetreOfWater).In(MillimetreOfWater), 10},
		{"US gallon", (1 * USGallon).In(Litre), 3.785411784},
		{"slug/ft3", (1 * SlugPerCubicFoot).In(KilogramPerCubicMetre), 515.378818392},
		{"lb/gal", (1 * PoundPerUSGallon).In(KilogramPerCubicMetre), 119.826427317},
		{"°F", Fahrenheit(212).Celsius(), 100},
		{"to °F", Celsius(-40).Fahrenheit(), -40},
	}
	for _, test := range tests {
		if !near(test.got, test.want, 1e-11) {
			t.Errorf("%s = %.12g; want %.12g", test.name, test.got, test.want)
		}
	}
}
