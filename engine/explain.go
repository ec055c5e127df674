package engine

import (
	"math"
	"slices"
)

// explain fills the reasons of the first causes: what speaks for and against each, and the chain down to the findings.
func (w *work) explain(d *Diagnosis) error {
	shown := d.Ranked[:min(w.options.Explain, len(d.Ranked))]
	if len(shown) == 0 {
		return nil
	}
	if err := w.leaveOneOut(shown); err != nil {
		return err
	}
	for _, r := range shown {
		w.weigh(r, d)
	}
	if w.options.Detail == FirstScreen && !w.options.WholeChain {
		return nil
	}
	return w.chains(shown)
}

// run holds the posteriors with an item alone, and without it when that is worth knowing.
type run struct {
	item          *item
	without, only *posterior
	pulls         []pull
}

// leaveOneOut infers twice for each item: with it alone, which is cheap, and without it, which costs as much as the whole.
func (w *work) leaveOneOut(shown []*Ranked) error {
	w.runs = make([]run, len(w.items))
	for i, it := range w.items {
		w.runs[i] = run{item: it, pulls: w.pulls().onItem(it)}
	}
	if err := w.options.inParallel(len(w.runs), func(i int) (err error) {
		w.runs[i].only, err = w.infer(w.only(w.items[i]), w.options.Limit)
		return err
	}); err != nil {
		return w.explainError(err)
	}
	wanted := w.wanted(shown)
	return w.explainError(w.options.inParallel(len(wanted), func(i int) (err error) {
		r := &w.runs[wanted[i]]
		r.without, err = w.inferLike(w.without(r.item), w.options.Limit, w.post)
		return err
	}))
}

// longEntries are the table entries of an inference that takes so long, a tenth of a second, that a first screen does with fewer of them.
const longEntries = 1e8

// wanted lists the items to be left out one by one: all, or for each shown cause the few that bear on it most by themselves.
func (w *work) wanted(shown []*Ranked) []int {
	main := 2
	if w.post.schedule.Cost() > longEntries {
		main = 1
	}
	want := make([]bool, len(w.runs))
	for _, r := range shown {
		at := w.instance[r.Places[0]]
		var bearing []int
		for i := range w.runs {
			if w.options.Detail == Everything {
				want[i] = true
			} else if strengthOn(w.runs[i].pulls, at) > 0 {
				bearing = append(bearing, i)
			}
		}
		slices.SortStableFunc(bearing, func(i, j int) int {
			return Descending(w.alone(&w.runs[i], at), w.alone(&w.runs[j], at))
		})
		for _, i := range bearing[:min(main, len(bearing))] {
			want[i] = true
		}
	}
	var out []int
	for i, is := range want {
		if is {
			out = append(out, i)
		}
	}
	return out
}

// alone is the factor on a cause's odds of one item by itself.
func (w *work) alone(r *run, at *causeAt) float64 { return odds(r.only.of(at.node)) / odds(at.prior) }

// pulls works the network's pulls out once.
func (w *work) pulls() pulls {
	if w.pulled == nil {
		w.pulled = w.pullsOf()
	}
	return w.pulled
}

// tellingFactor is the least factor on the odds that is worth showing: about half a deciban.
const tellingFactor = 1.12

func (w *work) weigh(r *Ranked, d *Diagnosis) {
	c := r.Places[0]
	at := w.instance[c]
	var all []Weight
	for i := range w.runs {
		ru := &w.runs[i]
		if ru.without == nil {
			continue
		}
		wt := Weight{Evidence: ru.item.Evidence,
			Alone: w.alone(ru, at),
			Rest:  odds(c.Probability) / odds(ru.without.of(at.node))}
		if telling(wt.Alone) < tellingFactor && telling(wt.Rest) < tellingFactor {
			continue
		}
		if strengthOn(ru.pulls, at) == 0 {
			wt.Through = w.through(ru, wt.Rest, d)
		} else if telling(wt.Alone) > 2 && telling(wt.Rest) < math.Sqrt(telling(wt.Alone)) {
			wt.ToldBy = w.toldBy(ru, at, wt.Alone)
		}
		all = append(all, wt)
	}
	slices.SortStableFunc(all, func(a, b Weight) int {
		if (a.Through == nil) != (b.Through == nil) { // what bears on the cause itself comes before what clears a rival
			return map[bool]int{true: -1, false: 1}[a.Through == nil]
		}
		return Descending(telling(a.Rest), telling(b.Rest))
	})
	for _, wt := range all {
		if direction(wt) > 0 {
			r.For = append(r.For, wt)
		} else {
			r.Against = append(r.Against, wt)
		}
	}
}

// direction says which way a weight speaks: by what it adds to the rest, unless that is nothing.
func direction(wt Weight) float64 {
	if telling(wt.Rest) >= tellingFactor {
		return math.Log(wt.Rest)
	}
	return math.Log(wt.Alone)
}

func odds(p float64) float64 { return p / (1 - p) }

// telling is a factor or its inverse, whichever is above 1.
func telling(factor float64) float64 { return max(factor, 1/factor) }

// through names the rival that evidence without a path to a cause speaks for (or against): the one whose probability it
// moves most the other way.
func (w *work) through(ru *run, rest float64, d *Diagnosis) *Cause {
	var best *Cause
	most := 0.0
	for _, c := range d.Causes {
		at := w.instance[c]
		if strengthOn(ru.pulls, at) == 0 {
			continue
		}
		moved := c.Probability - ru.without.of(at.node)
		if rest > 1 {
			moved = -moved
		}
		if moved > most {
			best, most = c, moved
		}
	}
	return best
}

// toldBy lists other evidence that, on its own, says the same of a cause at least as clearly as half of this.
func (w *work) toldBy(ru *run, at *causeAt, alone float64) []Evidence {
	const most = 2
	var out []Evidence
	for i := range w.runs {
		other := &w.runs[i]
		if other == ru || len(out) == most {
			continue
		}
		its := w.alone(other, at)
		if (its > 1) == (alone > 1) && telling(its) > math.Sqrt(telling(alone)) {
			out = append(out, other.item.Evidence)
		}
	}
	return out
}
