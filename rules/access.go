package rules

import "diagnose.example/symptoms"

// leastOwn is how many minutes a piece of work takes itself, whatever its access takes. The figure is this project's own.
const leastOwn = 1

// On returns the minutes of opening and closing on a machine with so many carburetors: Each comes on top where the whole machine is
// opened at once.
func (a *Access) On(carburetors int) float64 {
	if a.About != symptoms.WholeMachine {
		return a.Minutes
	}
	return a.Minutes + a.Each*float64(max(0, carburetors-1))
}

// Beyond returns what is left of the minutes of a check or repair once the access is open: a minute at least.
func (a *Access) Beyond(minutes float64) float64 { return max(leastOwn, minutes-a.Minutes) }
