package rules

import (
	"math"

	"diagnose.example/carburetor"
)

// airModels are about thin, warm, cold and damp air.
func airModels() []Model {
	from, to := Param{"height above the sea where it was set", "m"}, Param{"height above the sea where it runs", "m"}
	return []Model{
		{Name: "air_pressure", Params: []Param{{"height above the sea", "m"}}, Result: Param{"air pressure on a standard day", "kPa"},
			Formulas: []string{"StandardAtmosphere"}, Monotone: true, Example: []float64{2500},
			Doc: "the pressure of the air at a height", Assumes: "a standard day; weather moves it by 3 % at most (common practice)",
			call: func(a []float64) (float64, error) { p, err := pressureAt(a[0]); return float64(p), err }},
		{Name: "compression_at", Params: []Param{{"compression by the book", "kPa"}, {"height above the sea of the book value", "m"}, to},
			Result: Param{"gauge reading to expect", "kPa"}, Formulas: []string{"CompressionAt", "StandardAtmosphere"},
			Monotone: true, Example: []float64{1100, 0, 2500},
			Doc:     "what a compression gauge shows at a height on an engine that is by the book",
			Assumes: "a standard day; the same throttle, battery and temperature as for the book value", call: compressionAt},
		{Name: "vacuum_at", Params: []Param{{"intake vacuum by the book", "kPa"}, {"height above the sea of the book value", "m"}, to},
			Result: Param{"gauge reading to expect", "kPa"}, Formulas: []string{"VacuumAt", "StandardAtmosphere"},
			Monotone: true, Example: []float64{40, 0, 2500},
			Doc:     "what a vacuum gauge shows at idle at a height on an engine that is by the book",
			Assumes: "a standard day; the same idle speed as for the book value", call: vacuumAt},
		{Name: "height_enrichment", Params: []Param{from, to}, Result: Param{"how much richer it runs", "%"},
			Formulas: []string{"Enrichment", "AltitudeAFR", "StandardAtmosphere"}, Monotone: true, Example: []float64{0, 2500},
			Doc: "how much richer a carburetor runs at another height than where it was set", Assumes: "standard days at both places",
			call: func(a []float64) (float64, error) {
				phi, err := enrichment(a[0], a[1])
				return phi - 1, err
			}},
		{Name: "warmth_enrichment", Params: []Param{{"air temperature when it was set", "°C"}, {"air temperature now", "°C"}},
			Result: Param{"how much richer it runs", "%"}, Formulas: []string{"Enrichment", "AltitudeAFR"}, Monotone: true, Example: []float64{28, 2},
			Doc:     "how much richer a carburetor runs in air of another temperature; below nought it is leaner",
			Assumes: "dry air of standard pressure; that warm fuel is lighter is left out", call: warmthEnrichment},
		{Name: "lambda_at", Params: []Param{{"mixture (lambda) where it was set", ""}, from, to}, Result: Param{"mixture (lambda) to expect", ""},
			Formulas: []string{"Enrichment", "AltitudeAFR", "StandardAtmosphere"}, Monotone: true, Example: []float64{0.9, 0, 2500},
			Doc: "the mixture that another height makes of one that was right", Assumes: "standard days at both places",
			call: func(a []float64) (float64, error) {
				phi, err := enrichment(a[1], a[2])
				return a[0] / phi, err
			}},
		{Name: "jet_number_at", Params: []Param{{"jet by the book, stamped by its bore", ""}, from, to},
			Result: Param{"jet number for the place", ""}, Formulas: []string{"BoreNumber.Scale", "JetCorrection", "Enrichment", "AltitudeAFR"},
			Monotone: true, Example: []float64{120, 0, 2500},
			Doc: "the bore-stamped jet that gives at another height the mixture of the book's jet", Assumes: "standard days at both places",
			call: func(a []float64) (float64, error) {
				ratio, err := jetCorrection(a[1], a[2])
				if err != nil {
					return 0, err
				}
				n, err := carburetor.BoreNumber(a[0]).Scale(ratio)
				return float64(n), err
			}},
		{Name: "flow_jet_number_at", Params: []Param{{"jet by the book, stamped by its flow", ""}, from, to},
			Result: Param{"jet number for the place", ""}, Formulas: []string{"FlowNumber.Scale", "JetCorrection", "Enrichment", "AltitudeAFR"},
			Monotone: true, Example: []float64{120, 0, 2500},
			Doc: "the flow-stamped jet that gives at another height the mixture of the book's jet", Assumes: "standard days at both places",
			call: func(a []float64) (float64, error) {
				ratio, err := jetCorrection(a[1], a[2])
				if err != nil {
					return 0, err
				}
				n, err := carburetor.FlowNumber(a[0]).Scale(ratio)
				return float64(n), err
			}},
		{Name: "icing_margin", Params: []Param{{"air temperature", "°C"}, {"relative humidity", "%"}},
			Result: Param{"how far the throat falls below both freezing and dew point", "K"}, Formulas: []string{"Icing.Result", "EvaporationCooling", "VenturiCooling", "DewPoint"},
			Example: []float64{6, 85}, Doc: "by how much the carburetor's throat is cold enough for ice; below nought there is none",
			Assumes: "six tenths of the fuel evaporate before the throttle at 13 parts of air, 2 kPa at the throat (our own figures); below -2 °C " +
				"the air is taken as too dry, which is the lower end of a published band for road vehicles", call: icingMargin},
	}
}

func pressureAt(altitude float64) (carburetor.Pressure, error) {
	s, err := carburetor.StandardAtmosphere(carburetor.Length(altitude))
	return s.Pressure, err
}

// pressures returns those of two heights.
func pressures(from, to float64) (p, q carburetor.Pressure, err error) {
	if p, err = pressureAt(from); err != nil {
		return 0, 0, err
	}
	q, err = pressureAt(to)
	return p, q, err
}

func compressionAt(a []float64) (float64, error) {
	p, q, err := pressures(a[1], a[2])
	if err != nil {
		return 0, err
	}
	g, err := carburetor.CompressionAt(carburetor.Pressure(a[0]), p, q)
	return float64(g), err
}

func vacuumAt(a []float64) (float64, error) {
	p, q, err := pressures(a[1], a[2])
	if err != nil {
		return 0, err
	}
	g, err := carburetor.VacuumAt(carburetor.Pressure(a[0]), p, q)
	return float64(g), err
}

// standardDays returns the air at two heights.
func standardDays(from, to float64) (there, here carburetor.Air, err error) {
	if there, err = carburetor.StandardDay(carburetor.Length(from)); err != nil {
		return there, here, err
	}
	here, err = carburetor.StandardDay(carburetor.Length(to))
	return there, here, err
}

func enrichment(from, to float64) (float64, error) {
	there, here, err := standardDays(from, to)
	if err != nil {
		return math.NaN(), err
	}
	return carburetor.Enrichment(there, here)
}

func jetCorrection(from, to float64) (float64, error) {
	there, here, err := standardDays(from, to)
	if err != nil {
		return math.NaN(), err
	}
	return carburetor.JetCorrection(there, here)
}

func warmthEnrichment(a []float64) (float64, error) {
	air := func(t float64) carburetor.Air {
		return carburetor.Air{Pressure: carburetor.StandardPressure, Temperature: carburetor.Temperature(t)}
	}
	phi, err := carburetor.Enrichment(air(a[0]), air(a[1]))
	return phi - 1, err
}

// Own figures for [icing_margin]: with them the throat freezes up to about the upper end of the published band for road
// vehicles (13 °C), when the air is damp.
const (
	icingShare      = 0.6
	icingAFR        = 13
	icingDepression = 2 * carburetor.Kilopascal
	tooDryBelow     = -2 // °C
)

func icingMargin(a []float64) (float64, error) {
	air := carburetor.Air{Pressure: carburetor.StandardPressure, Temperature: carburetor.Temperature(a[0]), Humidity: a[1]}
	r, err := carburetor.Icing{Air: air, Fuel: carburetor.Petrol(), AFR: icingAFR, Evaporated: icingShare, Depression: icingDepression}.Result()
	if err != nil {
		return 0, err
	}
	cold := min(carburetor.Celsius(0), r.Dew) - r.Throat
	return min(float64(cold), air.Temperature.Celsius()-tooDryBelow), nil
}
