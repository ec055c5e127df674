package belief

import (
	"fmt"
	"strings"
)

// DefaultLimit is the number of table entries up to which Plan keeps all evidence.
const DefaultLimit = 1e8

// Options steer Plan. The zero value is the default.
type Options struct {
	Tries int     // processing orders tried; 0: a few, more when the tables would be large
	Limit float64 // largest Cost; 0: DefaultLimit
}

// Schedule is a computation laid out but not yet done: its cost is known, no table has been made. It holds on to its net and
// does not change.
type Schedule struct {
	net     *Net
	e       *Evidence
	core    *core
	program *program
	order   order
	aside   []int
}

// Plan lays out the computation of all posteriors of n given e. If the cheapest order found costs more than the limit, evidence items
// are set aside until it fits.
func Plan(n *Net, e *Evidence, o Options) (*Schedule, error) {
	if err := n.Err(); err != nil {
		return nil, err
	}
	if err := e.check(n); err != nil {
		return nil, err
	}
	return plan(n, e, o, nil, false), nil
}

func plan(n *Net, e *Evidence, o Options, skip []bool, signs bool) *Schedule {
	g := newGraph(n, e, skip, signs)
	g.strip()
	s := &Schedule{net: n, e: e, core: newCore(g)}
	s.order = s.core.search(o.Tries)
	s.program = s.core.write(&s.order)
	return s
}

// Width is the largest number of open bits: the largest table has 1<<Width entries.
func (s *Schedule) Width() int { return s.order.width }

// Cost is the number of table entries that the steps pass over; each is touched once forward and once backward.
func (s *Schedule) Cost() float64 { return s.order.cost }

// SetAside lists the evidence items that were left out to fit the limit, least weight first.
func (s *Schedule) SetAside() []int { return s.aside }

// Impossible reports evidence of probability zero.
type Impossible struct {
	Items []int // a smallest set of evidence items that cannot go together, ascending
}

func (e *Impossible) Error() string {
	if len(e.Items) == 0 {
		return "belief: the network itself has probability zero"
	}
	return fmt.Sprintf("belief: impossible evidence: items %s cannot go together", strings.Trim(fmt.Sprint(e.Items), "[]"))
}

func (s *Schedule) impossible() error { return &Impossible{} }
