package engine

import (
	"cmp"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
)

// candidate is a check at the place where its best question is estimated to tell most per minute.
type candidate struct {
	check *rules.Check
	place int
	ats   []screened
	score float64
}

// best returns the questions of a check that are worked out.
func (a *asking) best(c candidate) []screened {
	most := 2
	if a.options.Detail == FirstScreen {
		most = 1
	}
	return c.ats[:min(most, len(c.ats))]
}

// candidates lists the checks that are estimated to tell most per minute.
func (a *asking) candidates() []candidate {
	var all []candidate
	for _, c := range a.know.set.Checks {
		best := candidate{}
		for _, p := range a.at[c.About] {
			cand := candidate{check: c, place: p, ats: a.takes(c, p)}
			for _, s := range cand.ats {
				cand.score = max(cand.score, s.score/max(c.Minutes, 1))
			}
			if cand.score > best.score {
				best = cand
			}
		}
		if best.check != nil {
			all = append(all, best)
		}
	}
	slices.SortStableFunc(all, func(x, y candidate) int { return Descending(x.score, y.score) })
	return all[:min(a.options.Questions, len(all))]
}

// checks orders the candidates by what they tell per minute. A check is worth at least its best question; what its other
// questions add beyond that is not counted.
func (a *asking) checks(candidates []candidate) []Check {
	var out []Check
	for _, cand := range candidates {
		check := Check{Check: cand.check, Place: a.places[cand.place]}
		for _, s := range a.best(cand) {
			q := a.known[s.at]
			check.Questions = append(check.Questions, q.Question)
			check.Gain = max(check.Gain, q.Gain)
		}
		check.PerMinute = check.Gain / max(cand.check.Minutes, 1)
		if check.Gain >= worthAsking {
			out = append(out, check)
		}
	}
	slices.SortStableFunc(out, func(x, y Check) int { return Descending(x.PerMinute, y.PerMinute) })
	return out
}

// takes lists the unasked observations of a check at a place, best first.
func (a *asking) takes(c *rules.Check, place int) []screened {
	var out []screened
	for _, id := range c.Observes {
		o, ok := a.know.set.Vocabulary.Lookup(id)
		if !ok || Idle(a.sheet, id) {
			continue
		}
		for _, p := range a.reach(place, o.About) {
			at := observedAt{o, p}
			if len(a.findings[at]) > 0 && !a.looked(at) {
				out = append(out, screened{at, a.score(at)})
			}
		}
	}
	slices.SortStableFunc(out, func(x, y screened) int { return Descending(x.score, y.score) })
	return out
}

func (w *work) looked(at observedAt) bool {
	_, ok := w.told[at]
	return ok
}

// repairs lists what would cure the first causes, by the probability that it finds something to cure.
func (w *work) repairs(d *Diagnosis) error {
	const likely = 0.02 // a cause below this at a place is not worth a line
	for _, r := range d.Ranked {
		r.Repairs = w.cures(r.Cause)
	}
	var nodes [][]belief.Node
	for _, repair := range w.know.set.Repairs {
		for _, p := range w.at[repair.About] {
			out := Repair{Repair: repair, Place: w.places[p]}
			cured := w.cured(&out, p, likely)
			if len(out.For) == 0 || !amongFirst(d.Ranked, out.For, w.options.Explain) {
				continue
			}
			w.parts(&out)
			slices.SortStableFunc(out.For, func(a, b *Cause) int { return Descending(a.Probability, b.Probability) })
			d.Repairs, nodes = append(d.Repairs, out), append(nodes, cured)
		}
	}
	if err := w.options.inParallel(len(nodes), func(i int) (err error) {
		d.Repairs[i].Probability, err = anyPresent(w.post, nodes[i])
		return err
	}); err != nil {
		return err
	}
	slices.SortStableFunc(d.Repairs, func(a, b Repair) int {
		return cmp.Or(Descending(a.Probability, b.Probability), cmp.Compare(a.Minutes, b.Minutes), cmp.Compare(a.ID, b.ID))
	})
	return nil
}

// cured returns what a repair at a place would cure, and notes for which of it the repair is proposed.
func (w *work) cured(r *Repair, place int, likely float64) []belief.Node {
	var nodes []belief.Node
	for _, l := range r.Cures {
		number := w.know.causeNumber[l.To]
		for _, q := range w.reach(place, w.know.set.Causes[number].About) {
			at := w.causeOf[number][q]
			if at == nil {
				continue
			}
			nodes = append(nodes, at.node)
			if w.post.of(at.node) >= likely {
				r.For = append(r.For, w.shown(at))
			}
		}
	}
	return nodes
}

func (w *work) parts(r *Repair) {
	for _, id := range r.Repair.Parts {
		if part, ok := w.know.set.Part(id); ok {
			r.Parts = append(r.Parts, part)
		}
	}
}

// cures lists the repairs of a cause, the most reliable first.
func (w *work) cures(c *rules.Cause) []string {
	chance := map[string]float64{}
	var ids []string
	for _, r := range w.know.set.Repairs {
		for _, l := range r.Cures {
			if l.To == c.ID {
				chance[r.ID] = l.Chance
				ids = append(ids, r.ID)
			}
		}
	}
	slices.SortStableFunc(ids, func(a, b string) int { return Descending(chance[a], chance[b]) })
	return ids
}

func (w *work) shown(at *causeAt) *Cause {
	for _, c := range w.byNumber[at.number] {
		if w.instance[c] == at {
			return c
		}
	}
	return nil
}

// amongFirst reports whether any of the causes is among the first ranked.
func amongFirst(ranked []*Ranked, causes []*Cause, first int) bool {
	for _, r := range ranked[:min(max(first, 1), len(ranked))] {
		for _, c := range causes {
			if c.Cause == r.Cause {
				return true
			}
		}
	}
	return false
}
