package engine

import "slices"

// pull is how strongly a cause pulls on an effect or finding: the product of the chances along the strongest path.
type pull struct {
	cause    *causeAt
	strength float64
}

// pulls works out, for every effect, which causes pull on it.
type pulls map[*effectAt][]pull

func (n *network) pullsOf() pulls {
	ps := pulls{}
	for _, e := range n.effects { // an effect follows all that make it
		ps[e] = ps.on(e.parents)
	}
	return ps
}

func weaker(in []pull, by float64) []pull {
	out := slices.Clone(in)
	for i := range out {
		out[i].strength *= by
	}
	return out
}

// strongest keeps the strongest pull of each cause, in the order in which the causes first appear.
func strongest(all []pull) []pull {
	last := -1
	for _, p := range all {
		last = max(last, p.cause.index)
	}
	place := make([]int32, last+1) // in out, by cause, from 1
	out := make([]pull, 0, len(all))
	for _, p := range all {
		if i := place[p.cause.index]; i > 0 {
			out[i-1].strength = max(out[i-1].strength, p.strength)
			continue
		}
		out = append(out, p)
		place[p.cause.index] = int32(len(out))
	}
	return out
}

// on returns the causes that pull on what has these parents.
func (ps pulls) on(parents []parent) []pull {
	var all []pull
	for _, p := range parents {
		if p.cause != nil {
			all = append(all, pull{p.cause, p.chance})
			continue
		}
		all = append(all, weaker(ps[p.effect], p.chance)...)
	}
	return strongest(all)
}

// onItem returns the causes that pull on a piece of evidence.
func (ps pulls) onItem(it *item) []pull {
	all := ps.on(it.parents)
	for _, f := range it.findings {
		all = append(all, ps.on(f.parents)...)
	}
	return strongest(all)
}

// onObserved returns the causes that pull on any finding of an observation at a place.
func (n *network) onObserved(ps pulls, at observedAt) []pull {
	var all []pull
	for _, f := range n.findings[at] {
		all = append(all, ps.on(f.parents)...)
	}
	return strongest(all)
}

// strengthOn is a cause's pull in a list, 0 when it has none.
func strengthOn(ps []pull, c *causeAt) float64 {
	for _, p := range ps {
		if p.cause == c {
			return p.strength
		}
	}
	return 0
}
