package rules

import (
	"math"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

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

// Around returns the access that has to be opened before this one on the machine that a case tells of. What nobody told does not
// count: work is reckoned on a machine that comes apart willingly.
func (s *Set) Around(a *Access, machine *condition.Case) (*Access, bool) {
	if a.Inside == "" || a.When != nil && a.When.Eval(machine) != condition.True {
		return nil, false
	}
	return s.AccessTo(a.Inside)
}

// MachineCase holds what a sheet says about the machine as a whole, as far as it is certain. Bands that are relative to another value
// are unknown in it.
func (s *Set) MachineCase(sheet *symptoms.Sheet) *condition.Case {
	c := s.Env.NewCase()
	for _, f := range sheet.Machine.Facts {
		s.Known(c, f.Observation, f.Value, math.NaN())
	}
	for _, r := range sheet.Readings {
		if r.Scope == symptoms.Whole {
			s.Known(c, r.Observation, r.Value, math.NaN())
		}
	}
	return c
}
