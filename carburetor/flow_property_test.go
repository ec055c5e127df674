package carburetor

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

var coldPetrol = Liquid{Density: 740, Viscosity: 0.55 * SquareMillimetrePerSecond}

// A jet passes more with more pressure and with more bore, between the laws of a pipe and of a
// hole.
func TestJetFlowMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := Jet{Bore: in(t, "bore", 0.3*Millimetre, 1.5*Millimetre), LengthOverDiameter: in(t, "l/d", 2.0, 10)}
		p := in(t, "drop", 100, 5*Kilopascal)
		one, err := j.Flow(coldPetrol, p)
		if err != nil {
			t.Fatal(err)
		}
		two, err := j.Flow(coldPetrol, 2*p)
		if err != nil {
			t.Fatal(err)
		}
		if r := float64(two.Mass / one.Mass); r < math.Sqrt2*0.99 || r > 2 {
			t.Errorf("flow ratio at double pressure = %v; want from sqrt 2 to 2", r)
		}
		j.Bore *= 1.05
		wider, err := j.Flow(coldPetrol, p)
		if err != nil || wider.Mass <= one.Mass*1.05*1.05*0.999 {
			t.Errorf("flow of a 5 %% wider bore = %v, %v; want over %v", wider.Mass, err, one.Mass*1.05*1.05)
		}
	})
}

// In the limit of slow flow a long bore passes in proportion to the pressure, as a pipe does;
// that settles which Reynolds number the law has.
func TestBoreDischargeSlowLimit(t *testing.T) {
	j := Jet{Bore: 1 * Millimetre, LengthOverDiameter: 10}
	slow := j.flow(coldPetrol, 1e-9)
	faster := j.flow(coldPetrol, 4e-9)
	if r := float64(faster.Mass / slow.Mass); !near(r, 4, 1e-3) {
		t.Errorf("flow ratio at 4 times the pressure = %v; want 4", r)
	}
	pipe := Pipe{Bore: j.Bore, Length: 10 * j.Bore}
	q, err := pipe.LaminarFlow(coldPetrol, 1e-9)
	if err != nil {
		t.Fatal(err)
	}
	// Hagen and Poiseuille have 64 l/d where the law has 20 (1 + 2.25 l/d): 640 and 470.
	if r := float64(slow.Mass) / (float64(q) * float64(coldPetrol.Density)); !near(r, 640.0/470, 1e-2) {
		t.Errorf("flow over that of a pipe = %v; want %v", r, 640.0/470)
	}
}

func TestBoreDischargeJoins(t *testing.T) {
	for _, re := range []float64{1000, 5000, 20000} {
		below, err1 := BoreDischarge(re, 2-1e-9)
		above, err2 := BoreDischarge(re, 2)
		thin, err3 := BoreDischarge(re, 0)
		if err := errors.Join(err1, err2, err3); err != nil || !near(below, above, 1e-6) || thin != 0.61 {
			t.Errorf("BoreDischarge(%v) = %v, %v, %v, %v; want no step at l/d 2, and 0.61 at 0", re, thin, below, above, err)
		}
	}
}

func TestJetNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ratio := in(t, "ratio", 0.5, 2.0)
		bore, flow := in(t, "bore number", BoreNumber(30), 200), in(t, "flow number", FlowNumber(30), 500)
		b, err1 := bore.Scale(ratio)
		rb, err2 := b.FlowRatio(bore)
		f, err3 := flow.Scale(ratio)
		rf, err4 := f.FlowRatio(flow)
		if err := errors.Join(err1, err2, err3, err4); err != nil || !near(rb, ratio, rounding) || !near(rf, ratio, rounding) {
			t.Errorf("FlowRatio after Scale(%v) = %v and %v, %v; want the same", ratio, rb, rf, err)
		}
	})
}

func TestFilmInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := Jet{Bore: in(t, "bore", 0.3*Millimetre, 1.5*Millimetre)}
		share := in(t, "share", 0.1, 1.0)
		film, err := j.FilmFor(share)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := j.Film(film); err != nil || !near(got, share, rounding) {
			t.Errorf("Film(FilmFor(%v)) = %v, %v; want the same", share, got, err)
		}
	})
}

// The flow through a nozzle has no step where it becomes sonic, and none depends on what is
// beyond.
func TestNozzleFluxAtCriticalRatio(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Gas{Constant: in(t, "R", SpecificHeat(150), 500), Gamma: in(t, "gamma", 1.1, 1.67)}
		s := GasState{in(t, "p", 10*Kilopascal, 1*Megapascal), in(t, "T", Temperature(250), 900)}
		r, err := g.CriticalRatio()
		if err != nil {
			t.Fatal(err)
		}
		critical := s.Pressure * Pressure(r)
		above, _ := g.NozzleFlux(s, critical*(1+1e-7))
		below, _ := g.NozzleFlux(s, critical*(1-1e-7))
		vacuum, err := g.NozzleFlux(s, 0)
		if err != nil || !near(float64(above), float64(below), 1e-9) || below != vacuum {
			t.Errorf("NozzleFlux around the critical ratio = %v, %v, into vacuum %v, %v; want all alike", above, below, vacuum, err)
		}
	})
}

// The venturi's form with an expansion factor and the nozzle's form are the same physics.
func TestVenturiIsANozzle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := GasState{in(t, "p", 70*Kilopascal, 105*Kilopascal), in(t, "T", Temperature(250), 320)}
		rho, _ := DryAir().Density(s)
		v := Venturi{Throat: in(t, "throat", 10*Millimetre, 40*Millimetre), Discharge: in(t, "Cd", 0.5, 1.0)}
		p := in(t, "depression", 1, 60*Kilopascal)
		got, err := v.AirFlow(Inlet{s.Pressure, rho}, p)
		flux, err2 := DryAir().NozzleFlux(s, s.Pressure-p)
		want := float64(flux) * v.Discharge * float64(v.Area())
		if err := errors.Join(err, err2); err != nil || !near(float64(got), want, 1e-6) {
			t.Errorf("AirFlow(%v) = %v, %v; want %v of the nozzle", p, got, err, want)
		}
		plain, _ := v.IncompressibleAirFlow(rho, p)
		if got > plain {
			t.Errorf("AirFlow(%v) = %v; want at most %v without expansion", p, got, plain)
		}
	})
}

func TestVenturiDepressionInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Venturi{Throat: 26 * Millimetre, Discharge: 0.85}
		air := Inlet{in(t, "p", 70*Kilopascal, 105*Kilopascal), in(t, "rho", Density(0.8), 1.3)}
		p := in(t, "depression", 10, 30*Kilopascal)
		m, err := v.AirFlow(air, p)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := v.Depression(air, m); err != nil || !near(float64(got), float64(p), 1e-8) {
			t.Errorf("Depression(AirFlow(%v)) = %v, %v; want the same", p, got, err)
		}
	})
}

// How far the incompressible form is off, as its comment says.
func TestExpansionFactor(t *testing.T) {
	for _, test := range []struct{ drop, want float64 }{{0.01, 0.9946}, {0.05, 0.9728}, {0.1, 0.9449}, {0.2, 0.8865}} {
		got, err := DryAir().ExpansionFactor(1 - test.drop)
		if err != nil || math.Abs(got-test.want) > 5e-5 {
			t.Errorf("ExpansionFactor(%v) = %.5f, %v; want %v", 1-test.drop, got, err, test.want)
		}
	}
	series, exact := expansionFactor(1.4, 1-0.99e-6), expansionFactor(1.4, 1-1.01e-6)
	if math.Abs(series-exact) > 1e-7 {
		t.Errorf("ExpansionFactor near 1 = %v and %v; want no step between series and quotient", series, exact)
	}
}

func usualEmulsion() Emulsion {
	return Emulsion{
		Jet: Jet{Bore: 1.1 * Millimetre}, Fuel: coldPetrol,
		Bleed:  Orifice{CircleArea(0.8 * Millimetre), 0.7},
		Nozzle: Orifice{CircleArea(2.6*Millimetre) - CircleArea(2.3*Millimetre), 0.7},
	}
}

// withAir gives an emulsion circuit its air.
func (e Emulsion) withAir() Emulsion {
	e.Air, e.Lift = Inlet{StandardPressure, 1.225}, 4*Millimetre
	return e
}

// What goes into the well leaves it through the nozzle.
func TestEmulsionMassBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := usualEmulsion().withAir()
		e.Bleed.Area = CircleArea(in(t, "bleed", 0.3*Millimetre, 1.2*Millimetre))
		p := in(t, "depression", 1*Kilopascal, 8*Kilopascal)
		f, err := e.Flow(p)
		if err != nil {
			t.Fatal(err)
		}
		total := float64(f.Fuel + f.Bleed)
		mean := total / (float64(f.Fuel)/float64(e.Fuel.Density) + float64(f.Bleed)/float64(e.Air.Density))
		out := orificeFlow(e.Nozzle.Discharge, e.Nozzle.Area, Density(mean), p-f.Depression)
		if !near(float64(out), total, 1e-6) {
			t.Errorf("out of the nozzle %v; want %v that went in", out, total)
		}
		if f.Depression <= 0 || f.Depression >= p {
			t.Errorf("well depression = %v; want between 0 and %v", f.Depression, p)
		}
	})
}

// A blocked bleed enriches, a larger one leans, more depression brings more fuel.
func TestEmulsionDirections(t *testing.T) {
	fuel := func(bleed Length, p Pressure) MassFlow {
		e := usualEmulsion().withAir()
		e.Bleed.Area = CircleArea(bleed)
		f, err := e.Flow(p)
		if err != nil {
			t.Fatalf("Flow(bleed %v, %v): %v", bleed, p, err)
		}
		return f.Fuel
	}
	blocked, usual, large := fuel(0, 3*Kilopascal), fuel(0.8*Millimetre, 3*Kilopascal), fuel(1.2*Millimetre, 3*Kilopascal)
	if !(blocked > usual && usual > large) {
		t.Errorf("fuel with bleed blocked, usual, large = %v, %v, %v; want it to fall", blocked, usual, large)
	}
	if more := fuel(0.8*Millimetre, 4*Kilopascal); more <= usual {
		t.Errorf("fuel at 4 kPa = %v; want more than %v at 3 kPa", more, usual)
	}
}

// Without a bleed it is jet and nozzle in series.
func TestEmulsionWithoutBleed(t *testing.T) {
	e := usualEmulsion().withAir()
	e.Bleed = Orifice{}
	p := 3 * Kilopascal
	f, err := e.Flow(p)
	if err != nil {
		t.Fatal(err)
	}
	jet := f.Jet.Discharge * float64(CircleArea(e.Jet.Bore))
	nozzle := e.Nozzle.Discharge * float64(e.Nozzle.Area)
	series := 1 / math.Hypot(1/jet, 1/nozzle)
	want := orificeFlow(1, Area(series), e.Fuel.Density, p-HeadPressure(e.Fuel.Density, e.Lift))
	if !near(float64(f.Fuel), float64(want), 1e-6) {
		t.Errorf("fuel = %v; want %v of the two in series", f.Fuel, want)
	}
}

func TestEmulsionNoFuel(t *testing.T) {
	e := usualEmulsion().withAir()
	if f, err := e.Flow(20); !errors.Is(err, ErrNoFuel) {
		t.Errorf("Flow(20 Pa) = %v, %v; want ErrNoFuel: the lift takes 29 Pa", f.Fuel, err)
	}
}

func usualIdle() IdleCircuit {
	return IdleCircuit{
		Jet: Jet{Bore: 0.4 * Millimetre}, Fuel: coldPetrol,
		Bleed:  Orifice{CircleArea(1.0 * Millimetre), 0.7},
		Outlet: Orifice{CircleArea(0.8 * Millimetre), 0.7},
		Lift:   10 * Millimetre,
		Air:    GasState{StandardPressure, StandardTemperature},
	}
}

// The pilot jet sees a small part of the vacuum: the bleed takes the rest.
func TestIdleJetPressure(t *testing.T) {
	f, err := usualIdle().Flow(45 * Kilopascal)
	if err != nil {
		t.Fatal(err)
	}
	over := StandardPressure - f.Passage
	t.Logf("idle: %v over the pilot jet, %v fuel, %v bleed air, Re %.0f, sonic %v",
		over, f.Fuel, f.Bleed, f.Jet.Reynolds, f.Sonic)
	if over < 0.2*Kilopascal || over > 2*Kilopascal {
		t.Errorf("pressure over the pilot jet = %v; want a small part of the vacuum of 56 kPa", over)
	}
}

// More vacuum never brings less fuel, and none more once the outlet is sonic; more bleed air
// leans.
func TestIdleDirections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := usualIdle()
		c.Outlet.Area = CircleArea(in(t, "outlet", 0.5*Millimetre, 1.2*Millimetre))
		high := in(t, "manifold", 30*Kilopascal, 95*Kilopascal)
		a, err := c.Flow(high)
		if err != nil {
			t.Fatal(err)
		}
		b, err := c.Flow(high - 5*Kilopascal)
		if err != nil {
			t.Fatal(err)
		}
		if b.Fuel < a.Fuel*(1-rounding) {
			t.Errorf("fuel at more vacuum = %v; want at least %v", b.Fuel, a.Fuel)
		}
		if a.Sonic && !near(float64(b.Fuel), float64(a.Fuel), 1e-6) {
			t.Errorf("fuel beyond sonic = %v; want %v", b.Fuel, a.Fuel)
		}
		c.Bleed.Area *= 1.2
		if leaner, err := c.Flow(high); err != nil || leaner.Fuel >= a.Fuel {
			t.Errorf("fuel with more bleed = %v, %v; want less than %v", leaner.Fuel, err, a.Fuel)
		}
	})
}

// In and out agree, whether the outlet is sonic or not.
func TestIdleMassBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := usualIdle()
		c.Lift = in(t, "lift", -20*Millimetre, 20*Millimetre)
		manifold := in(t, "manifold", 25*Kilopascal, 99*Kilopascal)
		f, err := c.Flow(manifold)
		if err != nil {
			t.Fatal(err)
		}
		flux, _ := c.flux(f, manifold)
		out := c.Outlet.Discharge * float64(c.Outlet.Area) * flux
		if total := float64(f.Fuel + f.Bleed); !near(out, total, 1e-6) {
			t.Errorf("out of the port %v; want %v that went in", out, total)
		}
	})
}

// At a small depression the compressible form is that of Emulsion.
func TestIdleTendsToEmulsion(t *testing.T) {
	c := usualIdle()
	c.Lift = 0
	rho, _ := DryAir().Density(c.Air)
	e := Emulsion{c.Jet, c.Fuel, c.Bleed, c.Outlet, c.Lift, Inlet{c.Air.Pressure, rho}}
	a, err1 := c.Flow(c.Air.Pressure - 300)
	b, err2 := e.Flow(300)
	if err := errors.Join(err1, err2); err != nil || !near(float64(a.Fuel), float64(b.Fuel), 0.01) {
		t.Errorf("idle fuel = %v; want %v of Emulsion within 1 %%, %v", a.Fuel, b.Fuel, err)
	}
}

// No leak changes nothing; a leak's size comes back from its effect, and the effect fades with
// more air.
func TestLeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outside := GasState{StandardPressure, StandardTemperature}
		manifold := in(t, "manifold", 20*Kilopascal, 95*Kilopascal)
		leak := AirLeak{Area: in(t, "area", 0, 3*SquareMillimetre), Duty: in(t, "duty", 0.3, 1.0)}
		air := in(t, "air", 0.5*GramPerSecond, 20*GramPerSecond)
		m, err := leak.Flow(outside, manifold)
		if err != nil {
			t.Fatal(err)
		}
		before := in(t, "lambda", Lambda(0.8), 1.1)
		now, err := LeakedLambda(before, air, m)
		if err != nil {
			t.Fatal(err)
		}
		got, err := LeakSearch{before, now, air, outside, manifold, leak}.LeakArea()
		if err != nil || math.Abs(float64(got-leak.Area)) > 1e-12 {
			t.Errorf("LeakArea = %v, %v; want %v", got, err, leak.Area)
		}
		if unchanged, _ := LeakedLambda(before, air, 0); unchanged != before {
			t.Errorf("LeakedLambda without a leak = %v; want %v", unchanged, before)
		}
		if faded, _ := LeakedLambda(before, 2*air, m); faded > now || m > 1e-9 && faded == now {
			t.Errorf("LeakedLambda with twice the air = %v; want less than %v", faded, now)
		}
	})
}

func TestLeakWithoutVacuum(t *testing.T) {
	s := GasState{StandardPressure, StandardTemperature}
	_, err := LeakSearch{Before: 0.9, Now: 1.1, CarburetorAir: 1 * GramPerSecond, Outside: s, Manifold: s.Pressure}.LeakArea()
	if !errors.Is(err, ErrNoDifference) {
		t.Errorf("LeakArea without vacuum: %v; want ErrNoDifference", err)
	}
}

func TestSlideOpening(t *testing.T) {
	bore := 26 * Millimetre
	full, _ := SlideOpening(bore, bore)
	half, _ := SlideOpening(bore, bore/2)
	shut, _ := SlideOpening(bore, 0)
	circle := float64(CircleArea(bore))
	if !near(float64(full), circle, rounding) || !near(float64(half), circle/2, rounding) || shut != 0 {
		t.Errorf("SlideOpening = %v, %v, %v; want nothing, half and all of the circle", shut, half, full)
	}
	series, exact := slideOpening(bore, 0.99e-4*bore/2), slideOpening(bore, 1.01e-4*bore/2)
	if want := math.Pow(1.01/0.99, 1.5); !near(float64(exact/series), want, 1e-6) {
		t.Errorf("SlideOpening near 0 steps by %v; want %v", exact/series, want)
	}
}

func usualSlide() SlideCarburetor {
	return SlideCarburetor{
		Bore: 26 * Millimetre, Discharge: 0.8, NeedleJet: 2.6 * Millimetre,
		Needle:  Needle{Straight: 2.5 * Millimetre, TaperFrom: 6 * Millimetre, Taper: 0.03},
		MainJet: Orifice{boreArea(105), 0.75}, Lip: 3 * Millimetre, Fuel: 740, Air: Inlet{StandardPressure, 1.225},
	}
}

// boreArea is the area of a jet by its bore number.
func boreArea(n BoreNumber) Area { return CircleArea(n.Bore()) }

// The metering area grows with lift, and is less than either of its parts; a raised needle
// enriches.
func TestSlideMetering(t *testing.T) {
	s, last := usualSlide(), Area(0)
	for lift := 0 * Millimetre; lift <= s.Bore; lift += 1 * Millimetre {
		a, err := s.FuelArea(lift)
		if err != nil || a < last || a >= s.MainJet.Area {
			t.Errorf("FuelArea(%v) = %v, %v; want at least %v, less than the main jet", lift, a, err, last)
		}
		last = a
	}
	raised := s
	raised.Needle.TaperFrom -= 1 * Millimetre
	low, err1 := s.Mixture(10*Millimetre, 2*Kilopascal)
	high, err2 := raised.Mixture(10*Millimetre, 2*Kilopascal)
	if err := errors.Join(err1, err2); err != nil || high.AFR >= low.AFR {
		t.Errorf("AFR with the needle raised = %v; want less than %v, %v", high.AFR, low.AFR, err)
	}
}

func TestConstantVelocityInverts(t *testing.T) {
	c := ConstantVelocity{
		SlideMass: 40 * Gram, Piston: 12 * SquareCentimetre, Spring: 0.8, Rate: 15, Bore: 32 * Millimetre, Discharge: 0.8,
		Air: Inlet{StandardPressure, 1.225},
	}
	rapid.Check(t, func(t *rapid.T) {
		lift := in(t, "lift", 0.1*Millimetre, 32*Millimetre)
		m, err := c.AirFlow(lift)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := c.Lift(m); err != nil || !near(float64(got), float64(lift), 1e-6) {
			t.Errorf("Lift(AirFlow(%v)) = %v, %v; want the same", lift, got, err)
		}
	})
}

// Fuel above the passage stands in it when no bleed takes the pressure away: more than ambient.
func TestIdleUnderFuel(t *testing.T) {
	c := usualIdle()
	c.Bleed, c.Lift = Orifice{}, -20*Millimetre
	c.Outlet.Area = CircleArea(0.1 * Millimetre)
	f, err := c.Flow(c.Air.Pressure - 50)
	if err != nil || f.Passage <= c.Air.Pressure {
		t.Errorf("Passage = %v, %v; want more than %v", f.Passage, err, c.Air.Pressure)
	}
	flux, _ := c.flux(f, c.Air.Pressure-50)
	if out := c.Outlet.Discharge * float64(c.Outlet.Area) * flux; !near(out, float64(f.Fuel), 1e-6) {
		t.Errorf("out of the port %v; want %v that went in", out, float64(f.Fuel))
	}
}

func TestIdleFuelCurve(t *testing.T) {
	c, err := usualIdle().FuelCurve(Span[Pressure]{From: 1 * Kilopascal, To: 60 * Kilopascal, Steps: 20})
	if err != nil || c.Ends != nil {
		t.Fatalf("FuelCurve: %v, %v", err, c.Ends)
	}
	for i := 1; i < len(c.Points); i++ {
		if c.Points[i].Y < c.Points[i-1].Y*(1-rounding) {
			t.Errorf("fuel at %v kPa = %v; want at least %v", c.Points[i].X, c.Points[i].Y, c.Points[i-1].Y)
		}
	}
	if first, last := c.Points[0].Y, c.Points[20].Y; last < 2*first {
		t.Errorf("fuel from %v to %v g/s; want it to rise with vacuum", first, last)
	}
}

// The root finder needs few evaluations also where the function is bent hard.
func TestRoot(t *testing.T) {
	tests := []struct {
		name         string
		lo, hi, want float64
		f            func(float64) float64
	}{
		{"line", 0, 10, 3, func(x float64) float64 { return x - 3 }},
		{"falling", 0, 10, 3, func(x float64) float64 { return 3 - x }},
		{"square root", 0, 1e6, 4, func(x float64) float64 { return math.Sqrt(x) - 2 }},
		{"tenth power", 0, 10, 2, func(x float64) float64 { return math.Pow(x, 10) - 1024 }},
		{"at the low end", 0, 1, 0, func(x float64) float64 { return x }},
		{"at the high end", 0, 1, 1, func(x float64) float64 { return x - 1 }},
	}
	for _, test := range tests {
		calls := 0
		got := root(test.lo, test.hi, func(x float64) float64 {
			calls++
			return test.f(x)
		})
		if math.Abs(got-test.want) > 1e-10 || calls > 45 {
			t.Errorf("root of %s = %v in %d calls; want %v in at most 45", test.name, got, calls, test.want)
		}
	}
}

func TestBlockedBowlVent(t *testing.T) {
	got, err := BlockedBowlVent(1*Kilopascal, 360)
	if err != nil || !near(got, 0.8, rounding) {
		t.Errorf("BlockedBowlVent(1 kPa, 0.36 kPa) = %v, %v; want 0.8", got, err)
	}
	if got, err := BlockedBowlVent(1*Kilopascal, 0); err != nil || got != 1 {
		t.Errorf("BlockedBowlVent(1 kPa, 0) = %v, %v; want 1", got, err)
	}
	if _, err := BlockedBowlVent(1*Kilopascal, 1*Kilopascal); !errors.Is(err, ErrNoFuel) {
		t.Errorf("BlockedBowlVent(1 kPa, 1 kPa): %v; want ErrNoFuel", err)
	}
}

// A rise of the level acts as the small-change formula says, and a fall that takes all stops it.
func TestLevelMixture(t *testing.T) {
	slope, err1 := MixturePerLevel(740, 400)
	got, err2 := LevelMixture(1e-6, 740, 400)
	if err := errors.Join(err1, err2); err != nil || !near((got-1)/1e-6, slope, 1e-4) {
		t.Errorf("LevelMixture slope = %v, %v; want %v", (got-1)/1e-6, err, slope)
	}
	if _, err := LevelMixture(-60*Millimetre, 740, 400); !errors.Is(err, ErrNoFuel) {
		t.Errorf("LevelMixture of -60 mm at 0.4 kPa: %v; want ErrNoFuel", err)
	}
}

// A bowl open to the intake does not notice the cleaner.
func TestCleanerVents(t *testing.T) {
	if got, err := CleanerMixture(14, 5*Kilopascal, 2*Kilopascal, VentIntake); err != nil || got != 14 {
		t.Errorf("CleanerMixture vented to the intake = %v, %v; want 14", got, err)
	}
	if _, err := CleanerMixture(14, 5*Kilopascal, 2*Kilopascal, 0); err == nil {
		t.Error("CleanerMixture with an unknown vent: no error")
	}
}
