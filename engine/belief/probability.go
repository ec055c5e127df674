package belief

import "fmt"

// Probability returns P(evidence) alone, as z * 2^exp with z in [1/2, 1): the forward pass of [Schedule.Posterior] without the
// backward one, for less than half the work and without keeping tables. Impossible evidence gives 0 and no error.
func (s *Schedule) Probability() (z float64, exp int, err error) {
	product := s.core.g.z
	if product.m == 0 {
		return 0, 0, nil
	}
	if s.Width() > widest {
		return 0, 0, fmt.Errorf("%w: 2^%d entries; set Options.Limit", ErrTooWide, s.Width())
	}
	if len(s.program.steps) > 0 {
		r := s.runner()
		r.start()
		last := len(s.program.kept)
		for i := range last {
			r.forward(i)
			r.drop(i)
		}
		product.mul(r.tab[last].t[0])
		product.e += r.exp[last]
		r.drop(last)
		s.net.handOn(r.a)
	}
	if product.m == 0 {
		return 0, 0, nil
	}
	return product.m, product.e, nil
}
