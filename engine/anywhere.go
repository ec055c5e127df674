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

// Each probability of being present anywhere takes an inference of its own, since the places are not independent once evidence is in. A ranking
// alone may take rankingEntries table entries for them, some milliseconds, and one with all its reasons as many as a single inference may. Whatever
// it costs, the first five are the first: none of the others can overtake them. Mostly anywhereAtOnce exact ones show that, and more than
// anywhereMost are not tried.
const (
	anywhereAtOnce = 6
	anywhereMost   = 16
	rankingEntries = 2e7
	reasonsEntries = belief.DefaultLimit
)

// rankAnywhere fills Anywhere: exactly for all causes as long as it costs little, else, and for a first screen, for those that may be among
// the first. The sum over the places bounds it from above.
func (w *work) rankAnywhere(ranked []*Ranked) error {
	var todo []*Ranked
	for _, r := range ranked {
		if len(r.Places) == 1 {
			r.Anywhere, r.Exact = r.Places[0].Probability, true
			continue
		}
		r.Anywhere = asIfIndependent(r.Places)
		todo = append(todo, r)
	}
	slices.SortStableFunc(todo, func(a, b *Ranked) int { return Descending(sumOf(a.Places), sumOf(b.Places)) })
	done := 0
	for n := w.affordable(); done < len(todo) && (done == 0 || done < anywhereMost && w.mayLead(ranked, todo[done])); n = 2 {
		now := todo[done:min(done+n, len(todo))]
		done += len(now)
		if err := w.options.inParallel(len(now), func(i int) (err error) {
			now[i].Exact = true
			now[i].Anywhere, err = w.anywhereAfter(w.post, now[i].Places)
			return err
		}); err != nil {
			return err
		}
	}
	return nil
}

// affordable is how many inferences are made without asking whether they matter.
func (w *work) affordable() int {
	if w.options.Detail != Everything {
		return anywhereAtOnce
	}
	most := float64(reasonsEntries)
	if w.options.Explain == 0 {
		most = rankingEntries
	}
	return max(anywhereAtOnce, int(most/(1+w.post.schedule.Cost())))
}

// mayLead reports whether a cause could still turn out to be among the first that are shown.
func (w *work) mayLead(ranked []*Ranked, r *Ranked) bool {
	const first = 5
	ahead := 0
	for _, o := range ranked {
		if o.Exact && o.Anywhere >= sumOf(r.Places) {
			ahead++
		}
	}
	return ahead < first
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
