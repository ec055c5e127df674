package simulate_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/engine/simulate"
	"diagnose.example/rules"
)

// bikes is how many bikes a measurement takes: the number in SIMULATED_BIKES, which .ci/run sets to 5000, or a small one.
func bikes(t *testing.T, small int) int {
	t.Helper()
	if text := os.Getenv("SIMULATED_BIKES"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			t.Fatalf("SIMULATED_BIKES=%q is not a number of bikes", text)
		}
		return n
	}
	if testing.Short() {
		return small / 4
	}
	return small
}

// inParallel calls f for 0 to n-1 on all processors; each call writes only what is its own, so the result does not depend on them.
func inParallel(n int, f func(i int) error) error {
	errs := make([]error, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = f(i)
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

// edges cut the probabilities into bins for the reliability table.
var edges = [...]float64{0.001, 0.01, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95}

const numBins = len(edges) + 1

// bin counts what was foretold and what was so. Excess is the number present less the sum of the probabilities. Its variance is taken
// as the larger of two: the sum of p(1-p), and the sum of squares of the excess of single bikes, which allows for causes of one bike that hang
// together.
type bin struct {
	n, present       int
	foretold, excess float64
	apart, together  float64 // the two variances
}

// deviations is the excess in standard deviations.
func (b *bin) deviations() float64 { return b.excess / math.Sqrt(max(b.apart, b.together)) }

// scores sums up how good probabilities were over some bikes.
type scores struct {
	bikes, faulty, first, three int
	brier, log                  float64 // a bike: squared error, and bits, summed over its causes
	expected, spread            float64 // what the squared error should be if the probabilities are right, and the variance of the difference
	bins                        [numBins]bin
}

func binOf(p float64) int {
	for i, edge := range edges {
		if p < edge {
			return i
		}
	}
	return len(edges)
}

// forecast is what was said of one cause at one place.
type forecast struct {
	cause, place string
	p            float64
}

// score rates the forecasts for one bike. Ranking holds cause ids, likeliest first.
func score(b *simulate.Bike, forecasts []forecast, ranking []string) *scores {
	is := map[simulate.Fault]bool{}
	for _, f := range b.Faults() {
		is[f] = true
	}
	s := &scores{bikes: 1}
	for _, f := range forecasts {
		x := 0.0
		if is[simulate.Fault{Cause: f.cause, Place: f.place}] {
			x = 1
		}
		s.brier += (x - f.p) * (x - f.p)
		s.expected += f.p * (1 - f.p)
		s.log -= math.Log2(1 - math.Abs(x-f.p))
		n := &s.bins[binOf(f.p)]
		n.n++
		n.present += int(x)
		n.foretold += f.p
		n.excess += x - f.p
		n.apart += f.p * (1 - f.p)
	}
	s.spread = (s.brier - s.expected) * (s.brier - s.expected)
	for i := range s.bins {
		s.bins[i].together = s.bins[i].excess * s.bins[i].excess
	}
	if len(is) > 0 {
		s.faulty = 1
		for k, id := range ranking[:min(3, len(ranking))] {
			if b.Has(id) {
				s.three = 1
				if k == 0 {
					s.first = 1
				}
			}
		}
	}
	return s
}

func (s *scores) add(o *scores) {
	if o == nil {
		return
	}
	s.bikes, s.faulty, s.first, s.three = s.bikes+o.bikes, s.faulty+o.faulty, s.first+o.first, s.three+o.three
	s.brier, s.log, s.expected, s.spread = s.brier+o.brier, s.log+o.log, s.expected+o.expected, s.spread+o.spread
	for i := range s.bins {
		b, c := &s.bins[i], &o.bins[i]
		b.n, b.present, b.foretold = b.n+c.n, b.present+c.present, b.foretold+c.foretold
		b.excess, b.apart, b.together = b.excess+c.excess, b.apart+c.apart, b.together+c.together
	}
}

// row is the scores as a line of a table: bikes, Brier and log score a bike, share of faulty bikes with a present cause first
// and among the first three.
func (s *scores) row() string {
	n, f := float64(max(1, s.bikes)), float64(max(1, s.faulty))
	return fmt.Sprintf("%d | %.3f | %.2f | %.0f %% | %.0f %%", s.bikes, s.brier/n, s.log/n, 100*float64(s.first)/f, 100*float64(s.three)/f)
}

// reliability is the table of what was foretold against what was so, with the 95 % interval of Wilson for the latter (E. B. Wilson
// 1927; from memory), which takes the causes of one bike as independent.
func (s *scores) reliability() string {
	var t strings.Builder
	t.WriteString("\n| probability | causes | foretold | present | 95 % interval |\n|---|---|---|---|---|\n")
	low := 0.0
	for i, b := range s.bins {
		high := 1.0
		if i < len(edges) {
			high = edges[i]
		}
		if b.n > 0 {
			lo, hi := wilson(b.present, b.n)
			fmt.Fprintf(&t, "| %g to %g | %d | %.2f %% | %.2f %% | %.2f to %.2f %% |\n", low, high, b.n, 100*b.foretold/float64(b.n),
				100*float64(b.present)/float64(b.n), 100*lo, 100*hi)
		}
		low = high
	}
	return t.String()
}

func wilson(k, n int) (lo, hi float64) {
	const z = 1.96
	p, m := float64(k)/float64(n), float64(n)
	middle := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z / (1 + z*z/m) * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return max(0, middle-half), min(1, middle+half)
}

// predictions returns what a diagnosis says of every cause at every place.
func predictions(d *engine.Diagnosis) (forecasts []forecast, ranking []string) {
	for _, c := range d.Causes {
		forecasts = append(forecasts, forecast{c.ID, c.Place.Name, c.Probability})
	}
	for _, r := range d.Ranked {
		ranking = append(ranking, r.ID)
	}
	return forecasts, ranking
}

// priors returns the same for somebody who looks at nothing.
func priors(d *engine.Diagnosis) (forecasts []forecast) {
	for _, c := range d.Causes {
		forecasts = append(forecasts, forecast{c.ID, c.Place.Name, c.Prior})
	}
	return forecasts
}

// draw draws bike number i: five singles and four two-strokes to each twin, which takes longest, with a history by lot.
func draw(ms []*simulate.Model, i int) (b *simulate.Bike, m int) {
	m = []int{0, 2, 0, 2, 0, 2, 0, 2, 0, 1}[i%10]
	seed := uint64(i)
	return ms[m].Draw(seed, ms[m].History(seed)...), m
}

// way is a way of telling.
type way struct {
	name string
	// blind says that what is told does not depend on what is not told, so that the probabilities must come out right.
	blind bool
	// telling says that it is so much that a diagnosis with numbers that are moderately off must still be better than none.
	telling bool
	// skip leaves a bike out, seen its number and its machine.
	skip func(b *simulate.Bike, i, m int) bool
	tell func(*simulate.Bike) []simulate.Told
}

func never(*simulate.Bike, int, int) bool { return false }

// quiet leaves out bikes that have no complaint. Where everything the rider knows is told, that can be seen from the sheet,
// and so does not put the probabilities wrong.
func quiet(b *simulate.Bike, _, _ int) bool { return !b.Complains() }

// result holds the scores of a bike for each way of telling, and those of the priors.
type result struct{ told, prior []*scores }

// measure diagnoses n bikes from some models with every way of telling.
func measure(set *rules.Set, ms []*simulate.Model, n, first int, ways []way) (*result, error) {
	each := make([]result, n)
	err := inParallel(n, func(i int) error {
		b, m := draw(ms, first+i)
		each[i] = result{make([]*scores, len(ways)), make([]*scores, len(ways))}
		for k, w := range ways {
			if w.skip(b, first+i, m) {
				continue
			}
			d, err := diagnose(set, b.Sheet(w.tell(b)))
			if err != nil {
				return fmt.Errorf("%s: bike %d: %w", w.name, first+i, err)
			}
			forecasts, ranking := predictions(d)
			each[i].told[k] = score(b, forecasts, ranking)
			each[i].prior[k] = score(b, priors(d), nil)
		}
		return nil
	})
	sum := &result{}
	for range ways {
		sum.told, sum.prior = append(sum.told, &scores{}), append(sum.prior, &scores{})
	}
	for _, r := range each {
		for k := range r.told {
			sum.told[k].add(r.told[k])
			sum.prior[k].add(r.prior[k])
		}
	}
	return sum, err
}
