package carburetor

import "math"

// An Exhaust is a dry exhaust gas in per cent by volume. What was not measured is 0.
type Exhaust struct {
	// CO2, CO and O2 are what a workshop analyser shows.
	CO2, CO, O2 float64
	// HC is hydrocarbons counted as carbon atoms (C1); see HexaneHC.
	HC float64
	// NO, H2 and N2 are seldom measured.
	NO, H2, N2 float64
}

func (e Exhaust) check(bad *faults) {
	parts := [...]struct {
		name  string
		value float64
	}{{"CO2", e.CO2}, {"CO", e.CO}, {"O2", e.O2}, {"HC", e.HC}, {"NO", e.NO}, {"H2", e.H2}, {"N2", e.N2}}
	sum := 0.0
	for _, p := range parts {
		between(bad, p.name+" in per cent", number(p.value), 0, 100)
		sum += p.value
	}
	// Analysers round each gas; a half per cent over is not a mistake.
	below(bad, "sum of the gases in per cent", number(sum), 100.5)
	positive(bad, "CO2 and CO together", number(e.CO2+e.CO))
}

// carbon is all carbon in moles per 100 moles of dry gas.
func (e Exhaust) carbon() float64 { return e.CO2 + e.CO + e.HC }

// HexaneHC turns the reading of an infrared analyser calibrated with hexane into HC of Exhaust.
//
//	C1 % = 6 ppm/10^4
//
// Source: definition of the hexane equivalent. That the analyser sees only about half of
// exhaust hydrocarbons, which makes 12 of the 6, has been argued (Singer and Harley 1998, as
// cited in a white paper on the Brettschneider equation).
func HexaneHC(ppm float64) (float64, error) {
	var bad faults
	between(&bad, "hydrocarbons in ppm", number(ppm), 0, 1e5)
	return 6 * ppm / 1e4, bad.err()
}

// waterGas is the constant of Brettschneider's formula, as seen there. The exhaust script of
// MIT course 2.61 has 3.7.
const waterGas = 3.5

// A Burn is a mixture whose exhaust is wanted.
type Burn struct {
	Lambda Lambda // 0.5 to 3
	// Fuel must have carbon; its sulphur is left out.
	Fuel Composition
	// Equilibrium is K = CO H2O / (CO2 H2) in a rich exhaust: 3.5 to 3.8; zero means 3.5.
	// Infinity means no hydrogen at all, as simple textbook balances have it; CO is then
	// overstated.
	Equilibrium float64
	Convention  Convention
}

// Exhaust returns the dry exhaust of an even mixture burnt as far as its oxygen goes.
//
//	CO2 = x, CO = 1-x, H2O = w, H2 = m/2 - w per carbon atom
//	2x + (1-x) + w - n = 2 lambda (1 + m/4 - n/2),  K = CO H2O / (CO2 H2)
//
// for lambda below 1; above, everything burns and O2 is left. Real engines show 0.3 to 1 % CO
// near lambda 1, from uneven mixture (recalled). Source: the exhaust script of MIT course 2.61;
// Gupta, example 3.5, p. 72 without hydrogen.
func (b Burn) Exhaust() (Exhaust, error) {
	var bad faults
	b.Fuel.check(&bad)
	b.Convention.check(&bad)
	positive(&bad, "carbon in the fuel", number(b.Fuel.Carbon))
	between(&bad, "lambda", b.Lambda, 0.5, 3)
	if b.Equilibrium != 0 && !(b.Equilibrium > 0) {
		positive(&bad, "water-gas constant", number(b.Equilibrium))
	}
	if bad != nil {
		return Exhaust{}, bad.err()
	}
	return b.balance()
}

func (b Burn) balance() (Exhaust, error) {
	m, n := b.Fuel.Hydrogen/b.Fuel.Carbon, b.Fuel.Oxygen/b.Fuel.Carbon
	need := 1 + m/4 - n/2
	supply := float64(b.Lambda) * need
	air := b.Convention.filled()
	e := Exhaust{CO2: 1, N2: supply * (1 - air.OxygenInAir) / air.OxygenInAir}
	if b.Lambda >= 1 {
		e.O2 = supply - need
		return e.percent(), nil
	}
	// Oxygen atoms to share out among CO2, CO and H2O beyond one per carbon.
	spare := 2*supply + n - 1
	if spare < 0 {
		return Exhaust{}, &RangeError{
			Formula: "rich exhaust", Quantity: "lambda", Got: b.Lambda.String(),
			Valid: "mixtures with oxygen enough to burn all carbon to CO", Value: math.NaN(),
		}
	}
	e.CO2 = root(math.Max(0, spare-m/2), math.Min(1, spare), func(x float64) float64 {
		return b.imbalance(x, spare-x, m)
	})
	e.CO, e.H2 = 1-e.CO2, m/2-(spare-e.CO2)
	return e.percent(), nil
}

// imbalance is CO2 H2 K - CO H2O, zero in equilibrium; it rises with CO2 (x).
func (b Burn) imbalance(x, water, m float64) float64 {
	hydrogen := m/2 - water
	if math.IsInf(b.Equilibrium, 1) {
		return x * hydrogen
	}
	return or(b.Equilibrium, waterGas)*x*hydrogen - (1-x)*water
}

// percent scales the gases of a computed exhaust to 100; it has neither HC nor NO.
func (e Exhaust) percent() Exhaust {
	f := 100 / (e.CO2 + e.CO + e.O2 + e.H2 + e.N2)
	return Exhaust{CO2: e.CO2 * f, CO: e.CO * f, O2: e.O2 * f, H2: e.H2 * f, N2: e.N2 * f}
}

// COCurve samples carbon monoxide in per cent over lambda; Lambda is ignored.
func (b Burn) COCurve(lambdas Span[Lambda]) (Curve, error) {
	return sample(lambdas, Axis{"lambda", ""}, Axis{"CO, dry", "%"}, func(l Lambda) (Point, error) {
		b.Lambda = l
		e, err := b.Exhaust()
		return Point{float64(l), e.CO}, err
	})
}
