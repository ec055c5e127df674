package report

import (
	"regexp"
	"slices"
	"strings"

	"diagnose.example/carburetor"
)

// formulaNames says in a few words what each formula gives that a calculator works with. In package carburetor they go by the names
// of functions.
func formulaNames() map[string]string {
	return map[string]string{
		"FloatHeight.LevelShift":        "level for a float height",
		"LevelShift":                    "level for another float, seat or fuel",
		"Bowl.Draught":                  "draught of the float",
		"LevelMixture":                  "fuel for a level",
		"MixturePerLevel":               "fuel per height of level",
		"Bowl.Closing":                  "balance of the float valve",
		"FloatValve.Force":              "force at the needle",
		"HeadPressure":                  "pressure of a column of fuel",
		"BoreNumber.FlowRatio":          "flow of jets numbered by bore",
		"BoreNumber.Scale":              "jet numbered by bore",
		"FlowNumber.FlowRatio":          "flow of jets numbered by flow",
		"FlowNumber.Scale":              "jet numbered by flow",
		"Jet.Flow":                      "flow of a jet",
		"BoreDischarge":                 "discharge of a drilled jet",
		"Enrichment":                    "mixture in other air",
		"AltitudeAFR":                   "air-fuel ratio in air of another density",
		"JetCorrection":                 "jets for other air",
		"Air.Density":                   "density of moist air",
		"StandardAtmosphere":            "standard atmosphere",
		"LeakSearch.LeakArea":           "size of a leak",
		"LeakedLambda":                  "mixture with a leak",
		"AirLeak.Flow":                  "air through a leak",
		"Gas.NozzleFlux":                "air through a nozzle",
		"Motor.AirFlow":                 "mass of air that the engine draws",
		"Motor.AirVolume":               "volume of air that the engine draws",
		"FuelLine.Flow":                 "flow through tap, filter and hose",
		"TapFlow":                       "flow through a tap",
		"Pipe.HeadLoss":                 "head lost in the hose",
		"FlowReserve":                   "flow over demand",
		"FuelDemand":                    "fuel for a power",
		"BlockedTank.Drawn":             "fuel drawn from a closed tank",
		"BlockedTank.TimeToStarve":      "time until it starves",
		"FuelChange":                    "mixture on another fuel",
		"Composition.StoichiometricAFR": "air that burns the fuel",
		"Blend.MassShare":               "alcohol by mass",
		"Blend.OxygenShare":             "oxygen in the blend",
		"Fuel.HeatPerVolume":            "heat in a volume",
		"Exhaust.Brettschneider":        "lambda from exhaust gas",
		"HexaneHC":                      "hydrocarbons counted as carbon",
		"Burn.Exhaust":                  "exhaust of an even mixture",
	}
}

// formulaName says what a formula gives.
func formulaName(f carburetor.Formula) string {
	if name := formulaNames()[f.Func]; name != "" {
		return upperFirst(name)
	}
	return f.Func
}

// sourceOf says where a formula comes from. What is from memory is no source.
func sourceOf(f carburetor.Formula) string {
	if f.Standing == carburetor.Recalled {
		return "No source: " + sourceWords(f.Citation())
	}
	return "Source: " + sourceWords(f.Citation())
}

var (
	// ownNames matches what may be the name of a function, with or without its type.
	ownNames = regexp.MustCompile(`\b(?:[A-Z][A-Za-z]+\.)?[A-Z][A-Za-z]+\b`)
	// limits matches closing sentences about what a function takes, which are for programmers.
	limits = regexp.MustCompile(`(?: [A-Z][A-Za-z0-9, ]* (?:above 0|0 or more|must be above 0|0 to s\.Pressure)\.)+$`)
)

// sourceWords writes a citation for those who do not read programs: other formulas go by what they give.
func sourceWords(citation string) string {
	names := formulaNames()
	for name, words := range formulaNames() {
		_, method, ok := strings.Cut(name, ".")
		if ok && !slices.Contains([]string{"Density", "Flow", "Force", "Exhaust", "Brettschneider"}, method) { // titles and sentences have these too
			names[method] = words
		}
	}
	s := ownNames.ReplaceAllStringFunc(limits.ReplaceAllString(citation, ""), func(word string) string {
		if words := names[word]; words != "" {
			return "\"" + words + "\""
		}
		return word
	})
	if strings.HasPrefix(s, "\"") {
		return "that of " + s
	}
	return s
}
