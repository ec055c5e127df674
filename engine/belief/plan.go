package belief

// DefaultLimit is the number of table entries up to which Plan keeps all evidence: a fifth of a second with vectors, half a second without.
const DefaultLimit = 4e8

// Options steer Plan. The zero value is the default.
type Options struct {
	Tries int     // processing orders tried; 0: a few, more when the tables would be large
	Limit float64 // largest Cost; 0: DefaultLimit
	// Like is a schedule of the same net for nearly the same evidence. Its order is taken over where that costs no more, which saves
	// the search. nil is none.
	Like *Schedule
}

// Schedule is a computation laid out but not yet done: its cost is known, no table has been made. It holds on to its net and
// does not change.
type Schedule struct {
	net     *Net
	e       *Evidence
	skip    []bool // items set aside; nil for none
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
	s := plan(n, e, o, nil, false)
	limit := o.Limit
	if limit == 0 {
		limit = DefaultLimit
	}
	if s.Cost() > limit {
		s = setAside(n, e, o, limit)
	}
	s.program = s.core.write(&s.order)
	return s, nil
}

// plan lays out the computation without the items of skip, whatever it costs.
func plan(n *Net, e *Evidence, o Options, skip []bool, signs bool) *Schedule {
	s := &Schedule{net: n, e: e, skip: skip, core: stripped(n, e, skip, signs)}
	if o.Like != nil {
		var ok bool
		if s.order, ok = s.core.like(o.Like); ok {
			return s
		}
	}
	s.order = s.core.search(effort{tries: o.Tries})
	return s
}

// stripped is the core of a net for some evidence, without the items of skip.
func stripped(n *Net, e *Evidence, skip []bool, signs bool) *core {
	g := newGraph(n, e, skip, signs)
	g.strip()
	c := newCore(g)
	c.addFactors()
	return c
}

// Width is the largest number of open bits: the largest table has 1<<Width entries.
func (s *Schedule) Width() int { return s.order.width }

// Cost is the number of table entries that the steps pass over; each is touched once forward and once backward. It is 0 if everything
// can be done in closed form.
func (s *Schedule) Cost() float64 { return s.order.cost }

// SetAside lists the evidence items that were left out to fit the limit, least weight first (Evidence.Weights).
func (s *Schedule) SetAside() []int { return s.aside }
