package report

import (
	"fmt"
	"strings"

	"diagnose.example/carburetor"
)

// openFuel is the caution of work at the tank.
const openFuel = "Fuel runs in the open: engine cold, outdoors or door open, no ignition source, approved can on the ground, gloves and glasses."

// tapFlow answers whether a tap feeds the engine.
func tapFlow() *Calculator {
	bore := Input{
		Name: "tap-bore", Text: "narrowest bore of the tap", Question: "How wide is the narrowest bore of the tap?", Unit: "mm", Range: [2]float64{0.3, 20},
		Uncertainty: 0.1, Sample: "3 mm", Required: true, Unless: "measured",
	}
	head := headInput()
	head.Text, head.Question, head.Detail = "fuel in the tank above the outlet of the hose", "How high does the fuel stand above the outlet of the hose?", false
	return &Calculator{
		ID: "tap-flow", Also: []string{"tap", "fuel-flow", "petcock"},
		Title: "whether tap, filter and hose feed the engine",
		Text: "Works out what runs through a tap under a head of fuel, with a filter and a hose behind it, or takes the flow as measured, and sets it " +
			"against what the engine drinks. A dirty screen passes less than its bore.",
		Inputs: []Input{
			{
				Name: "measured", Text: "flow as measured into a can", Question: "What flow was measured into a can (Enter if none was)?", Unit: "ml/min",
				Range: [2]float64{1, 20000}, Uncertainty: 20, Sample: "240 ml/min",
			},
			bore, head,
			{Name: "filter-bore", Text: "narrowest bore of a filter or another tap behind it", Unit: "mm", Range: [2]float64{0.3, 20}, Uncertainty: 0.1, Detail: true},
			{Name: "hose-bore", Text: "bore of the hose; with --hose-length", Unit: "mm", Range: [2]float64{1, 20}, Uncertainty: 0.2, Detail: true},
			{Name: "hose-length", Text: "length of the hose; with --hose-bore", Unit: "mm", Range: [2]float64{10, 5000}, Detail: true},
			{
				Name: "discharge", Text: "discharge coefficient of the bores", Range: [2]float64{0.1, 1}, Uncertainty: 0.02, Default: "0.67 ± 0.04",
				Because: "0.6 to 0.75 in textbook examples with fuel", Detail: true,
			},
			{
				Name: "displacement", Text: "displacement of the whole engine; for its demand", Question: "What is the displacement of the whole engine?", Unit: "ml",
				Range: [2]float64{20, 3000},
			},
			{
				Name: "speed", Text: "speed at full throttle", Question: "How fast does it turn at full throttle?", Unit: "rpm", Range: [2]float64{500, 16000},
				Default: "7000 ± 500 rpm", Because: ownChoice,
			},
			{
				Name: "filling", Text: "volumetric efficiency at full throttle", Unit: "%", Range: [2]float64{20, 130}, Default: "78 ± 4 %",
				Because: "0.7 to 0.85 at full throttle in textbook examples", Detail: true,
			},
			{
				Name: "afr", Text: "air-fuel ratio at full throttle", Range: [2]float64{8, 18}, Default: "13 ± 0.3",
				Because: "best power at 12.5 to 13.5, Carburetor basics (training text)", Detail: true,
			},
			strokesInput(),
		},
		Formulas: []string{"TapFlow", "FuelLine.Flow", "Pipe.HeadLoss", "Motor.AirVolume", "Motor.AirFlow", "FlowReserve"},
		Caution:  openFuel,
		Worked: "a tap of 3 mm under 300 mm of fuel gives 690 ml/min; a 360 cc engine at 7000 rpm and full throttle drinks 124 ml/min, so such a tap feeds it " +
			"5.5 times over, unless it is dirty.",
		Examples: []string{
			`--tap-bore "3 mm" --displacement "360 cc"`,
			`--measured "240 ml/min" --displacement "360 cc" --speed 8000`,
			`--tap-bore "4 mm" --hose-bore "6 mm" --hose-length "0.4 m" --head "0.2 m"`,
		},
		blames: map[string]string{
			"restriction": "--tap-bore and --filter-bore", "tap": "--tap-bore", "bore of the pipe": "--hose-bore", "length of the pipe": "--hose-length",
			"Reynolds number": "--head, --hose-bore and --hose-length", "head": "--head", "volumetric efficiency": "--filling",
		},
		model: tapModel,
		tell:  tapTold,
		curve: func(g *given, r *Reckoning) error {
			if g.has("measured") {
				return nil
			}
			return r.sweepFromZero("head", 0, max(600, 1.5e3*g.si("head")), "flow")
		},
	}
}

// line is the way of the fuel.
func (g *given) line() (carburetor.FuelLine, error) {
	l := carburetor.FuelLine{Fuel: carburetor.Petrol().Liquid()}
	for _, name := range []string{"tap-bore", "filter-bore"} {
		if g.has(name) {
			area := carburetor.CircleArea(carburetor.Length(g.si(name)))
			l.Restrictions = append(l.Restrictions, carburetor.Orifice{Area: area, Discharge: g.si("discharge")})
		}
	}
	if g.has("hose-bore") != g.has("hose-length") {
		return l, &InputFault{"--hose-bore and --hose-length", "only one of them is given", `write both: --hose-bore "6 mm" --hose-length "0.4 m"`}
	}
	if g.has("hose-bore") {
		l.Hose = carburetor.Pipe{Bore: carburetor.Length(g.si("hose-bore")), Length: carburetor.Length(g.si("hose-length"))}
	}
	return l, nil
}

func tapModel(g *given) ([]Result, error) {
	flow, err := g.flow()
	if err != nil {
		return nil, err
	}
	out := []Result{{Key: "flow", Name: "Flow", Unit: "ml/min", Value: flow.In(carburetor.MillilitrePerMinute)}}
	if !g.has("displacement") {
		return out, nil
	}
	motor, density, air, err := g.seaLevelAir()
	if err != nil {
		return nil, err
	}
	if err := g.airDrawn(motor, density); err != nil {
		return nil, err
	}
	fuel := carburetor.Petrol().Density
	demand := carburetor.MassFlow(float64(air) / g.si("afr"))
	reserve, err := carburetor.FlowReserve(flow, fuel, demand)
	if err != nil {
		return nil, err
	}
	drunk := carburetor.VolumeFlow(float64(demand) / float64(fuel))
	g.by("FlowReserve", "demand = %s / %s / %s = %s", measure(air.In(carburetor.GramPerSecond), "g/s"), g.fig("afr"), measure(float64(fuel), "kg/m3"),
		measure(drunk.In(carburetor.MillilitrePerMinute), "ml/min"))
	g.by("FlowReserve", "reserve = %s / %s = %s", measure(flow.In(carburetor.MillilitrePerMinute), "ml/min"),
		measure(drunk.In(carburetor.MillilitrePerMinute), "ml/min"), number(reserve))
	return append(out,
		Result{Key: "demand", Name: "Engine drinks at full throttle", Unit: "ml/min", Value: drunk.In(carburetor.MillilitrePerMinute)},
		Result{Key: "reserve", Name: "Flow, times what it drinks", Value: reserve}), nil
}

// flow is what was measured, or else what the line passes.
func (g *given) flow() (carburetor.VolumeFlow, error) {
	if g.has("measured") {
		if g.has("tap-bore") {
			return 0, &InputFault{"--measured and --tap-bore", "both are given", "leave one out: the flow as measured, or the bore to work it out from"}
		}
		return carburetor.VolumeFlow(g.si("measured")), nil
	}
	l, err := g.line()
	if err != nil {
		return 0, err
	}
	head := carburetor.Length(g.si("head"))
	q, err := l.Flow(head)
	if err != nil {
		return 0, err
	}
	return q, g.lineWork(l, head, q)
}

// lineWork writes out the flow through a line.
func (g *given) lineWork(l carburetor.FuelLine, head carburetor.Length, q carburetor.VolumeFlow) error {
	flow := measure(q.In(carburetor.MillilitrePerMinute), "ml/min")
	if len(l.Restrictions) == 1 && l.Hose.Bore == 0 {
		g.by("TapFlow", "Q = %s x pi/4 x (%s)^2 x sqrt(2 x 9.81 m/s2 x %s) = %s", g.fig("discharge"), g.fig("tap-bore"), g.fig("head"), flow)
		return nil
	}
	var parts []string
	for _, name := range []string{"tap-bore", "filter-bore"} {
		if g.has(name) {
			parts = append(parts, fmt.Sprintf("Q^2 / (2 x 9.81 m/s2 x (%s x pi/4 x (%s)^2)^2)", g.fig("discharge"), g.fig(name)))
		}
	}
	if l.Hose.Bore > 0 {
		lost, err := l.Hose.HeadLoss(q, l.Fuel.Viscosity)
		if err != nil {
			return err
		}
		parts = append(parts, measure(lost.In(carburetor.Millimetre), "mm"))
		re, err := l.Hose.Reynolds(q, l.Fuel.Viscosity)
		if err != nil {
			return err
		}
		g.by("Pipe.HeadLoss", "at Re = %s, %s wide and %s long: h = %s", number(roundTo(re, 3)), g.fig("hose-bore"), g.fig("hose-length"), measure(lost.In(carburetor.Millimetre), "mm"))
	}
	g.by("FuelLine.Flow", "%s = %s at Q = %s", measure(head.In(carburetor.Millimetre), "mm"), strings.Join(parts, " + "), flow)
	return nil
}

func tapTold(g *given, r *Reckoning) {
	reserve, ok := r.Result("reserve")
	switch {
	case !ok:
		r.Meaning = "That is what an open, clean line gives; measure into a can for a minute and compare. Less means dirt in tap, screen or hose, or a vent that is shut."
		r.note("With --displacement it says whether that feeds the engine.")
	case reserve.Value < 1 && !reserve.sameAs(1):
		r.Meaning = "Too little: the bowl empties at full throttle and the engine fades until the throttle is closed."
	case reserve.sameAs(1):
		r.Meaning = "About as much as it drinks, no more: it may fade at full throttle on a long climb."
	default:
		r.Meaning = "Enough: the line is not what starves it, as long as the flow lasts with the filler cap shut."
	}
	if g.has("measured") {
		r.note("The head falls while the tank empties, and the flow with its root.")
	}
}

// sameAs says that the value is no farther from another than twice its uncertainty.
func (r Result) sameAs(v float64) bool {
	r.Value -= v
	return r.within(2)
}

// tankVent answers after what time a blocked vent stops the engine.
func tankVent() *Calculator {
	litres := func(name, text, question, sample string) Input {
		return Input{Name: name, Text: text, Question: question, Unit: "l", Range: [2]float64{0.1, 60}, Uncertainty: 0.3, Required: true, Sample: sample}
	}
	return &Calculator{
		ID: "tank-vent", Also: []string{"vent", "filler-cap"},
		Title: "how long it runs with the vent of the tank blocked",
		Text: "Works out how much fuel leaves a tank that lets no air in before the pressure in it holds the rest back, and how long the engine runs on that and " +
			"on what its bowls hold. A vent that leaks a little, or fuel that warms up, makes it longer or hides it.",
		Inputs: []Input{
			litres("tank", "what the tank holds", "What does the tank hold?", "14 l"), litres("fuel", "fuel that is in it", "How much fuel is in it?", "13 l"),
			{
				Name: "demand", Text: "fuel that the engine drinks", Question: "How much fuel does it drink?", Unit: "ml/min", Range: [2]float64{1, 2000}, Uncertainty: 5,
				Default: "60 ± 15 ml/min", Because: "about that of 9 kW at 300 g/kWh (own estimate)",
			},
			{
				Name: "stops-after", Text: "when it stops, as the rider says", Question: "After how long does it stop, as the rider says?", Unit: "min",
				Range: [2]float64{0.1, 300}, Uncertainty: 0.5,
			},
			{
				Name: "bowls", Text: "what the float bowls hold above the jets, together", Unit: "ml", Range: [2]float64{1, 600}, Uncertainty: 3,
				Default: "45 ± 9 ml", Because: "one bowl, 30 to 60 ml (from memory)", Detail: true,
			},
			headInput(),
			{
				Name: "vapour", Text: "vapour pressure of the fuel", Unit: "kPa", Range: [2]float64{0, 95}, Uncertainty: 2, Default: "45 ± 6 kPa",
				Because: "petrol at 20 to 30 °C, 40 to 60 kPa (from memory)", Detail: true,
			},
			densityInput(),
			{
				Name: "altitude", Text: "altitude of the place", Unit: "m", Range: [2]float64{-450, 5000}, Default: "0 m", Because: "sea level", Detail: true,
			},
		},
		Formulas: []string{"StandardAtmosphere", "BlockedTank.Drawn", "BlockedTank.TimeToStarve"},
		Caution:  "Vapour comes out of the filler: engine stopped, outdoors, no cigarette or flame, and not to be tried on the road.",
		Worked:   "with 13 l in a tank of 14 l and its vent shut tight, 40 ml more leave it, and the engine runs on for 1.4 min.",
		Examples: []string{
			`--tank "14 l" --fuel "13 l"`,
			`--tank "14 l" --fuel "10 l" --demand "80 ml/min" --stops-after "5 min"`,
		},
		blames: map[string]string{
			"gas space": "--tank and --fuel", "vapour pressure": "--vapour, --head and --altitude", "head": "--head", "fuel demand": "--demand", "altitude": "--altitude",
		},
		model: ventModel,
		tell:  ventTold,
		curve: func(g *given, r *Reckoning) error {
			return r.sweepFromZero("fuel", 0, 0.99e3*g.si("tank"), "time_to_starve")
		},
	}
}

func ventModel(g *given) ([]Result, error) {
	gas := carburetor.Volume(g.si("tank") - g.si("fuel"))
	if gas <= 0 {
		return nil, &InputFault{"--tank and --fuel", "the tank does not hold so much fuel", "write what the tank holds, and less than that for the fuel"}
	}
	day, err := carburetor.StandardAtmosphere(carburetor.Length(g.si("altitude")))
	if err != nil {
		return nil, err
	}
	tank := carburetor.BlockedTank{
		Gas: gas, Head: carburetor.Length(g.si("head")), Fuel: carburetor.Density(g.si("fuel-density")), Outside: day.Pressure,
		Vapour: carburetor.Pressure(g.si("vapour")),
	}
	g.by("StandardAtmosphere", "at %s: p = %s", g.fig("altitude"), measure(day.Pressure.In(carburetor.Kilopascal), "kPa"))
	drawn, err := tank.Drawn()
	if err != nil {
		return nil, err
	}
	t, err := tank.TimeToStarve(carburetor.Volume(g.si("bowls")), carburetor.VolumeFlow(g.si("demand")))
	if err != nil {
		return nil, err
	}
	dp := measure(carburetor.HeadPressure(tank.Fuel, tank.Head).In(carburetor.Kilopascal), "kPa")
	left := measure(drawn.In(carburetor.CubicCentimetre), "ml")
	g.by("BlockedTank.Drawn", "dp = %s x 9.81 m/s2 x %s = %s", g.fig("fuel-density"), g.fig("head"), dp)
	g.by("BlockedTank.Drawn", "dV = %s x %s / (%s - %s - %s) = %s", measure(gas.In(carburetor.Litre), "l"), dp, measure(day.Pressure.In(carburetor.Kilopascal), "kPa"), g.fig("vapour"),
		dp, left)
	g.by("BlockedTank.TimeToStarve", "t = (%s + %s) / (%s) = %s", left, g.fig("bowls"), g.fig("demand"), measure(t.In(carburetor.Minute), "min"))
	out := []Result{
		{Key: "time_to_starve", Name: "It runs on for", Unit: "min", Value: t.In(carburetor.Minute)},
		{Key: "fuel_drawn", Name: "Fuel that still leaves the tank", Unit: "ml", Value: drawn.In(carburetor.CubicCentimetre)},
	}
	if g.has("stops-after") {
		out = append(out, Result{Key: "stops_after_ratio", Name: "The rider's time, times that", Value: g.si("stops-after") / float64(t)})
	}
	return out, nil
}

func ventTold(_ *given, r *Reckoning) {
	t, _ := r.Result("time_to_starve")
	r.Meaning = fmt.Sprintf("With the vent shut tight it fades after about %s, sooner the fuller the tank. ", t.told())
	ratio, ok := r.Result("stops_after_ratio")
	switch {
	case !ok:
		r.Meaning += "If it always stops about then and runs again after a rest or with the cap opened, look at the vent."
	case ratio.sameAs(1):
		r.Meaning += "The rider's time fits: open the cap when it fades; if it then runs, it is the vent."
	case ratio.Value < 1:
		r.Meaning += "It stops sooner than a shut vent can do: look at tap, screen and float valve first."
	default:
		r.Meaning += "It runs longer than with a vent shut tight: one that lets some air in could still do it, so open the cap when it fades."
	}
}
