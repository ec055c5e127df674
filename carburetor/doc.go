// Package carburetor is the physical model behind the rules: what a float, a jet, a venturi, an
// air leak or a blocked vent does to level and mixture, in numbers.
package carburetor
