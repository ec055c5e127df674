package belief

// The passes over tables. A table has an entry for every set of open bits, the set written as a number. Loops run over
// contiguous halves: lo where the bit is clear, hi where it is set.

// dotBlock is the length of a run of a dot product that is summed by itself, so that rounding grows with the number of blocks and not
// with the number of entries.
const dotBlock = 1 << 10

// openBit doubles the first half of s by a new highest bit.
func openBit(s []float64, off, on float64) {
	h := len(s) / 2
	lo, hi := s[:h], s[h:]
	hi = hi[:len(lo)]
	for i, x := range lo {
		lo[i], hi[i] = off*x, on*x
	}
}

// spread is one producer reaching one child: S[s+v] += l S[s], S[s] *= q.
func spread(s []float64, a reach) {
	b, l, q := 1<<a.bit, a.l, a.q
	if b == 1 {
		for i := 0; i+1 < len(s); i += 2 {
			x := s[i]
			s[i], s[i+1] = q*x, s[i+1]+l*x
		}
		return
	}
	for ; len(s) >= 2*b; s = s[2*b:] {
		lo, hi := s[:b], s[b:2*b]
		hi = hi[:len(lo)]
		for i, x := range lo {
			lo[i] = q * x
			hi[i] += l * x
		}
	}
}

// gather is the transpose of spread: R[s] = q R[s] + l R[s+v].
func gather(r []float64, a reach) {
	b, l, q := 1<<a.bit, a.l, a.q
	if b == 1 {
		for i := 0; i+1 < len(r); i += 2 {
			r[i] = q*r[i] + l*r[i+1]
		}
		return
	}
	for ; len(r) >= 2*b; r = r[2*b:] {
		lo, hi := r[:b], r[b:2*b]
		hi = hi[:len(lo)]
		for i, x := range lo {
			lo[i] = q*x + l*hi[i]
		}
	}
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

// scaled sets dst to on*s; dst may be s.
func scaled(dst, s []float64, on float64) {
	s = s[:len(dst)]
	for i := range dst {
		dst[i] = on * s[i]
	}
}

// addScaled adds w*s to dst.
func addScaled(dst, s []float64, w float64) {
	s = s[:len(dst)]
	for i := range dst {
		dst[i] += w * s[i]
	}
}

// mix sets dst to off*s + t; dst may be s.
func mix(dst, s, t []float64, off float64) {
	s, t = s[:len(dst)], t[:len(dst)]
	for i := range dst {
		dst[i] = off*s[i] + t[i]
	}
}

// upper sets dst to on times the entries of s in which bit is set, that bit squeezed out.
func upper(dst, s []float64, bit uint8, on float64) {
	b := 1 << bit
	for ; len(dst) >= b; dst, s = dst[b:], s[2*b:] {
		scaled(dst[:b], s[b:2*b], on)
	}
}

// sumOut weighs a bit and sums it out: dst = off*S[r] + on*S[r+v]. dst may be the first half of s.
func sumOut(dst, s []float64, bit uint8, off, on float64) {
	b := 1 << bit
	for ; len(dst) >= b; dst, s = dst[b:], s[2*b:] {
		d, lo, hi := dst[:b], s[:b], s[b:2*b]
		lo, hi = lo[:len(d)], hi[:len(d)]
		for i := range d {
			d[i] = off*lo[i] + on*hi[i]
		}
	}
}

// mixLower sets dst to off*S[r] + t, S[r] being the entries in which bit is clear.
func mixLower(dst, s, t []float64, bit uint8, off float64) {
	b := 1 << bit
	for ; len(dst) >= b; dst, s, t = dst[b:], s[2*b:], t[b:] {
		mix(dst[:b], s[:b], t[:b], off)
	}
}

// dot is the inner product, block by block.
func dot(a, b []float64) float64 {
	sum := 0.0
	for len(a) > dotBlock {
		sum += dotRun(a[:dotBlock], b[:dotBlock])
		a, b = a[dotBlock:], b[dotBlock:]
	}
	return sum + dotRun(a, b)
}

func dotRun(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	for len(a) >= 4 {
		s0 += a[0] * b[0]
		s1 += a[1] * b[1]
		s2 += a[2] * b[2]
		s3 += a[3] * b[3]
		a, b = a[4:], b[4:]
	}
	for i, x := range a {
		s0 += x * b[i]
	}
	return s0 + s1 + (s2 + s3)
}

// unact is the way back through an act: dst[r] = off*R[r], dst[r+v] = on*T[r], T being R after the children; it returns the joint
// weights of absent and present, <S[r], R[r]> and <S[r+v], T[r]>.
func unact(dst, s, r, t []float64, bit uint8, off, on float64) pair {
	b := 1 << bit
	var sum pair
	for ; len(r) >= b; r, t, s, dst = r[b:], t[b:], s[2*b:], dst[2*b:] {
		sum[0] += dot(s[:b], r[:b])
		sum[1] += dot(s[b:2*b], t[:b])
		scaled(dst[:b], r[:b], off)
		scaled(dst[b:2*b], t[:b], on)
	}
	return sum
}

// unroot is the way back through a root: R = off*R + on*T.
func unroot(s, r, t []float64, off, on float64) pair {
	sum := pair{dot(s, r), dot(s, t)}
	t = t[:len(r)]
	for i := range r {
		r[i] = off*r[i] + on*t[i]
	}
	return sum
}

// unopen is the way back through an open step: R[s] = off*R[s] + on*R[s+v] in the first half of r.
func unopen(r []float64, off, on float64) {
	h := len(r) / 2
	lo, hi := r[:h], r[h:]
	hi = hi[:len(lo)]
	for i, x := range lo {
		lo[i] = off*x + on*hi[i]
	}
}

// refold sums the highest bit of s out again, undoing its open step and the links into it, and returns the joint weights of the
// two values of the bit, <S, R[s]> and <S, R[s+v]>.
func refold(s, r []float64, off, on float64) pair {
	h := len(s) / 2
	c := 1 / (off + on)
	lo, hi := s[:h], s[h:]
	hi = hi[:len(lo)]
	for i := range lo {
		lo[i] = c * (lo[i] + hi[i])
	}
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
	b := 1 << bit
	for ; len(r) >= b; dst, r = dst[2*b:], r[b:] {
		scaled(dst[b:2*b], r[:b], on)
	}
}
