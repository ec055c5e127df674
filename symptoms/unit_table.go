package symptoms

// Dimensions in use: length, mass, time, temperature, electric current, turn.
var (
	dimCount    = Dim{}
	dimLength   = Dim{1}
	dimMass     = Dim{0, 1}
	dimTime     = Dim{0, 0, 1}
	dimTemp     = Dim{0, 0, 0, 1}
	dimCurrent  = Dim{0, 0, 0, 0, 1}
	dimTurn     = Dim{0, 0, 0, 0, 0, 1}
	dimArea     = Dim{2}
	dimVolume   = Dim{3}
	dimPower    = Dim{2, 1, -3}
	dimFlow     = Dim{3, 0, -1}
	dimPressure = Dim{-1, 1, -2}
	dimSpeed    = Dim{1, 0, -1}
	dimTurning  = Dim{0, 0, -1, 0, 0, 1}
	dimDensity  = Dim{-3, 1}
	dimVoltage  = Dim{2, 1, -3, 0, -1}
	dimOhm      = Dim{2, 1, -3, 0, -2}
)

var dimNames = []struct {
	dim  Dim
	name string
}{
	{dimCount, "a plain number"}, {dimLength, "a length"}, {dimMass, "a mass"}, {dimTime, "a time"},
	{dimTemp, "a temperature"}, {dimCurrent, "a current"}, {dimTurn, "an angle"}, {dimVolume, "a volume"}, {dimArea, "an area"}, {dimPower, "a power"},
	{dimFlow, "a flow"}, {dimPressure, "a pressure"}, {dimSpeed, "a speed"}, {dimTurning, "a speed of turning"},
	{dimDensity, "a density"}, {dimVoltage, "a voltage"}, {dimOhm, "a resistance"},
}

// Defined constants behind the customary units. Inch and pound by the international
// agreement of 1959, standard gravity by the third General Conference on Weights and
// Measures of 1901; "conventional" mercury and water columns have the densities below at
// standard gravity. The same figures stand in the definition file of the pint library
// (pint/default_en.txt), against which the tests compare.
const (
	inch           = 0.0254       // m, exact
	pound          = 0.45359237   // kg, exact
	gravity        = 9.80665      // m/s2, exact
	mercury        = 13595.1      // kg/m3, conventional
	water          = 1000.0       // kg/m3, conventional
	minute         = 60.0         // s, exact
	hour           = 60 * minute  // s, exact
	day            = 24 * hour    // s, exact
	year           = 365.25 * day // s, the Julian year; a month is a twelfth of it
	liter          = 1e-3         // m3, exact
	zeroCelsius    = 273.15       // K, exact
	fahrenheit     = 5.0 / 9.0    // K, exact
	zeroFahrenheit = zeroCelsius - 32*fahrenheit
)

const (
	decimal    = "decimal multiple, exact"
	definition = "exact by definition"
	columns    = "column of liquid at conventional density and standard gravity"
	convention = "convention: Julian year of 365.25 days"
)

// unitTable lists the units. A function and not a variable, so that nobody can change it.
func unitTable() []Unit {
	return []Unit{
		{"m", "meter", dimLength, 1, 0, []string{"metre", "metres", "meter", "meters"}, definition},
		{"cm", "cm", dimLength, 1e-2, 0, []string{"centimetre", "centimetres", "centimeter", "centimeters"}, decimal},
		{"mm", "mm", dimLength, 1e-3, 0, []string{"millimetre", "millimetres", "millimeter", "millimeters"}, decimal},
		{"km", "km", dimLength, 1e3, 0, []string{"kms", "kilometre", "kilometres", "kilometer", "kilometers"}, decimal},
		{"in", "inch", dimLength, inch, 0, []string{"inch", "inches", "ins", `"`, "''"}, definition},
		{"thou", "thou", dimLength, inch / 1000, 0, nil, definition},
		{"ft", "foot", dimLength, 12 * inch, 0, []string{"foot", "feet", "'"}, definition},
		{"mi", "mile", dimLength, 63360 * inch, 0, []string{"mile", "miles"}, definition},

		{"kg", "kg", dimMass, 1, 0, []string{"kilo", "kilos", "kilogram", "kilograms"}, definition},
		{"g", "gram", dimMass, 1e-3, 0, []string{"gram", "grams"}, decimal},
		{"lb", "pound", dimMass, pound, 0, []string{"lbs", "pound", "pounds"}, definition},
		{"oz", "ounce", dimMass, pound / 16, 0, []string{"ounce", "ounces"}, definition},

		{"s", "seconds", dimTime, 1, 0, []string{"sec", "secs", "second", "seconds"}, definition},
		{"min", "minutes", dimTime, minute, 0, []string{"mins", "minute", "minutes"}, definition},
		{"h", "hours", dimTime, hour, 0, []string{"hr", "hrs", "hour", "hours"}, definition},
		{"days", "days", dimTime, day, 0, []string{"d", "day"}, definition},
		{"weeks", "weeks", dimTime, 7 * day, 0, []string{"wk", "wks", "week"}, definition},
		{"months", "months", dimTime, year / 12, 0, []string{"month"}, convention},
		{"years", "years", dimTime, year, 0, []string{"yr", "yrs", "year"}, convention},

		{"K", "kelvin", dimTemp, 1, 0, []string{"kelvin", "kelvins"}, definition},
		{"°C", "degC", dimTemp, 1, zeroCelsius, []string{"C", "degC", "deg C", "° C", "celsius", "degrees C", "degrees celsius"}, definition},
		{"°F", "degF", dimTemp, fahrenheit, zeroFahrenheit, []string{"F", "degF", "deg F", "° F", "fahrenheit", "degrees F", "degrees fahrenheit"}, definition},

		{"mm2", "square_mm", dimArea, 1e-6, 0, []string{"mm^2", "sq mm", "square millimetre", "square millimetres"}, decimal},
		{"cm2", "square_cm", dimArea, 1e-4, 0, []string{"cm^2", "sq cm", "square centimetre", "square centimetres"}, decimal},

		{"ml", "ml", dimVolume, 1e-3 * liter, 0, []string{"cc", "ccm", "cm3", "cm^3", "cu cm", "millilitre", "millilitres", "milliliter", "milliliters"}, decimal},
		{"l", "liter", dimVolume, liter, 0, []string{"L", "litre", "litres", "liter", "liters", "dm3"}, definition},
		{"m3", "cubic_meter", dimVolume, 1, 0, []string{"m^3", "cubic metre", "cubic metres", "cubic meter", "cubic meters"}, definition},

		{"ml/min", "ml_per_min", dimFlow, 1e-3 * liter / minute, 0, []string{"cc/min", "cm3/min", "cm^3/min", "ml per min", "ml per minute", "cc per min", "cc per minute", "ml/minute", "cc/minute"}, definition},
		{"l/min", "liter_per_min", dimFlow, liter / minute, 0, []string{"l per min", "l per minute", "litres per minute", "liters per minute", "l/minute"}, definition},
		{"l/h", "liter_per_hour", dimFlow, liter / hour, 0, []string{"l/hr", "l/hour", "l per h", "l per hour", "litres per hour", "liters per hour"}, definition},

		{"Pa", "Pa", dimPressure, 1, 0, []string{"pascal", "pascals"}, definition},
		{"hPa", "hPa", dimPressure, 100, 0, nil, decimal},
		{"kPa", "kPa", dimPressure, 1e3, 0, []string{"kilopascal", "kilopascals"}, decimal},
		{"mbar", "mbar", dimPressure, 100, 0, []string{"mb", "millibar", "millibars"}, decimal},
		{"bar", "bar", dimPressure, 1e5, 0, []string{"bars"}, definition},
		{"psi", "psi", dimPressure, pound * gravity / (inch * inch), 0, []string{"lb/in2", "lbf/in2", "lb/sq in", "lb per sq in", "lbs/in2"}, definition},
		{"kgf/cm2", "kgf_per_cm2", dimPressure, gravity * 1e4, 0, []string{"kg/cm2", "kp/cm2", "kgf/cm^2", "kg/cm^2"}, definition},
		{"mmHg", "mmHg", dimPressure, 1e-3 * mercury * gravity, 0, []string{"mm Hg", "torr", "Torr"}, columns},
		{"cmHg", "cmHg", dimPressure, 1e-2 * mercury * gravity, 0, []string{"cm Hg"}, columns},
		{"inHg", "inHg", dimPressure, inch * mercury * gravity, 0, []string{"in Hg", "in. Hg", `"Hg`, `" Hg`, "inches Hg", "inches of mercury", "inch Hg"}, columns},
		{"mmH2O", "mmH2O", dimPressure, 1e-3 * water * gravity, 0, []string{"mm H2O", "mmWS", "mmWC"}, columns},
		{"inH2O", "inH2O", dimPressure, inch * water * gravity, 0, []string{"in H2O", "in. H2O", "inWC", "inches of water"}, columns},

		{"kW", "kilowatt", dimPower, 1e3, 0, []string{"kilowatt", "kilowatts"}, decimal},
		{"hp", "horsepower", dimPower, 550 * pound * gravity * 12 * inch, 0, []string{"horsepower", "bhp"}, definition},

		{"rpm", "rpm", dimTurning, 1 / minute, 0, []string{"r/min", "1/min", "min-1", "rev/min", "revs", "revs per minute", "U/min"}, definition},
		{"km/h", "km_per_hour", dimSpeed, 1e3 / hour, 0, []string{"kmh", "kph", "km per h", "km per hour"}, definition},
		{"mph", "mile_per_hour", dimSpeed, 63360 * inch / hour, 0, []string{"mi/h", "miles per hour"}, definition},

		{"turns", "turns", dimTurn, 1, 0, []string{"turn", "turns out", "turn out", "rev", "revolution", "revolutions"}, definition},
		{"°", "degrees", dimTurn, 1.0 / 360, 0, []string{"deg", "degree", "degrees", "degs"}, definition},

		{"V", "volt", dimVoltage, 1, 0, []string{"volt", "volts"}, definition},
		{"mV", "millivolt", dimVoltage, 1e-3, 0, []string{"millivolt", "millivolts"}, decimal},
		{"kV", "kilovolt", dimVoltage, 1e3, 0, []string{"kilovolt", "kilovolts"}, decimal},
		{"A", "ampere", dimCurrent, 1, 0, []string{"amp", "amps", "ampere", "amperes"}, definition},
		{"mA", "milliampere", dimCurrent, 1e-3, 0, []string{"milliamp", "milliamps"}, decimal},
		{"ohm", "ohm", dimOhm, 1, 0, []string{"ohms"}, definition},
		{"kohm", "kilohm", dimOhm, 1e3, 0, []string{"kohms", "kilohm", "kilohms", "k ohm"}, decimal},

		{"g/cm3", "g_per_cm3", dimDensity, 1e3, 0, []string{"g/ml", "g/cc", "kg/l", "g/cm^3"}, decimal},
		{"kg/m3", "kg_per_m3", dimDensity, 1, 0, []string{"kg/m^3"}, definition},

		{"ratio", "ratio", dimCount, 1, 0, []string{":1", ": 1", "times"}, definition},
		{"%", "percent", dimCount, 1e-2, 0, []string{"percent", "per cent", "pct", "vol%", "% vol", "vol %"}, definition},
		{"ppm", "ppm", dimCount, 1e-6, 0, []string{"ppm vol", "vol ppm"}, definition},
	}
}
