package carburetor

import (
	"errors"
	"math"
	"testing"
)

// The fuels have the figures of their source: Alternative Fuels Data Center, Properties of fuels,
// for the limits of burning and ethanol's viscosity; EN 228 for the density of petrol.
func TestFuelData(t *testing.T) {
	tests := []struct {
		fuel                    Fuel
		lean, rich              float64 // per cent by volume
		lightest, heaviest      Density
		thinnest, thickest      float64 // mm2/s
		leastSwelling, swelling float64 // per kelvin, recalled
	}{
		{Petrol(), 1.4, 7.6, 720, 775, 0.5, 0.6, 9e-4, 10e-4},
		{Ethanol(), 4.3, 19, 794, 796, 1.5, 1.5, 10.5e-4, 11.5e-4},
		{Methanol(), 7.3, 36, 790, 800, 0.7, 0.78, 11.5e-4, 12.5e-4},
	}
	for _, test := range tests {
		f := test.fuel
		if !near(100*f.LeanLimit, test.lean, rounding) || !near(100*f.RichLimit, test.rich, rounding) {
			t.Errorf("%s burns from %v to %v; want %v to %v %%", f.Name, f.LeanLimit, f.RichLimit, test.lean, test.rich)
		}
		if f.Density < test.lightest || f.Density > test.heaviest {
			t.Errorf("%s density = %v; want %v to %v", f.Name, f.Density, test.lightest, test.heaviest)
		}
		if nu := f.Viscosity.In(SquareMillimetrePerSecond); nu < test.thinnest-rounding || nu > test.thickest+rounding {
			t.Errorf("%s viscosity = %v; want %v to %v mm2/s", f.Name, nu, test.thinnest, test.thickest)
		}
		if f.Expansion < test.leastSwelling || f.Expansion > test.swelling {
			t.Errorf("%s expansion = %v; want %v to %v per K", f.Name, f.Expansion, test.leastSwelling, test.swelling)
		}
	}
	warm, err := Petrol().DensityAt(Celsius(35))
	if want := 745 * (1 - 9.5e-4*20); err != nil || !near(float64(warm), want, rounding) {
		t.Errorf("petrol at 35 °C = %v, %v; want %v", warm, err, want)
	}
}

// CIPM-2007 to seven digits, as an independent calculation of the same formula has it.
func TestPreciseDensityDigits(t *testing.T) {
	tests := []struct {
		air  Air
		want float64
	}{
		{Air{101325, Celsius(20), 0.5}, 1.199314},
		{Air{101325, Celsius(15), 0}, 1.225521},
		{Air{95000, Celsius(30), 0.8}, 1.077288},
	}
	for _, test := range tests {
		if got := test.air.precise(); math.Abs(got-test.want) > 6e-7 {
			t.Errorf("precise(%+v) = %.7f; want %.6f", test.air, got, test.want)
		}
	}
}

// A spring's dead band is the level that its preload would make as a weight on the needle.
func TestDeadBand(t *testing.T) {
	b := benchBowl()
	b.Valve.Preload = 2e-3
	got, err := b.DeadBand()
	if err != nil {
		t.Fatal(err)
	}
	weighted := b
	weighted.Valve.NeedleWeight = b.Valve.Preload
	want, err := LevelShift(b, weighted)
	if err != nil || !near(float64(got), float64(want), rounding) {
		t.Errorf("DeadBand = %v, %v; want %v", got, err, want)
	}
}

// Turbulent friction in a hose of 6 mm, 0.3 m, at Re 10000, worked out apart: f 0.0316, 0.917 m/s.
func TestTurbulentHeadLoss(t *testing.T) {
	p, nu := Pipe{6 * Millimetre, 0.3}, 0.55*SquareMillimetrePerSecond
	q := VolumeFlow(10000 * math.Pi * float64(p.Bore) * float64(nu) / 4)
	got, err := p.HeadLoss(q, nu)
	if want := 67.69 * Millimetre; err != nil || !near(float64(got), float64(want), 1e-3) {
		t.Errorf("HeadLoss at Re 10000 = %v, %v; want %v", got, err, want)
	}
}

// The orifice plate in a pipe under 71.12 mm has a term of its own; worked out apart.
func TestOrificePlateSmallPipe(t *testing.T) {
	got, err := OrificePlate{Pipe: 50 * Millimetre, Bore: 20 * Millimetre}.Discharge(20000)
	if want := 0.6104186; err != nil || math.Abs(got-want) > 1e-6 {
		t.Errorf("Discharge = %.7f, %v; want %v", got, err, want)
	}
}

// A blend's heats and oxygen are those of its parts by mass.
func TestBlendByMass(t *testing.T) {
	e10 := Blend{Petrol(), Ethanol(), 0.1}
	blend := Blend{Ethanol(), Methanol(), 0.5}
	w, err1 := blend.MassShare()
	f, err2 := blend.Fuel()
	oxygen, err3 := blend.OxygenShare()
	w10, err4 := e10.MassShare()
	if err := errors.Join(err1, err2, err3, err4); err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]float64{
		"share": {w, 796.0 / (796 + 794)}, "latent heat": {float64(f.Latent), (1-w)*921096 + w*1176956},
		"heating value": {float64(f.LowerHeat), (1-w)*26946710 + w*20089662},
		"oxygen":        {oxygen, (1-w)*15.999/46.069 + w*15.999/32.042},
		"density":       {float64(f.Density), 795}, "share of E10": {w10, 79.4 / (79.4 + 0.9*745)},
		"viscosity": {f.Viscosity.In(SquareMillimetrePerSecond), math.Pow(1.5, 1-w) * math.Pow(0.74, w)},
	} {
		if !near(pair[0], pair[1], 1e-6) {
			t.Errorf("%s of the blend = %v; want %v", name, pair[0], pair[1])
		}
	}
}

// The bands of their source: fires 8 to 18.5, best power 12.5 to 13.5, best economy 15 to 16.
func TestTargets(t *testing.T) {
	want := map[string][2]AFR{
		"an engine fires at all": {8, 18.5}, "best power": {12.5, 13.5}, "best economy": {15, 16},
	}
	for _, b := range Targets() {
		if w, ok := want[b.Name]; ok && (b.Rich != w[0] || b.Lean != w[1]) {
			t.Errorf("band %q = %v to %v; want %v", b.Name, b.Rich, b.Lean, w)
		}
		if b.Contains(b.Rich-0.01) || !b.Contains(b.Rich) || !b.Contains(b.Lean) || b.Contains(b.Lean+0.01) {
			t.Errorf("band %q does not contain its ends alone", b.Name)
		}
		delete(want, b.Name)
	}
	if len(want) > 0 {
		t.Errorf("bands missing: %v", want)
	}
}
