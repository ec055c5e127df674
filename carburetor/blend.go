package carburetor

import "math"

// A Blend is an alcohol or other fuel in a base fuel, measured by volume before mixing.
type Blend struct {
	// Base and Added are the two fuels.
	Base, Added Fuel
	// Share is the volume fraction of Added, 0 to 1: 0.1 for E10.
	Share float64
}

func (b Blend) check() error {
	var bad faults
	b.Base.check(&bad)
	b.Added.check(&bad)
	between(&bad, "volume fraction", number(b.Share), 0, 1)
	return bad.err()
}

// MassShare returns the mass fraction of the added fuel.
//
//	w = v rho_e / (v rho_e + (1 - v) rho_g)
//
// Source: mass balance.
func (b Blend) MassShare() (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return b.massShare(), nil
}

func (b Blend) massShare() float64 {
	added := b.Share * float64(b.Added.Density)
	return added / (added + (1-b.Share)*float64(b.Base.Density))
}

// AFR returns the stoichiometric ratio of the blend from those of its parts.
//
//	AFR = (1 - w) AFR_g + w AFR_e
//
// Source: mass balance. With 14.7 and 9.0: E5 14.4, E10 14.1, E85 9.8.
func (b Blend) AFR(base, added AFR) (AFR, error) {
	w, err := b.MassShare()
	if err != nil {
		return 0, err
	}
	var bad faults
	positive(&bad, "air-fuel ratio of the base", base)
	positive(&bad, "air-fuel ratio of the added fuel", added)
	if bad != nil {
		return 0, bad.err()
	}
	return AFR(1-w)*base + AFR(w)*added, nil
}

// OxygenShare returns the mass fraction of oxygen in the blend.
//
//	w_O = w w_O,e + (1 - w) w_O,g
//
// Source: mass balance; EN 228 has 3.7 % at 10 % by volume of ethanol (abstract of EN
// 228:2012+A1:2017).
func (b Blend) OxygenShare() (float64, error) {
	w, err := b.MassShare()
	if err != nil {
		return 0, err
	}
	base, _ := b.Base.Composition.MassAnalysis(Convention{})
	added, _ := b.Added.Composition.MassAnalysis(Convention{})
	return w*added.Oxygen + (1-w)*base.Oxygen, nil
}

// Fuel returns the blend as a fuel: properties by mass, density by volume, viscosity by the
// logarithm of its parts by mass (own practice), the composition per average molecule. The
// limits of burning are left at 0, unknown: the vapour over a blend has not the blend's
// composition.
//
// Source: mass balance; the change of volume on mixing (under 0.5 %, recalled) is left out.
func (b Blend) Fuel() (Fuel, error) {
	w, err := b.MassShare()
	if err != nil {
		return Fuel{}, err
	}
	var bad faults
	positive(&bad, "viscosity of the base", b.Base.Viscosity)
	positive(&bad, "viscosity of the added fuel", b.Added.Viscosity)
	if bad != nil {
		return Fuel{}, bad.err()
	}
	mix := func(base, added float64) float64 { return (1-w)*base + w*added }
	byVolume := func(base, added float64) float64 { return (1-b.Share)*base + b.Share*added }
	g, e := b.Base, b.Added
	return Fuel{
		Name:        e.Name + " in " + g.Name,
		Composition: b.composition(w),
		Density:     Density(byVolume(float64(g.Density), float64(e.Density))),
		Expansion:   byVolume(g.Expansion, e.Expansion),
		Viscosity:   Viscosity(math.Exp(mix(math.Log(float64(g.Viscosity)), math.Log(float64(e.Viscosity))))),
		Latent:      SpecificEnergy(mix(float64(g.Latent), float64(e.Latent))),
		LowerHeat:   SpecificEnergy(mix(float64(g.LowerHeat), float64(e.LowerHeat))),
	}, nil
}

// composition is the average molecule of the blend.
func (b Blend) composition(w float64) Composition {
	c := Convention{}.filled()
	g, e := b.Base.Composition, b.Added.Composition
	x := w / e.grams(c) / (w/e.grams(c) + (1-w)/g.grams(c))
	part := func(base, added float64) float64 { return (1-x)*base + x*added }
	return Composition{
		Carbon: part(g.Carbon, e.Carbon), Hydrogen: part(g.Hydrogen, e.Hydrogen),
		Oxygen: part(g.Oxygen, e.Oxygen), Sulphur: part(g.Sulphur, e.Sulphur),
		Inert: Mass(part(float64(g.Inert), float64(e.Inert))),
	}
}

// FuelChange returns the factor on lambda when one fuel follows another through the same jets,
// before the float level shifts with the density.
//
//	lambda_2/lambda_1 = (AFR_st1/AFR_st2) sqrt(rho_1/rho_2)
//
// E10 after petrol leans by about 4 %. Source: own derivation (fuel flow goes with the root of
// its density).
func FuelChange(from, to Fuel) (float64, error) {
	var bad faults
	from.check(&bad)
	to.check(&bad)
	if bad != nil {
		return 0, bad.err()
	}
	a, err := from.StoichiometricAFR()
	if err != nil {
		return 0, err
	}
	b, err := to.StoichiometricAFR()
	return float64(a/b) * math.Sqrt(float64(from.Density/to.Density)), err
}

// ShareCurve samples the stoichiometric ratio over the share of the added fuel in per cent by
// volume; Share is ignored.
func (b Blend) ShareCurve(shares Span[float64]) (Curve, error) {
	x, y := Axis{b.Added.Name, "% by volume"}, Axis{"stoichiometric air-fuel ratio", ""}
	span := Span[number]{number(shares.From), number(shares.To), shares.Steps}
	return sample(span, x, y, func(v number) (Point, error) {
		b.Share = float64(v)
		f, err := b.Fuel()
		if err != nil {
			return Point{}, err
		}
		ratio, err := f.StoichiometricAFR()
		return Point{100 * float64(v), float64(ratio)}, err
	})
}
