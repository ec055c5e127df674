package report

import (
	"fmt"
	"math"

	"diagnose.example/carburetor"
	"diagnose.example/symptoms"
)

// How jets are numbered.
const (
	byBore = "bore"
	byFlow = "flow"
)

func jetKindInput(name string) Input {
	return Input{
		Name: name, Text: "how the jets are numbered", Question: "Are the jets numbered by their bore or by their flow?",
		Words: []symptoms.Word{
			{Word: byBore, Means: "hundredths of a millimetre: 100 is a hole of 1.00 mm"},
			{Word: byFlow, Means: "flow under the maker's head; only ratios within one maker mean anything"},
		},
		Default: byBore, Because: "the commonest (from memory); ask whoever makes the jets",
	}
}

func jetInput(name, text, question string) Input {
	return Input{Name: name, Text: text, Question: question, Range: [2]float64{10, 600}}
}

// jetChange answers what another jet does.
func jetChange() *Calculator {
	from := jetInput("from", "number of the jet that is in", "What number is on the jet that is in?")
	from.Required, from.Sample = true, "110"
	to := jetInput("to", "number of the jet to go in", "What number is on the jet to go in?")
	to.Required, to.Unless, to.Sample = true, "change", "115"
	return &Calculator{
		ID: "jet-change", Also: []string{"jet", "jets"},
		Title: "what another jet does, or which jet is wanted",
		Text: "Says how much more or less fuel another jet passes, or which number passes so much more. That is the mixture where this jet " +
			"alone decides it. Two kinds of number never mix: by bore the flow goes with the square, by flow with the number itself.",
		Inputs: []Input{
			{
				Name: "change", Text: "wanted: so much more fuel, or less with a minus", Question: "How much more fuel is wanted (minus for less)?",
				Unit: "%", Range: [2]float64{-60, 150}, Sample: "-6 %",
			},
			from, to, jetKindInput("kind"),
			{
				Name: "lambda", Text: "mixture with the jet that is in, as lambda", Question: "What lambda was measured with the jet that is in?",
				Range: [2]float64{0.5, 2}, Uncertainty: 0.02,
			},
			{
				Name: "pressure", Text: "pressure over the jet, to have the flow as well", Unit: "kPa", Range: [2]float64{0.01, 100}, Uncertainty: 0,
				Question: "What pressure is over the jet?", Detail: true,
			},
		},
		Formulas: []string{"BoreNumber.FlowRatio", "BoreNumber.Scale", "FlowNumber.FlowRatio", "FlowNumber.Scale", "Jet.Flow", "BoreDischarge"},
		Caution:  drainedFirst,
		Worked: "a jet of 115 in place of one of 110, both numbered by bore, passes 9.3 % more fuel: twice what the numbers look like, since the " +
			"flow goes with the square of the bore.",
		Examples: []string{
			`--from 110 --to 115`,
			`--from 110 --change "-6 %"`,
			`--from 40 --to 42.5 --lambda 1.05 --pressure "0.4 kPa"`,
		},
		blames: map[string]string{"Reynolds number": "--pressure", "jet number": "--from and --to", "bore": "--from and --to"},
		model:  jetModel,
		tell:   jetTold,
		curve: func(g *given, r *Reckoning) error {
			if !g.has("to") {
				reach := max(30, 130*math.Abs(g.si("change")))
				return r.sweep("change", max(-60, -reach), reach, "wanted_number")
			}
			from, to := g.si("from"), g.si("to")
			reach := max(0.15*from, 1.3*math.Abs(to-from))
			return r.sweep("to", max(from-reach, 1), from+reach, "fuel_change")
		},
	}
}

// scaledJet is the number of the jet that passes ratio times as much.
func (g *given) scaledJet(kind string, n, ratio float64) (float64, error) {
	if kind == byFlow {
		x, err := carburetor.FlowNumber(n).Scale(ratio)
		g.by("FlowNumber.Scale", "n' = %s x %s = %s", number(n), number(ratio), number(float64(x)))
		return float64(x), err
	}
	x, err := carburetor.BoreNumber(n).Scale(ratio)
	g.by("BoreNumber.Scale", "n' = %s x sqrt(%s) = %s", number(n), number(ratio), number(float64(x)))
	return float64(x), err
}

// jetRatio is the flow of one jet over that of another.
func (g *given) jetRatio(kind string, from, to float64) (float64, error) {
	if kind == byFlow {
		ratio, err := carburetor.FlowNumber(to).FlowRatio(carburetor.FlowNumber(from))
		g.by("FlowNumber.FlowRatio", "q/q_from = %s / %s = %s", number(to), number(from), number(ratio))
		return ratio, err
	}
	ratio, err := carburetor.BoreNumber(to).FlowRatio(carburetor.BoreNumber(from))
	g.by("BoreNumber.FlowRatio", "q/q_from = (%s / %s)^2 = %s", number(to), number(from), number(ratio))
	return ratio, err
}

func jetModel(g *given) ([]Result, error) {
	if g.has("to") && g.has("change") {
		return nil, &InputFault{"--to and --change", "both are given", "leave one out: the jet to go in, or the change that is wanted"}
	}
	kind, from := g.word("kind"), g.si("from")
	var out []Result
	to, ratio := g.si("to"), 1+g.si("change")
	var err error
	if g.has("to") {
		if ratio, err = g.jetRatio(kind, from, to); err != nil {
			return nil, err
		}
	} else {
		if to, err = g.scaledJet(kind, from, ratio); err != nil {
			return nil, err
		}
		out = append(out, Result{Key: "wanted_number", Name: "Number that is wanted", Value: to, Digits: 4})
	}
	out = append(out, Result{Key: "fuel_change", Name: "Fuel through the jet", Unit: "%", Value: 100 * (ratio - 1), More: "more", Less: "less", Same: "unchanged"})
	if g.has("lambda") {
		out = append(out, Result{Key: "lambda_after", Name: "Lambda with the other jet", Value: g.si("lambda") / ratio})
	}
	if !g.has("pressure") {
		return out, nil
	}
	flows, err := jetFlows(g, kind, from, to)
	return append(out, flows...), err
}

// jetFlows are the flows of two bores in themselves, with a discharge that depends on the flow.
func jetFlows(g *given, kind string, from, to float64) ([]Result, error) {
	if kind == byFlow {
		return nil, &InputFault{"--pressure", "a number by flow does not tell the bore", "leave --pressure out, or write --kind bore"}
	}
	petrol, drop := carburetor.Petrol(), carburetor.Pressure(g.si("pressure"))
	var out []Result
	for _, j := range []struct {
		key, name string
		number    float64
	}{{"flow_before", "Flow of the jet that is in", from}, {"flow_after", "Flow of the other jet", to}} {
		f, err := carburetor.Jet{Bore: carburetor.BoreNumber(j.number).Bore()}.Flow(petrol.Liquid(), drop)
		if err != nil {
			return nil, err
		}
		volume := carburetor.VolumeFlow(float64(f.Mass) / float64(petrol.Density))
		bore := measure(carburetor.BoreNumber(j.number).Bore().In(carburetor.Millimetre), "mm")
		g.by("Jet.Flow", "m = %s x pi/4 x (%s)^2 x sqrt(2 x %s x %s) = %s, or %s", number(f.Discharge), bore, measure(float64(petrol.Density), "kg/m3"), g.fig("pressure"),
			measure(f.Mass.In(carburetor.GramPerSecond), "g/s"), measure(volume.In(carburetor.MillilitrePerMinute), "ml/min"))
		g.by("BoreDischarge", "at Re = %s: Cd = %s", number(roundTo(f.IdealReynolds, 3)), number(f.Discharge))
		out = append(out, Result{Key: j.key, Name: j.name, Unit: "ml/min", Value: volume.In(carburetor.MillilitrePerMinute)})
	}
	return out, nil
}

func jetTold(_ *given, r *Reckoning) {
	change, _ := r.Result("fuel_change")
	word := "no change"
	switch {
	case change.Value > 0:
		word = change.told() + " fuel, so richer by as much"
	case change.Value < 0:
		word = change.told() + " fuel, so leaner by as much"
	}
	r.Meaning = upperFirst(word) + ", where this jet alone decides the mixture: an idle jet at idle, a main jet near full throttle."
	if n, ok := r.Result("wanted_number"); ok {
		r.Meaning = fmt.Sprintf("Take the jet made that is nearest to %s. %s", number(roundTo(n.Value, 4)), r.Meaning)
	}
	if before, ok := r.Result("flow_before"); ok {
		after, _ := r.Result("flow_after")
		r.note("The flows are those of drilled jets twice as long as wide, in petrol of 20 °C, without an air bleed. By them the change is %+.1f %%: "+
			"a small jet also gains by flowing faster.", 100*(after.Value/before.Value-1))
	}
	r.note("Bore for bore at equal shape: a jet with another mouth, or a worn one, is another jet.")
}

// nearestJet is a sentence about the jet to look for, where a number is wanted; nothing where none is.
func (r *Reckoning) nearestJet() string {
	n, ok := r.Result("wanted_number")
	if !ok {
		return ""
	}
	return fmt.Sprintf(" Of the jets made, the nearest to %s makes up for it.", number(roundTo(n.Value, 4)))
}
