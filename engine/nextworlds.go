package engine

import (
	"math"
	"slices"

	"diagnose.example/engine/belief"
)

const (
	mostHypotheses  = 24
	leastHypotheses = 8
	// worldEntries is the number of table entries that may go into the worlds; the number of worlds follows from what one inference on
	// this sheet costs. Our own figure, for a fraction of a second.
	worldEntries = 4e8
	mostWorlds   = 80
	leastWorlds  = 24
	// worthAWorld is the share of all worlds so far below which a pair is not worth an inference.
	worthAWorld = 0.002
)

// world is a set of hypotheses that are present, all others being absent.
type world struct {
	members []int // positions in planning.hypotheses, ascending
	// z is P(this set | sheet), and fit is P(sheet | this set) up to a common factor.
	z, fit float64
	// on is the probability of every node in this world, given the sheet.
	on []float64
}

// reason is a set of hypotheses that the complaint comes from: each of them has to be cured. With none of them, something else is wrong.
type reason struct {
	faults uint64 // bit i for hypothesis i; the bit after the last for something else
	p      float64
	from   []share
}

// share is the part of a reason's probability that comes from a world.
type share struct {
	world int
	p     float64
}

// makeWorlds chooses the hypotheses and works out the worlds: none of them, each alone, and the pairs that are worth it.
func (pl *planning) makeWorlds() error {
	worlds := mostWorlds
	if n := worldEntries / (pl.post.schedule.Cost() + 1000); n < mostWorlds {
		worlds = max(int(n), leastWorlds)
	}
	pl.chooseHypotheses(min(pl.o.Hypotheses, max(leastHypotheses, worlds/2)))
	pl.worlds = []world{{}}
	for i := range pl.hypotheses {
		pl.worlds = append(pl.worlds, world{members: []int{i}})
	}
	if err := pl.inferWorlds(0); err != nil {
		return err
	}
	single := len(pl.worlds)
	pl.worlds = append(pl.worlds, pl.likelyPairs(worlds-single)...)
	if err := pl.inferWorlds(single); err != nil {
		return err
	}
	pl.findReasons()
	return nil
}

// chooseHypotheses takes the causes whose probability the sheet has raised most: what is as frequent as on any machine has nothing to do
// with the complaint. On a sheet that says nothing the most frequent ones are taken.
func (pl *planning) chooseHypotheses(most int) {
	raised := func(c *causeAt) float64 { return pl.post.of(c.node) - c.prior }
	list := slices.DeleteFunc(slices.Clone(pl.causes), func(c *causeAt) bool { return raised(c) <= 0 || pl.cannotBeCured(c) })
	if len(list) == 0 {
		pl.silent = true
		list = slices.Clone(pl.causes)
		raised = func(c *causeAt) float64 { return pl.post.of(c.node) }
	}
	slices.SortStableFunc(list, func(a, b *causeAt) int { return Descending(raised(a), raised(b)) })
	pl.hypotheses = list[:min(most, len(list))]
}

// cannotBeCured says that no repair cures a cause: it stays with what only the last resort ends.
func (pl *planning) cannotBeCured(c *causeAt) bool {
	for _, r := range pl.know.set.Repairs {
		for _, l := range r.Cures {
			if l.To == c.cause.ID {
				return false
			}
		}
	}
	return true
}

// likelyPairs lists the pairs that are likeliest by the estimate z(i) z(j) / z(none), which is right where each of the two explains a part
// of the evidence of its own.
func (pl *planning) likelyPairs(most int) []world {
	none, sum := pl.worlds[0].z, 0.0
	for _, w := range pl.worlds {
		sum += w.z
	}
	var pairs []world
	for i := range pl.hypotheses {
		for j := range i {
			z := pl.worlds[1+i].z * pl.worlds[1+j].z / none
			if none == 0 || z > worthAWorld*sum {
				pairs = append(pairs, world{members: []int{j, i}, z: z})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b world) int { return Descending(a.z, b.z) })
	return pairs[:max(0, min(most, len(pairs)))]
}

// inferWorlds infers the worlds from a position on, all in the order that was found for the first with something in it.
func (pl *planning) inferWorlds(from int) error {
	for from < len(pl.worlds) && pl.pattern == nil {
		if err := pl.inferWorld(&pl.worlds[from]); err != nil {
			return err
		}
		from++
	}
	return inParallel(len(pl.worlds)-from, func(k int) error { return pl.inferWorld(&pl.worlds[from+k]) })
}

func (pl *planning) inferWorld(w *world) error {
	ev := pl.base.Without()
	for i, h := range pl.hypotheses {
		if slices.Contains(w.members, i) {
			ev.Seen(h.node)
		} else {
			ev.NotSeen(h.node)
		}
	}
	post, err := pl.inferLike(ev, math.Inf(1), pl.pattern)
	if err != nil {
		return pl.impossibleWorld(w, err)
	}
	if pl.pattern == nil && len(w.members) > 0 {
		pl.pattern = post
	}
	w.z = math.Exp(post.logZ() - pl.post.logZ())
	w.fit = w.z / pl.chanceOf(w.members)
	w.on = pl.everywhere(post)
	return nil
}

// chanceOf is the prior probability of a world, up to that of none of the hypotheses.
func (pl *planning) chanceOf(members []int) float64 {
	odds := 1.0
	for _, i := range members {
		prior := pl.hypotheses[i].prior
		odds *= prior / (1 - prior)
	}
	return odds
}

// impossibleWorld gives a world that the evidence rules out weight zero.
func (pl *planning) impossibleWorld(w *world, err error) error {
	if _, ok := pl.explainError(err).(*Impossible); ok {
		w.z, w.fit, w.on = 0, 0, pl.everywhere(pl.post)
		return nil
	}
	return err
}

// findReasons works out what the complaint comes from. What is present need not be a reason: a fault that is as frequent as on any machine
// is often there and has nothing to do with it. How much of the sheet a set of causes accounts for is known by how well the sheet fits it:
// with fits L, the part L(i)/L(i and j) of the probability of i and j is what i alone would have brought about as well, and L(none)/L(i)
// what would have been there without i (the probability of necessity, J. Pearl 1999, for causes that only ever add; from memory). So
//
//	none             something else
//	i                something else by L(none)/L(i), else i
//	i and j          something else by L(none)/L(ij); of the rest, i where i alone suffices and j alone does not, j likewise, and both
//	                 where each suffices or neither does: each then has to be cured
//
// where i suffices and j suffices are taken as independent of each other.
func (pl *planning) findReasons() {
	sum := 0.0
	for _, w := range pl.worlds {
		sum += w.z
	}
	pl.covered = min(sum, 1)
	index := map[uint64]int{}
	add := func(faults uint64, from int, p float64) {
		if p <= 0 {
			return
		}
		at, ok := index[faults]
		if !ok {
			at = len(pl.reasons)
			index[faults] = at
			pl.reasons = append(pl.reasons, reason{faults: faults})
		}
		r := &pl.reasons[at]
		r.p += p / sum
		r.from = append(r.from, share{from, p / sum})
	}
	other := uint64(1) << len(pl.hypotheses)
	none := pl.worlds[0].fit
	for at, w := range pl.worlds {
		c := 1.0
		if w.fit > 0 && len(w.members) > 0 {
			c = min(1, none/w.fit)
		}
		if pl.silent && len(w.members) > 0 {
			c = 0 // nothing is complained of: whatever is there is to be found
		}
		add(other, at, w.z*c)
		rest := w.z * (1 - c)
		switch len(w.members) {
		case 1:
			add(1<<w.members[0], at, rest)
		case 2:
			i, j := w.members[0], w.members[1]
			a, b := pl.suffices(i, &w, c), pl.suffices(j, &w, c)
			if pl.silent {
				a, b = 1, 1
			}
			add(1<<i, at, rest*a*(1-b))
			add(1<<j, at, rest*b*(1-a))
			add(1<<i|1<<j, at, rest*(a*b+(1-a)*(1-b)))
		}
	}
	for i := range pl.hypotheses { // a repair can make a single one of a pair, which then needs a place too
		if _, ok := index[1<<i]; !ok && pl.worlds[1+i].z > 0 {
			index[1<<i] = len(pl.reasons)
			pl.reasons = append(pl.reasons, reason{faults: 1 << i, p: never, from: []share{{1 + i, never}}})
		}
	}
}

// never stands for a probability of nothing.
const never = 1e-300

// suffices is the probability that one member of a pair would have brought about the sheet alone, given that something in it was needed.
func (pl *planning) suffices(i int, pair *world, none float64) float64 {
	if none >= 1 {
		return 0
	}
	alone := min(1, pl.worlds[1+i].fit/pair.fit)
	return max(0, (alone-none)/(1-none))
}

// seeing enters found answers as evidence; what was reported somewhere is heard anew, since a find narrows down where. All evidence has
// to be laid out before anything is inferred: pooled findings are nodes of the network.
func (pl *planning) seeing(found []Found) *belief.Evidence {
	var drop []int
	var pooled []*item
	told := answers{}
	for at, v := range pl.told {
		told[at] = v
	}
	for _, f := range found {
		for _, it := range pl.items {
			if it.Somewhere && it.Observation == f.Observation && !slices.Contains(pooled, it) {
				drop = append(drop, it.entries...)
				pooled = append(pooled, it)
			}
		}
	}
	ev := pl.base.Without(drop...)
	for _, f := range found {
		at := observedAt{f.Observation, pl.indexOf(f.Place)}
		told[at] = f.Value
		pl.hear(ev, at, f.Value)
	}
	for _, it := range pooled {
		pl.hearSomewhere(ev, it.Observation, it.value, told)
	}
	return ev
}

func (pl *planning) indexOf(p Place) int {
	return slices.Index(pl.places, p)
}
