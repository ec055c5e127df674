package report

import (
	"errors"
	"fmt"
	"math"

	"diagnose.example/carburetor"
)

func temperatureInput(name, text, question, because string) Input {
	return Input{
		Name: name, Text: text, Question: question, Unit: "°C", Range: [2]float64{-50, 60}, Uncertainty: 1, Default: "20 °C", Because: because,
	}
}

func humidityInput(name, text, question, because string) Input {
	return Input{
		Name: name, Text: text, Question: question, Unit: "%", Range: [2]float64{0, 100}, Uncertainty: 5, Default: "60 %", Because: because, Detail: true,
	}
}

func barometerInput(name, text string) Input {
	return Input{
		Name: name, Text: text, Unit: "hPa", Range: [2]float64{100, 1200}, Uncertainty: 0.5, Sample: "850 hPa", Detail: true,
		Question: "What does a barometer at the place show, not reduced to sea level?",
	}
}

// weather answers what thin, warm or damp air does to the mixture.
func weather() *Calculator {
	const asThere = "the same on both sides, so that only what was said counts"
	altitude := Input{
		Name: "altitude", Text: "altitude of the place where it runs", Question: "How high is the place where it runs?", Unit: "m",
		Range: [2]float64{-450, 15000}, Sample: "1500 m", Uncertainty: 100, Required: true, Unless: "pressure",
	}
	set := altitude
	set.Name, set.Text, set.Question = "set-altitude", "altitude at which the jets were right", "How high is the place where the jets were right?"
	set.Sample, set.Required, set.Unless, set.Default, set.Because, set.Uncertainty = "", false, "", "0 m", "sea level", 0
	humid := humidityInput("humidity", "relative humidity of the air where it runs", "How humid is the air where it runs?", asThere)
	return &Calculator{
		ID: "weather", Also: []string{"altitude", "air", "humidity", "temperature"},
		Title: "what altitude and weather do to mixture and jets",
		Text: "Says how much richer or leaner a carburetor runs in other air than the one its jets were right in, at the same throttle and speed, and " +
			"which jets would make up for it. Fuel follows the density of all the air, burning that of the dry air. Carburetors with " +
			"a compensator of their own do part of it already.",
		Inputs: []Input{
			altitude, temperatureInput("temperature", "temperature of the air where it runs", "How warm is the air where it runs?", asThere), humid,
			barometerInput("pressure", "barometer where it runs, not reduced to sea level; in place of the altitude"),
			set, temperatureInput("set-temperature", "temperature at which the jets were right", "How warm was the air when the jets were right?", asThere),
			humidityInput("set-humidity", "relative humidity at which the jets were right", "", asThere),
			barometerInput("set-pressure", "barometer where the jets were right; in place of that altitude"),
			jetInput("jet", "number of a jet that was right there", "What number has the jet that was right there?"), jetKindInput("jet-kind"),
		},
		Formulas: []string{"StandardAtmosphere", "Air.Density", "Enrichment", "AltitudeAFR", "JetCorrection", "BoreNumber.Scale", "FlowNumber.Scale"},
		Caution:  "Before a jet comes out: tap shut, bowl drained into an approved can, no ignition source, gloves and glasses.",
		Worked:   "at 1500 m a bike with sea-level jets runs 9.7 % richer; jets numbered by bore would be 4.5 % smaller, those by flow 8.9 %.",
		Examples: []string{
			`--altitude "1500 m"`,
			`--altitude "5000 ft" --temperature "86 °F" --humidity "80 %" --jet 110`,
			`--pressure "850 hPa" --temperature 15 --jet 130 --jet-kind flow`,
		},
		blames: map[string]string{
			"altitude": "--altitude and --set-altitude", "temperature": "--temperature and --set-temperature",
			"humidity": "--humidity and --set-humidity", "pressure": "--pressure and --set-pressure",
		},
		model: weatherModel,
		tell:  weatherTold,
		curve: func(g *given, r *Reckoning) error {
			if g.has("altitude") {
				return r.sweep("altitude", min(0, g.si("altitude")), max(3000, 1.3*g.si("altitude")), "enrichment")
			}
			return r.sweep("pressure", min(700, 0.9e-2*g.si("pressure")), max(1050, 1e-2*g.si("pressure")), "enrichment")
		},
	}
}

// airOf is the air that the inputs with a prefix describe.
func (g *given) airOf(prefix string) (carburetor.Air, error) {
	t, humidity := carburetor.Temperature(g.si(prefix+"temperature")), min(1, max(0, g.si(prefix+"humidity")))
	if g.has(prefix + "pressure") {
		return carburetor.Air{Pressure: carburetor.Pressure(g.si(prefix + "pressure")), Temperature: t, Humidity: humidity}, nil
	}
	air, err := carburetor.AirAt(carburetor.Length(g.si(prefix+"altitude")), t, humidity)
	var outside *carburetor.RangeError
	if errors.As(err, &outside) && outside.Quantity == "altitude" { // the model tells it as a geopotential height, which nobody wrote
		own := *outside
		own.Got = plainSpaces(g.fig(prefix + "altitude"))
		return air, &own
	}
	if err == nil {
		g.by("StandardAtmosphere", "at %s: p = %s", g.fig(prefix+"altitude"), measure(air.Pressure.In(carburetor.Kilopascal), "kPa"))
	}
	return air, err
}

// oneOf refuses two inputs that say the same in two ways.
func (g *given) oneOf(a, b string) error {
	if g.has(a) && g.has(b) && !g.taken(a) {
		return &InputFault{"--" + a + " and --" + b, "both are given", "leave one of them out"}
	}
	return nil
}

func weatherModel(g *given) ([]Result, error) {
	for _, prefix := range []string{"", "set-"} {
		if err := g.oneOf(prefix+"altitude", prefix+"pressure"); err != nil {
			return nil, err
		}
	}
	here, err := g.airOf("")
	if err != nil {
		return nil, err
	}
	there, err := g.airOf("set-")
	if err != nil {
		return nil, err
	}
	rich, err := carburetor.Enrichment(there, here)
	if err != nil {
		return nil, err
	}
	correction, err := carburetor.JetCorrection(there, here)
	if err != nil {
		return nil, err
	}
	bore, err := carburetor.BoreNumber(100).Scale(correction)
	if err != nil {
		return nil, err
	}
	density, err := g.airWork(there, here, rich)
	if err != nil {
		return nil, err
	}
	g.by("JetCorrection", "factor = 1 / %s = %s", number(rich), number(correction))
	if !g.has("jet") {
		g.by("BoreNumber.Scale", "n' = n x sqrt(%s) = %s n", number(correction), number(float64(bore)/100))
		g.by("FlowNumber.Scale", "n' = %s n", number(correction))
	}
	side := func(key, name string, percent float64) Result {
		return Result{Key: key, Name: name, Unit: "%", Value: percent, More: "larger", Less: "smaller", Same: "unchanged"}
	}
	out := []Result{
		richer("enrichment", "Mixture with the same jets", rich),
		{Key: "lambda_factor", Name: "Lambda is multiplied by", Value: 1 / rich},
		side("flow_number_change", "Jets numbered by flow", 100*(correction-1)),
		side("bore_number_change", "Jets numbered by bore", float64(bore)-100),
		{Key: "air_density", Name: "Air density", Unit: "kg/m3", Value: float64(density), Digits: 4},
	}
	if g.has("jet") {
		n, err := g.scaledJet(g.word("jet-kind"), g.si("jet"), correction)
		if err != nil {
			return nil, err
		}
		out = append(out, Result{Key: "wanted_number", Name: "The jet " + number(g.si("jet")) + " becomes", Value: n, Digits: 4})
	}
	return out, nil
}

// airWork writes out the densities on both sides and returns that of the air where it runs.
func (g *given) airWork(there, here carburetor.Air, rich float64) (carburetor.Density, error) {
	var all, dry [2]carburetor.Density
	for i, a := range []carburetor.Air{there, here} {
		var err error
		if all[i], err = a.Density(); err != nil {
			return 0, err
		}
		if dry[i], err = a.DryDensity(); err != nil {
			return 0, err
		}
		vapour, err := a.VapourPressure()
		if err != nil {
			return 0, err
		}
		p, pv := measure(a.Pressure.In(carburetor.Pascal), "Pa"), measure(vapour.In(carburetor.Pascal), "Pa")
		g.by("Air.Density", "rho = ((%s - %s) / 287.05 + %s / 461.495) / %s = %s", p, pv, pv, measure(float64(a.Temperature), "K"), measure(float64(all[i]), "kg/m3"))
	}
	g.by("Enrichment", "phi_2/phi_1 = sqrt(%s / %s) / (%s / %s) = %s", number(float64(all[1])), number(float64(all[0])), number(float64(dry[1])), number(float64(dry[0])), number(rich))
	g.by("AltitudeAFR", "the same rule for dry air: sqrt(%s / %s) = %s", number(float64(dry[1])), number(float64(dry[0])), number(math.Sqrt(float64(dry[1]/dry[0]))))
	return all[1], nil
}

func weatherTold(g *given, r *Reckoning) {
	rich, _ := r.Result("enrichment")
	flow, _ := r.Result("flow_number_change")
	bore, _ := r.Result("bore_number_change")
	if rich.Value > 0 {
		r.note("Jets for a height are too lean lower down: write down what was in, and put it back before the ride down.")
	}
	switch {
	case rich.within(2):
		r.Meaning = "No more than the figures themselves leave open: the same jets do."
	case rich.Value > 0:
		r.Meaning = "It runs " + rich.told() + " here than where its jets were right, all circuits alike."
	default:
		r.Meaning = "It runs " + rich.told() + " here than where its jets were right, all circuits alike: mind the main jet before hard running."
	}
	if jet := r.nearestJet(); jet != "" {
		r.Meaning += jet
	} else if !rich.within(2) {
		r.Meaning += " Jets of all circuits would be " + flow.told() + " by flow number, " + bore.told() + " by bore number."
	}
	if g.has("altitude") {
		r.note("The barometer moves with the weather, by 3 %% at most; that is what ± 100 m of altitude stand for. A barometer reading at the place is better: --pressure.")
	}
	r.note("A step of 2.5 on a jet of 100 by bore is 5 %% of fuel: a smaller change is not worth a jet.")
}

// airLeak answers how large a leak must be, or what one does.
func airLeak() *Calculator {
	now := Input{
		Name: "lambda-now", Text: "mixture at idle as found, as lambda", Question: "What lambda does it idle at now?", Range: [2]float64{0.5, 3}, Uncertainty: 0.03,
		Sample: "1.13", Required: true, Unless: "leak-bore",
	}
	size := Input{
		Name: "displacement", Text: "displacement that hangs on this carburetor", Question: "What displacement hangs on this carburetor (one cylinder each: that of one cylinder)?",
		Unit: "ml", Range: [2]float64{20, 3000}, Sample: "250 ml", Required: true,
	}
	return &Calculator{
		ID: "air-leak", Also: []string{"leak", "false-air"},
		Title: "how large an air leak must be, or what one does",
		Text: "Says how large the hole must be that makes an idle so lean, or how lean a hole of a given size makes it. The carburetor's fuel is " +
			"taken to stay as it is, with the throttle on its stop.",
		Inputs: []Input{
			{
				Name: "leak-bore", Text: "a round hole as large as the leak", Question: "How wide is a round hole as large as the leak (Enter if that is what is wanted)?",
				Unit: "mm", Range: [2]float64{0.05, 20}, Uncertainty: 0.05, Sample: "1 mm",
			},
			now, size,
			{
				Name: "lambda-before", Text: "mixture at idle without the leak, as lambda", Question: "What lambda did it idle at before?", Range: [2]float64{0.5, 1.5},
				Uncertainty: 0.03, Default: "0.9 ± 0.03", Because: "an idle somewhat rich (from memory)",
			},
			{
				Name: "speed", Text: "idle speed", Question: "How fast does it idle?", Unit: "rpm", Range: [2]float64{200, 5000}, Uncertainty: 50,
				Default: "1200 ± 100 rpm", Because: "usual (from memory)",
			},
			{
				Name: "vacuum", Text: "vacuum behind the throttle at idle", Unit: "kPa", Range: [2]float64{1, 100}, Uncertainty: 3, Detail: true,
				Default: "50 ± 9 kPa", Because: "usual, 35 to 65 kPa (from memory); beyond 48 kPa at sea level it makes no difference",
			},
			{
				Name: "duty", Text: "share of the time at that vacuum", Unit: "%", Range: [2]float64{1, 100}, Uncertainty: 5, Detail: true,
				Default: "45 ± 9 %", Because: "one cylinder to a carburetor, 30 to 60 % (from memory); where cylinders share a manifold write 100 %",
			},
			{
				Name: "filling", Text: "volumetric efficiency at idle", Unit: "%", Range: [2]float64{5, 130}, Uncertainty: 3, Detail: true,
				Default: "25 ± 5 %", Because: "usual at idle (from memory)",
			},
			strokesInput(),
		},
		Formulas: []string{"Motor.AirVolume", "Motor.AirFlow", "Gas.NozzleFlux", "LeakSearch.LeakArea", "AirLeak.Flow", "LeakedLambda"},
		Caution:  "Run the engine outdoors only: carbon monoxide kills, and open doors do not make a room safe. Look for the leak with water in a fine spray, never with petrol, ether or a flame.",
		Worked:   "a cylinder of 250 cc that idles at lambda 1.13, where 0.90 was right, has a leak as large as a round hole of 1.7 mm; a pinhole does not do it.",
		Examples: []string{
			`--displacement "250 cc" --lambda-now 1.13`,
			`--displacement "250 cc" --leak-bore "1 mm"`,
		},
		blames: map[string]string{
			"lambda now": "--lambda-now and --lambda-before", "lambda": "--lambda-before", "manifold pressure": "--vacuum", "displacement": "--displacement",
			"speed": "--speed", "volumetric efficiency": "--filling", "share of time under vacuum": "--duty",
		},
		model: leakModel,
		tell:  leakTold,
		curve: func(g *given, r *Reckoning) error {
			if g.has("leak-bore") {
				return r.sweep("leak-bore", 0.01, max(1.5, 1.5e3*g.si("leak-bore")), "lambda")
			}
			return r.sweep("lambda-now", g.si("lambda-before"), max(1.3, 1.1*g.si("lambda-now")), "leak_bore")
		},
	}
}

func strokesInput() Input {
	return Input{
		Name: "strokes", Text: "strokes of the engine, 2 or 4", Question: "Two strokes or four?", Range: [2]float64{2, 4}, Default: "4",
		Because: "four strokes", Detail: true,
	}
}

// motor is the engine that the inputs describe; its carburetor takes all the air.
func (g *given) motor() (carburetor.Motor, error) {
	strokes := g.si("strokes")
	if strokes != 2 && strokes != 4 {
		return carburetor.Motor{}, &InputFault{"--strokes", number(strokes) + " strokes are not possible", "write --strokes 2 or --strokes 4"}
	}
	return carburetor.Motor{
		Displacement: carburetor.Volume(g.si("displacement")), Speed: carburetor.RotationSpeed(g.si("speed")),
		VolumetricEfficiency: g.si("filling"), Strokes: int(strokes),
	}, nil
}

// seaLevelAir is the engine that the inputs describe, the density of the standard atmosphere at sea level, and the air that it draws
// there.
func (g *given) seaLevelAir() (carburetor.Motor, carburetor.Density, carburetor.MassFlow, error) {
	motor, err := g.motor()
	if err != nil {
		return motor, 0, 0, err
	}
	density, err := carburetor.StandardDensity(0)
	if err != nil {
		return motor, 0, 0, err
	}
	air, err := motor.AirFlow(density)
	return motor, density, air, err
}

func leakModel(g *given) ([]Result, error) {
	if err := g.oneOf("lambda-now", "leak-bore"); err != nil {
		return nil, err
	}
	day, err := carburetor.StandardAtmosphere(0)
	if err != nil {
		return nil, err
	}
	motor, density, air, err := g.seaLevelAir()
	if err != nil {
		return nil, err
	}
	manifold, err := carburetor.ManifoldPressure(day.Pressure, carburetor.Pressure(g.si("vacuum")))
	if err != nil {
		return nil, err
	}
	search := carburetor.LeakSearch{
		Before: carburetor.Lambda(g.si("lambda-before")), Now: carburetor.Lambda(g.si("lambda-now")), CarburetorAir: air, Outside: day, Manifold: manifold,
		Leak: carburetor.AirLeak{Duty: min(1, g.si("duty"))},
	}
	if err := g.airDrawn(motor, density); err != nil {
		return nil, err
	}
	flux, err := carburetor.DryAir().NozzleFlux(day, manifold)
	if err != nil {
		return nil, err
	}
	g.by("Gas.NozzleFlux", "from %s into %s: m/(Cd A) = %s", measure(day.Pressure.In(carburetor.Kilopascal), "kPa"),
		measure(manifold.In(carburetor.Kilopascal), "kPa"), measure(float64(flux), "kg/(s m2)"))
	if g.has("leak-bore") {
		return g.leakEffect(search, flux)
	}
	area, err := search.LeakArea()
	if err != nil {
		return nil, err
	}
	g.by("LeakSearch.LeakArea", "A = %s x (%s / %s - 1) / (%s x 0.8 x %s) = %s", measure(air.In(carburetor.GramPerSecond), "g/s"), g.fig("lambda-now"), g.fig("lambda-before"),
		g.fig("duty"), measure(float64(flux), "kg/(s m2)"), measure(area.In(carburetor.SquareMillimetre), "mm2"))
	search.Leak.Area = area
	flow, err := search.Leak.Flow(day, manifold)
	if err != nil {
		return nil, err
	}
	return []Result{
		{Key: "leak_bore", Name: "Leak, as the bore of a round hole", Unit: "mm", Value: area.Diameter().In(carburetor.Millimetre)},
		{Key: "leak_area", Name: "Leak, in area", Unit: "mm2", Value: area.In(carburetor.SquareMillimetre)},
		leakShare(flow, air),
	}, nil
}

func leakShare(leak, air carburetor.MassFlow) Result {
	return Result{Key: "leak_share", Name: "Air through the leak, as a share of the carburetor's", Unit: "%", Value: 100 * float64(leak/air)}
}

// airDrawn writes out the air that the engine draws.
func (g *given) airDrawn(m carburetor.Motor, density carburetor.Density) error {
	volume, err := m.AirVolume()
	if err != nil {
		return err
	}
	mass, err := m.AirFlow(density)
	if err != nil {
		return err
	}
	const litrePerMinute = 1000 * carburetor.MillilitrePerMinute
	half := ""
	if m.Strokes == 4 {
		half = " / 2"
	}
	g.by("Motor.AirVolume", "Q = %s x %s x %s%s = %s", g.fig("filling"), g.fig("displacement"), g.fig("speed"), half, measure(volume.In(litrePerMinute), "l/min"))
	g.by("Motor.AirFlow", "m_a = %s x %s = %s", measure(float64(density), "kg/m3"), measure(volume.In(litrePerMinute), "l/min"), measure(mass.In(carburetor.GramPerSecond), "g/s"))
	return nil
}

// leakEffect is what a leak of a known size does.
func (g *given) leakEffect(s carburetor.LeakSearch, flux carburetor.MassFlux) ([]Result, error) {
	area := carburetor.CircleArea(carburetor.Length(g.si("leak-bore")))
	s.Leak.Area = area
	flow, err := s.Leak.Flow(s.Outside, s.Manifold)
	if err != nil {
		return nil, err
	}
	lambda, err := carburetor.LeakedLambda(s.Before, s.CarburetorAir, flow)
	if err != nil {
		return nil, err
	}
	leak, air := measure(flow.In(carburetor.GramPerSecond), "g/s"), measure(s.CarburetorAir.In(carburetor.GramPerSecond), "g/s")
	g.by("AirLeak.Flow", "m = %s x 0.8 x %s x %s = %s", g.fig("duty"), measure(area.In(carburetor.SquareMillimetre), "mm2"), measure(float64(flux), "kg/(s m2)"), leak)
	g.by("LeakedLambda", "lambda = %s x (%s + %s) / %s = %s", g.fig("lambda-before"), air, leak, air, number(float64(lambda)))
	return []Result{
		{Key: "lambda", Name: "Lambda at idle with the leak", Value: float64(lambda)},
		{Key: "leak_area", Name: "Leak, in area", Unit: "mm2", Value: area.In(carburetor.SquareMillimetre)},
		leakShare(flow, s.CarburetorAir),
	}, nil
}

func leakTold(_ *given, r *Reckoning) {
	share, _ := r.Result("leak_share")
	fades := fmt.Sprintf("With ten times the air, as on the road, the same leak leans by %s %% at most: that it fades with the throttle is its sign.", number(roundTo(share.Value/10, 2)))
	if bore, ok := r.Result("leak_bore"); ok {
		if bore.Value == 0 {
			r.Meaning = "No leak is needed for that."
			return
		}
		r.Meaning = "Look for a gap as large as a hole of " + bore.told() + " behind the carburetor: joints, a cracked rubber, a vacuum stub without its cap. " + fades
		return
	}
	lambda, _ := r.Result("lambda")
	word := "leaner than it was, still on the rich side"
	if lambda.Value > 1 {
		word = "lean: it hangs, surges or will not answer to the mixture screw"
	}
	r.Meaning = "At idle that is " + word + ". " + fades
}
