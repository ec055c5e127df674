package carburetor

import "math"

// SlideOpening returns the open area of a round bore when the slide stands the given lift above
// its floor; 0 to the bore's diameter.
//
//	A = R^2 acos((R - x)/R) - (R - x) sqrt(2 R x - x^2)
//
// Source: area of a circular segment (geometry). The slide's cutaway is not in it.
func SlideOpening(bore, lift Length) (Area, error) {
	var bad faults
	positive(&bad, "bore", bore)
	between(&bad, "slide lift", lift, 0, bore)
	if bad != nil {
		return 0, bad.err()
	}
	return slideOpening(bore, lift), nil
}

func slideOpening(bore, lift Length) Area {
	r, x := float64(bore)/2, float64(lift)
	if x < 1e-4*r {
		// The difference below loses its digits; this is its series for small x/R.
		return Area(4.0 / 3 * x * math.Sqrt(2*r*x) * (1 - 0.15*x/r))
	}
	// Rounding may bring the root's argument below zero at full lift.
	return Area(r*r*math.Acos((r-x)/r) - (r-x)*math.Sqrt(math.Max(0, 2*r*x-x*x)))
}

// A Needle hangs from the slide in the needle jet.
type Needle struct {
	// Straight is the diameter of its cylindrical part, above 0.
	Straight Length
	// TaperFrom is the slide lift at which the taper enters the jet, 0 or more. A clip set
	// lower on the needle raises the needle and makes this smaller.
	TaperFrom Length
	// Taper is the loss of diameter per length, 0 to 0.2.
	Taper float64
}

// steepestTaper bounds the input; usual needles lose 0.02 to 0.04 mm per mm (recalled).
const steepestTaper = 0.2

func (n Needle) check(bad *faults) {
	positive(bad, "needle diameter", n.Straight)
	notNegative(bad, "lift where the taper begins", n.TaperFrom)
	between(bad, "needle taper", number(n.Taper), 0, steepestTaper)
}

// Diameter returns the diameter of the needle in the jet at a slide lift, 0 where it has left
// it.
//
//	d(x) = d_0 - taper (x - x_0),  x > x_0
//
// Source: geometry of a needle with one taper.
func (n Needle) Diameter(lift Length) Length {
	return max(0, n.Straight-max(0, lift-n.TaperFrom)*Length(n.Taper))
}

// A SlideCarburetor meters with a slide in the air and a needle in the fuel.
type SlideCarburetor struct {
	// Bore of the carburetor, above 0.
	Bore Length
	// Discharge is that of the air passage under the slide, above 0, at most 1.
	Discharge float64
	// NeedleJet is its bore, wider than the needle; 2.4 to 2.7 mm (recalled).
	NeedleJet Length
	Needle    Needle
	// MainJet is the main jet with its discharge coefficient, which the annulus is taken to
	// share.
	MainJet Orifice
	// Lip, Fuel and Air are as in Elementary.
	Lip  Length
	Fuel Density
	Air  Inlet
}

func (s SlideCarburetor) check(lift Length) error {
	var bad faults
	positive(&bad, "bore", s.Bore)
	between(&bad, "slide lift", lift, 0, s.Bore)
	s.Needle.check(&bad)
	above(&bad, "needle jet bore", s.NeedleJet, s.Needle.Straight)
	s.MainJet.check(&bad, "main jet")
	return bad.err()
}

// FuelArea returns the effective metering area of annulus and main jet in series at a slide
// lift.
//
//	A_nj = pi/4 (d_nj^2 - d_needle(x)^2)
//	1/A_eff^2 = 1/A_mj^2 + 1/A_nj^2
//
// Equal discharge coefficients. At small lift the annulus rules, at full lift the main jet.
// Source: own derivation (pressure drops in series add).
func (s SlideCarburetor) FuelArea(lift Length) (Area, error) {
	if err := s.check(lift); err != nil {
		return 0, err
	}
	return s.fuelArea(lift), nil
}

func (s SlideCarburetor) fuelArea(lift Length) Area {
	ring := float64(CircleArea(s.NeedleJet) - CircleArea(s.Needle.Diameter(lift)))
	return Area(1 / math.Hypot(1/float64(s.MainJet.Area), 1/ring))
}

// Mixture returns what the carburetor delivers at a slide lift (above 0) and a depression:
// Elementary.Mixture with the areas of that lift.
//
//	A_v = slide opening, A_j = A_eff(x)
//
// Source: as FuelArea and Elementary.Mixture.
func (s SlideCarburetor) Mixture(lift Length, depression Pressure) (Mixture, error) {
	if err := s.check(lift); err != nil {
		return Mixture{}, err
	}
	var bad faults
	positive(&bad, "slide lift", lift)
	if bad != nil {
		return Mixture{}, bad.err()
	}
	e := Elementary{
		Venturi: Venturi{Throat: slideOpening(s.Bore, lift).Diameter(), Discharge: s.Discharge},
		Jet:     Orifice{s.fuelArea(lift), s.MainJet.Discharge},
		Lip:     s.Lip, Fuel: s.Fuel, Air: s.Air,
	}
	return e.Mixture(depression)
}

// FuelAreaCurve samples the metering area in square millimetres over the slide lift in
// millimetres.
func (s SlideCarburetor) FuelAreaCurve(lifts Span[Length]) (Curve, error) {
	x, y := Axis{"slide lift", "mm"}, Axis{"metering area", "mm2"}
	return sample(lifts, x, y, func(l Length) (Point, error) {
		a, err := s.FuelArea(l)
		return Point{l.In(Millimetre), a.In(SquareMillimetre)}, err
	})
}
