package carburetor

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyAir(t *rapid.T, name string) Air {
	return Air{
		in(t, name+" pressure", 65*Kilopascal, 105*Kilopascal), in(t, name+" temperature", Celsius(-20), Celsius(45)),
		in(t, name+" humidity", 0.0, 1.0),
	}
}

// Moisture makes air lighter, and takes more from what burns than from what weighs.
func TestHumidAirIsLighter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyAir(t, "air")
		a.Humidity = in(t, "some humidity", 0.01, 1.0)
		dry := a
		dry.Humidity = 0
		moist, err1 := a.Density()
		bone, err2 := dry.Density()
		burns, err3 := a.DryDensity()
		if err := errors.Join(err1, err2, err3); err != nil || moist >= bone || burns >= moist {
			t.Errorf("dry air, moist air, its dry part = %v, %v, %v, %v; want them to fall", bone, moist, burns, err)
		}
	})
}

// The two formulas of air density agree as the comment says.
func TestDensityAgreesWithPrecise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Air{in(t, "p", 600*Hectopascal, 1100*Hectopascal), in(t, "t", Celsius(15), Celsius(27)), in(t, "h", 0.0, 1.0)}
		simple, err1 := a.Density()
		precise, err2 := a.PreciseDensity()
		if err := errors.Join(err1, err2); err != nil || !near(float64(simple), float64(precise), 6e-4) {
			t.Errorf("Density(%+v) = %v, %v; want %v within 0.06 %%", a, simple, err, precise)
		}
	})
}

// No change of air, no change of mixture; there and back again is none either; the jets undo
// it.
func TestEnrichmentReverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyAir(t, "a"), anyAir(t, "b")
		there, err1 := Enrichment(a, b)
		back, err2 := Enrichment(b, a)
		same, err3 := Enrichment(a, a)
		jets, err4 := JetCorrection(a, b)
		err := errors.Join(err1, err2, err3, err4)
		if err != nil || !near(there*back, 1, rounding) || !near(same, 1, rounding) || !near(there*jets, 1, rounding) {
			t.Errorf("Enrichment there %v, back %v, nowhere %v, jets %v, %v; want products of 1", there, back, same, jets, err)
		}
	})
}

func TestEnrichmentGrowsWithAltitude(t *testing.T) {
	c, err := EnrichmentCurve(Air{StandardPressure, Celsius(20), 0.5}, Span[Length]{From: 0, To: 4000, Steps: 40})
	if err != nil || c.Ends != nil {
		t.Fatalf("EnrichmentCurve: %v, %v", err, c.Ends)
	}
	for i := 1; i < len(c.Points); i++ {
		if c.Points[i].Y <= c.Points[i-1].Y {
			t.Errorf("enrichment at %v m = %v; want more than %v", c.Points[i].X, c.Points[i].Y, c.Points[i-1].Y)
		}
	}
}

// A mixture that is what the altitude makes of a good one leaves nothing to explain.
func TestLambdaLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyAir(t, "a"), anyAir(t, "b")
		e, err := Enrichment(a, b)
		if err != nil {
			t.Fatal(err)
		}
		fault := in(t, "fault", 0.8, 1.2)
		got, err := LambdaLeft(Lambda(0.95/e*fault), 0.95, a, b)
		if err != nil || !near(got, fault, rounding) {
			t.Errorf("LambdaLeft = %v, %v; want %v", got, err, fault)
		}
	})
}

func TestDewPointInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := in(t, "t", Celsius(-60), Celsius(60))
		p, err := SaturationPressure(want)
		if err != nil {
			t.Fatal(err)
		}
		// At 0 °C the formulas over ice and over water miss each other by 0.02 %.
		if got, err := DewPoint(p); err != nil || math.Abs(float64(got-want)) > 0.003 {
			t.Errorf("DewPoint(SaturationPressure(%v)) = %v, %v; want the same", want, got, err)
		}
	})
}

// Over ice: values of the ASHRAE Handbook in the tests of PsychroLib; and the joint at 0 °C.
func TestSaturationOverIce(t *testing.T) {
	for _, test := range []struct{ t, want, tolerance float64 }{{-60, 1.08, 0.01}, {-20, 103.24, 0.031}, {-5, 401.74, 0.121}} {
		got, err := SaturationPressure(Celsius(test.t))
		if err != nil || math.Abs(float64(got)-test.want) > test.tolerance {
			t.Errorf("SaturationPressure(%v °C) = %v, %v; want %v Pa", test.t, float64(got), err, test.want)
		}
	}
	if ice, water := overIce(273.15), overWater(273.15); !near(float64(ice), float64(water), 2e-4) {
		t.Errorf("at 0 °C over ice %v Pa, over water %v Pa; want them within 0.02 %%", float64(ice), float64(water))
	}
}

func TestPressureAltitudeInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := in(t, "z", -4000*Metre, 10000*Metre)
		s, err := StandardAtmosphere(z)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := PressureAltitude(s.Pressure); err != nil || math.Abs(float64(got-z)) > 1e-6 {
			t.Errorf("PressureAltitude(StandardAtmosphere(%v m)) = %v m, %v; want the same", float64(z), float64(got), err)
		}
	})
	if d := 2000 - float64(Geopotential(2000)); math.Abs(d-0.63) > 0.01 {
		t.Errorf("2000 m - Geopotential = %v m; want 0.63", d)
	}
	var out *RangeError
	if _, err := StandardAtmosphere(12000 * Metre); !errors.As(err, &out) {
		t.Errorf("StandardAtmosphere(12 km): %v; want a RangeError", err)
	}
}

// From the wet bulb, with the usual lines through the steam table. PsychroLib's tests have W
// 0.0192281 at 30 °C dry, 25 °C wet, 95461 Pa; and the ASHRAE Handbook's example 0.0065 at 40
// and 20 °C.
func TestWetBulb(t *testing.T) {
	tests := []struct {
		dry, wet        float64
		p               Pressure
		want, tolerance float64
	}{{30, 25, 95461, 0.0192281274, 2e-4 * 0.0192}, {40, 20, 101325, 0.0065, 1e-4}}
	for _, test := range tests {
		var m Psychrometer
		ps, err := SaturationPressure(Celsius(test.wet))
		if err != nil {
			t.Fatal(err)
		}
		ws, err := m.Ratio(ps, test.p)
		if err != nil {
			t.Fatal(err)
		}
		got, err := m.WetBulb(Celsius(test.dry), Celsius(test.wet), ws, UsualSteam(Celsius(test.dry), Celsius(test.wet)))
		if err != nil || math.Abs(got-test.want) > 10*test.tolerance {
			t.Errorf("WetBulb(%v, %v) = %v, %v; want %v", test.dry, test.wet, got, err, test.want)
		}
	}
}

// A compression that goes with the pressure is what the formula of cranking gives at both
// places.
func TestCompressionScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p1, p2 := in(t, "p1", 70*Kilopascal, 105*Kilopascal), in(t, "p2", 70*Kilopascal, 105*Kilopascal)
		ratio, n := in(t, "ratio", 6.0, 12), in(t, "n", 1.2, 1.3)
		low, err1 := CrankingPressure(p1, ratio, n)
		want, err2 := CrankingPressure(p2, ratio, n)
		got, err3 := CompressionAt(low, p1, p2)
		share, err4 := CompressionShare(want, low, p1, p2)
		err := errors.Join(err1, err2, err3, err4)
		if err != nil || !near(float64(got), float64(want), rounding) || !near(share, 1, rounding) {
			t.Errorf("CompressionAt = %v, share %v, %v; want %v and 1", got, share, err, want)
		}
	})
}

func TestVacuumReturns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := in(t, "vacuum", 40*Kilopascal, 60*Kilopascal)
		high := in(t, "high", 75*Kilopascal, 100*Kilopascal)
		up, err1 := VacuumAt(v, StandardPressure, high)
		down, err2 := VacuumAt(up, high, StandardPressure)
		if err := errors.Join(err1, err2); err != nil || !near(float64(down), float64(v), rounding) {
			t.Errorf("VacuumAt up and down = %v, %v; want %v", down, err, v)
		}
	})
}

// More evaporation, colder throat; ice is possible only below freezing and below the dew point.
func TestIcing(t *testing.T) {
	i := Icing{Air: Air{StandardPressure, Celsius(8), 0.9}, Fuel: Petrol(), AFR: 13, Depression: 2 * Kilopascal}
	last := math.Inf(1)
	for share := 0.0; share <= 1; share += 0.25 {
		i.Evaporated = share
		r, err := i.Result()
		if err != nil || float64(r.Throat) >= last {
			t.Errorf("Throat at %v evaporated = %v, %v; want colder than before", share, r.Throat, err)
		}
		if r.Possible != (r.Throat < Celsius(0) && r.Throat < r.Dew) || !r.RoadBand {
			t.Errorf("Possible %v, RoadBand %v at %v, dew %v; want freezing and in the band", r.Possible, r.RoadBand, r.Throat, r.Dew)
		}
		last = float64(r.Throat)
	}
	i.Air.Humidity = 0
	if r, err := i.Result(); err != nil || r.Possible || r.RoadBand {
		t.Errorf("Result in dry air = %+v, %v; want no ice", r, err)
	}
}

func TestPowerFactorStandards(t *testing.T) {
	for _, s := range []PowerStandard{SAEJ1349, ISO1585, DIN70020} {
		air := Air{Pressure: 990 * Millibar, Temperature: 298}
		if s == DIN70020 {
			air = Air{Pressure: 1013 * Millibar, Temperature: Celsius(20)}
		}
		got, err := PowerFactor(s, air)
		if err != nil || math.Abs(got-1) > 3e-4 {
			t.Errorf("PowerFactor(%s) in its reference air = %v, %v; want 1", s, got, err)
		}
	}
}

// The jet that the correction asks for is right, of either kind of number.
func TestRichnessOfCorrectedJet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyAir(t, "a"), anyAir(t, "b")
		f, err := JetCorrection(a, b)
		if err != nil {
			t.Fatal(err)
		}
		bore, err1 := BoreNumber(105).Scale(f)
		flow, err2 := FlowNumber(180).Scale(f)
		rb, err3 := bore.Richness(105, a, b)
		rf, err4 := flow.Richness(180, a, b)
		kept, err5 := BoreNumber(105).Richness(105, a, b)
		err = errors.Join(err1, err2, err3, err4, err5)
		if err != nil || !near(rb, 1, rounding) || !near(rf, 1, rounding) || !near(kept*f, 1, rounding) {
			t.Errorf("Richness corrected %v, %v, kept %v, %v; want 1, 1 and %v", rb, rf, kept, err, 1/f)
		}
	})
}
