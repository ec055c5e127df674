package report

import (
	"fmt"
	"math"
	"strings"

	"diagnose.example/carburetor"
	"diagnose.example/symptoms"
)

// fuelBlend answers what alcohol in the fuel does.
func fuelBlend() *Calculator {
	share := func(name, text, question string) Input {
		return Input{Name: name, Text: text, Question: question, Unit: "%", Range: [2]float64{0, 100}}
	}
	now := share("alcohol", "alcohol in the fuel, by volume", "How much alcohol is in the fuel, by volume?")
	now.Required, now.Uncertainty, now.Sample = true, 0.5, "10 %"
	was := share("book-alcohol", "alcohol in the fuel for which the jets were right", "How much alcohol was in the fuel for which the jets were right?")
	was.Default, was.Because = "0 %", "jets chosen for petrol without alcohol"
	return &Calculator{
		ID: "fuel-blend", Also: []string{"fuel", "ethanol", "alcohol", "e10"},
		Title: "what alcohol in the fuel does to mixture and jets",
		Text: "Says how much leaner the same jets run on a fuel with ethanol or methanol in it, and which jets would make up for it. Alcohol brings oxygen of its own " +
			"and so wants less air. What it does to rubber, floats and tanks is another matter.",
		Inputs: []Input{
			now, was,
			{
				Name: "kind", Text: "kind of alcohol", Question: "Which alcohol is it?", Words: []symptoms.Word{{Word: "ethanol", Means: "as sold in E5, E10, E85"}, {Word: "methanol", Means: "racing fuel"}},
				Default: "ethanol", Because: "what is sold at pumps",
			},
			jetInput("jet", "number of a jet that was right", "What number has the jet that was right?"), jetKindInput("jet-kind"),
		},
		Formulas: []string{"Blend.MassShare", "Blend.OxygenShare", "Composition.StoichiometricAFR", "FuelChange", "Fuel.HeatPerVolume", "BoreNumber.Scale", "FlowNumber.Scale"},
		Caution:  "Mixing and draining fuel: outdoors, no ignition source, approved can on the ground, gloves and glasses. Methanol is poisonous through the skin.",
		Worked:   "fuel with 10 % of ethanol through jets that were right for petrol is 3.89 % leaner, less than one step of a jet.",
		Examples: []string{
			`--alcohol "10 %"`,
			`--alcohol "85 %" --book-alcohol "5 %" --jet 110`,
		},
		model: blendModel,
		tell:  blendTold,
		curve: func(_ *given, r *Reckoning) error { return r.sweep("alcohol", 0, 100, "lambda_change") },
	}
}

// blended is petrol with a share of alcohol, kept within what there can be.
func blended(kind string, share float64) (carburetor.Blend, carburetor.Fuel, error) {
	added := carburetor.Ethanol()
	if kind == "methanol" {
		added = carburetor.Methanol()
	}
	b := carburetor.Blend{Base: carburetor.Petrol(), Added: added, Share: min(1, max(0, share))}
	f, err := b.Fuel()
	return b, f, err
}

func blendModel(g *given) ([]Result, error) {
	kind := g.word("kind")
	blend, now, err := blended(kind, g.si("alcohol"))
	if err != nil {
		return nil, err
	}
	_, was, err := blended(kind, g.si("book-alcohol"))
	if err != nil {
		return nil, err
	}
	lambda, err := carburetor.FuelChange(was, now)
	if err != nil {
		return nil, err
	}
	afr, err := now.StoichiometricAFR()
	if err != nil {
		return nil, err
	}
	oxygen, err := blend.OxygenShare()
	if err != nil {
		return nil, err
	}
	heat, err := now.HeatPerVolume()
	if err != nil {
		return nil, err
	}
	heatWas, err := was.HeatPerVolume()
	if err != nil {
		return nil, err
	}
	afrWas, err := was.StoichiometricAFR()
	if err != nil {
		return nil, err
	}
	share, err := blend.MassShare()
	if err != nil {
		return nil, err
	}
	v := min(1, max(0, g.si("alcohol")))
	g.by("Blend.MassShare", "w = %s x %s / (%s x %s + %s x %s) = %s", number(v), number(float64(blend.Added.Density)), number(v), number(float64(blend.Added.Density)),
		number(1-v), number(float64(blend.Base.Density)), number(share))
	g.by("Blend.OxygenShare", "w_O = %s", number(oxygen))
	g.by("Composition.StoichiometricAFR", "before: AFR_st = %s; now: AFR_st = %s", number(float64(afrWas)), number(float64(afr)))
	g.by("FuelChange", "lambda_2/lambda_1 = (%s / %s) x sqrt(%s / %s) = %s", number(float64(afrWas)), number(float64(afr)), number(float64(was.Density)),
		number(float64(now.Density)), number(lambda))
	g.by("Fuel.HeatPerVolume", "before: H_v = %s; now: H_v = %s", measure(heatWas.In(carburetor.MegajoulePerLitre), "MJ/l"), measure(heat.In(carburetor.MegajoulePerLitre), "MJ/l"))
	out := []Result{
		{Key: "lambda_change", Name: "Mixture with the same jets", Unit: "%", Value: 100 * (lambda - 1), More: "leaner", Less: "richer", Same: "unchanged"},
		{Key: "stoichiometric_afr", Name: "Air that burns it, by mass", Value: float64(afr)},
		{Key: "oxygen", Name: "Oxygen in the fuel, by mass", Unit: "%", Value: 100 * oxygen},
		{Key: "heat_change", Name: "Heat in a litre", Unit: "%", Value: 100 * float64(heat/heatWas-1), More: "more", Less: "less", Same: "unchanged"},
	}
	if g.has("jet") {
		n, err := g.scaledJet(g.word("jet-kind"), g.si("jet"), lambda)
		if err != nil {
			return nil, err
		}
		out = append(out, Result{Key: "wanted_number", Name: "The jet " + number(g.si("jet")) + " becomes", Value: n, Digits: 4})
	}
	return out, nil
}

func blendTold(_ *given, r *Reckoning) {
	change, _ := r.Result("lambda_change")
	switch {
	case change.within(2):
		r.Meaning = "The same mixture as before: the same jets do."
	case change.Value > 0:
		r.Meaning = "All circuits run " + change.told() + " on the same jets. A carburetor set lean already shows it first, cold and at idle."
	default:
		r.Meaning = "All circuits run " + change.told() + " on the same jets."
	}
	r.Meaning += r.nearestJet()
	r.note("The float also rides a little higher or lower in a fuel of another density; that is not in it.")
}

// exhaustGas answers what mixture an exhaust gas shows.
func exhaustGas() *Calculator {
	gas := func(name, text, question, sample string, hi, u float64) Input {
		return Input{Name: name, Text: text, Question: question, Unit: "%", Range: [2]float64{0, hi}, Uncertainty: u, Required: true, Sample: sample}
	}
	return &Calculator{
		ID: "exhaust-gas", Also: []string{"lambda", "exhaust", "co"},
		Title: "what mixture an exhaust gas shows",
		Text: "Works out lambda from what an analyser shows in a warm engine's exhaust, and says when not to trust it: with air in the exhaust, or with misfires, " +
			"everything looks lean. Petrol with nothing in it unless --alcohol says so.",
		Inputs: []Input{
			gas("co2", "carbon dioxide", "What does the analyser show for CO2?", "12.5 %", 20, 0.3), gas("co", "carbon monoxide", "And for CO?", "3.2 %", 15, 0.1),
			gas("o2", "oxygen", "And for O2?", "0.6 %", 21, 0.1),
			{
				Name: "hc", Text: "hydrocarbons, as hexane", Question: "And for HC, as hexane?", Unit: "ppm", Range: [2]float64{0, 60000}, Uncertainty: 15, Default: "0 ± 50 ppm",
				Because: "not measured; a hundred ppm make lambda smaller by 0.004",
			},
			{
				Name: "alcohol", Text: "ethanol in the fuel, by volume", Unit: "%", Range: [2]float64{0, 100}, Detail: true,
			},
		},
		Formulas: []string{"HexaneHC", "Exhaust.Brettschneider", "Composition.StoichiometricAFR", "Burn.Exhaust"},
		Caution:  "Run the engine outdoors only: carbon monoxide kills, and open doors do not make a room safe. The pipe burns within seconds.",
		Worked:   "12.5 % of CO2, 3.2 % of CO, 0.6 % of O2 and 180 ppm of HC are lambda 0.928, or 13.55 parts of air to one of fuel: rich.",
		Examples: []string{
			`--co2 "12.5 %" --co "3.2 %" --o2 "0.6 %" --hc "180 ppm"`,
			`--co2 13.9 --co 0.5 --o2 1.8 --alcohol "10 %"`,
		},
		blames: map[string]string{
			"CO2 and CO": "--co2 and --co", "CO2": "--co2", "CO in": "--co", "O2 in": "--o2", "HC": "--hc", "sum of the gases": "--co2, --co, --o2 and --hc",
		},
		model: gasModel,
		tell:  gasTold,
		curve: gasCurve,
	}
}

// gasCurve is the carbon monoxide of an even mixture; where the reading stands beside it the mixture is not even.
func gasCurve(g *given, r *Reckoning) error {
	lambda, _ := r.Result("lambda")
	_, fuel, err := g.fuelOf()
	if err != nil {
		return err
	}
	span := carburetor.Span[carburetor.Lambda]{From: carburetor.Lambda(max(0.5, min(0.75, lambda.Value-0.05))), To: carburetor.Lambda(max(1.15, lambda.Value+0.05))}
	curve, err := carburetor.Burn{Fuel: fuel}.COCurve(span)
	if err != nil {
		return err
	}
	g.by("Burn.Exhaust", "K = 3.5; for the curve alone")
	curve.X.Name, curve.Y.Name = "Lambda", "Carbon monoxide of an even mixture"
	r.Curve, r.Here = &curve, carburetor.Point{X: lambda.Value, Y: 100 * g.si("co")}
	return nil
}

// fuelOf is the fuel burnt: its ratio for the formula, and its composition.
func (g *given) fuelOf() (carburetor.FuelRatio, carburetor.Composition, error) {
	_, f, err := blended("ethanol", g.si("alcohol"))
	if err != nil || g.has("alcohol") {
		ratio, ratioErr := f.Composition.Ratio()
		if err == nil {
			err = ratioErr
		}
		return ratio, f.Composition, err
	}
	return carburetor.UsualPetrol(), f.Composition, nil
}

func gasModel(g *given) ([]Result, error) {
	hc, err := carburetor.HexaneHC(max(0, 1e6*g.si("hc")))
	if err != nil {
		return nil, err
	}
	ratio, fuel, err := g.fuelOf()
	if err != nil {
		return nil, err
	}
	percent := func(name string) float64 { return max(0, 100*g.si(name)) }
	e := carburetor.Exhaust{CO2: percent("co2"), CO: percent("co"), O2: percent("o2"), HC: hc}
	reading, err := e.Brettschneider(ratio)
	if err != nil {
		return nil, err
	}
	sum := Result{Key: "carbon_oxides", Name: "CO2 and CO together", Unit: "%", Value: e.CO2 + e.CO}
	if reading.Diluted {
		return nil, diluted(sum.Value)
	}
	afr, err := fuel.StoichiometricAFR(carburetor.Convention{})
	if err != nil {
		return nil, err
	}
	g.by("HexaneHC", "HC = 6 x %s / 10^4 = %s", g.fig("hc"), measure(hc, "%"))
	g.by("Exhaust.Brettschneider", "lambda = (%[1]s + %[2]s/2 + %[3]s + (%[5]s/4 x 3.5/(3.5 + %[2]s/%[1]s) - %[6]s/2) x (%[1]s + %[2]s)) / ((1 + %[5]s/4 - %[6]s/2) x (%[1]s + %[2]s + %[4]s)) = %[7]s",
		number(e.CO2), number(e.CO), number(e.O2), number(e.HC), number(ratio.Hydrogen), number(ratio.Oxygen), number(float64(reading.Lambda)))
	g.by("Composition.StoichiometricAFR", "AFR_st = %s, times lambda: %s", number(float64(afr)), number(float64(reading.Lambda)*float64(afr)))
	return []Result{
		{Key: "lambda", Name: "Lambda", Value: float64(reading.Lambda)},
		{Key: "afr", Name: "Air-fuel ratio, by mass", Value: float64(reading.Lambda) * float64(afr)},
		sum,
	}, nil
}

// diluted says that the gas cannot tell the mixture.
func diluted(sum float64) error {
	return &OutOfRange{
		Flags: "--co2 and --co",
		Err: &carburetor.RangeError{
			Formula: "lambda from exhaust gas", Quantity: "CO2 and CO together", Got: plainSpaces(measure(sum, "%")), Valid: "12 % and more", Value: math.NaN(),
		},
		Hint: "outside air is in the exhaust, or a cylinder misfires: make the joints tight, put the probe in deeper, see that all cylinders fire, measure again",
	}
}

func gasTold(_ *given, r *Reckoning) {
	lambda, _ := r.Result("lambda")
	afr, _ := r.Result("afr")
	switch {
	case lambda.sameAs(1):
		r.Meaning = "About as much air as the fuel needs."
	case lambda.Value < 1:
		r.Meaning = fmt.Sprintf("Rich: %s %% less air than the fuel needs.", number(roundTo(100*(1-lambda.Value), 2)))
	default:
		r.Meaning = fmt.Sprintf("Lean: %s %% more air than the fuel needs.", number(roundTo(100*(lambda.Value-1), 2)))
	}
	var bands []string
	for _, b := range carburetor.Targets() {
		if b.Contains(carburetor.AFR(afr.Value)) && b.Name != "an engine fires at all" {
			name := b.Name
			if b.Source == "recalled" {
				name += " (from memory)"
			}
			bands = append(bands, name)
		}
	}
	if len(bands) > 0 {
		r.Meaning += " Usual for " + strings.Join(bands, " and ") + "."
		r.note("Usual mixtures are meant for petrol: best power 12.5 to 13.5, best economy 15 to 16 (Carburetor basics, training text); others from memory.")
	}
	r.note("An even mixture has no more CO than the curve at that lambda; more of it means that cylinders, or strokes, differ.")
}
