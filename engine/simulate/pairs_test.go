package simulate_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/engine/simulate"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// likely holds, for one answer, how it moves each cause: P(answer | cause) up to a factor common to all causes.
type likely map[simulate.Fault]float64

// likelihoods returns the answers to an observation at a place. Where it has a circumstance, that is part of the sheet: it is taken
// from the example cases of the rule, and answers are weighed against the sheet without them.
func likelihoods(set *rules.Set, m *simulate.Model, told simulate.Told, o *symptoms.Observation) (out []likely, err error) {
	circumstances := []string{""}
	for _, r := range set.Evidence(o.ID) {
		if c := circumstance(set, r, o); r.Given != nil && !slices.Contains(circumstances, c) {
			circumstances = append(circumstances, c)
		}
	}
	for _, c := range circumstances {
		without, err := diagnose(set, sheetWith(m, told, o, "", c))
		if err != nil {
			return nil, err
		}
		for _, text := range answersTo(o) {
			d, err := diagnose(set, sheetWith(m, told, o, text, c))
			if err != nil {
				return nil, err
			}
			by := likely{}
			for f, p := range present(d) {
				by[f] = p / present(without)[f]
			}
			out = append(out, by)
		}
	}
	return out, nil
}

func present(d *engine.Diagnosis) map[simulate.Fault]float64 {
	out := map[simulate.Fault]float64{}
	for _, c := range d.Causes {
		out[simulate.Fault{Cause: c.ID, Place: c.Place.Name}] = c.Probability
	}
	return out
}

// circumstance writes what a rule's first case says beside the observation itself.
func circumstance(set *rules.Set, r *rules.Rule, o *symptoms.Observation) string {
	var out []string
	for _, v := range r.Fires[0].Values {
		if name := strings.TrimPrefix(v.Name, "band."); name != o.ID && !isFact(set, name) {
			out = append(out, name+": "+strings.Join(v.Words, ", "))
		}
	}
	return strings.Join(out, ", ")
}

// isFact names what stands on the machines' own sheets already.
func isFact(set *rules.Set, name string) bool {
	o, ok := set.Vocabulary.Lookup(name)
	return ok && o.Where == symptoms.Fact
}

func sheetWith(m *simulate.Model, told simulate.Told, o *symptoms.Observation, text, circumstance string) []byte {
	var entries []string
	if text != "" {
		entries = append(entries, o.ID+": "+text)
	}
	if circumstance != "" {
		entries = append(entries, circumstance)
	}
	sheet, body := string(m.Draw(0).Sheet(nil)), strings.Join(entries, ", ")
	if o.About == symptoms.WholeMachine {
		return fmt.Appendf(nil, "%sobserved: {%s}\n", sheet, body)
	}
	return fmt.Appendf(nil, "%sat: {%q: {%s}}\n", sheet, told.Place, body)
}

// weighed is the largest likelihood ratio between two causes of any answer: of all observations, and of those that take no bench.
type weighed struct{ any, unaided float64 }

// separate weighs the observations on a machine for each pair of causes. Each cause stands for all its places: the first is taken.
func separate(set *rules.Set, m *simulate.Model) (map[string]weighed, error) {
	var asked []simulate.Told
	for _, o := range set.Vocabulary.All() {
		if o.Where != symptoms.Observed || len(set.Evidence(o.ID)) == 0 {
			continue
		}
		for _, place := range m.PlaceNames(o.About) {
			asked = append(asked, simulate.Told{Observation: o.ID, Place: place})
		}
	}
	found := make([][]likely, len(asked))
	if err := inParallel(len(asked), func(i int) (err error) {
		o, _ := set.Vocabulary.Lookup(asked[i].Observation)
		found[i], err = likelihoods(set, m, asked[i], o)
		return err
	}); err != nil {
		return nil, err
	}
	var faults []simulate.Fault
	for _, f := range m.Faults() {
		if !slices.ContainsFunc(faults, func(g simulate.Fault) bool { return g.Cause == f.Cause }) {
			faults = append(faults, f)
		}
	}
	pairs := map[string]weighed{}
	for i, a := range faults {
		for _, b := range faults[i+1:] {
			w := weighed{1, 1}
			for k, answers := range found {
				o, _ := set.Vocabulary.Lookup(asked[k].Observation)
				for _, by := range answers {
					ratio := max(by[a]/by[b], by[b]/by[a])
					if w.any = max(w.any, ratio); o.Who == symptoms.Rider || o.Who == symptoms.LookOver {
						w.unaided = max(w.unaided, ratio)
					}
				}
			}
			pairs[a.Cause+" and "+b.Cause] = w
		}
	}
	return pairs, nil
}

// TestPairsNothingSeparates lists the pairs of causes that no single observation separates: each answer is less than 1.5 times as
// likely with the one as with the other, the other causes being as likely as ever. For such a pair the ranking is that of the priors,
// and only history and repairs can tell. It also lists those that stay together unless somebody goes to the bench.
func TestPairsNothingSeparates(t *testing.T) {
	set := knowledge(t)
	const separates = 1.5
	ms := models(t, set, simulate.Network{})
	if os.Getenv("SIMULATED_BIKES") == "" {
		ms = ms[:1]
	}
	best := map[string]weighed{}
	for _, m := range ms {
		pairs, err := separate(set, m)
		if err != nil {
			t.Fatal(err)
		}
		for name, w := range pairs {
			best[name] = weighed{max(best[name].any, w.any), max(best[name].unaided, w.unaided)}
		}
	}
	var never, unaided, weakly []string
	for name, w := range best {
		switch {
		case w.any < separates:
			never = append(never, name)
		case w.any < 2*separates:
			weakly = append(weakly, fmt.Sprintf("%s (%.1f)", name, w.any))
		case w.unaided < separates:
			unaided = append(unaided, name)
		}
	}
	for _, list := range [][]string{never, unaided, weakly} {
		slices.Sort(list)
	}
	t.Logf("pairs of causes %d, machines %d\nno observation separates %d: %s\nthe best answer reaches a likelihood ratio of less than %g for %d: %s\nonly the bench separates %d: %s",
		len(best), len(ms), len(never), strings.Join(never, "; "), 2*separates, len(weakly), strings.Join(weakly, "; "), len(unaided), strings.Join(unaided, "; "))
	if len(never) > 5 || len(best) < 1000 {
		t.Errorf("pairs that nothing separates = %d of %d; want 5 at most of 1000 at least", len(never), len(best))
	}
}
