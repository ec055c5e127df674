package belief

import "math"

// sweep lets the nodes of a core act one after another and counts the open bits. With a program attached it writes the steps
// down as well, so that the cost known before and the work done are the same thing.
//
//	open v      the table doubles: its leak, or all that was absorbed into it, splits every entry
//	act         a root or a complete effect reaches all its children, then its own bit, if it has one, is summed out
//	hold        the node keeps its value bit; a child is linked as soon as it is open, after the last one the bit is summed out
//	close       a sink, or a whole group, is weighed and its bits are summed out
type sweep struct {
	c       *core
	left    []int32 // parents that have not acted yet
	acted   []bool
	open    []bool
	held    []bool
	rem     []int32 // of a held node: children not yet linked
	gleft   []int32 // of a group: open members with parents still to act
	fleft   []int32 // of a factor: effects in its scope that are not complete
	pend    []int32 // of a node: factors not yet applied
	n       int     // open bits
	width   int
	cost    float64
	program *program // nil: only count
}

func newSweep(c *core) *sweep {
	n := len(c.v)
	return &sweep{c: c, left: make([]int32, n), acted: make([]bool, n), open: make([]bool, n), held: make([]bool, n), rem: make([]int32, n),
		gleft: make([]int32, len(c.groups)), fleft: make([]int32, len(c.factors)), pend: make([]int32, n)}
}

func (s *sweep) reset() {
	for v := range s.left {
		s.left[v] = s.c.parAt[v+1] - s.c.parAt[v]
	}
	clear(s.acted)
	clear(s.open)
	clear(s.held)
	for k := range s.gleft {
		s.gleft[k] = int32(len(s.c.groups[k].open))
	}
	for k := range s.fleft {
		s.fleft[k] = int32(s.c.factors[k].inner)
	}
	for u := range s.c.in {
		s.pend[u] = int32(len(s.c.in[u]))
	}
	s.n, s.width, s.cost = 0, 0, 0
}

// copyFrom makes s the same as t.
func (s *sweep) copyFrom(t *sweep) {
	copy(s.left, t.left)
	copy(s.acted, t.acted)
	copy(s.open, t.open)
	copy(s.held, t.held)
	copy(s.rem, t.rem)
	copy(s.gleft, t.gleft)
	copy(s.fleft, t.fleft)
	copy(s.pend, t.pend)
	s.n, s.width, s.cost = t.n, t.width, t.cost
}

// pay counts k passes over the table as it is now.
func (s *sweep) pay(k int) { s.cost += float64(k) * math.Ldexp(1, s.n) }

// bit opens v if it is not open yet and links it to the nodes that are held for it.
func (s *sweep) bit(v int32) {
	if s.open[v] {
		return
	}
	s.open[v] = true
	s.n++
	s.width = max(s.width, s.n)
	s.pay(1)
	if s.program != nil {
		s.program.open(v)
	}
	for _, u := range s.c.parents(v) {
		if s.held[u] {
			s.link(u, v)
		}
	}
}

// link lets the held node u reach its open child v.
func (s *sweep) link(u, v int32) {
	s.pay(1)
	if s.program != nil {
		s.program.link(u, v)
	}
	s.rem[u]--
	s.letGo(u)
}

// letGo closes a held node that nothing needs any more.
func (s *sweep) letGo(u int32) {
	if s.held[u] && s.rem[u] == 0 && s.pend[u] == 0 {
		s.held[u] = false
		s.close(u)
	}
}

// close weighs v and sums its bit out.
func (s *sweep) close(v int32) {
	s.pay(1)
	s.n--
	if s.program != nil {
		s.program.act(v, nil)
	}
}

// unopened is the number of children that act would open.
func (s *sweep) unopened(u int32) int {
	n := 0
	for _, a := range s.c.kids(u) {
		if !s.open[a.to] {
			n++
		}
	}
	return n
}

// act lets u, all of whose parents have acted, reach its children: at once, or one by one as they open if carry is set and that
// takes fewer bits, or if a factor still needs its value.
func (s *sweep) act(u int32, carry bool) {
	s.acted[u] = true
	if !s.c.root[u] {
		s.bit(u)
	}
	if s.pend[u] > 0 {
		for _, k := range s.c.in[u] {
			s.apply(k)
		}
	}
	if s.pend[u] > 0 || carry && s.unopened(u) > 1 {
		s.hold(u)
		return
	}
	kids := s.c.kids(u)
	for _, a := range kids {
		s.bit(a.to)
	}
	s.pay(1 + len(kids))
	if s.program != nil {
		s.program.act(u, kids)
	}
	if s.open[u] {
		s.n--
	}
	for _, a := range kids {
		s.release(a.to)
	}
}

// apply weighs a factor if all effects in its scope are complete.
func (s *sweep) apply(k int32) {
	if s.fleft[k] != 0 {
		return
	}
	s.fleft[k] = -1
	scope := s.c.factors[k].scope
	for _, u := range scope {
		s.bit(u)
	}
	s.pay(1)
	if s.program != nil {
		s.program.factor(k)
	}
	for _, u := range scope {
		s.pend[u]--
		s.letGo(u)
	}
}

func (s *sweep) hold(u int32) {
	s.bit(u)
	kids := s.c.kids(u)
	s.held[u], s.rem[u] = true, int32(len(kids))
	for _, a := range kids {
		if s.open[a.to] {
			s.link(u, a.to)
		}
	}
	for _, a := range kids {
		s.release(a.to)
	}
}

// release notes that one more parent of v has acted or is held. After the last one a sink is closed, and a factor that a held node
// waits for is applied.
func (s *sweep) release(v int32) {
	if s.left[v]--; s.left[v] > 0 {
		return
	}
	if !s.c.sink[v] {
		s.complete(v)
		return
	}
	k := s.c.group[v]
	if k < 0 {
		s.bit(v)
		s.close(v)
		return
	}
	if s.gleft[k]--; s.gleft[k] > 0 {
		return
	}
	open := s.c.groups[k].open
	for _, f := range open {
		s.bit(f)
	}
	s.pay(1)
	s.n -= len(open)
	if s.program != nil {
		s.program.closeGroup(k)
	}
}

func (s *sweep) complete(v int32) {
	if s.pend[v] == 0 {
		return
	}
	for _, k := range s.c.in[v] {
		s.fleft[k]--
		for _, u := range s.c.factors[k].scope {
			if s.held[u] && s.fleft[k] == 0 {
				s.apply(k)
			}
		}
	}
}
