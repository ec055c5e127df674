// Package carburetor is the physical model behind the rules: what a float, a jet, a venturi, an air
// leak, thin air or a blocked vent does to fuel level and mixture, in numbers.
//
// The idea is that a threshold in a rule should not be a guess where it can be computed. Each
// function is one formula, written out above it with its source; quantities have types and hold SI
// units (22.5*Millimetre makes one, In gives it back), inputs are structs whose fields state their
// ranges. An input that cannot be is an InputError. One that is possible but outside the range for
// which the formula was checked is a RangeError: the model does not answer there. Some states have
// no answer at all and have errors of their own, such as ErrCannotClose. No function panics, and
// none returns a number that is not finite without an error.
//
// # What is modelled
//
//   - Float bowl: Bowl (closing margin, level, weight gained, fuel density, seat, inlet pressure),
//     FloatValve, FloatHeight with its Datum, Section for large angles and for drawing.
//   - Jets: BoreNumber and FlowNumber (two kinds of number that never mix), Jet with a discharge that
//     depends on Reynolds number, deposits; Orifice, OrificePlate for the flow bench.
//   - Air: Gas, Venturi with and without expansion, Throat; Elementary (venturi, jet and lip), bowl
//     vent and air cleaner, Emulsion with its air bleed, Motor for the demand.
//   - Idle: IdleCircuit with a sonic or subsonic outlet, AirLeak, LeakSearch.
//   - Metering: SlideCarburetor with Needle, ConstantVelocity.
//   - Surroundings: StandardAtmosphere, Air with humidity, Psychrometer, Enrichment, JetCorrection,
//     PowerFactor, Icing.
//   - Fuel: Composition, Fuel, Blend, Burn (fuel to exhaust) and Exhaust (exhaust to mixture, by
//     Brettschneider's formula and by balances), limits of burning, Targets.
//   - Gauges: compression and vacuum at altitude.
//   - Supply: TapFlow, FuelLine, Pipe, DrainTime, BlockedTank.
//
// Results that have a curve have a method that samples it; Propagate gives a result the uncertainty
// of its inputs.
//
// # What is not
//
// Everything is steady: no pulsation of the intake, no transients of throttle, pump or wall film, no
// waves in the bowl or in the airbox, no two-stroke back flow. Fuel and air in a passage move as one
// fluid. Floats are boxes with one pin. A grooved needle tip leaks at any closing force and is a
// matter of looking, not of this model. Heat enters only in Icing. Typical dimensions in comments are
// recalled from practice, not taken from a source, and no maker's data is in here. The model says
// how large an effect is; whether it is the fault is for the rules.
//
// # Sources
//
// Formulas returns every formula with its source as data, Sources the sources with what was seen of
// each. Standing tells apart what was published and seen, what is derived here, and what is from
// memory (marked MEMORY, or recalled, wherever it stands); the last is never shown as a citation.
// Textbooks were seen through open companions, volunteers' programs that solve the printed examples,
// with their page numbers; the printed pages were not seen. They are:
//
//   - M. L. Mathur, R. P. Sharma, Internal Combustion Engine, ch. 11
//   - R. K. Rajput, A Textbook of Internal Combustion Engines, ch. 11; Engineering Thermodynamics, ch. 11
//   - H. N. Gupta, Fundamentals of Internal Combustion Engines, ch. 3 and 9
//   - H. B. Keswani, Internal Combustion Engines, ch. 9
//   - K. K. Ramalingam, Thermal Engineering, ch. 7
//   - J. Lal, Hydraulics, ch. 3; K. Subramanya, 1000 Solved Problems in Fluid Mechanics, ch. 7 and 13
//   - Y. A. Cengel, J. M. Cimbala, Fluid Mechanics, ch. 12; R. W. Fox, A. T. McDonald, Introduction to
//     Fluid Mechanics, ch. 12
//   - J. F. Douglas, Fluid Mechanics, ch. 3; B. K. Sarkar, Fluid Mechanics and Hydraulic Machines, ch. 2
//   - M. J. Moran, H. N. Shapiro, Fundamentals of Engineering Thermodynamics, ch. 13; P. K. Nag, Basic
//     and Applied Thermodynamics, ch. 15
//
// Besides: the tests of the fluids library and of PsychroLib; the Alternative Fuels Data Center's
// Properties of fuels; EN 228; the Encyclopaedia Britannica, 11th edition, Hydraulics; a white paper
// that restates Brettschneider's formula; the exhaust script of MIT course 2.61; and the pages that
// Sources lists. The checks against them are in testdata/checks.yaml.
package carburetor
