package belief

import (
	"cmp"
	"slices"
	"sort"
)

// setAside finds a schedule that fits the limit by leaving evidence items out, those of least weight first: as many as it takes, then
// whatever still fits is taken back in, heaviest first. Weights on causes cost nothing and stay.
func setAside(n *Net, e *Evidence, o Options, limit float64) *Schedule {
	a := aside{n: n, e: e, limit: limit, skip: make([]bool, len(e.items))}
	ws := e.Weights(n)
	for i := range e.items {
		if it := &e.items[i]; !it.out && (it.joint != nil || n.nodes[it.node].kind != cause) {
			a.items = append(a.items, i)
		}
	}
	slices.SortStableFunc(a.items, func(i, j int) int { return cmp.Compare(ws[i], ws[j]) })
	k := sort.Search(len(a.items), func(k int) bool {
		a.mark(a.items, false)
		a.mark(a.items[:k], true)
		return a.fits()
	})
	a.mark(a.items, false)
	a.mark(a.items[:k], true)
	a.fits()
	a.restore(a.items[:k])
	s := plan(n, e, o, a.skip, false)
	if a.order.cost < s.order.cost {
		s.order = a.order
	}
	for _, i := range a.items {
		if a.skip[i] {
			s.aside = append(s.aside, i)
		}
	}
	return s
}

type aside struct {
	n     *Net
	e     *Evidence
	limit float64
	items []int // least weight first
	skip  []bool
	order order // of the last that fitted
}

func (a *aside) mark(items []int, out bool) {
	for _, i := range items {
		a.skip[i] = out
	}
}

// fits looks for an order within the limit, and no further.
func (a *aside) fits() bool {
	const tries = 10 * fewest
	o := stripped(a.n, a.e, a.skip, false).search(effort{most: tries, aim: a.limit})
	if o.cost > a.limit {
		return false
	}
	a.order = o
	return true
}

// restore takes back in what fits of some items, all at once or else half by half.
func (a *aside) restore(items []int) {
	if len(items) == 0 {
		return
	}
	a.mark(items, false)
	if a.fits() {
		return
	}
	a.mark(items, true)
	if half := len(items) / 2; len(items) > 1 {
		a.restore(items[half:])
		a.restore(items[:half])
	}
}
