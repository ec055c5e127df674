package belief

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Tile by tile, there and back, an act must give what it gives entry by entry.
func TestTiles(t *testing.T) {
	const size = 11 // smaller than in use, so that small tables are parted
	rng := rand.New(rand.NewPCG(8, 8))
	parted, whole := 0, 0
	for i := range 300 {
		s := &step{op: opRoot, to: uint8(1 + rng.IntN(16)), off: rng.Float64(), on: rng.Float64()}
		s.from = s.to
		if rng.IntN(2) == 0 {
			s.op, s.from, s.bit = opAct, s.to+1, uint8(rng.IntN(int(s.to)+1))
		}
		for _, bit := range rng.Perm(int(s.to))[:1+rng.IntN(int(s.to))] {
			q := rng.Float64()
			s.arms = append(s.arms, reach{uint8(bit), 1 - q, q})
		}
		slices.SortFunc(s.arms, func(a, b reach) int { return int(a.bit) - int(b.bit) })
		s.tile = s.tiles(size)
		if len(s.tile.at) > 1 {
			parted++
		} else if s.to > size && int(s.tile.low) == int(s.to) {
			whole++
		}
		src, back := randomTable(rng, s.from), randomTable(rng, s.to)
		wantTo, wantBack, want := entryByEntry(s, src, back)

		net := &graph{v: []vertex{{n: pair{1, 1}, w: pair{1, 1}}}}
		x := &runner{p: &program{c: &core{g: net, v: []int32{0}}}, a: new(arena), x: make([]pair, 1), y: make([]pair, 1)}
		to := x.a.get(s.to)
		x.act(to.t, src, s)
		x.back = x.a.get(s.to)
		copy(x.back.t, back)
		x.unact(s, src)
		if d := apart(to.t, wantTo); d > 1e-13 {
			t.Errorf("%d: %d arms on 2^%d entries, own bit %d of %v: forward off by %g", i, len(s.arms), s.to, s.bit, s.op, d)
		}
		if d := apart(x.back.t, wantBack); d > 1e-13 {
			t.Errorf("%d: %d arms on 2^%d entries, own bit %d of %v: backward off by %g", i, len(s.arms), s.to, s.bit, s.op, d)
		}
		if got := x.y[0]; math.Abs(got[1]/got[0]/(want[1]/want[0])-1) > 1e-12 {
			t.Errorf("%d: weights %v; want the ratio of %v", i, got, want)
		}
	}
	if parted < 20 || whole < 1 {
		t.Errorf("only %d tables were parted into tiles of several runs, and %d large ones were left whole", parted, whole)
	}
}

func randomTable(rng *rand.Rand, log uint8) []float64 {
	s := make([]float64, 1<<log)
	for i := range s {
		s[i] = rng.Float64()
	}
	return s
}

// apart is the largest relative difference.
func apart(a, b []float64) float64 {
	d := 0.0
	for i := range a {
		d = max(d, math.Abs(a[i]-b[i])/b[i])
	}
	return d
}

// entryByEntry does a step by its definition: the table after it, the table R before it, and the weights of absent and present.
func entryByEntry(s *step, src, back []float64) (to, r []float64, w pair) {
	absent, present := make([]float64, 1<<s.to), make([]float64, 1<<s.to)
	of := func(i int) (lo, hi int) { // where an entry comes from
		if s.op == opRoot {
			return i, i
		}
		own := 1 << s.bit
		lo = i&(own-1) | i&^(own-1)<<1
		return lo, lo | own
	}
	for i := range absent {
		lo, hi := of(i)
		absent[i], present[i] = src[lo], src[hi]
	}
	reached := slices.Clone(back)
	for _, a := range s.arms {
		bit := 1 << a.bit
		for i := range present {
			if i&bit == 0 {
				present[i|bit] += a.l * present[i]
				present[i] *= a.q
				reached[i] = a.q*reached[i] + a.l*reached[i|bit]
			}
		}
	}
	to = make([]float64, 1<<s.to)
	r = make([]float64, 1<<s.from)
	for i := range to {
		to[i] = s.off*absent[i] + s.on*present[i]
		lo, hi := of(i)
		w[0] += src[lo] * back[i]
		w[1] += src[hi] * reached[i]
		r[lo] += s.off * back[i]
		r[hi] += s.on * reached[i]
	}
	return to, r, w
}
