package belief

import (
	"fmt"
	"slices"
	"strings"
)

// Impossible reports evidence of probability zero.
type Impossible struct {
	// Items is a set of evidence items that cannot go together, ascending. No smaller set conflicts, unless the conflict is so involved
	// that the search was cut short; even then no item of it can be left out.
	Items []int
}

func (e *Impossible) Error() string {
	if len(e.Items) == 1 {
		return fmt.Sprintf("belief: impossible evidence: item %d contradicts the network", e.Items[0])
	}
	return fmt.Sprintf("belief: impossible evidence: items %s cannot all be true", strings.Trim(fmt.Sprint(e.Items), "[]"))
}

// rounds bounds the search for a smallest conflict.
const rounds = 64

// impossible finds a smallest conflicting set among the items used. Whether evidence is possible does not depend on the numbers, only
// on which are zero; so it is decided with every positive number replaced by one, where nothing can underflow.
//
// The search keeps a list of corrections, sets of items without which the rest is possible: every conflict has an item of each. A
// smallest set with an item of each that is a conflict is therefore a smallest conflict; one that is not is enlarged until nothing more
// goes in, and what did not go in is a new correction (after Ignatiev, Previti, Liffiton and Marques-Silva 2015, from memory).
func (s *Schedule) impossible() error {
	c := conflict{n: s.net, e: s.e}
	on := make([]int, len(s.net.nodes)) // items on each node
	for i := range s.e.items {
		if it := &s.e.items[i]; it.joint == nil {
			on[it.node]++
		}
		for _, f := range s.e.items[i].nodes {
			on[f]++
		}
	}
	for i := range s.e.items {
		it := &s.e.items[i]
		if !it.out && (s.skip == nil || !s.skip[i]) && it.demands(s.net, on) {
			c.items = append(c.items, i)
		}
	}
	if c.possible(c.items) {
		return ErrUnderflow
	}
	var corrections [][]int
	for range rounds {
		hit := hittingSet(corrections)
		if !c.possible(hit) {
			return &Impossible{Items: hit}
		}
		corrections = append(corrections, c.correction(hit))
	}
	return &Impossible{Items: c.reduce()}
}

type conflict struct {
	n     *Net
	e     *Evidence
	items []int
}

// possible tells whether some items can be true together.
func (c *conflict) possible(items []int) bool {
	skip := make([]bool, len(c.e.items))
	for i := range skip {
		skip[i] = !slices.Contains(items, i)
	}
	s := plan(c.n, c.e, Options{Tries: 1}, skip, true)
	if s.core.g.z.m == 0 {
		return false
	}
	s.program = s.core.write(&s.order)
	if s.core.g.z.m == 0 || len(s.program.steps) == 0 {
		return s.core.g.z.m > 0
	}
	r := s.runner()
	r.start()
	for i := range s.program.kept {
		r.forward(i)
		r.drop(i)
	}
	last := r.tab[len(s.program.kept)]
	possible := last.t[0] > 0
	r.a.put(last)
	c.n.handOn(r.a)
	return possible
}

// correction enlarges a possible set as far as it goes and returns the items that stay out.
func (c *conflict) correction(in []int) []int {
	var out []int
	for _, i := range c.items {
		if slices.Contains(in, i) {
			continue
		}
		if more := append(slices.Clone(in), i); c.possible(more) {
			in = more
		} else {
			out = append(out, i)
		}
	}
	return out
}

// reduce leaves items out one at a time while the rest stays impossible.
func (c *conflict) reduce() []int {
	in := slices.Clone(c.items)
	for _, i := range c.items {
		less := slices.DeleteFunc(slices.Clone(in), func(j int) bool { return j == i })
		if !c.possible(less) {
			in = less
		}
	}
	return in
}

// hittingSet is a smallest set with an item of every given set, ascending.
func hittingSet(sets [][]int) []int {
	for size := 0; ; size++ {
		if hit, ok := hitWith(sets, nil, size); ok {
			slices.Sort(hit)
			return hit
		}
	}
}

func hitWith(sets [][]int, hit []int, size int) ([]int, bool) {
	i := slices.IndexFunc(sets, func(set []int) bool {
		return !slices.ContainsFunc(set, func(x int) bool { return slices.Contains(hit, x) })
	})
	if i < 0 {
		return hit, true
	}
	if size == 0 {
		return nil, false
	}
	for _, x := range sets[i] {
		if h, ok := hitWith(sets, append(slices.Clone(hit), x), size-1); ok {
			return h, true
		}
	}
	return nil, false
}

// demands reports whether an item can be part of a conflict: not if some pattern that it allows can show whatever the parents do and
// whatever other items say; on counts the items on each node.
func (it *item) demands(n *Net, on []int) bool {
	if it.joint == nil {
		v := &n.nodes[it.node]
		if v.kind != finding || on[it.node] > 1 {
			return it.w[0] == 0 || it.w[1] == 0
		}
		return !(it.w[0] > 0 && v.can(0) || it.w[1] > 0 && v.can(1))
	}
	for b, w := range it.joint {
		always := w > 0
		for k, f := range it.nodes {
			always = always && on[f] == 1 && n.nodes[f].can(b>>k&1)
		}
		if always {
			return false
		}
	}
	return true
}

// can tells whether a finding can have the value x whatever its parents do.
func (v *node) can(x int) bool {
	if v.leak[x] == 0 {
		return false
	}
	return x == 1 || !slices.ContainsFunc(v.up, func(a arc) bool { return a.q == 0 })
}
