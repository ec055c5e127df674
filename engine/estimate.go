package engine

import (
	"cmp"
	"math"
	"slices"
)

// estimator foretells what answers would tell without inferring anything: from the posteriors of one inference, by which findings
// are expected, and the strength with which causes pull on them.
//
// The causes are taken as independent of each other given the sheet, and each as reaching a finding by its strongest path only. Then with
// the noisy-OR of its parents x
//
//	P(finding absent)         = (1-leak) * product of (1 - chance * P(x))
//	P(finding absent | cause) = the same with 1-P(x | cause) = (1-P(x)) * (1-s) / (1 - s * P(cause))
//
// s being the pull on x. What an answer tells of a cause is their mutual information. What the estimate misses is that causes which
// explain the same thing exclude each other once it is seen. How well it picks is measured, see TestEstimatePicks.
type estimator struct {
	*work
	on      []float64 // P(present | sheet) by node
	concern []float64 // as asking has it
	// scratch, by cause: its place in touched from 1.
	place   []int
	touched []touched
}

// touched is a cause that pulls on a finding, with the factor on the absence of each finding when it is present.
type touched struct {
	cause  *causeAt
	factor []float64
}

func newEstimator(w *work, concern []float64) *estimator {
	return &estimator{work: w, on: w.everywhere(w.post), concern: concern, place: make([]int, len(w.causes))}
}

// tells estimates how many bits the word that findings show would tell, each cause weighed by its concern.
func (e *estimator) tells(findings []*findingAt) float64 {
	sorted := slices.Clone(findings)
	slices.SortStableFunc(sorted, func(a, b *findingAt) int {
		return cmp.Compare(firstWord(a.rule.Finding.Words), firstWord(b.rule.Finding.Words))
	})
	for _, t := range e.touched {
		e.place[t.cause.index] = 0
	}
	e.touched = e.touched[:0]
	absent := make([]float64, len(sorted))
	for k, f := range sorted {
		absent[k] = unmade(e.on, f.rule.Otherwise, f.parents)
		for _, p := range f.parents {
			e.touch(k, len(sorted), p)
		}
	}
	sum := 0.0
	words, given := make([]float64, len(sorted)+1), make([]float64, len(sorted)+1)
	shown(words, absent, nil)
	for _, t := range e.touched {
		if e.concern[t.cause.index] > 0 {
			shown(given, absent, t.factor)
			sum += e.concern[t.cause.index] * information(e.on[t.cause.node], words, given)
		}
	}
	return sum
}

// touch notes what the presence of each cause that pulls on a parent does to the absence of finding k of n.
func (e *estimator) touch(k, n int, p parent) {
	x := e.on[p.node()]
	without := 1 - p.chance*x
	if without <= 0 {
		return
	}
	if p.cause != nil {
		e.note(p.cause, k, n, (1-p.chance)/without)
		return
	}
	for _, pl := range e.pulls()[p.effect] {
		q := e.on[pl.cause.node]
		if q <= 0 || q >= 1 {
			continue
		}
		with := 1 - (1-x)*(1-pl.strength)/(1-pl.strength*q)
		e.note(pl.cause, k, n, (1-p.chance*with)/without)
	}
}

func (e *estimator) note(c *causeAt, k, n int, factor float64) {
	if e.place[c.index] == 0 {
		t := touched{c, make([]float64, n)}
		for i := range t.factor {
			t.factor[i] = 1
		}
		e.touched = append(e.touched, t)
		e.place[c.index] = len(e.touched)
	}
	e.touched[e.place[c.index]-1].factor[k] *= factor
}

// shown works out the probability of each word, and last of none: a word shows if its finding is there and none before it in the
// masking order is.
func shown(words, absent, factor []float64) {
	left := 1.0
	for k, a := range absent {
		if factor != nil {
			a = min(a*factor[k], 1)
		}
		words[k] = left * (1 - a)
		left *= a
	}
	words[len(absent)] = left
}

// information is the mutual information, in bits, of a cause of probability q and a word, from P(word) and P(word | cause).
func information(q float64, words, given []float64) float64 {
	sum := 0.0
	for k, p := range words {
		with := q * given[k]
		without := max(0, p-with)
		p = with + without
		if with > 0 {
			sum += with * math.Log2(given[k]/p)
		}
		if without > 0 {
			sum += without * math.Log2(without/((1-q)*p))
		}
	}
	return max(0, sum)
}
