package quote

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/bojanz/currency"
	"pgregory.net/rapid"

	"diagnose.example/engine"
)

// drawBike draws up to five faults with priors and random joint probabilities; something is left for "none of them".
func drawBike(t *rapid.T, tb testing.TB) *bike {
	b := twin(tb)
	all := []struct{ id, place string }{{"seat-worn", "left"}, {"seat-worn", "right"}, {"float-heavy", "left"}, {"joint-leaks", "left"},
		{"joint-leaks", "right"}, {"plug-dead", "1"}, {"fuel-old", ""}, {"not-in-step", ""}}
	order := rapid.Permutation(all).Draw(t, "faults")
	n := rapid.IntRange(1, 5).Draw(t, "n")
	for _, f := range order[:n] {
		b.fault(tb, f.id, f.place)
	}
	weights, sum := make([]float64, 1<<n), 0.0
	for i := range weights {
		weights[i] = float64(rapid.IntRange(0, 20).Draw(t, "weight"))
		sum += weights[i]
	}
	if sum == 0 {
		weights[0], sum = 1, 1
	}
	for i, w := range weights {
		var present []int
		for f := range n {
			if i&(1<<f) != 0 {
				present = append(present, f)
			}
		}
		if w > 0 {
			b.set(w/sum, present...)
		}
	}
	for _, c := range b.faults.Over {
		c.Prior = c.Probability * rapid.Float64Range(0, 1.2).Draw(t, "prior")
	}
	return b
}

// drawPrices draws a shop; some prices of parts may be missing.
func drawPrices(t *rapid.T, tb testing.TB, b *bike) *Prices {
	money := func(label string) string {
		return fmt.Sprintf("%.2f", float64(rapid.IntRange(0, 20000).Draw(t, label))/100)
	}
	text := "prices: 1\ncurrency: EUR\nlabour: {rate: " + money("rate") + ", step: " + fmt.Sprint(rapid.IntRange(1, 20).Draw(t, "step")) + "}\n" +
		"diagnosis: " + fmt.Sprint(rapid.IntRange(0, 60).Draw(t, "diagnosis")) + "\nminimum: " + money("minimum") + "\n" +
		"tax: {percent: " + money("tax")[:1] + ", included: " + rapid.SampledFrom([]string{"yes", "no"}).Draw(t, "included") + "}\n" +
		"consumables: " + money("consumables") + rapid.SampledFrom([]string{"", " %"}).Draw(t, "kind") + "\nparts:\n"
	for _, part := range b.k.Parts {
		if rapid.IntRange(0, 5).Draw(t, "known") > 0 {
			text += "  " + part.ID + ": " + money(part.ID) + "\n"
		}
	}
	if strings.HasSuffix(text, "parts:\n") {
		text += "  kit: 1.00\n"
	}
	p, err := ReadPrices("drawn.yaml", []byte(text), b.k)
	if err != nil { // a percentage above 100
		t.Skip(err)
	}
	return p
}

// outcomes enumerates, for one quote, every fault set, every choice of those of its faults that are behind the complaint (one at
// least), and for each of these every outcome of every repair, and adds up the probability that the machine is right after
// each step and the expected sum: no formula of the package.
type outcomes struct {
	b        *bike
	q        *Quote
	right    []float64
	expected float64
}

func (o *outcomes) run() {
	o.right = make([]float64, len(o.q.Steps))
	for _, s := range o.b.faults.Sets {
		whole := 0.0 // probability that some fault of the set is behind it
		type choice struct {
			faults []int
			p      float64
		}
		var choices []choice
		for bits := 1; bits < 1<<len(s.Present); bits++ {
			c := choice{p: 1}
			for i, f := range s.Present {
				cause := o.b.faults.Over[f]
				due := math.Max(0, (cause.Probability-cause.Prior)/cause.Probability)
				if bits&(1<<i) != 0 {
					c.p, c.faults = c.p*due, append(c.faults, f)
				} else {
					c.p *= 1 - due
				}
			}
			whole += c.p
			choices = append(choices, c)
		}
		if whole == 0 {
			o.charge(s.Probability, -1)
			continue
		}
		for _, c := range choices {
			o.repairs(c.faults, s.Probability*c.p/whole, 0)
		}
	}
}

// repairs goes through the outcomes of the repairs of one step after another: which faults are left.
func (o *outcomes) repairs(left []int, p float64, step int) {
	if p == 0 {
		return
	}
	if step == len(o.q.Steps) {
		o.charge(p, -1)
		return
	}
	type state struct {
		left []int
		p    float64
	}
	states := []state{{left, p}}
	for _, w := range o.q.Steps[step].Work {
		for _, place := range w.Places {
			for _, l := range w.Cures {
				var next []state
				for _, s := range states {
					at := slices.IndexFunc(s.left, func(f int) bool {
						c := o.b.faults.Over[f]
						return c.ID == l.To && belong(&o.b.d.Sheet.Machine, place, c.Place)
					})
					if at < 0 {
						next = append(next, s)
						continue
					}
					cured := slices.Delete(slices.Clone(s.left), at, at+1)
					next = append(next, state{cured, s.p * l.Chance}, state{s.left, s.p * (1 - l.Chance)})
				}
				states = next
			}
		}
	}
	for _, s := range states {
		if len(s.left) == 0 {
			o.charge(s.p, step)
		} else {
			o.repairs(s.left, s.p, step+1)
		}
	}
}

// charge ends a course of events after a step; -1 is never right.
func (o *outcomes) charge(p float64, step int) {
	last := step
	if step < 0 {
		last = len(o.q.Steps) - 1
	} else {
		for i := step; i < len(o.right); i++ {
			o.right[i] += p
		}
	}
	o.expected += p * float(charged(o.q.Steps[last].Running, o.q.Prices.Tax))
}

func float(a currency.Amount) float64 {
	var f float64
	if _, err := fmt.Sscan(a.Number(), &f); err != nil {
		return math.NaN()
	}
	return f
}

// TestAgainstEnumeration compares how far the work goes, and what it costs, with all that can happen. Where a repair of a machine
// cures a fault at several places the outcomes at each are independent, so the drawn faults have one such place each.
func TestAgainstEnumeration(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBike(rt, t)
		q := b.quote(t, drawPrices(rt, t, b), 0.9)
		o := &outcomes{b: b, q: q}
		o.run()
		for i, s := range q.Steps {
			if math.Abs(s.Right-o.right[i]) > tolerance {
				rt.Fatalf("step %d: right with %.15g; want %.15g", i, s.Right, o.right[i])
			}
			needed := 1.0
			if i > 0 {
				needed = 1 - o.right[i-1]
			}
			if math.Abs(s.Needed-needed) > tolerance {
				rt.Fatalf("step %d: needed with %.15g; want %.15g", i, s.Needed, needed)
			}
		}
		if got := float(charged(q.Expected, q.Prices.Tax)); math.Abs(got-o.expected) > 0.005+1e-6 {
			rt.Fatalf("expected %g; want %.6f", got, o.expected)
		}
		for _, confidence := range []float64{0.1, 0.5, 0.8, 0.9, 0.99} {
			total, reached := q.WithConfidence(confidence)
			for i, s := range q.Steps {
				if math.Abs(o.right[i]-confidence) < 1e-9 {
					break // too close to say
				}
				if o.right[i] > confidence || i == len(q.Steps)-1 {
					if !same(total.Gross, s.Running.Gross) || math.Abs(reached-o.right[i]) > tolerance {
						rt.Fatalf("WithConfidence(%g) = %v with %g; want %v with %g", confidence, total.Gross, reached, s.Running.Gross, o.right[i])
					}
					break
				}
			}
		}
	})
}

// TestSums: every sum is that of its lines, every total that of its steps.
func TestSums(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBike(rt, t)
		q := b.quote(t, drawPrices(rt, t, b), 0.9)
		running := eur(t, "0")
		for i, s := range q.Steps {
			sum := eur(t, "0")
			for _, l := range s.Lines {
				if l.Missing {
					if !slices.Contains(q.Missing, l.ID) {
						rt.Fatalf("%s has no price and is not listed", l.ID)
					}
					continue
				}
				sum = plus(t, sum, l.Amount)
				if !same(l.Amount, l.Amount.Round()) {
					rt.Fatalf("line %+v is not rounded", l)
				}
			}
			running = plus(t, running, sum)
			if !same(sum, s.Sum) || !same(charged(s.Running, q.Prices.Tax), running) {
				rt.Fatalf("step %d: sum %v, running %v; want %v, %v", i, s.Sum, s.Running, sum, running)
			}
			if !same(s.Running.Gross, plus(t, s.Running.Net, s.Running.Tax)) {
				rt.Fatalf("step %d: %v + %v is not %v", i, s.Running.Net, s.Running.Tax, s.Running.Gross)
			}
			if i > 0 && s.Right < q.Steps[i-1].Right-tolerance {
				rt.Fatalf("step %d makes it less likely to be right", i)
			}
		}
		first, last := q.Steps[0].Running.Gross, q.Steps[len(q.Steps)-1].Running.Gross
		if more(t, first, q.NotToExceed.Gross) || more(t, q.NotToExceed.Gross, last) {
			rt.Fatalf("not to exceed %v; want between %v and %v", q.NotToExceed.Gross, first, last)
		}
		cent := eur(t, "0.02") // of rounding, the tax included
		if more(t, first, plus(t, q.Expected.Gross, cent)) || more(t, q.Expected.Gross, plus(t, last, cent)) {
			rt.Fatalf("expected %v; want between %v and %v", q.Expected.Gross, first, last)
		}
	})
}

func plus(tb testing.TB, a, b currency.Amount) currency.Amount {
	sum, err := a.Add(b)
	if err != nil {
		tb.Fatal(err)
	}
	return sum
}

func more(tb testing.TB, a, b currency.Amount) bool {
	n, err := a.Cmp(b)
	if err != nil {
		tb.Fatal(err)
	}
	return n > 0
}

// TestConfidence: more confidence never costs less.
func TestConfidence(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBike(rt, t)
		q := b.quote(t, drawPrices(rt, t, b), 0.9)
		low := rapid.Float64Range(0.01, 0.99).Draw(rt, "low")
		high := rapid.Float64Range(low, 0.995).Draw(rt, "high")
		a, _ := q.WithConfidence(low)
		c, _ := q.WithConfidence(high)
		if more(t, a.Gross, c.Gross) {
			rt.Fatalf("with %g %v, with %g %v", low, a.Gross, high, c.Gross)
		}
	})
}

// TestDearer: a higher rate or price makes no total smaller and changes no work.
func TestDearer(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBike(rt, t)
		p := drawPrices(rt, t, b)
		q := b.quote(t, p, 0.9)
		dear := *p
		rise := eur(t, fmt.Sprintf("%.2f", float64(rapid.IntRange(1, 5000).Draw(rt, "rise"))/100))
		which := rapid.SampledFrom(append([]string{"rate", "minimum"}, sortedKeys(p.Parts)...)).Draw(rt, "which")
		dear.Parts = map[string]currency.Amount{}
		for id, a := range p.Parts {
			dear.Parts[id] = a
		}
		switch which {
		case "rate":
			dear.Rate = plus(t, p.Rate, rise)
		case "minimum":
			dear.Minimum = plus(t, p.Minimum, rise)
		default:
			dear.Parts[which] = plus(t, p.Parts[which], rise)
		}
		d := b.quote(t, &dear, 0.9)
		if more(t, q.Likely.Gross, d.Likely.Gross) || more(t, q.Expected.Gross, d.Expected.Gross) || more(t, q.NotToExceed.Gross, d.NotToExceed.Gross) {
			rt.Fatalf("%s dearer by %v: %v, %v, %v; before %v, %v, %v", which, rise, d.Likely.Gross, d.Expected.Gross, d.NotToExceed.Gross,
				q.Likely.Gross, q.Expected.Gross, q.NotToExceed.Gross)
		}
		if len(q.Steps) != len(d.Steps) || q.Reached != d.Reached {
			rt.Fatalf("%s dearer: %d steps; before %d", which, len(d.Steps), len(q.Steps))
		}
	})
}

// TestOrderOfFaults: the order in which faults and fault sets come changes nothing.
func TestOrderOfFaults(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBike(rt, t)
		p := drawPrices(rt, t, b)
		q := b.quote(t, p, 0.9)
		n := len(b.faults.Over)
		numbers := make([]int, n)
		for i := range numbers {
			numbers[i] = i
		}
		order := rapid.Permutation(numbers).Draw(rt, "order") // new place of each
		mixed := &engine.FaultSets{Over: make([]*engine.Cause, n), Sets: slices.Clone(b.faults.Sets)}
		for i, c := range b.faults.Over {
			mixed.Over[order[i]] = c
		}
		for i, s := range mixed.Sets {
			present := make([]int, len(s.Present))
			for j, f := range s.Present {
				present[j] = order[f]
			}
			slices.Sort(present)
			mixed.Sets[i].Present = present
		}
		slices.Reverse(mixed.Sets)
		other := *b
		other.faults = mixed
		m := other.quote(t, p, 0.9)
		if got, want := outline(m), outline(q); got != want {
			rt.Fatalf("in another order:\n%s\nwant:\n%s", got, want)
		}
		for i := range q.Steps {
			if math.Abs(m.Steps[i].Right-q.Steps[i].Right) > tolerance || math.Abs(m.Steps[i].Needed-q.Steps[i].Needed) > tolerance {
				rt.Fatalf("step %d in another order: %+v; want %+v", i, m.Steps[i], q.Steps[i])
			}
		}
	})
}

// outline is what a quote says but for probabilities, in short.
func outline(q *Quote) string {
	var b strings.Builder
	for _, s := range q.Steps {
		fmt.Fprintf(&b, "up to %v\n", s.Running.Gross)
		for _, l := range s.Lines {
			fmt.Fprintf(&b, "  %s %s %v %g %d %v\n", l.Kind, l.ID, l.Places, l.Minutes, l.Number, l.Amount)
		}
	}
	fmt.Fprintf(&b, "%v %v %v\n", q.Likely.Gross, q.Expected.Gross, q.NotToExceed.Gross)
	return b.String()
}
