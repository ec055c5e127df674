package carburetor

// An AirLeak is air that gets into the manifold past the carburetor.
type AirLeak struct {
	// Area of the leak, 0 or more.
	Area Area
	// Discharge is its coefficient, 0 to 1; zero means 0.8 (recalled).
	Discharge float64
	// Duty is the share of time that the manifold is at the given pressure, 0 to 1; zero means
	// 1. A single cylinder's manifold is near ambient for most of the cycle: 0.3 to 0.6
	// (recalled).
	Duty float64
}

// leakDischarge is the default discharge coefficient of a leak, recalled.
const leakDischarge = 0.8

func (l AirLeak) check(bad *faults) {
	notNegative(bad, "leak area", l.Area)
	share(bad, "leak discharge coefficient", or(l.Discharge, leakDischarge))
	share(bad, "share of time under vacuum", or(l.Duty, 1))
}

// Flow returns the air that leaks from the air around into a manifold at an absolute pressure,
// sonic or not. It is NozzleFlux of Gas through the leak:
//
//	m = duty Cd A NozzleFlux(air, p_m)
//
// Sonic it is 241 kg/s per square metre of Cd A from standard air, whatever the vacuum. Source:
// as NozzleFlux: Fox and McDonald, Introduction to Fluid Mechanics, ch. 12 example 2, p. 634;
// the duty is own practice.
func (l AirLeak) Flow(air GasState, manifold Pressure) (MassFlow, error) {
	var bad faults
	l.check(&bad)
	air.check(&bad)
	between(&bad, "manifold pressure", manifold, 0, air.Pressure)
	if bad != nil {
		return 0, bad.err()
	}
	return l.flow(air, manifold), nil
}

func (l AirLeak) flow(air GasState, manifold Pressure) MassFlow {
	effective := or(l.Duty, 1) * or(l.Discharge, leakDischarge) * float64(l.Area)
	return MassFlow(effective * float64(DryAir().nozzleFlux(air, manifold)))
}

// SonicVacuum returns the vacuum beyond which a leak is sonic: 14.1 inHg in standard air.
//
//	p_a - p_m = p_a (1 - r*)
//
// r* is Gas.CriticalRatio. Source: as NozzleFlux: Fox and McDonald, ch. 12 example 2, p. 634.
func SonicVacuum(outside Pressure) (Pressure, error) {
	var bad faults
	positive(&bad, "pressure outside", outside)
	return outside * Pressure(1-criticalRatio(airGamma)), bad.err()
}

// LeakedLambda returns the mixture when leak air is added to the air of the carburetor and the
// fuel stays as it is, as at idle with the throttle on its stop. With no leak nothing changes.
// The effect goes with leak/air and so fades as the throttle opens: that is the sign to look
// for.
//
//	lambda = lambda_0 (m_a + m_leak) / m_a
//
// Not for a vacuum that the leak itself lowers below the sonic one: the pilot's fuel then falls
// too.
//
// Source: mass balance.
func LeakedLambda(before Lambda, air, leak MassFlow) (Lambda, error) {
	var bad faults
	positive(&bad, "lambda", before)
	positive(&bad, "air flow", air)
	notNegative(&bad, "leak flow", leak)
	if bad != nil {
		return 0, bad.err()
	}
	return before * Lambda((air+leak)/air), nil
}

// A LeakSearch is what must be known to tell the size of a leak from its effect.
type LeakSearch struct {
	// Before and Now are the mixture without the leak and as found; Now at least Before.
	Before, Now Lambda
	// CarburetorAir is the air through the carburetor; see Motor.AirFlow.
	CarburetorAir MassFlow
	// Outside is the air around, Manifold the absolute pressure in the manifold.
	Outside  GasState
	Manifold Pressure
	// Leak gives discharge coefficient and duty; its Area is ignored.
	Leak AirLeak
}

// LeakArea returns how large a leak must be to explain the mixture. It returns ErrNoDifference
// when the manifold has no vacuum: no leak could show.
//
//	A = m_a (lambda/lambda_0 - 1) / (duty Cd NozzleFlux)
//
// Source: mass balance and NozzleFlux.
func (s LeakSearch) LeakArea() (Area, error) {
	var bad faults
	s.Leak.Area = 1
	s.Leak.check(&bad)
	s.Outside.check(&bad)
	positive(&bad, "lambda before", s.Before)
	positive(&bad, "lambda now", s.Now)
	if s.Now < s.Before {
		bad.add("lambda now", s.Now.String(), "at least lambda before: a leak does not enrich")
	}
	positive(&bad, "air flow", s.CarburetorAir)
	between(&bad, "manifold pressure", s.Manifold, 0, s.Outside.Pressure)
	if bad != nil {
		return 0, bad.err()
	}
	flux := s.Leak.flow(s.Outside, s.Manifold)
	if flux == 0 {
		return 0, ErrNoDifference
	}
	return Area(float64(s.CarburetorAir) * (float64(s.Now/s.Before) - 1) / float64(flux)), nil
}

// LambdaCurve samples the mixture over the size of the leak in square millimetres; Now is
// ignored.
func (s LeakSearch) LambdaCurve(areas Span[Area]) (Curve, error) {
	x, y := Axis{"leak area", "mm2"}, Axis{"lambda", ""}
	return sample(areas, x, y, func(a Area) (Point, error) {
		l := s.Leak
		l.Area = a
		m, err := l.Flow(s.Outside, s.Manifold)
		if err != nil {
			return Point{}, err
		}
		lambda, err := LeakedLambda(s.Before, s.CarburetorAir, m)
		return Point{a.In(SquareMillimetre), float64(lambda)}, err
	})
}
