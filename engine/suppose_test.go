package engine

import (
	"cmp"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// sampleAskings begins the search for questions on the sample sheets and, where all are wanted, on the worked cases of up to two
// carburetors.
func sampleAskings(t testing.TB, all bool) map[string]*asking {
	t.Helper()
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	know, err := newKnowledge(set)
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob("../testdata/sheets/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if all {
		more, err := filepath.Glob("../testdata/cases/*.yaml")
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, more...)
	}
	if testing.Short() {
		paths = paths[:4]
	}
	out := map[string]*asking{}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		s, err := symptoms.Decode(path, data, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Machine.Carburetors) <= 2 {
			out[filepath.Base(path)] = askingOf(t, know, s)
		}
	}
	return out
}

func askingOf(t testing.TB, know *knowledge, s *symptoms.Sheet) *asking {
	t.Helper()
	n, err := newNetwork(know, s)
	if err != nil {
		t.Fatal(err)
	}
	w := &work{network: n, gathered: n.gather(), options: Options{Detail: FirstScreen}.withDefaults()}
	if w.post, err = n.infer(w.ev, 0); err != nil {
		t.Fatal(err)
	}
	w.instances()
	return newAsking(w)
}

// open lists what nobody answered and some finding reads.
func (a *asking) open() []observedAt {
	var out []observedAt
	for _, o := range a.know.set.Vocabulary.All() {
		for _, p := range a.at[o.About] {
			if at := (observedAt{o, p}); !a.looked(at) && len(a.findings[at]) > 0 && o.Computed == "" {
				out = append(out, at)
			}
		}
	}
	return out
}

// TestDenialGivesTheAnswers compares the answers worked out by denying words one after another with an inference for each answer.
func TestDenialGivesTheAnswers(t *testing.T) {
	denied, largest := 0, 0.0
	for name, a := range sampleAskings(t, false) {
		for i, at := range a.open() {
			if i%7 != 0 { // a seventh of all questions: each answer takes an inference
				continue
			}
			q, each := a.lay(at), a.lay(at)
			if q.denied == nil {
				continue
			}
			denied++
			if err := a.workOut(q); err != nil {
				t.Fatal(err)
			}
			if err := a.eachByItself(each); err != nil {
				t.Fatal(err)
			}
			a.weighAnswers(each)
			d := math.Abs(q.Gain - each.Gain)
			for _, x := range q.answers {
				y := each.answers[slices.IndexFunc(each.answers, func(y *supposedAnswer) bool { return x.text == y.text })]
				d = max(d, math.Abs(x.probability-y.probability), a.apart(t, x, y))
			}
			if largest = max(largest, d); d > 1e-9 {
				t.Errorf("%s: %s at %q: denial and inference differ by %g; want 1e-9 at most", name, at.observation.ID, a.places[at.place].Name, d)
			}
		}
	}
	if least := 100; denied < least {
		t.Errorf("%d questions compared; want %d at least", denied, least)
	}
	t.Logf("%d questions, largest difference %.1e", denied, largest)
}

// apart is the largest difference in a cause, here or anywhere.
func (a *asking) apart(t *testing.T, x, y *supposedAnswer) float64 {
	t.Helper()
	d := 0.0
	for _, c := range a.causes {
		d = max(d, math.Abs(x.after.of(c.node)-y.after.of(c.node)))
	}
	places := a.byNumber[a.causes[0].number]
	for _, all := range a.byNumber {
		if len(all) > len(places) {
			places = all
		}
	}
	p, err := a.anywhereAfter(x.after, places)
	if err != nil {
		t.Fatal(err)
	}
	q, err := a.anywhereAfter(y.after, places)
	if err != nil {
		t.Fatal(err)
	}
	return max(d, math.Abs(p-q))
}

// TestEstimatePicks measures how good the estimate is at picking the questions that are worked out: whether the best of all is among
// the six it likes best, and what is lost if not.
func TestEstimatePicks(t *testing.T) {
	const most = 6
	sheets, found, lost := 0.0, 0.0, 0.0
	for _, a := range sampleAskings(t, true) {
		ats := a.open()
		gain := map[observedAt]float64{}
		qs := make([]*supposed, len(ats))
		for i, at := range ats {
			qs[i] = a.lay(at)
		}
		if err := inParallel(len(ats), func(i int) error { return a.workOut(qs[i]) }); err != nil {
			t.Fatal(err)
		}
		best := 0.0
		for i, at := range ats {
			gain[at] = qs[i].Gain
			best = max(best, qs[i].Gain)
		}
		slices.SortStableFunc(ats, func(x, y observedAt) int { return cmp.Compare(a.score(y), a.score(x)) })
		picked := 0.0
		for _, at := range ats[:most] {
			picked = max(picked, gain[at])
		}
		if best < worthAsking {
			continue
		}
		sheets++
		if picked == best {
			found++
		}
		lost += 1 - picked/best
	}
	t.Logf("%.0f sheets: the best of all questions is among the %d picked on %.0f %%, else or not %.1f %% of its gain is lost on the mean",
		sheets, most, 100*found/sheets, 100*lost/sheets)
	if found < 0.9*sheets || lost > 0.02*sheets {
		t.Errorf("found on %.0f of %.0f sheets, %.3f of the gain lost; want nine in ten, and 0.02 at most", found, sheets, lost/sheets)
	}
}
