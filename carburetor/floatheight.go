package carburetor

// A Datum says from where and to where a float height is measured. A height without its datum
// means nothing: one maker's settings run from 3 to 50 mm by model and datum (workshop notes of
// one make's float settings, 1/8 in to 2 in).
type Datum int

const (
	// FromGasketFace: cover upside down, valve just shut, from its bare gasket face to the far
	// edge of the float. A larger height closes the valve at a lower level. So does one
	// measured to the near edge.
	FromGasketFace Datum = iota + 1
	// FromBowlRim: float hinged in the bowl, from the rim down to the top of the float, valve
	// just shut. A larger height means a lower level.
	FromBowlRim
	// FromBowlFloor: float hinged in the bowl, from the floor up to the float, valve just shut.
	// A larger height means a higher level.
	FromBowlFloor
)

// sign is +1 where a larger height means a higher level, 0 for an unknown datum.
func (d Datum) sign() float64 {
	switch d {
	case FromGasketFace, FromBowlRim:
		return -1
	case FromBowlFloor:
		return 1
	}
	return 0
}

// String names the datum.
func (d Datum) String() string {
	switch d {
	case FromGasketFace:
		return "from the gasket face, upside down"
	case FromBowlRim:
		return "from the bowl's rim down"
	case FromBowlFloor:
		return "from the bowl's floor up"
	}
	return "unknown datum"
}

// A FloatHeight is a misset float height and what is known of the lever.
type FloatHeight struct {
	// Datum must be one of the constants.
	Datum Datum
	// Error is the measured height less the specified one; either sign, up to 10 mm.
	Error Length
	// ToWaterplane reaches from the hinge pin to the centre of the waterplane, ToMark to the
	// point of the float where the height is measured. Both above 0, or both zero when nobody
	// has measured them: then the usual ratio with its spread is taken.
	ToWaterplane, ToMark Length
}

// An Estimate is a value with the bounds that unmeasured dimensions leave.
type Estimate[Q ~float64] struct{ Best, Low, High Q }

// Ratio of the two lengths on usual small carburetors: 0.75, from 0.6 to 1.0. Derived from
// recalled dimensions, no source seen.
const (
	usualHeightRatio   = 0.75
	lowestHeightRatio  = 0.6
	highestHeightRatio = 1.0
)

// maxHeightError is how far the small-angle law is taken: 10 mm at 44 mm from the hinge is 14
// degrees, where a box float half out of the fuel has it 8 % off (see Section).
const maxHeightError = 10 * Millimetre

// LevelShift returns by how much the fuel stands higher than it should because of the float
// height alone; negative is lower.
//
//	dh = sign * x * L_w/L_m
//
// x is the error in height, L_w and L_m the distances from the hinge pin to the centre of the
// waterplane and to the measured point; the sign is that of the datum. Small angles: beyond 10
// mm use Section. Source: own derivation from the lever; the usual ratio is derived from
// recalled dimensions.
func (f FloatHeight) LevelShift() (Estimate[Length], error) {
	if err := f.check(); err != nil {
		return Estimate[Length]{}, err
	}
	if f.ToMark > 0 {
		shift := f.scaled(float64(f.ToWaterplane) / float64(f.ToMark))
		return Estimate[Length]{shift, shift, shift}, nil
	}
	best, a, b := f.scaled(usualHeightRatio), f.scaled(lowestHeightRatio), f.scaled(highestHeightRatio)
	return Estimate[Length]{best, min(a, b), max(a, b)}, nil
}

func (f FloatHeight) scaled(ratio float64) Length {
	return Length(f.Datum.sign() * float64(f.Error) * ratio)
}

func (f FloatHeight) check() error {
	var bad faults
	if f.Datum.sign() == 0 {
		bad.add("float height datum", f.Datum.String(), "one of the known datums")
	}
	finite(&bad, "error of the float height", f.Error)
	switch {
	case f.ToMark == 0 && f.ToWaterplane == 0:
	default:
		positive(&bad, "distance from hinge to waterplane", f.ToWaterplane)
		positive(&bad, "distance from hinge to measured point", f.ToMark)
	}
	if bad != nil {
		return bad.err()
	}
	shift := f.scaled(usualHeightRatio)
	const law = "level from float height"
	return within(law, "error of the float height", f.Error, -maxHeightError, maxHeightError, float64(shift))
}

// UnexplainedLevel returns how much of a level error the float height leaves unexplained: 0
// when the error lies within the estimate, else what remains to its nearer bound, with its
// sign. levelError is the measured level less the specified one, up positive.
//
// Source: as LevelShift.
func (f FloatHeight) UnexplainedLevel(levelError Length) (Length, error) {
	var bad faults
	finite(&bad, "error of the fuel level", levelError)
	if bad != nil {
		return 0, bad.err()
	}
	e, err := f.LevelShift()
	switch {
	case err != nil:
		return 0, err
	case levelError > e.High:
		return levelError - e.High, nil
	case levelError < e.Low:
		return levelError - e.Low, nil
	}
	return 0, nil
}
