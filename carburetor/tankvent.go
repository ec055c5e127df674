package carburetor

// A BlockedTank is a tank whose vent lets no air in.
type BlockedTank struct {
	// Gas is the volume over the fuel, above 0. A nearly full tank has little and stops
	// soonest.
	Gas Volume
	// Head is the fuel's surface above the float valve, above 0.
	Head Length
	// Fuel is its density, above 0.
	Fuel Density
	// Outside is the absolute pressure around, which the tank had when it was closed.
	Outside Pressure
	// Vapour is the pressure of fuel vapour that refills the space as it grows: 0 for none;
	// petrol 40 to 60 kPa at 20 to 30 °C (recalled). Less than Outside less the head.
	Vapour Pressure
	// ValveNeed is the pressure that the float valve needs to pass the demand, 0 or more, less
	// than the head's.
	ValveNeed Pressure
}

func (b BlockedTank) check(bad *faults) {
	positive(bad, "gas space of the tank", b.Gas)
	positive(bad, "head", b.Head)
	positive(bad, "fuel density", b.Fuel)
	positive(bad, "pressure outside", b.Outside)
	notNegative(bad, "vapour pressure", b.Vapour)
	notNegative(bad, "pressure that the valve needs", b.ValveNeed)
	if *bad != nil {
		return
	}
	head := HeadPressure(b.Fuel, b.Head)
	below(bad, "pressure that the valve needs", b.ValveNeed, head)
	below(bad, "vapour pressure", b.Vapour, b.Outside-b.fall())
}

// fall is the loss of pressure over the fuel at which it stops.
func (b BlockedTank) fall() Pressure { return HeadPressure(b.Fuel, b.Head) - b.ValveNeed }

// Drawn returns how much fuel leaves the tank before it stops.
//
//	dV = V_gas dp / (p_a - p_v - dp),  dp = rho_f g H - p_valve
//
// Air expands at constant temperature (Boyle), the vapour p_v stays saturated. The head is
// taken as constant. Source: own derivation.
func (b BlockedTank) Drawn() (Volume, error) {
	var bad faults
	b.check(&bad)
	if bad != nil {
		return 0, bad.err()
	}
	dp := b.fall()
	return b.Gas * Volume(dp/(b.Outside-b.Vapour-dp)), nil
}

// TimeToStarve returns how long the engine runs on after the tank was closed: what the tank
// still gives and what the bowl holds, at a steady demand.
//
//	t = (dV + V_bowl) / Q
//
// A bowl holds 30 to 60 cm3 (recalled), of which it can use the part above the jets. Shops
// report fading after one or two minutes and a brief restart after ten
// (polartreeandenginecare.com, Vapor lock); air that leaks in slowly, or fuel that warms, makes
// it longer or hides it. Source: Drawn.
func (b BlockedTank) TimeToStarve(bowl Volume, demand VolumeFlow) (Duration, error) {
	v, err := b.Drawn()
	if err != nil {
		return 0, err
	}
	var bad faults
	notNegative(&bad, "usable volume of the bowl", bowl)
	positive(&bad, "fuel demand", demand)
	if bad != nil {
		return 0, bad.err()
	}
	return Duration(float64(v+bowl) / float64(demand)), nil
}

// PressureCurve samples the pressure left to drive the fuel in kilopascals over the fuel drawn
// in millilitres.
//
//	p = rho_f g H - (p_a - p_v) dV/(V_gas + dV)
//
// Source: as Drawn.
func (b BlockedTank) PressureCurve(drawn Span[Volume]) (Curve, error) {
	var bad faults
	b.check(&bad)
	if bad != nil {
		return Curve{}, bad.err()
	}
	x, y := Axis{"fuel drawn", "ml"}, Axis{"pressure left at the float valve", "kPa"}
	return sample(drawn, x, y, func(v Volume) (Point, error) {
		fall := (b.Outside - b.Vapour) * Pressure(v/(b.Gas+v))
		left := HeadPressure(b.Fuel, b.Head) - fall
		return Point{v.In(CubicCentimetre), left.In(Kilopascal)}, nil
	})
}
