package carburetor

import (
	"math"
	"strconv"
)

// Quantities hold SI base units. A value is made by multiplying with a unit, as with
// time.Duration: 22.5*Millimetre, or Length(x)*Millimetre for a variable; In gives it back as a
// number of a unit. String prints in the unit that a workshop uses.
type (
	// Length is in metres.
	Length float64
	// Area is in square metres.
	Area float64
	// Volume is in cubic metres.
	Volume float64
	// Mass is in kilograms.
	Mass float64
	// Force is in newtons.
	Force float64
	// Angle is in radians.
	Angle float64
	// Duration is in seconds. It is not time.Duration, which ends at 292 years and has no
	// fractions.
	Duration float64
)

// Units of length, area, volume, mass, force, angle and time. The inch and the pound are those
// of the international agreement of 1959, the gallons those defined by statute; all are exact.
const (
	Metre      Length = 1
	Centimetre Length = 1e-2
	Millimetre Length = 1e-3
	Inch       Length = 0.0254
	Foot       Length = 12 * Inch

	SquareMetre      Area = 1
	SquareCentimetre Area = 1e-4
	SquareMillimetre Area = 1e-6
	SquareInch       Area = 0.0254 * 0.0254

	CubicMetre      Volume = 1
	Litre           Volume = 1e-3
	CubicCentimetre Volume = 1e-6
	USGallon        Volume = 231 * 0.0254 * 0.0254 * 0.0254
	ImperialGallon  Volume = 4.54609e-3
	CubicFoot       Volume = 0.3048 * 0.3048 * 0.3048

	Kilogram Mass = 1
	Gram     Mass = 1e-3
	Pound    Mass = 0.45359237

	Newton     Force = 1
	Kilonewton Force = 1e3

	Radian Angle = 1
	Degree Angle = 3.14159265358979323846 / 180

	Second Duration = 1
	Minute Duration = 60
	Hour   Duration = 3600
)

// In returns the length as a number of the unit.
func (l Length) In(unit Length) float64 { return float64(l / unit) }

// In returns the area as a number of the unit.
func (a Area) In(unit Area) float64 { return float64(a / unit) }

// In returns the volume as a number of the unit.
func (v Volume) In(unit Volume) float64 { return float64(v / unit) }

// In returns the mass as a number of the unit.
func (m Mass) In(unit Mass) float64 { return float64(m / unit) }

// In returns the force as a number of the unit.
func (f Force) In(unit Force) float64 { return float64(f / unit) }

// In returns the angle as a number of the unit.
func (a Angle) In(unit Angle) float64 { return float64(a / unit) }

// In returns the time as a number of the unit.
func (d Duration) In(unit Duration) float64 { return float64(d / unit) }

// String prints millimetres.
func (l Length) String() string { return show(l.In(Millimetre), "mm") }

// String prints square millimetres.
func (a Area) String() string { return show(a.In(SquareMillimetre), "mm2") }

// String prints cubic centimetres.
func (v Volume) String() string { return show(v.In(CubicCentimetre), "cm3") }

// String prints grams.
func (m Mass) String() string { return show(m.In(Gram), "g") }

// String prints newtons.
func (f Force) String() string { return show(f.In(Newton), "N") }

// String prints degrees.
func (a Angle) String() string { return show(a.In(Degree), "deg") }

// String prints minutes, or seconds below two minutes.
func (d Duration) String() string {
	if d < 2*Minute {
		return show(d.In(Second), "s")
	}
	return show(d.In(Minute), "min")
}

// show prints four significant digits, enough for anything measured on a bench, without an
// exponent where people would write none.
func show(v float64, unit string) string {
	s := strconv.FormatFloat(v, 'g', 4, 64)
	if a := math.Abs(v); a >= 1e4 && a < 1e7 {
		rounded, _ := strconv.ParseFloat(s, 64)
		s = strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	if unit == "" {
		return s
	}
	return s + " " + unit
}
