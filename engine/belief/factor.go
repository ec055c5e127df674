package belief

import (
	"cmp"
	"slices"
)

// maxScope is the largest number of parents of a factor.
const maxScope = 6

// factor weighs the values of a few nodes directly, in place of bits for the findings that depend on exactly them. Worth it where
// there are at least as many findings as nodes: a measurement in four bands, all of them weighed, that hangs on "too high" and "too
// low" takes one waiting bit in place of four.
//
// The values must all be known at once. So a node waits with its own bit, or is held if the order wants it to act, until every other
// node of the scope is complete.
type factor struct {
	scope []int32 // core nodes, ascending
	items []factorItem
	inner int // scope nodes that are not roots
}

// factorItem is a group or a single sink.
type factorItem struct {
	scope []int32
	sink  int32 // core node, -1 for a group
	group int32 // core group
	bits  int   // what it would take in tables
}

// addFactors finds the groups and sinks that are cheaper as factors, and takes their arms away.
func (c *core) addFactors() {
	items := c.factorItems()
	slices.SortStableFunc(items, func(a, b factorItem) int {
		return cmp.Or(len(b.scope)-len(a.scope), slices.Compare(a.scope, b.scope))
	})
	for lo := 0; lo < len(items); {
		hi, bits := lo, 0
		for hi < len(items) && slices.Equal(items[hi].scope, items[lo].scope) {
			bits += items[hi].bits
			hi++
		}
		if f := c.covering(items[lo].scope); f != nil {
			f.items = append(f.items, items[lo:hi]...)
		} else if bits >= len(items[lo].scope) {
			c.factors = append(c.factors, factor{scope: items[lo].scope, items: slices.Clone(items[lo:hi])})
		}
		lo = hi
	}
	if len(c.factors) > 0 {
		c.detach()
	}
}

// factorItems lists what could become a factor: everything that closes and depends on few enough nodes.
func (c *core) factorItems() []factorItem {
	var items []factorItem
	for v := range c.v {
		if c.sink[v] && c.group[v] < 0 && len(c.parents(int32(v))) <= maxScope {
			s := slices.Clone(c.parents(int32(v)))
			slices.Sort(s)
			items = append(items, factorItem{scope: s, sink: int32(v), bits: 1})
		}
	}
	for k, cg := range c.groups {
		var s []int32
		for _, f := range cg.open {
			s = append(s, c.parents(f)...)
		}
		slices.Sort(s)
		if s = slices.Compact(s); len(s) <= maxScope {
			items = append(items, factorItem{scope: s, sink: -1, group: int32(k), bits: len(cg.open)})
		}
	}
	return items
}

// covering is a factor whose scope holds all of s.
func (c *core) covering(s []int32) *factor {
	for i := range c.factors {
		f := &c.factors[i]
		n := 0
		for _, u := range s {
			if slices.Contains(f.scope, u) {
				n++
			}
		}
		if n == len(s) {
			return f
		}
	}
	return nil
}

// detach takes the sinks and groups of factors out of the tables and notes the factors at their nodes.
func (c *core) detach() {
	away := make([]bool, len(c.v))
	c.in = make([][]int32, len(c.v))
	for k := range c.factors {
		f := &c.factors[k]
		for _, it := range f.items {
			if it.sink >= 0 {
				away[it.sink] = true
				continue
			}
			for _, v := range c.groups[it.group].open {
				away[v] = true
			}
		}
		for _, u := range f.scope {
			c.in[u] = append(c.in[u], int32(k))
			if !c.root[u] {
				f.inner++
			}
		}
	}
	arms, pars := c.arms[:0], c.pars[:0]
	for u := range c.v {
		kids, parents := c.kids(int32(u)), c.parents(int32(u))
		c.kidAt[u], c.parAt[u] = int32(len(arms)), int32(len(pars))
		for _, a := range kids {
			if !away[a.to] {
				arms = append(arms, a)
			}
		}
		if !away[u] {
			pars = append(pars, parents...)
		}
	}
	c.arms, c.pars = arms, pars
	c.kidAt[len(c.v)], c.parAt[len(c.v)] = int32(len(arms)), int32(len(pars))
}

// of is the scope in vertices of the graph.
func (c *core) of(f *factor) scope {
	var s scope
	for _, u := range f.scope {
		s = append(s, c.v[u])
	}
	return s
}

// weights is what one item contributes at every value of the scope.
func (c *core) itemWeights(it *factorItem, of scope) []float64 {
	if it.sink < 0 {
		return c.g.weigh(&c.g.groups[c.groups[it.group].of], of)
	}
	m := make([]float64, 1<<len(of))
	v := c.v[it.sink]
	for x := range m {
		m[x] = c.g.given(v, of, x).dot(c.g.v[v].w)
	}
	return m
}

// factorWeights is the product over the items, scaled.
func (c *core) factorWeights(f *factor) []float64 {
	of := c.of(f)
	m := make([]float64, 1<<len(of))
	for x := range m {
		m[x] = 1
	}
	for i := range f.items {
		for x, w := range c.itemWeights(&f.items[i], of) {
			m[x] *= w
		}
		c.g.scale(m)
	}
	return m
}

// unweighFactor is the way back: seen[x] is what multiplies the weight of the factor at value x of its scope.
func (c *core) unweighFactor(f *factor, seen []float64, x, y []pair) {
	of := c.of(f)
	ms := make([][]float64, len(f.items))
	for i := range f.items {
		ms[i] = c.itemWeights(&f.items[i], of)
	}
	for i := range f.items {
		d := slices.Clone(seen)
		for j := range ms {
			if j == i {
				continue
			}
			for v := range d {
				d[v] *= ms[j][v]
			}
			rescale(d)
		}
		it := &f.items[i]
		if it.sink < 0 {
			c.g.unweigh(&c.g.groups[c.groups[it.group].of], of, d, x, y)
			continue
		}
		c.unweighSink(c.v[it.sink], of, d, x, y)
	}
}

func (c *core) unweighSink(v int32, of scope, d []float64, x, y []pair) {
	for k, d := range d {
		n := c.g.given(v, of, k)
		y[v] = pair{y[v][0] + d*n[0], y[v][1] + d*n[1]}
		t := c.g.lowered(c.g.v[v].w, v, of, k)
		x[v] = pair{x[v][0] + d*t[0], x[v][1] + d*t[1]}
	}
}
