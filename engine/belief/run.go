package belief

// firstBudget is the number of entries in kept tables above which a first pass computes some twice instead (2 MB): to touch fresh memory
// takes longer. Memory that earlier passes have touched is free, so later ones may take twice what they find, up to tableBudget (8 MB);
// in any case some of the largest tables fit.
const firstBudget, tableBudget, largestTables = 1 << 18, 1 << 20, 4

func (x *runner) budget() int {
	return max(firstBudget, min(2*x.a.total, tableBudget), largestTables<<x.p.width)
}

// runner carries one forward and backward pass.
type runner struct {
	p    *program
	a    *arena
	tab  []table // before the kept steps, and at the end
	exp  []int   // tab[i] is to be multiplied by 2^exp[i]
	back table   // the backward table R
	bexp int
	x, y []pair  // by graph vertex: what multiplies its n, its w, in P(evidence)
	z    float64 // P(evidence) from the forward pass, to be multiplied by 2^zexp
	zexp int
	sign bool
}

// start makes the first kept table.
func (x *runner) start() {
	t := x.a.get(x.p.room[0])
	t.t[0] = 1
	x.settle(0, t, 0)
}

// forward makes the table before kept step i+1 from that before kept step i.
func (x *runner) forward(i int) {
	s := &x.p.steps[x.p.kept[i]]
	next := x.a.get(x.p.room[i+1])
	src, dst := x.tab[i].t, next.t[:1<<s.to]
	switch s.op {
	case opLink:
		copy(dst, src)
		spreadHeld(dst, s.bit, s.arms[0])
	case opGroup:
		closeGroup(dst, src, s.group)
	case opFactor:
		weighFactor(dst, src, s.group)
	default:
		x.act(dst, src, s)
	}
	x.settle(i+1, next, s.to)
}

// act lets a node reach its children where it is present, and adds what is left where it is absent.
func (x *runner) act(dst, src []float64, s *step) {
	if s.op == opAct && len(s.arms) == 0 {
		sumOut(dst, src, s.bit, s.off, s.on)
		return
	}
	t := &s.tile
	own := x.a.get(t.log())
	for base := 0; base < len(dst); base = t.after(base) {
		if t.single() {
			spreadMix(dst[base:base+t.run()], src[base:base+t.run()], own.t, s.off, s.on, t.arms)
			continue
		}
		t.reach(own.t, src, base, s.on)
		for k, at := range t.at {
			i := base + at
			lo, _, n, strips := t.parts(src, i)
			combine(strip{dst[i : i+t.run()], n}, lo, strip{t.of(own.t, k), n}, n, strips, s.off, 1)
		}
	}
	x.a.put(own)
}

// between is the range of steps that lead from kept step i-1 to kept step i in place.
func (p *program) between(i int) (lo, hi int) {
	if i > 0 {
		lo = int(p.kept[i-1]) + 1
	}
	if i == len(p.kept) {
		return lo, len(p.steps)
	}
	return lo, int(p.kept[i])
}

// settle goes on in place from a table of 1<<log entries to kept step i, and keeps the table, scaled.
func (x *runner) settle(i int, t table, log uint8) {
	lo, hi := x.p.between(i)
	for k := lo; k < hi; k++ {
		s := &x.p.steps[k]
		from, to := t.t[:1<<s.from], t.t[:1<<s.to]
		switch s.op {
		case opOpen:
			openBit(to, s.off, s.on)
		case opLink:
			spreadHeld(to, s.bit, s.arms[0])
		case opAct:
			sumOut(to, from, s.bit, s.off, s.on)
		}
		log = s.to
	}
	t.t = t.t[:1<<log]
	e := 0
	if x.sign {
		for k := range t.t {
			t.t[k] = sign(t.t[k])
		}
	} else {
		e = rescale(t.t)
	}
	if i > 0 {
		e += x.exp[i-1]
	}
	x.tab[i], x.exp[i] = t, e
}

// rescale multiplies a table by a power of two if its largest entry is below tiny, and returns the power taken out. Most tables have
// a large entry among the first.
func rescale(t []float64) int {
	m := 0.0
	for _, v := range t {
		if v >= tiny {
			return 0
		}
		m = max(m, v)
	}
	return scaleUp(t, m)
}

// reverse goes back from kept step hi to kept step lo, whose table is there. If the tables between do not fit the budget it advances to
// the middle first, goes back from there, and then does the first half again: halving in place of storing all, in the spirit of the
// checkpoint schedules of Griewank and Walther (2000, from memory).
//
// It reports false if the forward table at the end is zero.
func (x *runner) reverse(lo, hi, budget int) bool {
	if mid := x.split(lo, hi, budget); mid > lo {
		for i := lo; i < mid; i++ {
			x.forward(i)
			if i > lo {
				x.drop(i)
			}
		}
		return x.reverse(mid, hi, budget-1<<x.tab[mid].log) && x.reverse(lo, mid-1, budget)
	}
	for i := lo; i < hi; i++ {
		x.forward(i)
	}
	if hi == len(x.p.kept) {
		x.z, x.zexp = x.tab[hi].t[0], x.exp[hi]
		if x.z == 0 {
			return false
		}
	}
	for i := hi; i >= lo; i-- {
		x.undo(i)
		x.drop(i)
	}
	return true
}

func (x *runner) drop(i int) {
	x.a.put(x.tab[i])
}

// split chooses the table to advance to: the smallest among the middle ones by work. It returns lo if all fit.
func (x *runner) split(lo, hi, budget int) int {
	total := 0
	for i := lo + 1; i <= hi; i++ {
		total += 1 << x.p.room[i]
	}
	if total <= budget || hi == lo {
		return lo
	}
	best, sum := 0, 0
	for i := lo + 1; i <= hi; i++ {
		sum += 1 << x.p.room[i]
		if best == 0 || sum <= 3*total/4 && (4*sum < total || x.p.room[i] < x.p.room[best]) {
			best = i
		}
	}
	return best
}

// undo goes back through kept step i and the steps in place that lead to it.
func (x *runner) undo(i int) {
	t := x.tab[i].t
	if i < len(x.p.kept) {
		x.undoKept(&x.p.steps[x.p.kept[i]], t)
	} else {
		x.back = x.a.get(0)
		x.back.t[0] = 1
	}
	lo, hi := x.p.between(i)
	for k := hi - 1; k >= lo; k-- {
		s := &x.p.steps[k]
		switch s.op {
		case opOpen:
			if s.want {
				x.x[x.p.c.v[s.v]], _ = refold(t[:1<<s.to], x.back.t, s.off, s.on).fit()
			}
			unopen(x.back.t, s.off, s.on)
			x.back.t = x.back.t[:1<<s.from]
		case opLink:
			gatherHeld(x.back.t, s.bit, s.arms[0])
		case opAct:
			r := x.a.get(s.from)
			clear(r.t)
			x.y[x.p.c.v[s.v]] = pair{0, 1}
			spreadUpper(r.t, x.back.t, s.bit, s.on)
			x.swap(r)
		}
	}
	x.bexp += rescale(x.back.t)
}

func (x *runner) swap(r table) {
	x.a.put(x.back)
	x.back = r
}

func (x *runner) undoKept(s *step, t []float64) {
	switch s.op {
	case opLink:
		gatherHeld(x.back.t, s.bit, s.arms[0])
	case opGroup:
		seen := make([]float64, len(s.group.weight))
		r := x.a.get(s.from)
		uncloseGroup(r.t, t, x.back.t, s.group, seen)
		x.swap(r)
		x.groupSeen(s.v, seen)
	case opFactor:
		seen := make([]float64, len(s.group.weight))
		unweighFactor(t, x.back.t, s.group, seen)
		x.p.c.unweighFactor(&x.p.c.factors[s.v], seen, x.x, x.y)
	default:
		x.unact(s, t)
	}
}

// unact is the way back through act: R = off*R + on*T, T being R after the children, in the entries where the node is absent and present.
// It notes the joint weights of absent and present, <S, R> and <S, T>.
func (x *runner) unact(s *step, src []float64) {
	v, r := x.p.c.v[s.v], x.back.t
	t := &s.tile
	own := x.a.get(t.log())
	var sum pair
	if s.op == opRoot {
		for base := 0; base < len(r); base = t.after(base) {
			t.reached(own.t, r, base)
			for k, at := range t.at {
				i, j := base+at, base+at+t.run()
				a, p := dotMix(src[i:j], r[i:j], t.of(own.t, k), s.off, s.on)
				sum[0], sum[1] = sum[0]+a, sum[1]+p
			}
		}
		x.a.put(own)
		sum, _ = sum.fit()
		n, w := x.p.c.g.v[v].n, x.p.c.g.v[v].w
		x.y[v], x.x[v] = n.times(sum), w.times(sum)
		return
	}
	d := x.a.get(s.from)
	for base := 0; base < len(r); base = t.after(base) {
		t.reached(own.t, r, base)
		for k, at := range t.at {
			i := base + at
			lo, hi, n, strips := t.parts(src, i)
			dlo, dhi, _, _ := t.parts(d.t, i)
			sum[0] += dotScale(dlo, lo, strip{r[i : i+t.run()], n}, n, strips, s.off)
			sum[1] += dotScale(dhi, hi, strip{t.of(own.t, k), n}, n, strips, s.on)
		}
	}
	x.a.put(own)
	x.y[v], _ = sum.fit()
	x.swap(d)
}
