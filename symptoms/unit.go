package symptoms

// Dim holds the exponents of length, mass, time, temperature, electric current and
// turn (angle) of a quantity, over the base m, kg, s, K, A and one turn.
type Dim [6]int8

// A Unit is one unit of measurement that a sheet may use.
type Unit struct {
	// Name is the unit as it is printed, such as "ml/min".
	Name string
	// Func is its name as a function in conditions, such as "ml_per_min".
	Func string
	Dim  Dim
	// Factor and Offset turn a number v of the unit into SI: v*Factor + Offset.
	Factor, Offset float64
	// Aliases are the other ways in which people write it.
	Aliases []string
	// Source says where Factor comes from.
	Source string
}

// Units returns all units, sorted by name.
func Units() []Unit { return nil }

// LookupUnit finds a unit by name or alias.
func LookupUnit(name string) (Unit, bool) { return Unit{}, false }
