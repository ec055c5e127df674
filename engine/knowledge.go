package engine

import (
	"fmt"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// knowledge is a rule set with what the engine looks up again and again. It holds nothing about any machine.
type knowledge struct {
	set                       *rules.Set
	causeNumber, effectNumber map[string]int
	// madeBy lists, for each effect, the links into it.
	madeBy [][]madeBy
	// effectOrder lists the effects so that each comes after all that make it.
	effectOrder []int
	// sumsUp marks machine effects that something in a carburetor or cylinder makes, directly or not.
	sumsUp []bool
	// reads gives the observation that a simple rule reads as evidence.
	reads map[*rules.Rule]*symptoms.Observation
}

// madeBy is one link into an effect.
type madeBy struct {
	isCause bool
	number  int
	link    *rules.Link
}

func newKnowledge(set *rules.Set) (*knowledge, error) {
	k := &knowledge{set: set, causeNumber: map[string]int{}, effectNumber: map[string]int{},
		reads: map[*rules.Rule]*symptoms.Observation{}}
	for i, c := range set.Causes {
		k.causeNumber[c.ID] = i
	}
	for i, e := range set.Effects {
		k.effectNumber[e.ID] = i
	}
	k.linkEffects()
	if err := k.orderEffects(); err != nil {
		return nil, err
	}
	for _, r := range set.Rules {
		if r.Simple {
			k.reads[r] = set.Symbol(r.Finding.Symbol).Observation
		}
	}
	return k, nil
}

func (k *knowledge) linkEffects() {
	k.madeBy = make([][]madeBy, len(k.set.Effects))
	for i, c := range k.set.Causes {
		for j := range c.Makes {
			to := k.effectNumber[c.Makes[j].To]
			k.madeBy[to] = append(k.madeBy[to], madeBy{true, i, &c.Makes[j]})
		}
	}
	for i, e := range k.set.Effects {
		for j := range e.Makes {
			to := k.effectNumber[e.Makes[j].To]
			k.madeBy[to] = append(k.madeBy[to], madeBy{false, i, &e.Makes[j]})
		}
	}
}

// orderEffects sorts the effects so that each follows all that make it, in the order of the packs where that leaves a choice.
func (k *knowledge) orderEffects() error {
	const waiting, done = 0, 1
	state := make([]int, len(k.set.Effects))
	k.sumsUp = make([]bool, len(k.set.Effects))
	ready := func(i int) bool {
		for _, m := range k.madeBy[i] {
			if !m.isCause && state[m.number] != done {
				return false
			}
		}
		return true
	}
	for len(k.effectOrder) < len(k.set.Effects) {
		before := len(k.effectOrder)
		for i := range k.set.Effects {
			if state[i] == waiting && ready(i) {
				state[i] = done
				k.effectOrder = append(k.effectOrder, i)
				k.sumsUp[i] = k.sums(i)
			}
		}
		if len(k.effectOrder) == before {
			return fmt.Errorf("the effects make one another in a circle")
		}
	}
	return nil
}

func (k *knowledge) sums(i int) bool {
	if k.set.Effects[i].About != symptoms.WholeMachine {
		return false
	}
	for _, m := range k.madeBy[i] {
		if m.isCause && k.set.Causes[m.number].About != symptoms.WholeMachine {
			return true
		}
		if !m.isCause && (k.sumsUp[m.number] || k.set.Effects[m.number].About != symptoms.WholeMachine) {
			return true
		}
	}
	return false
}
