package interview

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/engine/simulate"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// most is the number of answers after which a bike counts as not found.
const most = 40

// asker answers for a bike and counts.
type asker struct {
	set     *rules.Set
	bike    *simulate.Bike
	answers int
	minutes float64
	// first1 and first3 are the answers after which a culprit was first, or among the first three; most if never.
	first1, first3 int
	// minutes1 are those until then.
	minutes1 float64
	// ended says how things stood where the talk came to its own end.
	ended      bool
	endAnswers int
	endMinutes float64
	endFirst   bool
	isFirst    bool
}

// look ranks and keeps when a culprit was first found.
func (a *asker) look(t *testing.T, sheet *symptoms.Sheet) {
	t.Helper()
	asked, err := engine.Ask(a.set, sheet, engine.AskOptions{Most: -1})
	if err != nil {
		t.Fatal(err)
	}
	a.isFirst = false
	for _, f := range a.bike.Culprits() {
		rank := slices.IndexFunc(asked.Leading, func(l engine.Likely) bool { return l.ID == f.Cause })
		if rank == 0 {
			a.isFirst = true
			if a.answers < a.first1 {
				a.minutes1 = a.minutes
			}
			a.first1 = min(a.first1, a.answers)
		}
		if rank >= 0 && rank < 3 {
			a.first3 = min(a.first3, a.answers)
		}
	}
}

func (a *asker) done() bool {
	return (a.first1 < most || a.answers >= most) && a.ended || a.answers >= 2*most
}

// reply is what is typed as the answer to a question.
func (a *asker) reply(q *Question) string {
	switch q.kind {
	case complaint:
		var chosen []string
		for i, c := range q.Choices {
			if text, ok := a.bike.Answer(c.entry.ID, ""); ok && text == c.entry.Answer && len(chosen) < 4 {
				chosen = append(chosen, strconv.Itoa(i+1))
			}
		}
		return strings.Join(chosen, " ")
	case history:
		return "none"
	}
	if q.Observation == nil || q.Observation.Where == symptoms.Fact {
		return ""
	}
	if q.Pooled {
		return a.pooled(q)
	}
	text, ok := a.bike.Answer(q.Observation.ID, q.Place)
	if !ok {
		return "?"
	}
	return text
}

// pooled is the answer of a rider who does not know where.
func (a *asker) pooled(q *Question) string {
	found, normal := "?", "?"
	for _, p := range q.Places {
		text, ok := a.bike.Answer(q.Observation.ID, p)
		switch {
		case !ok:
		case a.bike.Abnormal(q.Observation.ID, p):
			found = text
		default:
			normal = text
		}
	}
	if found != "?" {
		return found
	}
	return normal
}

// byInformation lets a talk choose.
func byInformation(t *testing.T, a *asker) {
	talk, err := Resume(a.set, "bike", a.bike.Sheet(nil), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for eager := false; !a.done(); {
		q, err := talk.Next()
		if err != nil {
			t.Fatal(err)
		}
		if q == nil {
			if !a.ended {
				a.ended, a.endAnswers, a.endMinutes, a.endFirst = true, a.answers, a.minutes, a.isFirst
			}
			if eager {
				break
			}
			eager = true
			talk.GoOn()
			continue
		}
		text := a.reply(q)
		if _, err := talk.Answer(text); err != nil {
			t.Fatalf("%v: Answer(%q) to %q = %v", a.bike, text, q.Text, err)
		}
		if q.kind == name || q.Observation != nil && q.Observation.Where == symptoms.Fact {
			continue
		}
		a.answers++
		a.minutes += q.Minutes
		a.look(t, talk.Sheet())
	}
}

// inOrder asks like a form: the same opening, then the questions of the groups in a given order, each at every place.
func inOrder(order func(group []*symptoms.Observation)) func(*testing.T, *asker) {
	return func(t *testing.T, a *asker) {
		talk, err := Resume(a.set, "bike", a.bike.Sheet(nil), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for talk.Group() <= History {
			q, err := talk.Next()
			if err != nil {
				t.Fatal(err)
			}
			if talk.Group() > History {
				break
			}
			if _, err := talk.Answer(a.reply(q)); err != nil {
				t.Fatal(err)
			}
			if q.kind == complaint || q.kind == history {
				a.answers++
				a.look(t, talk.Sheet())
			}
		}
		a.ended = true
		for g := Rider; g < Done; g++ {
			var group []*symptoms.Observation
			for _, o := range a.set.Vocabulary.All() {
				if o.Where == symptoms.Observed && o.Who == g.who() {
					group = append(group, o)
				}
			}
			order(group)
			for _, o := range group {
				a.form(t, talk, o)
				if a.done() {
					return
				}
			}
		}
	}
}

// form asks one observation at every place where it has an answer and none yet.
func (a *asker) form(t *testing.T, talk *Talk, o *symptoms.Observation) {
	t.Helper()
	places := talk.Sheet().Machine.Places(o.About)
	if len(places) == 0 {
		places = []string{""}
	}
	for _, p := range places {
		text, ok := a.bike.Answer(o.ID, p)
		if a.done() || !ok || talk.answered(o, p) {
			continue
		}
		e := symptoms.Entry{Section: "observed", ID: o.ID, Answer: text}
		if p != "" {
			e.Section, e.Place = "at", p
		}
		if err := talk.change(func(d *symptoms.Draft) { d.Set(e) }); err != nil {
			t.Fatal(err)
		}
		a.answers++
		a.minutes += o.Minutes
		a.look(t, talk.Sheet())
	}
}

// bikesOf is how many bikes are drawn for each machine: MEASURE_BIKES, or a few.
func bikesOf(t *testing.T) int {
	if n, err := strconv.Atoi(os.Getenv("MEASURE_BIKES")); err == nil && n > 0 {
		return n
	}
	if testing.Short() {
		return 2
	}
	return 3
}

// TestUntilFound measures how many answers it takes until a fault that the rider notices is first of the ranking, or among
// the first three, on simulated bikes: asked by information, asked like a form in the order of the vocabulary, and by lot.
// A bike that is not found within 40 answers counts as 40. The bikes are drawn from the knowledge itself, so this measures the
// choice of questions and not the knowledge.
func TestUntilFound(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	lot := rand.New(rand.NewPCG(6, 28))
	ways := []struct {
		name string
		run  func(*testing.T, *asker)
	}{
		{"by information", byInformation},
		{"in the order of the vocabulary", inOrder(func([]*symptoms.Observation) {})},
		{"by lot", inOrder(func(g []*symptoms.Observation) { lot.Shuffle(len(g), func(i, j int) { g[i], g[j] = g[j], g[i] }) })},
	}
	n := bikesOf(t)
	results := make([]*tally, len(ways))
	for i := range ways {
		results[i] = new(tally)
	}
	for m, machine := range simulate.Machines() {
		model, err := simulate.NewModel(set, machine, simulate.Network{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range n {
			seed := uint64(m*1_000_000 + i*2000)
			for w, way := range ways {
				bike, _ := model.DrawFaulty(seed)
				if len(bike.Culprits()) == 0 {
					continue
				}
				a := &asker{set: set, bike: bike, first1: most, first3: most}
				way.run(t, a)
				results[w].add(a)
			}
		}
	}
	for w, way := range ways {
		t.Logf("%-31s %s", way.name, results[w])
	}
	own := results[0]
	t.Logf("its own end: after %s answers, %s minutes; a culprit is first in %s %%", interval(own.endAnswers), interval(own.endMinutes), interval(own.endFirst))
	t.Logf("%-31s first: %s, among three: %s", "fewer than in order", difference(results[1].first1, results[0].first1), difference(results[1].first3, results[0].first3))
	t.Logf("%-31s first: %s, among three: %s", "fewer than by lot", difference(results[2].first1, results[0].first1), difference(results[2].first3, results[0].first3))
	for _, other := range results[1:] {
		if mean(results[0].first1) >= mean(other.first1) {
			t.Errorf("asked by information a culprit is first after %.1f answers; want fewer than %.1f", mean(results[0].first1), mean(other.first1))
		}
	}
}

// tally keeps the results of one way of asking, bike by bike.
type tally struct{ first1, first3, minutes, endAnswers, endMinutes, endFirst []float64 }

func (r *tally) add(a *asker) {
	r.first1 = append(r.first1, float64(a.first1))
	r.first3 = append(r.first3, float64(a.first3))
	if a.first1 < most {
		r.minutes = append(r.minutes, a.minutes1)
	}
	right := 0.0
	if a.endFirst {
		right = 100
	}
	r.endAnswers, r.endMinutes, r.endFirst = append(r.endAnswers, float64(a.endAnswers)), append(r.endMinutes, a.endMinutes), append(r.endFirst, right)
}

func (r *tally) String() string {
	found := func(xs []float64) float64 {
		k := 0
		for _, x := range xs {
			if x < most {
				k++
			}
		}
		return 100 * float64(k) / float64(len(xs))
	}
	return fmt.Sprintf("%d bikes; first after %s, median %.0f, %.0f %% found; among three after %s, median %.0f, %.0f %%; minutes until first, of those found %s", len(r.first1),
		interval(r.first1), median(r.first1), found(r.first1), interval(r.first3), median(r.first3), found(r.first3), interval(r.minutes))
}

func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

func median(xs []float64) float64 {
	s := slices.Sorted(slices.Values(xs))
	return s[len(s)/2]
}

// interval is the mean with its 95 % confidence interval, from the normal approximation.
func interval(xs []float64) string {
	m, sum := mean(xs), 0.0
	for _, x := range xs {
		sum += (x - m) * (x - m)
	}
	half := 1.96 * math.Sqrt(sum/float64(len(xs)-1)/float64(len(xs)))
	return fmt.Sprintf("%.1f ± %.1f", m, half)
}

// difference is the interval of the paired differences.
func difference(xs, ys []float64) string {
	out := make([]float64, len(xs))
	for i := range xs {
		out[i] = xs[i] - ys[i]
	}
	return interval(out)
}
