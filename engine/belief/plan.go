package belief

import "errors"

// Options steer Plan. The zero value is the default.
type Options struct {
	Tries int     // processing orders tried; 0: a few, more when the tables would be large
	Limit float64 // table entries that may be touched, forward and backward once; 0: DefaultLimit
}

// DefaultLimit is the number of table entries up to which Plan keeps all evidence.
const DefaultLimit = 1e8

// Schedule is a computation laid out but not yet done.
type Schedule struct{}

// Plan lays out the computation.
func Plan(n *Net, e *Evidence, o Options) (*Schedule, error) {
	return nil, errors.New("belief: plan is under construction")
}

// Width is the largest number of open bits: the largest table has 1<<Width entries.
func (s *Schedule) Width() int { return 0 }

// Cost is the number of table entries that will be touched.
func (s *Schedule) Cost() float64 { return 0 }

// SetAside lists the evidence items that were left out to fit the limit, least weight first.
func (s *Schedule) SetAside() []int { return nil }

// Posterior computes.
func (s *Schedule) Posterior() (*Result, error) { return nil, errors.New("belief: posterior is under construction") }

// Result holds the posteriors.
type Result struct {
	P   []float64 // by Node: P(present | evidence); NaN where not inferred
	Z   float64   // P(evidence) is Z * 2^Exp
	Exp int
}

// Impossible reports evidence of probability zero.
type Impossible struct {
	Items []int // a smallest set of evidence items that cannot go together, ascending
}

func (e *Impossible) Error() string { return "belief: impossible evidence" }

// Workspace is scratch memory.
type Workspace struct{}
