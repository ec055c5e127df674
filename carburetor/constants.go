package carburetor

import "math"

const (
	// gravity is standard gravity in m/s2, exact: 3rd General Conference on Weights and
	// Measures, 1901.
	gravity = 9.80665
	// StandardPressure is the pressure of the standard atmosphere at sea level, exact by
	// definition.
	StandardPressure Pressure = 101325
	// StandardTemperature is the temperature of the standard atmosphere at sea level, 15 °C.
	StandardTemperature Temperature = 288.15
)

// CircleArea returns the area of a circle of the diameter.
//
//	A = pi/4 d^2
//
// Source: geometry.
func CircleArea(diameter Length) Area { return Area(math.Pi / 4 * diameter * diameter) }

// Diameter returns the diameter of a circle of the area; NaN for a negative area.
//
//	d = sqrt(4 A / pi)
//
// Source: geometry.
func (a Area) Diameter() Length { return Length(math.Sqrt(4 * float64(a) / math.Pi)) }

// HeadPressure returns the pressure of a column of liquid at rest, negative for a negative
// head.
//
//	p = rho g H
//
// Source: hydrostatics.
func HeadPressure(liquid Density, head Length) Pressure {
	return Pressure(float64(liquid) * gravity * float64(head))
}
