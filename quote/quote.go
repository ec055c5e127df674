package quote

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/bojanz/currency"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// Quote is what a repair is offered for.
type Quote struct {
	Diagnosis *engine.Diagnosis
	Prices    *Prices
	// Date is the day of the quote, ValidUntil the last day on which it stands; both zero when no date was given.
	Date, ValidUntil time.Time
	// Steps holds the likely repair and then, in order, what is done only if the machine is not right after what comes before.
	// There is always a first step; it has no Work when no repair is in sight.
	Steps []Step
	// Likely is the total of the first step, Expected the total that is to be expected, NotToExceed the total of the first steps
	// with which the machine is right with probability Confidence at least.
	Likely, Expected, NotToExceed Total
	// Confidence is what was asked for; Reached is what NotToExceed stands for. It is below Confidence when all steps together do
	// not reach it; NotToExceed is then the total of all steps.
	Confidence, Reached float64
	// Faults are the causes that the figures take into account, with the joint probabilities.
	Faults *engine.FaultSets
	// Least is by how much the sheet must have raised the probability of such a cause; Others counts those that were raised as
	// much but not taken, since there are MostFaults already.
	Least  float64
	Others int
	// None is the probability that none of Faults is there: something else is wrong.
	None float64
	// Missing lists the parts without a price, by id. When there are any, every total is too small.
	Missing []string
}

// MostFaults is how many causes a quote takes into account.
const MostFaults = 10

// Options say how far a quote goes. The zero value is the default.
type Options struct {
	// Confidence is that of the not-to-exceed total, above 0 and below 1; 0 means 0.9.
	Confidence float64
	// Date is the day of the quote; the zero time leaves it undated.
	Date time.Time
	// Least is how much the sheet must have raised the probability of a cause for it to be taken into account; 0 means 0.01.
	Least float64
	// Steps is the largest number of steps; 0 means 5.
	Steps int
}

// leastSet is the probability below which fault sets are not followed.
const leastSet = 1e-4

func (o Options) withDefaults() (Options, error) {
	if o.Confidence == 0 {
		o.Confidence = 0.9
	}
	if !(o.Confidence > 0 && o.Confidence < 1) {
		return o, fmt.Errorf("confidence %g: write a number above 0 and below 1, such as 0.9", o.Confidence)
	}
	if o.Least <= 0 {
		o.Least = 0.01
	}
	if o.Steps <= 0 {
		o.Steps = 5
	}
	return o, nil
}

// New makes a quote out of a diagnosis. Nothing of the diagnosis but its sheet and its causes is used, so any engine.Options do.
func New(k *rules.Set, d *engine.Diagnosis, p *Prices, o Options) (*Quote, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	over, others := behind(d, o.Least)
	faults, err := engine.Together(k, d.Sheet, over, engine.TogetherOptions{Least: leastSet})
	if err != nil {
		return nil, err
	}
	q, err := assemble(k, d, p, o, faults)
	if err != nil {
		return nil, err
	}
	q.Others = others
	return q, nil
}

// behind lists the causes that the sheet has made likelier by least, by how much it has, and counts those beyond the first
// MostFaults.
func behind(d *engine.Diagnosis, least float64) (over []*engine.Cause, others int) {
	for _, c := range d.Causes {
		if c.Probability-c.Prior >= least {
			over = append(over, c)
		}
	}
	slices.SortStableFunc(over, func(a, b *engine.Cause) int {
		return cmp.Or(engine.Descending(a.Probability-a.Prior, b.Probability-b.Prior), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Place.Name, b.Place.Name))
	})
	most := min(len(over), MostFaults)
	return over[:most], len(over) - most
}

// assemble makes the quote once the joint probabilities are known.
func assemble(k *rules.Set, d *engine.Diagnosis, p *Prices, o Options, faults *engine.FaultSets) (*Quote, error) {
	q := &Quote{Diagnosis: d, Prices: p, Confidence: o.Confidence, Faults: faults, Least: o.Least}
	if !o.Date.IsZero() {
		q.Date, q.ValidUntil = o.Date, o.Date.AddDate(0, 0, p.ValidDays)
	}
	for _, s := range faults.Sets {
		if len(s.Present) == 0 {
			q.None = s.Probability
		}
	}
	w := newWork(k, d, p, faults)
	for len(q.Steps) < o.Steps {
		before := 1 - w.right()
		tasks := w.next(worthAStep)
		if tasks == nil && len(q.Steps) > 0 {
			break
		}
		s := w.step(tasks, len(q.Steps) == 0)
		s.Needed, s.Right = before, w.right()
		if len(q.Steps) == 0 {
			s.Needed = 1
		}
		q.Steps = append(q.Steps, s)
		if s.Right >= max(o.Confidence, enough)-tie {
			break
		}
	}
	t := &till{code: p.Currency}
	t.reckon(q)
	return q, t.err
}

// worthAStep is the expected share of the faults that a repair must cure to be worth a step.
const worthAStep = 0.02

// enough is the probability of being right at which no further step is listed, even if it would still tell something.
const enough = 0.98

// reckon prices the lines and fills in all totals.
func (t *till) reckon(q *Quote) {
	running, topUp := t.zero(), t.zero()
	expected := t.zero()
	before := Total{t.zero(), t.zero(), t.zero()}
	for i := range q.Steps {
		s := &q.Steps[i]
		t.price(q, s)
		running = t.add(running, s.sum(t))
		newTopUp := t.zero()
		if t.less(running, q.Prices.Minimum) {
			newTopUp = t.sub(q.Prices.Minimum, running)
		}
		if change := t.sub(newTopUp, topUp); !change.IsZero() {
			s.Lines = append(s.Lines, Line{Kind: Minimum, Text: minimumText(change), Amount: change})
		}
		topUp = newTopUp
		s.Sum = s.sum(t)
		s.Running = t.total(t.add(running, topUp), q.Prices.Tax)
		expected = t.add(expected, t.times(t.sub(charged(s.Running, q.Prices.Tax), charged(before, q.Prices.Tax)), s.Needed))
		before = s.Running
	}
	q.Likely = q.Steps[0].Running
	q.Expected = t.total(expected.Round(), q.Prices.Tax)
	q.NotToExceed, q.Reached = q.upTo(q.Confidence)
}

// charged is the sum of lines that a total stands for.
func charged(t Total, tax Tax) currency.Amount {
	if tax.Included == InPrices {
		return t.Gross
	}
	return t.Net
}

func minimumText(change currency.Amount) string {
	if change.IsNegative() {
		return "Less what was added up to the least charge"
	}
	return "Added up to the least charge for a job"
}

// upTo returns the total of the first steps after which the machine is right with a probability at least, and that probability.
func (q *Quote) upTo(confidence float64) (Total, float64) {
	i := slices.IndexFunc(q.Steps, func(s Step) bool { return s.Right >= confidence-tie })
	if i < 0 {
		i = len(q.Steps) - 1
	}
	return q.Steps[i].Running, q.Steps[i].Right
}

// WithConfidence returns the not-to-exceed total for another confidence, and the confidence that it stands for, which is below
// the one asked for when all steps together do not reach it.
func (q *Quote) WithConfidence(confidence float64) (Total, float64) { return q.upTo(confidence) }
