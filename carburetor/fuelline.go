package carburetor

import "math"

// A FuelLine is what lies between tank and float valve: taps, filters and valve as orifices in
// series, and a hose.
type FuelLine struct {
	// Restrictions in series, at least one.
	Restrictions []Orifice
	// Hose may be zero for none.
	Hose Pipe
	Fuel Liquid
}

func (l FuelLine) check(bad *faults) {
	if len(l.Restrictions) == 0 {
		bad.add("number of restrictions", "0", "at least 1")
	}
	for _, r := range l.Restrictions {
		r.check(bad, "restriction")
	}
	l.Fuel.check(bad)
	if l.Hose != (Pipe{}) {
		l.Hose.check(bad)
	}
}

// Flow returns what runs through the line under a head: the flow at which the heads lost add to
// it.
//
//	H = sum of Q^2/(2 g (Cd A)^2) + h_hose(Q)
//
// Source: own derivation from TapFlow and Pipe.HeadLoss.
func (l FuelLine) Flow(head Length) (VolumeFlow, error) {
	var bad faults
	l.check(&bad)
	notNegative(&bad, "head", head)
	if bad != nil {
		return 0, bad.err()
	}
	if head == 0 {
		return 0, nil
	}
	q := l.flow(head)
	if l.Hose == (Pipe{}) {
		return q, nil
	}
	if _, err := l.Hose.HeadLoss(q, l.Fuel.Viscosity); err != nil {
		return 0, err
	}
	return q, nil
}

func (l FuelLine) flow(head Length) VolumeFlow {
	resistance := 0.0
	for _, r := range l.Restrictions {
		c := r.Discharge * float64(r.Area)
		resistance += 1 / (2 * gravity * c * c)
	}
	free := math.Sqrt(float64(head) / resistance)
	if l.Hose == (Pipe{}) {
		return VolumeFlow(free)
	}
	return VolumeFlow(root(0, free, func(q float64) float64 {
		return resistance*q*q + float64(l.Hose.headLoss(VolumeFlow(q), l.Fuel.Viscosity)) - float64(head)
	}))
}

// Reserve returns the flow of the line over a demand: below 1 the bowl starves.
//
//	reserve = Q(H) rho_f / m_demand
//
// Source: Flow and FlowReserve.
func (l FuelLine) Reserve(head Length, demand MassFlow) (float64, error) {
	q, err := l.Flow(head)
	if err != nil {
		return 0, err
	}
	return FlowReserve(q, l.Fuel.Density, demand)
}

// FlowReserve returns a measured flow over a demand: below 1 the bowl starves.
//
//	reserve = Q rho_f / m_demand
//
// Source: mass balance; see FuelDemand.
func FlowReserve(flow VolumeFlow, fuel Density, demand MassFlow) (float64, error) {
	var bad faults
	notNegative(&bad, "flow", flow)
	positive(&bad, "fuel density", fuel)
	positive(&bad, "fuel demand", demand)
	if bad != nil {
		return 0, bad.err()
	}
	return float64(flow) * float64(fuel) / float64(demand), nil
}

// FlowCurve samples the flow in millilitres per minute over the head in millimetres.
func (l FuelLine) FlowCurve(heads Span[Length]) (Curve, error) {
	x, y := Axis{"head", "mm"}, Axis{"flow", "ml/min"}
	return sample(heads, x, y, func(h Length) (Point, error) {
		q, err := l.Flow(h)
		return Point{h.In(Millimetre), q.In(MillilitrePerMinute)}, err
	})
}
