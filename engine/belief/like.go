package belief

// likeEnough is how much dearer than the order it is made after an order may be before a search is worth its time.
const likeEnough = 1.1

// like makes an order after that of another schedule: the nodes of both act in the order they have there, the others where these need
// them. Evidence that differs in an item or two leaves most of a core as it is, and the search for an order takes longer than all
// passes over tables that are small. It reports false if the order is dearer than the other.
func (c *core) like(s *Schedule) (order, bool) {
	best := order{}
	list := c.listed(s)
	for i, carry := range []bool{false, true} {
		f := newFollower(c, list, carry)
		o := f.follow(list)
		if i == 0 || o.cost < best.cost {
			best = o
		}
		if len(list) == len(o.moves) {
			break // no node is left to choice
		}
	}
	return best, best.cost <= max(likeEnough*s.order.cost, cheap)
}

// listed returns the moves of another schedule that are moves of this core too. A node may have become a sink, or left the core.
func (c *core) listed(s *Schedule) []move {
	at := make([]int32, len(s.net.nodes))
	for i := range at {
		at[i] = -1
	}
	for u := range c.v {
		at[c.vertex(int32(u)).id] = int32(u)
	}
	var out []move
	for _, m := range s.order.moves {
		if u := at[s.core.vertex(m.u).id]; u >= 0 && !c.sink[u] {
			out = append(out, move{u, m.carry})
		}
	}
	return out
}

// follower goes through another schedule's moves and fits the nodes in that those do not have.
type follower struct {
	c             *core
	moves         []move
	done          []bool
	listed, carry []bool
}

func newFollower(c *core, list []move, carry bool) *follower {
	f := &follower{c: c, done: make([]bool, len(c.v)), listed: make([]bool, len(c.v)), carry: make([]bool, len(c.v))}
	for u := range f.carry {
		f.carry[u] = carry
	}
	for _, m := range list {
		f.listed[m.u], f.carry[m.u] = true, m.carry
	}
	return f
}

func (f *follower) follow(list []move) order {
	for _, m := range list {
		f.act(m.u)
	}
	for u := range f.c.v {
		if !f.c.sink[u] {
			f.act(int32(u))
		}
	}
	w := newSweep(f.c)
	o := order{moves: f.moves}
	w.run(&o)
	o.width, o.cost = w.width, w.cost
	return o
}

// act lets a node act after its parents, and then every complete effect that the list does not have.
func (f *follower) act(u int32) {
	if f.done[u] {
		return
	}
	for _, p := range f.c.parents(u) {
		f.act(p)
	}
	if f.done[u] {
		return // with the last of its parents
	}
	f.done[u] = true
	f.moves = append(f.moves, move{u, f.carry[u]})
	for _, a := range f.c.kids(u) {
		if !f.c.sink[a.to] && !f.listed[a.to] && f.complete(a.to) {
			f.act(a.to)
		}
	}
}

// complete reports whether all parents of v have acted.
func (f *follower) complete(v int32) bool {
	for _, p := range f.c.parents(v) {
		if !f.done[p] {
			return false
		}
	}
	return true
}
