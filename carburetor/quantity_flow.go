package carburetor

// Quantities of fluids and heat, in SI base units.
type (
	// Pressure is in pascals: absolute, gauge or a difference, as the name of the field says.
	Pressure float64
	// Density is in kilograms per cubic metre.
	Density float64
	// Viscosity is the kinematic viscosity in square metres per second.
	Viscosity float64
	// Speed is in metres per second.
	Speed float64
	// MassFlow is in kilograms per second.
	MassFlow float64
	// MassFlux is a mass flow per area, in kilograms per second and square metre.
	MassFlux float64
	// VolumeFlow is in cubic metres per second.
	VolumeFlow float64
	// Temperature is absolute, in kelvins.
	Temperature float64
	// TemperatureDifference is in kelvins.
	TemperatureDifference float64
	// SpecificHeat is in joules per kilogram and kelvin; gas constants of one gas have it too.
	SpecificHeat float64
	// SpecificEnergy is in joules per kilogram.
	SpecificEnergy float64
	// EnergyDensity is in joules per cubic metre.
	EnergyDensity float64
	// Power is in watts.
	Power float64
	// RotationSpeed is in revolutions per second.
	RotationSpeed float64
	// MolarMass is in kilograms per mole.
	MolarMass float64
	// MolarEnergy is in joules per mole.
	MolarEnergy float64
	// SpecificVolume is in cubic metres per kilogram.
	SpecificVolume float64
)

// Units of pressure. Columns of mercury and water have their conventional densities of 13595.1
// and 1000 kg/m3 at standard gravity; psi is the pound-force per square inch at standard
// gravity.
const (
	Pascal              Pressure = 1
	Hectopascal         Pressure = 1e2
	Kilopascal          Pressure = 1e3
	Megapascal          Pressure = 1e6
	Bar                 Pressure = 1e5
	Millibar            Pressure = 1e2
	PSI                 Pressure = 0.45359237 * 9.80665 / (0.0254 * 0.0254)
	InchOfMercury       Pressure = 13595.1 * 9.80665 * 0.0254
	MillimetreOfMercury Pressure = 13595.1 * 9.80665 * 1e-3
	MillimetreOfWater   Pressure = 9.80665
	CentimetreOfWater   Pressure = 98.0665
)

// Other units. The British thermal unit is that of the International Table: 1 Btu/lb is 2326
// J/kg, exactly.
const (
	KilogramPerCubicMetre Density = 1
	PoundPerUSGallon      Density = 0.45359237 / (231 * 0.0254 * 0.0254 * 0.0254)
	SlugPerCubicFoot      Density = 0.45359237 * 9.80665 / 0.3048 / (0.3048 * 0.3048 * 0.3048)

	SquareMillimetrePerSecond Viscosity = 1e-6

	MetrePerSecond Speed = 1

	KilogramPerSecond MassFlow = 1
	GramPerSecond     MassFlow = 1e-3
	KilogramPerMinute MassFlow = 1.0 / 60
	KilogramPerHour   MassFlow = 1.0 / 3600

	LitrePerSecond      VolumeFlow = 1e-3
	MillilitrePerSecond VolumeFlow = 1e-6
	MillilitrePerMinute VolumeFlow = 1e-6 / 60
	LitrePerHour        VolumeFlow = 1e-3 / 3600
	CubicFootPerSecond  VolumeFlow = 0.3048 * 0.3048 * 0.3048

	JoulePerKilogramKelvin SpecificHeat = 1

	KilojoulePerKilogram SpecificEnergy = 1e3
	MegajoulePerKilogram SpecificEnergy = 1e6
	BTUPerPound          SpecificEnergy = 2326

	MegajoulePerLitre EnergyDensity = 1e9
	BTUPerUSGallon    EnergyDensity = 2326 * 0.45359237 / (231 * 0.0254 * 0.0254 * 0.0254)

	Watt     Power = 1
	Kilowatt Power = 1e3

	RPM RotationSpeed = 1.0 / 60

	GramPerMole      MolarMass   = 1e-3
	KilojoulePerMole MolarEnergy = 1e3
)

// zeroCelsius is the temperature of 0 degrees Celsius, exact by definition.
const zeroCelsius Temperature = 273.15

// Celsius returns the absolute temperature of t degrees Celsius.
func Celsius(t float64) Temperature { return Temperature(t) + zeroCelsius }

// Fahrenheit returns the absolute temperature of t degrees Fahrenheit.
func Fahrenheit(t float64) Temperature { return Celsius((t - 32) / 1.8) }

// Celsius returns the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t - zeroCelsius) }

// Fahrenheit returns the temperature in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return t.Celsius()*1.8 + 32 }

// In returns the pressure as a number of the unit.
func (p Pressure) In(unit Pressure) float64 { return float64(p / unit) }

// In returns the density as a number of the unit.
func (d Density) In(unit Density) float64 { return float64(d / unit) }

// In returns the viscosity as a number of the unit.
func (v Viscosity) In(unit Viscosity) float64 { return float64(v / unit) }

// In returns the speed as a number of the unit.
func (s Speed) In(unit Speed) float64 { return float64(s / unit) }

// In returns the mass flow as a number of the unit.
func (m MassFlow) In(unit MassFlow) float64 { return float64(m / unit) }

// In returns the volume flow as a number of the unit.
func (v VolumeFlow) In(unit VolumeFlow) float64 { return float64(v / unit) }

// In returns the specific energy as a number of the unit.
func (e SpecificEnergy) In(unit SpecificEnergy) float64 { return float64(e / unit) }

// In returns the energy density as a number of the unit.
func (e EnergyDensity) In(unit EnergyDensity) float64 { return float64(e / unit) }

// In returns the power as a number of the unit.
func (p Power) In(unit Power) float64 { return float64(p / unit) }

// In returns the speed of turning as a number of the unit.
func (n RotationSpeed) In(unit RotationSpeed) float64 { return float64(n / unit) }

// String prints kilopascals.
func (p Pressure) String() string { return show(p.In(Kilopascal), "kPa") }

// String prints kilograms per cubic metre.
func (d Density) String() string { return show(float64(d), "kg/m3") }

// String prints square millimetres per second.
func (v Viscosity) String() string { return show(v.In(SquareMillimetrePerSecond), "mm2/s") }

// String prints metres per second.
func (s Speed) String() string { return show(float64(s), "m/s") }

// String prints grams per second.
func (m MassFlow) String() string { return show(m.In(GramPerSecond), "g/s") }

// String prints kilograms per second and square metre.
func (m MassFlux) String() string { return show(float64(m), "kg/(s m2)") }

// String prints millilitres per minute, as a tap is measured.
func (v VolumeFlow) String() string { return show(v.In(MillilitrePerMinute), "ml/min") }

// String prints degrees Celsius.
func (t Temperature) String() string { return show(t.Celsius(), "°C") }

// String prints kelvins.
func (t TemperatureDifference) String() string { return show(float64(t), "K") }

// String prints joules per kilogram and kelvin.
func (c SpecificHeat) String() string { return show(float64(c), "J/(kg K)") }

// String prints kilojoules per kilogram.
func (e SpecificEnergy) String() string { return show(e.In(KilojoulePerKilogram), "kJ/kg") }

// String prints megajoules per litre.
func (e EnergyDensity) String() string { return show(e.In(MegajoulePerLitre), "MJ/l") }

// String prints kilowatts.
func (p Power) String() string { return show(p.In(Kilowatt), "kW") }

// String prints revolutions per minute.
func (n RotationSpeed) String() string { return show(n.In(RPM), "rpm") }

// String prints grams per mole.
func (m MolarMass) String() string { return show(float64(m/GramPerMole), "g/mol") }

// String prints kilojoules per mole.
func (e MolarEnergy) String() string { return show(float64(e/KilojoulePerMole), "kJ/mol") }

// String prints cubic metres per kilogram.
func (v SpecificVolume) String() string { return show(float64(v), "m3/kg") }
