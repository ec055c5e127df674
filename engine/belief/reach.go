package belief

// A producer that reaches a child moves a part of every entry without the child to the entry with it. That is by far the most work of all,
// so there are vectors for it at every bit, and for two children at a time: memory is what a pass waits for.

// spread is one producer reaching one child: S[s+v] += l S[s], S[s] *= q.
func spread(s []float64, a reach) {
	if turned(s, s, a.bit, a.q, 1, 0, a.l) {
		return
	}
	lo, hi, n, runs := halves(s, a.bit)
	pour(lo, hi, n, runs, a.l, a.q)
}

// spreadInto is spread of on*s into dst.
func spreadInto(dst, s []float64, on float64, a reach) {
	if turned(dst, s, a.bit, a.q*on, on, 0, a.l*on) {
		return
	}
	lo, hi, n, runs := halves(s, a.bit)
	dlo, dhi, _, _ := halves(dst, a.bit)
	scale(dlo, lo, n, runs, a.q*on)
	combine(dhi, hi, lo, n, runs, on, a.l*on)
}

// gather is the transpose of spread: R[s] = q R[s] + l R[s+v].
func gather(r []float64, a reach) {
	if turned(r, r, a.bit, a.q, 1, a.l, 0) {
		return
	}
	lo, hi, n, runs := halves(r, a.bit)
	combine(lo, lo, hi, n, runs, a.q, a.l)
}

// gatherInto is gather of r into dst.
func gatherInto(dst, r []float64, a reach) {
	if turned(dst, r, a.bit, a.q, 1, a.l, 0) {
		return
	}
	lo, hi, n, runs := halves(r, a.bit)
	dlo, dhi, _, _ := halves(dst, a.bit)
	combine(dlo, lo, hi, n, runs, a.q, a.l)
	scale(dhi, hi, n, runs, 1)
}

// turned sets the entries of dst without a bit to lo times that of s and fromHi times that with the bit, and those with it to hi and fromLo
// times. It is for runs shorter than a vector, and reports whether it is that. A product with zero adds nothing to a finite sum.
func turned(dst, s []float64, bit uint8, lo, hi, fromHi, fromLo float64) bool {
	if !vectors || 1<<bit >= lanes || len(dst) < lanes {
		return false
	}
	s = s[:len(dst)]
	if bit == 0 {
		turnLanes(&dst[0], &s[0], len(dst), &[4]float64{lo, hi, lo, hi}, &[4]float64{fromHi, fromLo, fromHi, fromLo}, false)
	} else {
		turnLanes(&dst[0], &s[0], len(dst), &[4]float64{lo, lo, hi, hi}, &[4]float64{fromHi, fromHi, fromLo, fromLo}, true)
	}
	return true
}

// spreadAll is spread of on*s into dst for some children; there is one at least.
func spreadAll(dst, s []float64, on float64, arms []reach) {
	for len(arms) > 0 {
		if paired(arms, len(dst)) {
			a, b := arms[0], arms[1]
			s = s[:len(dst)]
			spreadTwoLanes(&dst[0], &s[0], len(dst), 1<<a.bit, 1<<b.bit, on, a.q*on, a.l*on, b.q, b.l)
			arms = arms[2:]
		} else {
			if &dst[0] != &s[0] {
				spreadInto(dst, s, on, arms[0])
			} else {
				spread(dst, arms[0])
			}
			arms = arms[1:]
		}
		s, on = dst, 1
	}
}

// spreadMix sets dst to off*s plus spread of on*s for some children; t is room for as much. There is one child at least.
func spreadMix(dst, s, t []float64, off, on float64, arms []reach) {
	if n := len(arms) - 2; n >= 0 && paired(arms[n:], len(dst)) {
		from := s[:len(dst)]
		if n > 0 {
			spreadAll(t, s, on, arms[:n])
			from, on = t[:len(dst)], 1
		}
		a, b := arms[n], arms[n+1]
		spreadTwoMixLanes(&dst[0], &from[0], &s[0], len(dst), 1<<a.bit, 1<<b.bit, on, a.q*on, a.l*on, b.q, b.l, off)
		return
	}
	spreadAll(t, s, on, arms)
	combine(whole(dst), whole(s), whole(t), len(dst), 1, off, 1)
}

// gatherAll is the transpose of spreadAll without the factor.
func gatherAll(dst, r []float64, arms []reach) {
	for len(arms) > 0 {
		if paired(arms, len(dst)) {
			a, b := arms[0], arms[1]
			r = r[:len(dst)]
			gatherTwoLanes(&dst[0], &r[0], len(dst), 1<<a.bit, 1<<b.bit, a.q, a.l, b.q, b.l)
			arms = arms[2:]
		} else {
			if &dst[0] != &r[0] {
				gatherInto(dst, r, arms[0])
			} else {
				gather(dst, arms[0])
			}
			arms = arms[1:]
		}
		r = dst
	}
}

// paired reports whether the first two arms can be done at once in a table of n entries. Arms are sorted by their bits.
func paired(arms []reach, n int) bool {
	return vectors && len(arms) > 1 && 1<<arms[0].bit >= lanes && arms[0].bit < arms[1].bit && 2<<arms[1].bit <= n
}
