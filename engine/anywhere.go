package engine

import (
	"math"
	"slices"

	"diagnose.example/engine/belief"
)

// anyPresent returns P(at least one of some causes is present) as 1 - P(all absent). It is held between the
// largest of their posteriors and the sum: rounding of the difference must not put a cause likelier at one place than anywhere.
func anyPresent(p chances, nodes []belief.Node) (float64, error) {
	largest, sum := 0.0, 0.0
	for _, node := range nodes {
		largest = max(largest, p.of(node))
		sum += p.of(node)
	}
	if len(nodes) < 2 || largest == 0 {
		return largest, nil
	}
	none, err := p.none(nodes)
	if err != nil {
		return 0, err
	}
	return min(max(1-none, largest), min(sum, 1)), nil
}

func (p *posterior) none(nodes []belief.Node) (float64, error) {
	z, exp, err := p.schedule.None(nodes...)
	return math.Ldexp(z/p.Z, exp-p.Exp), err
}

// anywhereAfter returns P(present at one place at least) for the places of one cause.
func (w *work) anywhereAfter(p chances, places []*Cause) (float64, error) {
	nodes := make([]belief.Node, len(places))
	for i, c := range places {
		nodes[i] = w.instance[c].node
	}
	return anyPresent(p, nodes)
}

// Each probability of being present anywhere takes an inference of its own, since the places are not independent once evidence
// is in. anywhereAlways is how many are exact whatever they cost. Beyond them a ranking alone may take rankingEntries table entries, some
// milliseconds, and one with all its reasons as many as a single inference may.
const (
	anywhereAlways = 8
	rankingEntries = 2e7
	reasonsEntries = belief.DefaultLimit
)

// affordable picks the causes whose probability of being present anywhere is worked out exactly: all of them as long as it
// costs little, else, and for a first screen, those most likely to be among the first.
func (w *work) affordable(ranked []*Ranked) map[*Ranked]bool {
	order := slices.Clone(ranked)
	slices.SortStableFunc(order, func(a, b *Ranked) int { return Descending(sumOf(a.Places), sumOf(b.Places)) })
	exact := map[*Ranked]bool{}
	most := float64(reasonsEntries)
	if w.options.Explain == 0 {
		most = rankingEntries
	}
	spent, computed := 0.0, 0
	for _, r := range order {
		if len(r.Places) == 1 {
			exact[r] = true
			continue
		}
		spent += w.post.schedule.Cost()
		cheap := spent <= most && w.options.Detail == Everything
		if computed++; computed <= anywhereAlways || cheap {
			exact[r] = true
		}
	}
	return exact
}

func sumOf(places []*Cause) float64 {
	sum := 0.0
	for _, c := range places {
		sum += c.Probability
	}
	return sum
}

// asIfIndependent is what the probability would be if the places did not hang together; like the true one it lies between the
// largest of them and their sum.
func asIfIndependent(places []*Cause) float64 {
	none, largest := 1.0, 0.0
	for _, c := range places {
		none *= 1 - c.Probability
		largest = max(largest, c.Probability)
	}
	return max(1-none, largest)
}
