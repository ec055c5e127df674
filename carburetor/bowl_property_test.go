package carburetor

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Relative tolerance of identities that hold but for rounding.
const rounding = 1e-9

func near(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*math.Max(math.Abs(want), 1e-30)
}

// in draws a number of a quantity.
func in[Q ~float64](t *rapid.T, name string, low, high Q) Q {
	return Q(rapid.Float64Range(float64(low), float64(high)).Draw(t, name))
}

// usualBowl draws a bowl of the dimensions that small carburetors have.
func usualBowl(t *rapid.T) Bowl {
	return Bowl{
		Float: Float{
			Mass: in(t, "mass", 6*Gram, 14*Gram), Volume: in(t, "volume", 23*CubicCentimetre, 30*CubicCentimetre),
			Waterplane: in(t, "waterplane", 6*SquareCentimetre, 12*SquareCentimetre),
			Arm:        in(t, "arm", 25*Millimetre, 35*Millimetre), NeedleArm: in(t, "needle arm", 7*Millimetre, 11*Millimetre),
		},
		Valve: FloatValve{Seat: in(t, "seat", 1*Millimetre, 2.5*Millimetre)},
		Fuel:  in(t, "fuel", Density(720), 775),
		Inlet: in(t, "inlet", 0, 4*Kilopascal),
	}
}

func draught(t *rapid.T, b Bowl) float64 {
	d, err := b.Draught()
	if err != nil {
		t.Fatalf("Draught(%+v): %v", b, err)
	}
	return float64(d)
}

// Heavier, thinner fuel, wider seat, more pressure: the fuel stands higher; and the margin
// shrinks.
func TestLevelMonotone(t *testing.T) {
	changes := map[string]func(*Bowl){
		"heavier float":  func(b *Bowl) { b.Float.Mass *= 1.1 },
		"lighter fuel":   func(b *Bowl) { b.Fuel *= 0.98 },
		"wider seat":     func(b *Bowl) { b.Valve.Seat *= 1.1 },
		"more pressure":  func(b *Bowl) { b.Inlet = b.Inlet*1.1 + 100 },
		"heavier needle": func(b *Bowl) { b.Valve.NeedleWeight += 1e-3 },
		"shorter arm":    func(b *Bowl) { b.Float.Arm *= 0.9 },
	}
	for name, change := range changes {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				b := usualBowl(t)
				b.Inlet += 100 // so that seat and arm count
				before, margin := draught(t, b), marginOf(t, b)
				change(&b)
				if after := draught(t, b); after <= before {
					t.Errorf("Draught = %v; want more than %v", after, before)
				}
				if after := marginOf(t, b); after >= margin {
					t.Errorf("ClosingMargin = %v; want less than %v", after, margin)
				}
			})
		})
	}
}

func marginOf(t *rapid.T, b Bowl) Force {
	m, err := b.ClosingMargin()
	if err != nil {
		t.Fatalf("ClosingMargin(%+v): %v", b, err)
	}
	return m
}

func TestLevelShiftAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := usualBowl(t), usualBowl(t), usualBowl(t)
		ab, _ := LevelShift(a, b)
		bc, _ := LevelShift(b, c)
		ac, err := LevelShift(a, c)
		if err != nil || math.Abs(float64(ab+bc-ac)) > 1e-15 {
			t.Errorf("LevelShift(a, b) + LevelShift(b, c) = %v, %v; want %v", ab+bc, err, ac)
		}
	})
}

// At the highest pressure that the float holds nothing is left over, and it is all under.
func TestMaxInlet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := usualBowl(t)
		b.Valve.NeedleWeight = in(t, "needle weight", 0, Force(0.01))
		c, err := b.Closing()
		if err != nil {
			t.Fatal(err)
		}
		b.Inlet = c.MaxInlet
		limit, err := b.Closing()
		if err != nil || math.Abs(float64(limit.Margin)) > rounding*float64(limit.Needed) {
			t.Errorf("Margin at MaxInlet = %v, %v; want 0", limit.Margin, err)
		}
		if !near(float64(limit.Immersed), float64(b.Float.Volume), rounding) {
			t.Errorf("Immersed at MaxInlet = %v; want the whole float, %v", limit.Immersed, b.Float.Volume)
		}
		b.Inlet *= 1.001
		if _, err := b.Draught(); !errors.Is(err, ErrCannotClose) {
			t.Errorf("Draught above MaxInlet: %v; want ErrCannotClose", err)
		}
	})
}

// The weight that explains a rise makes that rise.
func TestWeightGainedInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := usualBowl(t)
		rise := in(t, "rise", 0, 1*Millimetre)
		m, err := WeightGained(rise, b.Fuel, b.Float.Waterplane)
		if err != nil {
			t.Fatal(err)
		}
		to := b
		to.Float.Mass += m
		got, err := LevelShift(b, to)
		if err != nil || math.Abs(float64(got-rise)) > 1e-12 {
			t.Errorf("LevelShift after WeightGained(%v) = %v, %v; want the same", rise, got, err)
		}
	})
}

func TestFloatHeightSigns(t *testing.T) {
	tests := []struct {
		datum Datum
		want  Length
	}{{FromGasketFace, -0.75 * Millimetre}, {FromBowlRim, -0.75 * Millimetre}, {FromBowlFloor, 0.75 * Millimetre}}
	for _, test := range tests {
		got, err := FloatHeight{Datum: test.datum, Error: 1 * Millimetre}.LevelShift()
		if err != nil || got.Best != test.want {
			t.Errorf("LevelShift(1 mm %s) = %v, %v; want %v", test.datum, got.Best, err, test.want)
		}
	}
}

// What the float height explains is within its estimate, and nothing more.
func TestUnexplainedLevel(t *testing.T) {
	h := FloatHeight{Datum: FromGasketFace, Error: 2 * Millimetre}
	tests := []struct{ level, want Length }{
		{-1.2 * Millimetre, 0}, {-2 * Millimetre, 0}, {-1.5 * Millimetre, 0},
		{-3 * Millimetre, -1 * Millimetre}, {1 * Millimetre, 2.2 * Millimetre},
	}
	for _, test := range tests {
		got, err := h.UnexplainedLevel(test.level)
		if err != nil || math.Abs(float64(got-test.want)) > 1e-12 {
			t.Errorf("UnexplainedLevel(%v) = %v, %v; want %v", test.level, got, err, test.want)
		}
	}
}

// usualSection is a bowl with a box float, arm level at mid travel.
func usualSection() Section {
	return Section{
		Near: 14 * Millimetre, Far: 44 * Millimetre, FloatTop: 6 * Millimetre, Depth: 20 * Millimetre, Width: 30 * Millimetre,
		Gasket: 8 * Millimetre, NeedleArm: 9 * Millimetre,
	}
}

func usualLoad() Bowl {
	return Bowl{
		Float: Float{Mass: 9 * Gram}, Valve: FloatValve{Seat: 2 * Millimetre}, Fuel: 740, Inlet: HeadPressure(740, 0.3),
	}
}

// The level falls as the float height grows, over the whole range of angles.
func TestSectionLevelFallsWithHeight(t *testing.T) {
	c, err := usualSection().HeightCurve(usualLoad(), Span[Length]{From: 8 * Millimetre, To: 34 * Millimetre, Steps: 52})
	if err != nil || c.Ends != nil {
		t.Fatalf("HeightCurve: %v, %v", err, c.Ends)
	}
	for i := 1; i < len(c.Points); i++ {
		if c.Points[i].Y >= c.Points[i-1].Y {
			t.Errorf("level at height %v = %v; want less than %v", c.Points[i].X, c.Points[i].Y, c.Points[i-1].Y)
		}
	}
}

// With the arm level the section agrees with the small-angle balance, and so does its slope.
func TestSectionSmallAngle(t *testing.T) {
	s, b := usualSection(), usualLoad()
	level := s.Gasket - s.FloatTop + s.Depth // the height at which the arm is level
	c, err := s.Close(b, level)
	if err != nil || math.Abs(float64(c.Angle)) > 1e-9 {
		t.Fatalf("Close(%v) = angle %v, %v; want 0", level, c.Angle, err)
	}
	b.Float = s.Float(b.Float.Mass)
	draught, err := b.Draught()
	if err != nil {
		t.Fatal(err)
	}
	if want := s.FloatTop - s.Depth + draught; math.Abs(float64(c.Surface-want)) > 1e-9 {
		t.Errorf("Surface = %v; want %v of the small-angle balance", c.Surface, want)
	}
	closing, _ := b.Closing()
	if !near(float64(c.Immersion), float64(closing.Immersed), 1e-6) {
		t.Errorf("Immersion = %v; want %v", c.Immersion, closing.Immersed)
	}
	lower, err := s.Close(b, level+0.1*Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	small, err := FloatHeight{
		Datum: FromGasketFace, Error: 0.1 * Millimetre, ToWaterplane: (s.Near + s.Far) / 2, ToMark: s.Far,
	}.LevelShift()
	if err != nil || !near(float64(lower.Level-c.Level), float64(small.Best), 0.05) {
		t.Errorf("level for 0.1 mm = %v; want %v (±5 %%) of the small-angle law, %v", lower.Level-c.Level, small.Best, err)
	}
}

// The moments balance at any height: mass balance of the drawing.
func TestSectionBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, b := usualSection(), usualLoad()
		b.Float.Mass = in(t, "mass", 4*Gram, 9*Gram)
		c, err := s.Close(b, in(t, "height", 10*Millimetre, 33*Millimetre))
		if err != nil {
			t.Fatal(err)
		}
		area, moment := areaMoment(c.Immersed)
		lift := float64(b.Fuel) * gravity * moment * float64(s.Width)
		middle := (c.Float[0].X + c.Float[2].X) / 2
		load := float64(b.Float.Mass)*gravity*middle + float64(b.Valve.force(b.Inlet))*float64(s.NeedleArm)
		if !near(lift, load, 1e-6) || !near(area*float64(s.Width), float64(c.Immersion), rounding) {
			t.Errorf("moments %v; want %v", lift, load)
		}
	})
}

func TestFillTime(t *testing.T) {
	got, err := FillTime(20*CubicCentimetre, 1*MillilitrePerSecond, 0.5*MillilitrePerSecond)
	if err != nil || !near(float64(got), 40, rounding) {
		t.Errorf("FillTime = %v, %v; want 40 s", got, err)
	}
	if _, err := FillTime(20*CubicCentimetre, 1*MillilitrePerSecond, 1*MillilitrePerSecond); !errors.Is(err, ErrNoDifference) {
		t.Errorf("FillTime at a balance: %v; want ErrNoDifference", err)
	}
}

// Ten millimetres is as far as the small-angle law is taken; it is about as good there as its
// comment says.
func TestSmallAngleLimit(t *testing.T) {
	s, b := usualSection(), usualLoad()
	level := s.Gasket - s.FloatTop + s.Depth
	at, err := s.Close(b, level)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for _, e := range []Length{-10 * Millimetre, 10 * Millimetre} {
		c, err := s.Close(b, level+e)
		if err != nil {
			t.Fatal(err)
		}
		small, err := FloatHeight{FromGasketFace, e, (s.Near + s.Far) / 2, s.Far}.LevelShift()
		if err != nil {
			t.Fatal(err)
		}
		worst = math.Max(worst, math.Abs(float64((c.Level-at.Level)/small.Best)-1))
	}
	t.Logf("small-angle law off by %.1f %% at 10 mm", 100*worst)
	if worst > 0.1 {
		t.Errorf("small-angle law is off by %.1f %% at 10 mm; want at most 10 %%", 100*worst)
	}
	var out *RangeError
	if _, err := (FloatHeight{Datum: FromGasketFace, Error: 11 * Millimetre}).LevelShift(); !errors.As(err, &out) {
		t.Errorf("LevelShift of 11 mm: %v; want a RangeError", err)
	}
}
