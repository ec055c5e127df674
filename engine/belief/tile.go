package belief

import "math/bits"

// A node that acts passes over its table for every one or two children and once more to mix. A table of megabytes would have to come from
// slow memory each time, so the passes over it are done tile by tile: a tile holds all entries that lead to each other through the children
// of the node, and is small enough to stay in a cache.

// tileLog is the log of the size of a tile: 512 KB. shortest is the log of the shortest run of entries that a tile is made of; where there
// are so many children at high bits that runs would be shorter, tiles are larger, and with more than mostHigh of them a tile is the table.
const tileLog, shortest, mostHigh = 16, 7, 8

// tile says how the entries of a table, without the bit of the node that acts, are parted into tiles.
type tile struct {
	low  uint8 // log of the length of a run
	high int   // the bits that tell the runs of a tile apart
	at   []int // of each run of a tile: where it starts from the base of the tile
	arms []reach
	own  uint8 // the bit of the node that acts in the table with that bit
	root bool  // it has none
}

// alone is where the only run of a tile starts.
var alone = []int{0}

// tiles lays the tiles of a step out, of 1<<size entries. Arms are sorted by their bits.
func (s *step) tiles(size uint8) tile {
	log := s.to
	t := tile{low: log, arms: s.arms, own: s.bit, root: s.op == opRoot, at: alone}
	if log <= size {
		return t
	}
	n := 0
	for above := -1; above != n; {
		above = n
		t.low = size - uint8(min(n, int(size)-shortest))
		n = 0
		for _, a := range s.arms {
			if a.bit >= t.low {
				n++
			}
		}
	}
	if n > mostHigh {
		t.low, n = log, 0
	}
	if n == 0 {
		return t
	}
	t.arms = append([]reach(nil), s.arms...)
	t.at = make([]int, 1<<n)
	for i := range n {
		a := &t.arms[len(t.arms)-n+i]
		t.high |= 1 << a.bit
		for k := range 1 << i {
			t.at[1<<i|k] = t.at[k] | 1<<a.bit
		}
		a.bit = t.low + uint8(i)
	}
	return t
}

// run is the length of a run.
func (t *tile) run() int { return 1 << t.low }

// log is that of the size of a tile.
func (t *tile) log() uint8 { return t.low + uint8(bits.TrailingZeros(uint(len(t.at)))) }

// after is the base of the next tile.
func (t *tile) after(base int) int { return next(base, t.high|(t.run()-1)) }

// parts are the entries of s, the table with the own bit, in which that is clear and set, for the run that starts at i in a table without
// it: so many strips of n entries. Without a bit they are the same.
func (t *tile) parts(s []float64, i int) (lo, hi strip, n, strips int) {
	switch {
	case t.root:
		lo = strip{s[i : i+t.run()], 0}
		return lo, lo, t.run(), 1
	case t.own < t.low:
		return halves(s[2*i:2*(i+t.run())], t.own)
	}
	own := 1 << t.own
	i += i &^ (own - 1)
	return strip{s[i : i+t.run()], 0}, strip{s[i+own : i+own+t.run()], 0}, t.run(), 1
}

// of is run k of a tile that lies by itself.
func (t *tile) of(own []float64, k int) []float64 { return own[k<<t.low : (k+1)<<t.low] }

// single reports whether the tiles are single runs of the table itself.
func (t *tile) single() bool { return t.root && len(t.at) == 1 && len(t.arms) > 0 }

// reach sets a tile to on times the entries of src in which the node is present, and lets it reach its children.
func (t *tile) reach(own, src []float64, base int, on float64) {
	for k, at := range t.at {
		_, hi, n, strips := t.parts(src, base+at)
		scale(strip{t.of(own, k), n}, hi, n, strips, on)
	}
	spreadAll(own, own, 1, t.arms)
}

// reached is its transpose: it sets a tile to what R is before the children.
func (t *tile) reached(own, r []float64, base int) {
	if len(t.at) == 1 && len(t.arms) > 0 {
		gatherAll(own, r[base:base+t.run()], t.arms)
		return
	}
	for k, at := range t.at {
		copy(t.of(own, k), r[base+at:base+at+t.run()])
	}
	gatherAll(own, own, t.arms)
}
