package belief

// The passes over tables. A table has an entry for every set of open bits, the set written as a number. Loops run over
// contiguous halves: lo where the bit is clear, hi where it is set.

// openBit doubles the first half of s by a new highest bit.
func openBit(s []float64, off, on float64) {
	h := len(s) / 2
	fork(s[:h], s[h:], off, on)
}

// halves parts a table by a bit: so many runs of n entries where it is clear, and where it is set.
func halves(s []float64, bit uint8) (lo, hi strip, n, runs int) {
	n = 1 << bit
	return strip{s, 2 * n}, strip{s[n:], 2 * n}, n, len(s) / (2 * n)
}

// next steps through the entries whose bits of mask are all clear. With the bits below the lowest of mask added to mask it steps through
// runs of 1<<lowest entries.
func next(i, mask int) int { return ((i | mask) + 1) &^ mask }

// spreadHeld and gatherHeld are spread and gather where bit u is set.
func spreadHeld(s []float64, u uint8, a reach) {
	mu, mv := 1<<u, 1<<a.bit
	run := min(mu, mv)
	for i := 0; i < len(s); i = next(i, mu|mv|(run-1)) {
		lo, hi := s[i+mu:i+mu+run], s[i+mu+mv:i+mu+mv+run]
		hi = hi[:len(lo)]
		for k, x := range lo {
			lo[k] = a.q * x
			hi[k] += a.l * x
		}
	}
}

func gatherHeld(r []float64, u uint8, a reach) {
	mu, mv := 1<<u, 1<<a.bit
	run := min(mu, mv)
	for i := 0; i < len(r); i = next(i, mu|mv|(run-1)) {
		lo, hi := r[i+mu:i+mu+run], r[i+mu+mv:i+mu+mv+run]
		hi = hi[:len(lo)]
		for k, x := range lo {
			lo[k] = a.q*x + a.l*hi[k]
		}
	}
}

// scaled sets dst to w*s; dst may be s.
func scaled(dst, s []float64, w float64) { scale(whole(dst), whole(s), len(dst), 1, w) }

// addScaled adds w*s to dst.
func addScaled(dst, s []float64, w float64) {
	combine(whole(dst), whole(s), whole(dst), len(dst), 1, w, 1)
}

// sumOut weighs a bit and sums it out: dst = off*S[r] + on*S[r+v]. dst may be the first half of s.
func sumOut(dst, s []float64, bit uint8, off, on float64) {
	lo, hi, n, runs := halves(s, bit)
	combine(strip{dst, n}, lo, hi, n, runs, off, on)
}

// unopen is the way back through an open step: R[s] = off*R[s] + on*R[s+v] in the first half of r.
func unopen(r []float64, off, on float64) {
	h := len(r) / 2
	combine(whole(r), whole(r), whole(r[h:]), h, 1, off, on)
}

// refold sums the highest bit of s out again, undoing its open step and the links into it, and returns the joint weights of the
// two values of the bit, <S, R[s]> and <S, R[s+v]>.
func refold(s, r []float64, off, on float64) pair {
	h := len(s) / 2
	c := 1 / (off + on)
	lo, hi := s[:h], s[h:]
	combine(whole(lo), whole(lo), whole(hi), h, 1, c, c)
	return pair{dot(lo, r[:h]), dot(lo, r[h:])}
}

// closeGroup sums the bits of a group out.
func closeGroup(dst, s []float64, g *groupStep) {
	run := g.mask & -g.mask
	clear(dst)
	for i := 0; len(dst) >= run; i, dst = next(i, g.mask|(run-1)), dst[run:] {
		for k, w := range g.weight {
			if w > 0 {
				addScaled(dst[:run], s[i+g.offset[k]:], w)
			}
		}
	}
}

// uncloseGroup is the way back: dst[r+b] = g(b) R[r]; seen[b] receives <S[.+b], R>.
func uncloseGroup(dst, s, r []float64, g *groupStep, seen []float64) {
	run := g.mask & -g.mask
	for i := 0; len(r) >= run; i, r = next(i, g.mask|(run-1)), r[run:] {
		for k, w := range g.weight {
			at := i + g.offset[k]
			scaled(dst[at:at+run], r, w)
			seen[k] += dot(s[at:at+run], r[:run])
		}
	}
}

// weighFactor multiplies every entry by the weight of the values that its bits give to a scope.
func weighFactor(dst, s []float64, g *groupStep) {
	run := g.mask & -g.mask
	for i := 0; i < len(s); i = next(i, g.mask|(run-1)) {
		for k, w := range g.weight {
			at := i + g.offset[k]
			scaled(dst[at:at+run], s[at:], w)
		}
	}
}

// unweighFactor is the way back: R *= weight; seen[x] receives <S, R> over the entries of value x, R before.
func unweighFactor(s, r []float64, g *groupStep, seen []float64) {
	run := g.mask & -g.mask
	for i := 0; i < len(s); i = next(i, g.mask|(run-1)) {
		for k, w := range g.weight {
			at := i + g.offset[k]
			seen[k] += dot(s[at:at+run], r[at:at+run])
			scaled(r[at:at+run], r[at:], w)
		}
	}
}

// spreadUpper sets dst to on times r where bit is set, r being squeezed.
func spreadUpper(dst, r []float64, bit uint8, on float64) {
	_, hi, n, runs := halves(dst, bit)
	scale(hi, strip{r, n}, n, runs, on)
}
