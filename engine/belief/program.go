package belief

import "slices"

type op uint8

const (
	opOpen   op = iota // double the table by the new highest bit
	opLink             // a held node reaches one open child
	opRoot             // a root without a bit reaches its children
	opAct              // a node with a bit reaches its children and is summed out
	opGroup            // a group is weighed and summed out
	opFactor           // every entry is weighed by the values of some open nodes
)

// step is one pass over the table, of 1<<from entries before and 1<<to after.
type step struct {
	op       op
	keep     bool // the table before this step is needed on the way back
	want     bool // open: the weights of what was absorbed are wanted, or the table below is
	from, to uint8
	bit      uint8   // own bit
	v        int32   // core node, or group
	off, on  float64 // absent, present
	arms     []reach
	tile     tile // of a node that acts
	group    *groupStep
}

// reach is one link of a step: the bit of the child, after the step's own bit is squeezed out.
type reach struct {
	bit  uint8
	l, q float64
}

// groupStep weighs the patterns of a group: weight[p] for the entries at distance offset[p], base entries having all bits of mask
// clear. Patterns of weight zero are listed too, they are cleared on the way back.
type groupStep struct {
	mask   int
	offset []int
	weight []float64
}

// program is the list of steps that a sweep wrote down.
type program struct {
	c     *core
	steps []step
	lay   []int32 // core node of each bit
	kept  []int32 // the steps before which the table is kept
	width int
	room  []uint8 // largest table, as a power of two, between the kept steps: room[0] before the first, room[i] from the i-th on
}

// write lays an order out as steps.
func (c *core) write(o *order) *program {
	p := &program{c: c}
	s := newSweep(c)
	s.program = p
	s.run(o)
	p.width = s.width
	p.finish()
	return p
}

func (p *program) pos(v int32) uint8 { return uint8(slices.Index(p.lay, v)) }

func (p *program) add(s step, removed int) {
	s.from = uint8(len(p.lay))
	s.to = s.from - uint8(removed)
	p.steps = append(p.steps, s)
}

// addTiled adds a step that goes tile by tile.
func (p *program) addTiled(s step, removed int) {
	p.add(s, removed)
	last := &p.steps[len(p.steps)-1]
	last.tile = last.tiles(tileLog)
}

func (p *program) open(v int32) {
	s := step{op: opOpen, v: v, from: uint8(len(p.lay)), to: uint8(len(p.lay) + 1)}
	p.weigh(&s)
	p.steps = append(p.steps, s)
	p.lay = append(p.lay, v)
}

func (p *program) link(u, v int32) {
	for _, a := range p.c.kids(u) {
		if a.to == v {
			p.add(step{op: opLink, v: u, bit: p.pos(u), arms: []reach{{p.pos(v), a.l, a.q}}}, 0)
			return
		}
	}
}

func (p *program) act(u int32, kids []arm) {
	s := step{op: opRoot, v: u}
	own := slices.Index(p.lay, u)
	if own >= 0 {
		s.op, s.bit = opAct, uint8(own)
	} else {
		own = len(p.lay)
	}
	p.weigh(&s)
	for _, a := range kids {
		b := p.pos(a.to)
		if int(b) > own {
			b--
		}
		s.arms = append(s.arms, reach{b, a.l, a.q})
	}
	slices.SortFunc(s.arms, func(a, b reach) int { return int(a.bit) - int(b.bit) })
	if s.op == opRoot {
		p.addTiled(s, 0)
		return
	}
	p.addTiled(s, 1)
	p.lay = slices.Delete(p.lay, own, own+1)
}

func (p *program) closeGroup(k int32) {
	cg := &p.c.groups[k]
	s := step{op: opGroup, v: k, group: p.patterns(cg.open)}
	p.weigh(&s)
	p.add(s, len(cg.open))
	p.lay = slices.DeleteFunc(p.lay, func(v int32) bool { return slices.Contains(cg.open, v) })
}

// weigh gives a step the weights of its node, group or factor.
func (p *program) weigh(s *step) {
	switch s.op {
	case opOpen:
		n := p.c.vertex(s.v).n
		s.off, s.on = n[0], n[1]
	case opRoot:
		x := p.c.vertex(s.v)
		s.off, s.on = x.w[0]*x.n[0], x.w[1]*x.n[1]
	case opAct:
		x := p.c.vertex(s.v)
		s.off, s.on = x.w[0], x.w[1]
	case opGroup:
		s.group.weight = p.c.openWeights(&p.c.groups[s.v])
	case opFactor:
		s.group.weight = p.c.factorWeights(&p.c.factors[s.v])
	}
}

// patterns lays the values of some open nodes out over their bits.
func (p *program) patterns(nodes []int32) *groupStep {
	gs := &groupStep{offset: make([]int, 1<<len(nodes))}
	for i, f := range nodes {
		bit := 1 << p.pos(f)
		gs.mask |= bit
		for b := range gs.offset {
			if b>>i&1 == 1 {
				gs.offset[b] |= bit
			}
		}
	}
	return gs
}

func (p *program) factor(k int32) {
	s := step{op: opFactor, v: k, group: p.patterns(p.c.factors[k].scope)}
	p.weigh(&s)
	p.add(s, 0)
}

// openWeights sums the members of a group without parents out: the weights of the patterns of the others.
func (c *core) openWeights(cg *coreGroup) []float64 {
	w := make([]float64, 1<<len(cg.open))
	p := &c.g.groups[cg.of]
	for b, x := range p.g {
		open, k := 0, 0
		for i, f := range p.members {
			if k < len(cg.open) && c.v[cg.open[k]] == f {
				open |= b >> i & 1 << k
				k++
			} else {
				x *= c.g.v[f].n[b>>i&1]
			}
		}
		w[open] += x
	}
	return w
}

// finish decides which tables must be kept. Acting and weighing need the table before them, to tell what was absent from what was
// present; a sink known to be present does not. An open step whose weights are wanted finds its table by summing its bit out again,
// (S[s] + S[s+v]) / (sum of its two weights): links into v do not change that sum. So a kept step must follow with nothing between
// but opens and links into the bit opened last.
func (p *program) finish() {
	wanted, high := false, uint8(0)
	for i := range p.steps {
		s := &p.steps[i]
		switch s.op {
		case opOpen:
			wanted = wanted || p.c.vertex(s.v).absorbed
			s.want = wanted
		case opLink:
			s.keep = wanted && s.arms[0].bit != s.from-1
		case opAct:
			s.keep = wanted || s.off > 0 || len(s.arms) > 0
		default:
			s.keep = true
		}
		if s.keep {
			p.kept, p.room = append(p.kept, int32(i)), append(p.room, high)
			high = s.to
		}
		wanted = wanted && (s.op == opOpen || s.op == opLink && !s.keep)
		high = max(high, s.to)
	}
	p.room = append(p.room, high)
}
