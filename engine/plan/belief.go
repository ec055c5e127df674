package plan

import "fmt"

// Belief is what is known about a machine that misbehaves: which faults it may have, how likely. It is asked about tests and repairs
// by their number, the position in Table.Tests and Table.Repairs. A Belief does not change; Observe and Fail return another one.
//
// Three things are part of every belief. The machine misbehaves now, otherwise the job is done. A test shows the state of the machine at
// the moment it is done. What chance decided once stays decided: a fault that shows in some way goes on showing so until it is repaired, a
// test done twice shows the same, so nothing is cured by waiting.
type Belief interface {
	// Outcomes returns the probabilities of the outcomes of a test if it is done now; they sum to one.
	Outcomes(test int) ([]float64, error)

	// Observe returns the belief after a test came out so. The outcome has a probability above zero.
	Observe(test, outcome int) (Belief, error)

	// Good returns the probability that the machine is good once all of these repairs have been done.
	Good(repairs []int) (float64, error)

	// Fail returns the belief after all of these repairs have been done, the machine was tried and still misbehaves. Good of them is
	// below one.
	Fail(repairs []int) (Belief, error)

	// Chance returns an upper bound on the probability that a repair makes a difference to whether the machine becomes good, done alone or
	// with others. So it is at least Good of the repair alone, and where it is zero the repair is of no use.
	Chance(repair int) (float64, error)

	// Key names the belief among those that come from the same first one: equal keys, equal beliefs. What was done in another
	// order should have the same key where the order made no difference; planning takes much longer otherwise.
	Key() string
}

// known refuses numbers of tests, outcomes or repairs that a belief does not have.
func known(what string, number, many int) error {
	if number < 0 || number >= many {
		return fmt.Errorf("plan: %s %d: the belief has %d; tables and beliefs must list the same in the same order", what, number, many)
	}
	return nil
}

func allKnown(repairs []int, many int) error {
	for _, r := range repairs {
		if err := known("repair", r, many); err != nil {
			return err
		}
	}
	return nil
}
