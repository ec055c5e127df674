package simulate_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"

	"diagnose.example/engine/simulate"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// odds holds, for an answer, the factor on the odds of each cause when nothing else is known.
type odds map[simulate.Fault]float64

// naive is naive Bayes with the network's own numbers: each answer moves the odds of each cause as it would alone.
type naive struct {
	prior  map[simulate.Fault]float64
	factor map[simulate.Told]map[string]odds
}

func newNaive(set *rules.Set, m *simulate.Model) (*naive, error) {
	n := &naive{prior: map[simulate.Fault]float64{}, factor: map[simulate.Told]map[string]odds{}}
	for _, told := range plain(set, m.Draw(0).Tell()) {
		o, _ := set.Vocabulary.Lookup(told.Observation)
		n.factor[told] = map[string]odds{}
		for _, text := range answersTo(o) {
			d, err := diagnose(set, oneAnswer(m, told, o, text))
			if err != nil {
				return nil, err
			}
			by := odds{}
			for _, c := range d.Causes {
				f := simulate.Fault{Cause: c.ID, Place: c.Place.Name}
				n.prior[f] = c.Prior
				by[f] = c.Probability / (1 - c.Probability) / (c.Prior / (1 - c.Prior))
			}
			n.factor[told][text] = by
		}
	}
	return n, nil
}

func (n *naive) forecasts(b *simulate.Bike, told []simulate.Told) []forecast {
	var out []forecast
	for f, prior := range n.prior {
		logit := math.Log(prior / (1 - prior))
		for _, t := range told {
			if text, ok := b.Answer(t.Observation, t.Place); ok {
				if factor, ok := n.factor[t][text]; ok {
					logit += math.Log(factor[f])
				}
			}
		}
		out = append(out, forecast{f.Cause, f.Place, 1 / (1 + math.Exp(-logit))})
	}
	return out
}

func answersTo(o *symptoms.Observation) []string {
	if o.Kind == symptoms.YesNo {
		return []string{"yes", "no"}
	}
	var out []string
	for _, w := range o.Words {
		out = append(out, w.Word)
	}
	return out
}

// plain keeps what all methods can take: words without circumstances, one at a time.
func plain(set *rules.Set, told []simulate.Told) []simulate.Told {
	return slices.DeleteFunc(told, func(t simulate.Told) bool {
		o, _ := set.Vocabulary.Lookup(t.Observation)
		return o.Kind == symptoms.Number || o.Several || conditional(set, o.ID) || len(set.Evidence(o.ID)) == 0
	})
}

// rankedBy orders cause ids by their forecasts, and keeps these within the reach of a log score.
func rankedBy(forecasts []forecast) ([]forecast, []string) {
	const floor = 1e-6
	slices.SortFunc(forecasts, func(a, b forecast) int { return cmp.Or(cmp.Compare(b.p, a.p), cmp.Compare(a.cause, b.cause)) })
	var ids []string
	for i := range forecasts {
		forecasts[i].p = min(max(forecasts[i].p, floor), 1-floor)
		ids = append(ids, forecasts[i].cause)
	}
	return forecasts, ids
}

// TestAblation diagnoses the same bikes in three ways that all know every number of the network: with several causes at once
// and effects between (the program), with exactly one cause, and with findings that are independent given each cause. It shows
// what the structure is worth on bikes that are built so. Where what is told does not depend on the answers, no other method can
// have the better log score in the long run, or the inference would be wrong.
func TestAblation(t *testing.T) {
	set := knowledge(t)
	methods := []string{"the network", "exactly one cause", "naive Bayes"}
	sheets := []struct {
		name  string
		blind bool // as in way
		tell  func(*simulate.Bike) []simulate.Told
	}{
		{"forty questions by lot", true, func(b *simulate.Bike) []simulate.Told { return b.ByLot(40) }},
		{"rider and look-over", false, (*simulate.Bike).LookOver},
	}
	all := models(t, set, simulate.Network{})
	ms := []*simulate.Model{all[0], all[2]} // with one place each
	var nb []*naive
	for _, m := range ms {
		n, err := newNaive(set, m)
		if err != nil {
			t.Fatal(err)
		}
		nb = append(nb, n)
	}
	n := max(20, bikes(t, 200)/5)
	each := make([][]*scores, n)
	err := inParallel(n, func(i int) error {
		b := ms[i%2].Draw(uint64(i))
		for _, sheet := range sheets {
			told := plain(set, sheet.tell(b))
			d, err := diagnose(set, b.Sheet(told))
			if err != nil {
				return err
			}
			exact, _ := predictions(d)
			faults, post, err := b.SingleFault(told)
			if err != nil {
				return err
			}
			var single []forecast
			for k, f := range faults {
				single = append(single, forecast{f.Cause, f.Place, post[k]})
			}
			for _, f := range [][]forecast{exact, single, nb[i%2].forecasts(b, told)} {
				f, ids := rankedBy(f)
				each[i] = append(each[i], score(b, f, ids))
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	table := "\n| told | method | bikes | Brier | log score | first | first three |\n|---|---|---|---|---|---|---|\n"
	for k, sheet := range sheets {
		sums := make([]scores, len(methods))
		for j, method := range methods {
			more, spread := 0.0, 0.0
			for _, s := range each {
				exact, other := s[k*len(methods)], s[k*len(methods)+j]
				sums[j].add(other)
				more += other.log - exact.log
				spread += (other.log - exact.log) * (other.log - exact.log)
			}
			table += fmt.Sprintf("| %s | %s | %s |\n", sheet.name, method, sums[j].row())
			if z := more / math.Sqrt(spread); j > 0 && sheet.blind && !(z > -4) {
				t.Errorf("%s: %s has a log score that is better by %.1f standard deviations than that of the network; want 4 at most", sheet.name, method, -z)
			}
		}
	}
	t.Log("Ablation, on bikes drawn from the network." + table)
}
