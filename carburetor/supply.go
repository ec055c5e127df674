package carburetor

import "math"

// TapFlow returns what runs through a tap or filter under a head of fuel.
//
//	Q = Cd A sqrt(2 g H)
//
// A 3 mm tap under 0.3 m gives 10 ml/s, several times what a small engine needs. Source: K.
// Subramanya, 1000 Solved Problems in Fluid Mechanics, example 13.1, p. 320 (as solved in an
// open textbook companion). Head 0 or more.
func TapFlow(o Orifice, head Length) (VolumeFlow, error) {
	var bad faults
	o.check(&bad, "tap")
	notNegative(&bad, "head", head)
	if bad != nil {
		return 0, bad.err()
	}
	return VolumeFlow(o.Discharge * float64(o.Area) * math.Sqrt(2*gravity*float64(head))), nil
}

// DrainTime returns how long a vessel with straight walls takes to drain through an orifice
// from one head to another.
//
//	t = 2 A (sqrt(H1) - sqrt(H2)) / (Cd a sqrt(2 g))
//
// Source: J. Lal, Hydraulics, example 3.6, p. 82 (as solved in an open textbook companion).
func DrainTime(surface Area, o Orifice, from, to Length) (Duration, error) {
	var bad faults
	positive(&bad, "surface of the vessel", surface)
	o.check(&bad, "outlet")
	positive(&bad, "head", from)
	between(&bad, "head left", to, 0, from)
	if bad != nil {
		return 0, bad.err()
	}
	fall := math.Sqrt(float64(from)) - math.Sqrt(float64(to))
	return Duration(2 * float64(surface) * fall / (o.Discharge * float64(o.Area) * math.Sqrt(2*gravity))), nil
}

// DrainCurve samples the head left in millimetres over the time in seconds, from a full head
// until it is gone or the span ends.
//
//	H(t) = (sqrt(H1) - Cd a sqrt(2 g) t / (2 A))^2
func DrainCurve(surface Area, o Orifice, from Length, times Span[Duration]) (Curve, error) {
	empty, err := DrainTime(surface, o, from, 0)
	if err != nil {
		return Curve{}, err
	}
	x, y := Axis{"time", "s"}, Axis{"head left", "mm"}
	return sample(times, x, y, func(t Duration) (Point, error) {
		left := math.Max(0, 1-float64(t/empty))
		return Point{float64(t), from.In(Millimetre) * left * left}, nil
	})
}

// A Pipe is a straight round passage, such as a fuel hose.
type Pipe struct {
	// Bore and Length above 0.
	Bore, Length Length
}

func (p Pipe) check(bad *faults) {
	positive(bad, "bore of the pipe", p.Bore)
	positive(bad, "length of the pipe", p.Length)
}

// Reynolds numbers between which a pipe is neither surely laminar nor surely turbulent, and the
// end of Blasius's law (MEMORY).
const (
	laminarReynolds   = 2000
	turbulentReynolds = 4000
	blasiusReynolds   = 1e5
)

// Reynolds returns the Reynolds number of a flow in the pipe.
//
//	Re = 4 Q / (pi d nu)
//
// Source: definition.
func (p Pipe) Reynolds(q VolumeFlow, nu Viscosity) (float64, error) {
	var bad faults
	p.check(&bad)
	notNegative(&bad, "flow", q)
	positive(&bad, "viscosity", nu)
	if bad != nil {
		return 0, bad.err()
	}
	return p.reynolds(q, nu), nil
}

func (p Pipe) reynolds(q VolumeFlow, nu Viscosity) float64 {
	return 4 * float64(q) / (math.Pi * float64(p.Bore) * float64(nu))
}

// LaminarFlow returns the flow of a liquid under a pressure, if it stays laminar; beyond Re
// 2000 it returns a RangeError whose Value is the flow, which is then too high.
//
//	Q = pi r^4 dp / (8 mu L)
//
// Source: law of Hagen and Poiseuille; Subramanya, examples 7.8 and 7.9, pp. 163-164.
func (p Pipe) LaminarFlow(fuel Liquid, drop Pressure) (VolumeFlow, error) {
	var bad faults
	p.check(&bad)
	fuel.check(&bad)
	notNegative(&bad, "pressure drop", drop)
	if bad != nil {
		return 0, bad.err()
	}
	r := float64(p.Bore) / 2
	mu := float64(fuel.Viscosity) * float64(fuel.Density)
	q := math.Pi * r * r * r * r * float64(drop) / (8 * mu * float64(p.Length))
	re := p.reynolds(VolumeFlow(q), fuel.Viscosity)
	if err := within("laminar flow in a pipe", "Reynolds number", number(re), 0, laminarReynolds, q); err != nil {
		return 0, err
	}
	return VolumeFlow(q), nil
}

// HeadLoss returns the head that a flow loses in the pipe; up to Re 100000.
//
//	h = 32 nu V L / (g d^2)              Re <= 2000
//	h = f (L/d) V^2/(2 g), f = 0.316 Re^-0.25   Re >= 4000
//
// Between, the two are joined along a straight line in Re. Source: Subramanya, examples 7.8 and
// 7.9, pp. 163-164; Blasius's friction factor is MEMORY.
func (p Pipe) HeadLoss(q VolumeFlow, nu Viscosity) (Length, error) {
	re, err := p.Reynolds(q, nu)
	if err != nil {
		return 0, err
	}
	h := p.headLoss(q, nu)
	if err := within("friction in a pipe", "Reynolds number", number(re), 0, blasiusReynolds, float64(h)); err != nil {
		return 0, err
	}
	return h, nil
}

func (p Pipe) headLoss(q VolumeFlow, nu Viscosity) Length {
	re := p.reynolds(q, nu)
	v := float64(q) / float64(CircleArea(p.Bore))
	laminar := 32 * float64(nu) * v * float64(p.Length) / (gravity * float64(p.Bore*p.Bore))
	if re <= laminarReynolds {
		return Length(laminar)
	}
	f := 0.316 / math.Sqrt(math.Sqrt(re))
	turbulent := f * float64(p.Length/p.Bore) * v * v / (2 * gravity)
	if re >= turbulentReynolds {
		return Length(turbulent)
	}
	t := (re - laminarReynolds) / (turbulentReynolds - laminarReynolds)
	return Length(laminar*(1-t) + turbulent*t)
}
