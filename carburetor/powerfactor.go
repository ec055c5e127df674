package carburetor

import "math"

// A PowerStandard is a rule for reducing measured power to reference air.
type PowerStandard int

const (
	// SAEJ1349: reference 990 mbar dry, 25 °C.
	SAEJ1349 PowerStandard = iota + 1
	// ISO1585: reference 99 kPa dry, 298 K, spark ignition; formula recalled.
	ISO1585
	// DIN70020: reference 1013 mbar total, 20 °C; formula recalled.
	DIN70020
)

// String names the standard.
func (s PowerStandard) String() string {
	switch s {
	case SAEJ1349:
		return "SAE J1349"
	case ISO1585:
		return "ISO 1585"
	case DIN70020:
		return "DIN 70020"
	}
	return "unknown standard"
}

// Factors beyond these are refused: the band that ISO 1585 gives (recalled), kept for all
// three.
const (
	lowestPowerFactor  = 0.93
	highestPowerFactor = 1.07
)

// PowerFactor returns the factor that reduces measured power to the standard's air.
//
//	SAE J1349:  1.180 (990/p_dry) sqrt((t + 273)/298) - 0.18,  mbar, °C
//	ISO 1585:   (99/p_dry)^1.2 (T/298)^0.6,  kPa, K
//	DIN 70020:  (1013/p) sqrt((273 + t)/293),  mbar, °C
//
// Source: SAE J1349 (JUN90) as quoted in a public forum; DIN 70020 and ISO 1585: reference
// conditions from a page that quotes the Bosch Automotive Handbook, formulas MEMORY. Outside
// 0.93 to 1.07 it returns a RangeError whose Value is the factor.
func PowerFactor(standard PowerStandard, air Air) (float64, error) {
	if err := air.check(); err != nil {
		return 0, err
	}
	dry, t := air.Pressure-air.vapour(), air.Temperature.Celsius()+273
	var f float64
	switch standard {
	case SAEJ1349:
		f = 1.180*(990/dry.In(Millibar))*math.Sqrt(t/298) - 0.18
	case ISO1585:
		f = math.Pow(99/dry.In(Kilopascal), 1.2) * math.Pow(float64(air.Temperature)/298, 0.6)
	case DIN70020:
		f = 1013 / air.Pressure.In(Millibar) * math.Sqrt(t/293)
	default:
		var bad faults
		bad.add("power standard", standard.String(), "one of the known standards")
		return 0, bad.err()
	}
	err := within("power factor by "+standard.String(), "factor", number(f), lowestPowerFactor, highestPowerFactor, f)
	if err != nil {
		return 0, err
	}
	return f, nil
}
