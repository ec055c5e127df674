package carburetor

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Any fuel of carbon, hydrogen and some oxygen.
func anyFuel(t *rapid.T) Composition {
	c := in(t, "carbon", 0.5, 10)
	return Composition{Carbon: c, Hydrogen: c * in(t, "hydrogen", 1.0, 4), Oxygen: c * in(t, "oxygen", 0.0, 0.6)}
}

// Brettschneider's formula gives back the mixture whose exhaust was computed with its constant.
func TestBrettschneiderInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Burn{Lambda: in(t, "lambda", Lambda(0.75), 2), Fuel: anyFuel(t)}
		e, err := b.Exhaust()
		if err != nil {
			t.Fatal(err)
		}
		ratio, err := b.Fuel.Ratio()
		if err != nil {
			t.Fatal(err)
		}
		got, err := e.Brettschneider(ratio)
		if err != nil || !near(float64(got.Lambda), float64(b.Lambda), 1e-9) {
			t.Errorf("Brettschneider of the exhaust of %v = %v, %v; want the same", b.Lambda, got.Lambda, err)
		}
	})
}

// So do the balances of oxygen, and of carbon and nitrogen; and the exhaust adds up to 100 %.
func TestExhaustBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Burn{Lambda: in(t, "lambda", Lambda(0.75), 2), Fuel: anyFuel(t)}
		e, err := b.Exhaust()
		if err != nil {
			t.Fatal(err)
		}
		stoich, err := b.Fuel.StoichiometricAFR(Convention{})
		if err != nil {
			t.Fatal(err)
		}
		want := float64(b.Lambda) * float64(stoich)
		oxygen, err1 := e.OxygenAFR(b.Fuel, Convention{})
		nitrogen, err2 := e.CarbonNitrogenAFR(b.Fuel, Convention{})
		err = errors.Join(err1, err2)
		if err != nil || !near(float64(oxygen), want, 1e-9) || !near(float64(nitrogen), want, 1e-9) {
			t.Errorf("AFR by oxygen %v, by nitrogen %v, %v; want %v", oxygen, nitrogen, err, want)
		}
		if sum := e.CO2 + e.CO + e.O2 + e.H2 + e.N2; !near(sum, 100, 1e-9) {
			t.Errorf("exhaust adds up to %v; want 100", sum)
		}
		if min(e.CO2, e.CO, e.O2, e.H2, e.N2) < 0 {
			t.Errorf("exhaust = %+v; want no negative gas", e)
		}
	})
}

// The water-gas constant holds in the exhaust.
func TestWaterGasHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fuel := Composition{Carbon: 1, Hydrogen: in(t, "hydrogen", 1.5, 2.5)}
		b := Burn{Lambda: in(t, "lambda", Lambda(0.75), 0.99), Fuel: fuel, Equilibrium: 3.7}
		e, err := b.Exhaust()
		if err != nil {
			t.Fatal(err)
		}
		water := b.Fuel.Hydrogen/2*(e.CO2+e.CO) - e.H2
		if got := e.CO * water / (e.CO2 * e.H2); !near(got, 3.7, 1e-6) {
			t.Errorf("CO H2O / (CO2 H2) = %v; want 3.7", got)
		}
	})
}

// A fuel without oxygen is found from its exhaust.
func TestUnknownFuelInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Burn{Lambda: in(t, "lambda", Lambda(0.8), 2), Fuel: Composition{Carbon: 1, Hydrogen: in(t, "hydrogen", 1.0, 4)}}
		e, err := b.Exhaust()
		if err != nil {
			t.Fatal(err)
		}
		want, err1 := b.Fuel.MassAnalysis(Convention{})
		got, err2 := e.UnknownFuel(Convention{})
		if err := errors.Join(err1, err2); err != nil || !near(got.Fuel.Carbon, want.Carbon, 1e-9) {
			t.Errorf("UnknownFuel carbon = %v, %v; want %v", got.Fuel.Carbon, err, want.Carbon)
		}
		if b.Lambda < 1 {
			return
		}
		ratio, o2, err := LeanAFR(e.CO2, b.Fuel, Convention{})
		if err != nil || !near(float64(ratio), float64(got.AFR), 1e-9) || math.Abs(o2-e.O2) > 1e-9 {
			t.Errorf("LeanAFR = %v with %v %% O2, %v; want %v with %v %%", ratio, o2, err, got.AFR, e.O2)
		}
	})
}

func TestCOFallsWithLambda(t *testing.T) {
	c, err := Burn{Fuel: Petrol().Composition}.COCurve(Span[Lambda]{From: 0.7, To: 1, Steps: 30})
	if err != nil || c.Ends != nil {
		t.Fatalf("COCurve: %v, %v", err, c.Ends)
	}
	for i := 1; i < len(c.Points); i++ {
		if c.Points[i].Y >= c.Points[i-1].Y {
			t.Errorf("CO at lambda %v = %v; want less than %v", c.Points[i].X, c.Points[i].Y, c.Points[i-1].Y)
		}
	}
}

// Air in the exhaust shows as dilution.
func TestDilution(t *testing.T) {
	tight := Exhaust{CO2: 13, CO: 2, O2: 0.5}
	leaky := Exhaust{CO2: 8, CO: 1.2, O2: 8}
	a, err1 := tight.Brettschneider(UsualPetrol())
	b, err2 := leaky.Brettschneider(UsualPetrol())
	if err := errors.Join(err1, err2); err != nil || a.Diluted || !b.Diluted || b.Lambda <= a.Lambda {
		t.Errorf("Brettschneider tight %+v, leaky %+v, %v; want the leaky one diluted and leaner", a, b, err)
	}
	if c1, err := HexaneHC(300); err != nil || !near(c1, 0.18, rounding) {
		t.Errorf("HexaneHC(300) = %v, %v; want 0.18 %%", c1, err)
	}
}

// A blend at its ends is its parts, and its molecule burns as its masses do.
func TestBlend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Blend{Base: Petrol(), Added: Ethanol(), Share: in(t, "share", 0.0, 1.0)}
		f, err := b.Fuel()
		if err != nil {
			t.Fatal(err)
		}
		g, err1 := b.Base.StoichiometricAFR()
		e, err2 := b.Added.StoichiometricAFR()
		want, err3 := b.AFR(g, e)
		got, err4 := f.StoichiometricAFR()
		if err := errors.Join(err1, err2, err3, err4); err != nil || !near(float64(got), float64(want), 1e-9) {
			t.Errorf("AFR of the blend's molecule = %v, %v; want %v of its masses", got, err, want)
		}
		b.Share = 0
		base, err := b.Fuel()
		if err != nil || base.Density != b.Base.Density || !near(float64(base.Latent), float64(b.Base.Latent), rounding) {
			t.Errorf("blend without alcohol = %+v, %v; want the base", base, err)
		}
	})
}

// E10 after petrol leans by about 4 %, as the comment says.
func TestFuelChange(t *testing.T) {
	e10, err := Blend{Base: Petrol(), Added: Ethanol(), Share: 0.1}.Fuel()
	if err != nil {
		t.Fatal(err)
	}
	got, err := FuelChange(Petrol(), e10)
	if err != nil || math.Abs(got-1.04) > 0.005 {
		t.Errorf("FuelChange(petrol, E10) = %v, %v; want about 1.04", got, err)
	}
	if same, err := FuelChange(e10, e10); err != nil || !near(same, 1, rounding) {
		t.Errorf("FuelChange(E10, E10) = %v, %v; want 1", same, err)
	}
}

// Fuel lines: less than either restriction alone, more with more head, and the heads lost add
// up.
func TestFuelLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tap := Orifice{CircleArea(in(t, "tap", 1.5*Millimetre, 4*Millimetre)), 0.6}
		valve := Orifice{CircleArea(in(t, "valve", 1*Millimetre, 2.5*Millimetre)), 0.7}
		l := FuelLine{[]Orifice{tap, valve}, Pipe{6 * Millimetre, 300 * Millimetre}, coldPetrol}
		head := in(t, "head", 50*Millimetre, 500*Millimetre)
		q, err := l.Flow(head)
		if err != nil {
			t.Fatal(err)
		}
		one, _ := TapFlow(tap, head)
		two, _ := TapFlow(valve, head)
		if q >= min(one, two) {
			t.Errorf("Flow = %v; want less than %v and %v of the parts", q, one, two)
		}
		lost, err := l.Hose.HeadLoss(q, l.Fuel.Viscosity)
		for _, o := range l.Restrictions {
			p, _ := o.Drop(l.Fuel.Density, MassFlow(float64(q)*float64(l.Fuel.Density)))
			lost += Length(float64(p) / (float64(l.Fuel.Density) * gravity))
		}
		if err != nil || !near(float64(lost), float64(head), 1e-8) {
			t.Errorf("heads lost add to %v, %v; want %v", lost, err, head)
		}
		if more, _ := l.Flow(head * 1.1); more <= q {
			t.Errorf("Flow at more head = %v; want more than %v", more, q)
		}
	})
}

// The laws of the pipe meet where they are joined.
func TestHeadLossJoins(t *testing.T) {
	p := Pipe{6 * Millimetre, 300 * Millimetre}
	nu := coldPetrol.Viscosity
	at := func(re float64) float64 {
		h, err := p.HeadLoss(VolumeFlow(re*math.Pi*float64(p.Bore)*float64(nu)/4), nu)
		if err != nil {
			t.Fatal(err)
		}
		return float64(h)
	}
	for _, re := range []float64{laminarReynolds, turbulentReynolds} {
		if a, b := at(re*(1-1e-9)), at(re*(1+1e-9)); !near(a, b, 1e-6) {
			t.Errorf("HeadLoss around Re %v = %v and %v; want no step", re, a, b)
		}
	}
}

// A blocked tank gives more with more gas, with more head and with more vapour, and its curve
// ends at what it gives.
func TestBlockedTank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := BlockedTank{
			Gas: in(t, "gas", 0.2*Litre, 12*Litre), Head: in(t, "head", 50*Millimetre, 500*Millimetre), Fuel: 740,
			Outside: StandardPressure, Vapour: in(t, "vapour", 0, 50*Kilopascal),
		}
		v, err := b.Drawn()
		if err != nil {
			t.Fatal(err)
		}
		for name, change := range map[string]func(*BlockedTank){
			"gas": func(b *BlockedTank) { b.Gas *= 1.1 }, "head": func(b *BlockedTank) { b.Head *= 1.1 },
			"vapour": func(b *BlockedTank) { b.Vapour += 1 * Kilopascal },
		} {
			more := b
			change(&more)
			if w, err := more.Drawn(); err != nil || w <= v {
				t.Errorf("Drawn with more %s = %v, %v; want more than %v", name, w, err, v)
			}
		}
		c, err := b.PressureCurve(Span[Volume]{0, v, 10})
		if last := c.Points[len(c.Points)-1].Y; err != nil || math.Abs(last) > 1e-9 {
			t.Errorf("pressure left when %v are drawn = %v kPa, %v; want 0", v, last, err)
		}
	})
}

// The drain curve ends when the time to drain is over, and falls to a quarter at half of it.
func TestDrainCurve(t *testing.T) {
	tank, hole := CircleArea(200*Millimetre), Orifice{CircleArea(3 * Millimetre), 0.6}
	all, err := DrainTime(tank, hole, 0.2, 0)
	if err != nil {
		t.Fatal(err)
	}
	c, err := DrainCurve(tank, hole, 0.2, Span[Duration]{0, all, 2})
	if err != nil || !near(c.Points[1].Y, 50, rounding) || math.Abs(c.Points[2].Y) > 1e-9 {
		t.Errorf("DrainCurve = %v, %v; want 200, 50 and 0 mm", c.Points, err)
	}
}

// Uncertainties of a product add as squares, relatively.
func TestPropagate(t *testing.T) {
	product := func(x []float64) (float64, error) { return x[0] * x[1], nil }
	got, err := Propagate(product, Uncertain{3, 0.3}, Uncertain{4, 0.4})
	if err != nil || got.Value != 12 || !near(got.Uncertainty, 12*math.Hypot(0.1, 0.1), rounding) {
		t.Errorf("Propagate = %+v, %v; want 12 ± 1.697", got, err)
	}
	fails := func([]float64) (float64, error) { return 0, ErrNoFuel }
	if _, err := Propagate(fails, Uncertain{1, 1}); !errors.Is(err, ErrNoFuel) {
		t.Errorf("Propagate of a failing model: %v; want its error", err)
	}
	if _, err := Propagate(product, Uncertain{1, -1}, Uncertain{1, 0}); err == nil {
		t.Error("Propagate of a negative uncertainty: no error")
	}
}

// Without a hose the restrictions are in series as their conductances say; the reserve is the
// flow over the demand, by mass.
func TestFuelLineWithoutHose(t *testing.T) {
	l := FuelLine{Restrictions: []Orifice{{3 * SquareMillimetre, 0.6}, {2 * SquareMillimetre, 0.7}}, Fuel: coldPetrol}
	q, err := l.Flow(0.3)
	a, b := 0.6*3e-6, 0.7*2e-6
	want := math.Sqrt(2*gravity*0.3) / math.Hypot(1/a, 1/b)
	if err != nil || !near(float64(q), want, rounding) {
		t.Errorf("Flow = %v, %v; want %v", q, err, VolumeFlow(want))
	}
	r, err := l.Reserve(0.3, 1*GramPerSecond)
	if err != nil || !near(r, want*740/1e-3, rounding) {
		t.Errorf("Reserve = %v, %v; want %v", r, err, want*740/1e-3)
	}
	l.Restrictions = nil
	if _, err := l.Flow(0.3); err == nil {
		t.Error("Flow through nothing: no error")
	}
}

// Molar masses: ethanol 46.07 and methanol 32.04 in the Alternative Fuels Data Center's table.
func TestMolarMass(t *testing.T) {
	for _, test := range []struct {
		fuel Fuel
		want float64
	}{{Ethanol(), 46.07}, {Methanol(), 32.04}} {
		m, err := test.fuel.Composition.MolarMass(Convention{})
		if got := float64(m / GramPerMole); err != nil || math.Abs(got-test.want) > 0.005 {
			t.Errorf("%s weighs %v g/mol, %v; want %v", test.fuel.Name, got, err, test.want)
		}
	}
}

// Nitric oxide carries half an oxygen molecule, in every balance.
func TestNitricOxideCounts(t *testing.T) {
	with, without := Exhaust{CO2: 12, CO: 1, O2: 1, NO: 0.4, N2: 83}, Exhaust{CO2: 12, CO: 1, O2: 1.2, N2: 83}
	fuel := Petrol().Composition
	b1, err1 := with.Brettschneider(UsualPetrol())
	b2, err2 := without.Brettschneider(UsualPetrol())
	o1, err3 := with.OxygenAFR(fuel, Convention{})
	o2, err4 := without.OxygenAFR(fuel, Convention{})
	u1, err5 := with.UnknownFuel(Convention{})
	u2, err6 := without.UnknownFuel(Convention{})
	if err := errors.Join(err1, err2, err3, err4, err5, err6); err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]float64{
		"Brettschneider": {float64(b1.Lambda), float64(b2.Lambda)}, "OxygenAFR": {float64(o1), float64(o2)},
		"UnknownFuel": {u1.Fuel.Hydrogen, u2.Fuel.Hydrogen},
	} {
		if !near(pair[0], pair[1], rounding) {
			t.Errorf("%s with 0.4 %% NO = %v; want %v as with 0.2 %% more O2", name, pair[0], pair[1])
		}
	}
}

// Unburnt hydrocarbons are fuel that found no air: the more of them, the richer the mixture was.
func TestHydrocarbonsEnrich(t *testing.T) {
	clean, err1 := Exhaust{CO2: 13, CO: 1, O2: 1}.Brettschneider(UsualPetrol())
	foul, err2 := Exhaust{CO2: 13, CO: 1, O2: 1, HC: 0.7}.Brettschneider(UsualPetrol())
	if err := errors.Join(err1, err2); err != nil || !near(float64(foul.Lambda), float64(clean.Lambda)*14/14.7, rounding) {
		t.Errorf("Brettschneider with 0.7 %% HC = %v, %v; want %v over 1.05", foul.Lambda, err, clean.Lambda)
	}
}
