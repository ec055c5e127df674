package belief

// Inner products, alone and in one pass with what is done to the same entries; see lanes.go.

// sumBlock is the length of a run of products that is added up by itself, so that rounding grows with the number of runs and not with the
// number of entries.
const sumBlock = 1 << 10

// dot is the inner product, run by run.
func dot(a, b []float64) float64 {
	sum := 0.0
	for len(a) > 0 {
		n := min(len(a), sumBlock)
		sum += dotRun(a[:n], b[:n])
		a, b = a[n:], b[n:]
	}
	return sum
}

// few is the length below which it does not pay to add up in several sums.
const few = 8

func dotRun(a, b []float64) float64 {
	b = b[:len(a)]
	if len(a) < few {
		sum := 0.0
		for i, x := range a {
			sum += float64(x * b[i])
		}
		return sum
	}
	var s [8]float64
	if vectors {
		dotLanes(&s, &a[0], &b[0], len(a))
		return total(&s)
	}
	for ; len(a) >= 8; a, b = a[8:], b[8:] {
		addProducts(&s, a, b)
	}
	return total(&s)
}

// dotScale returns the inner product of s and r and sets dst to w*r, runs times a run of n entries.
func dotScale(dst, s, r strip, n, runs int, w float64) float64 {
	sum := 0.0
	switch {
	case n < lanes:
		return dotScaleShort(dst, s, r, n, runs, w)
	case n > sumBlock:
		for k := range runs {
			sum += dotScale(dst.part(k, n), s.part(k, n), r.part(k, n), sumBlock, n/sumBlock, w)
		}
		return sum
	}
	for k := 0; k < runs; k += sumBlock / n {
		m := min(runs-k, sumBlock/n)
		sum += dotScaleRuns(dst.from(k), s.from(k), r.from(k), n, m, w)
	}
	return sum
}

// dotScaleRuns adds up the products of all runs in eight sums.
func dotScaleRuns(dst, s, r strip, n, runs int, w float64) float64 {
	var sums [8]float64
	if vectors {
		_, _, _ = dst.last(n, runs), s.last(n, runs), r.last(n, runs)
		dotScaleLanes(&sums, &dst.t[0], &s.t[0], &r.t[0], n, runs, dst.step, s.step, r.step, w)
		return total(&sums)
	}
	for k := range runs {
		d, s, r := dst.run(k, n), s.run(k, n), r.run(k, n)
		for i, x := range r {
			d[i] = w * x
		}
		if n == lanes {
			sums[0] += float64(r[0] * s[0])
			sums[1] += float64(r[1] * s[1])
			sums[2] += float64(r[2] * s[2])
			sums[3] += float64(r[3] * s[3])
			continue
		}
		for ; len(r) >= 8; r, s = r[8:], s[8:] {
			addProducts(&sums, r, s)
		}
	}
	return total(&sums)
}

// dotScaleShort is dotScale for runs of one or two. Two sums in turn take half the time of one, in which each addition would wait for the
// one before.
func dotScaleShort(dst, s, r strip, n, runs int, w float64) float64 {
	var even, odd float64
	if n == 1 {
		for k := range runs {
			x := r.t[k*r.step]
			dst.t[k*dst.step] = w * x
			even, odd = odd, even+float64(x*s.t[k*s.step])
		}
		return even + odd
	}
	for k := range runs {
		d, s, r := dst.two(k), s.two(k), r.two(k)
		even += float64(r[0] * s[0])
		odd += float64(r[1] * s[1])
		d[0], d[1] = w*r[0], w*r[1]
	}
	return even + odd
}

// dotMix returns the inner products of s with r and with t, and leaves off*r + on*t in r.
func dotMix(s, r, t []float64, off, on float64) (sr, st float64) {
	s, t = s[:len(r)], t[:len(r)]
	for len(r) > 0 {
		n := min(len(r), sumBlock)
		x, y := dotMixRun(s[:n], r[:n], t[:n], off, on)
		sr, st = sr+x, st+y
		s, r, t = s[n:], r[n:], t[n:]
	}
	return sr, st
}

func dotMixRun(s, r, t []float64, off, on float64) (sr, st float64) {
	if vectors && len(r) >= few {
		var x, y [8]float64
		dotMixLanes(&x, &y, &s[0], &r[0], &t[0], len(r), off, on)
		return total(&x), total(&y)
	}
	sr, st = dotRun(s, r), dotRun(s, t)
	t = t[:len(r)]
	for i, x := range r {
		r[i] = float64(off*x) + float64(on*t[i])
	}
	return sr, st
}

// addProducts adds eight products to eight sums.
func addProducts(s *[8]float64, a, b []float64) {
	a, b = a[:8], b[:8]
	s[0] += float64(a[0] * b[0])
	s[1] += float64(a[1] * b[1])
	s[2] += float64(a[2] * b[2])
	s[3] += float64(a[3] * b[3])
	s[4] += float64(a[4] * b[4])
	s[5] += float64(a[5] * b[5])
	s[6] += float64(a[6] * b[6])
	s[7] += float64(a[7] * b[7])
}

// total adds eight sums up in pairs.
func total(s *[8]float64) float64 {
	return ((s[0] + s[4]) + (s[2] + s[6])) + ((s[1] + s[5]) + (s[3] + s[7]))
}
