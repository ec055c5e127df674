package quote

import "diagnose.example/engine"

// cure says how reliably a repair cures one of the faults, by its index in the fault sets.
type cure struct {
	fault  int
	chance float64
}

// chances follows how probable it is that the machine is right, as repairs are done. The formulas stand in the comment of the
// package.
type chances struct {
	sets []engine.FaultSet
	// due holds for each fault the chance that it is behind the complaint, if it is there.
	due []float64
	// left holds for each fault the chance that it has outlasted the repairs so far, if it was there.
	left []float64
}

func newChances(f *engine.FaultSets) *chances {
	c := &chances{sets: f.Sets, due: make([]float64, len(f.Over)), left: make([]float64, len(f.Over))}
	for i, cause := range f.Over {
		c.due[i], c.left[i] = dueTo(cause), 1
	}
	return c
}

// dueTo is the share of a cause's probability that the sheet has put there. What is only as likely as on any machine has none:
// it may well be there, but it is not what this machine was brought for.
func dueTo(c *engine.Cause) float64 {
	if c.Probability <= c.Prior {
		return 0
	}
	return 1 - c.Prior/c.Probability
}

// do does a repair.
func (c *chances) do(cures []cure) {
	for _, k := range cures {
		c.left[k.fault] *= 1 - k.chance
	}
}

// none is the chance that no fault of a set is behind the complaint.
func (c *chances) none(s engine.FaultSet) float64 {
	p := 1.0
	for _, f := range s.Present {
		p *= 1 - c.due[f]
	}
	return p
}

// spared is the chance that no fault of a set which is behind the complaint and still there is met by something that meets each
// fault with some chance, given that some fault of the set is behind it.
func (c *chances) spared(s engine.FaultSet, meets func(fault int) float64) float64 {
	none := c.none(s)
	if none >= 1 {
		return 0
	}
	p := 1.0
	for _, f := range s.Present {
		p *= 1 - c.due[f]*c.left[f]*meets(f)
	}
	return max(0, p-none) / (1 - none)
}

// right is the probability that the machine is right by now: that some fault is behind the complaint, and that every one that is
// has been cured.
func (c *chances) right() float64 {
	p := 0.0
	for _, s := range c.sets {
		p += s.Probability * c.spared(s, func(int) float64 { return 1 })
	}
	return p
}

// share is the expected share of the faults behind the complaint that a repair would cure now. It is right's own increase when
// there is one fault at a time, and unlike that it does not stand still where it takes two repairs to put the machine right.
func (c *chances) share(cures []cure) float64 {
	p := 0.0
	for _, s := range c.sets {
		sum, cured := 0.0, 0.0
		for _, f := range s.Present {
			sum += c.due[f]
			for _, k := range cures {
				if k.fault == f {
					cured += c.due[f] * c.left[f] * k.chance
				}
			}
		}
		if sum > 0 {
			p += s.Probability * cured / sum
		}
	}
	return p
}

// needed is the probability that a repair cures some fault that is still there and behind the complaint, given something of
// probability open that is so whenever such a fault is there: that the machine was not right when the step began.
func (c *chances) needed(cures []cure, open float64) float64 {
	meets := func(fault int) float64 {
		for _, k := range cures {
			if k.fault == fault {
				return k.chance
			}
		}
		return 0
	}
	cured := 0.0
	for _, s := range c.sets {
		if c.none(s) < 1 {
			cured += s.Probability * (1 - c.spared(s, meets))
		}
	}
	if open <= 0 {
		return 0
	}
	return min(1, cured/open)
}
