package belief

// The arithmetic of the passes, in runs of entries that lie side by side. On processors with vectors of four numbers (AVX) runs of four
// and more are handed to lanes_amd64.s, which does the same multiplications and additions in the same order: the results are the same
// to the last bit, in a third of the time (BenchmarkLanes). The conversions keep a compiler from fusing a multiplication with the addition
// after it, which would round once where others round twice.

// strip is a part of a table: runs of entries, each step entries after the one before.
type strip struct {
	t    []float64
	step int
}

// whole is a table in one run.
func whole(t []float64) strip { return strip{t, 0} }

// combine sets dst to wa*a + wb*b, runs times a run of n entries. dst may be a or b, entry by entry.
func combine(dst, a, b strip, n, runs int, wa, wb float64) {
	if vectors && n >= lanes {
		_, _, _ = dst.last(n, runs), a.last(n, runs), b.last(n, runs)
		combineLanes(&dst.t[0], &a.t[0], &b.t[0], n, runs, dst.step, a.step, b.step, wa, wb)
		return
	}
	if n == 1 {
		for r := range runs {
			dst.t[r*dst.step] = float64(wa*a.t[r*a.step]) + float64(wb*b.t[r*b.step])
		}
		return
	}
	for r := range runs {
		d, a, b := dst.run(r, n), a.run(r, n), b.run(r, n)
		a, b = a[:len(d)], b[:len(d)]
		for i := range d {
			d[i] = float64(wa*a[i]) + float64(wb*b[i])
		}
	}
}

// scale sets dst to w*a, runs times a run of n entries. dst may be a.
func scale(dst, a strip, n, runs int, w float64) {
	if vectors && n >= lanes {
		_, _ = dst.last(n, runs), a.last(n, runs)
		scaleLanes(&dst.t[0], &a.t[0], n, runs, dst.step, a.step, w)
		return
	}
	if n == 1 {
		for r := range runs {
			dst.t[r*dst.step] = w * a.t[r*a.step]
		}
		return
	}
	for r := range runs {
		d, a := dst.run(r, n), a.run(r, n)
		a = a[:len(d)]
		for i := range d {
			d[i] = w * a[i]
		}
	}
}

// pour adds l*lo to hi and leaves q*lo in lo, runs times a run of n entries.
func pour(lo, hi strip, n, runs int, l, q float64) {
	if vectors && n >= lanes {
		_, _ = lo.last(n, runs), hi.last(n, runs)
		pourLanes(&lo.t[0], &hi.t[0], n, runs, lo.step, hi.step, l, q)
		return
	}
	if n == 1 {
		for r := range runs {
			x := lo.t[r*lo.step]
			lo.t[r*lo.step] = q * x
			hi.t[r*hi.step] += float64(l * x)
		}
		return
	}
	for r := range runs {
		lo, hi := lo.run(r, n), hi.run(r, n)
		hi = hi[:len(lo)]
		for i, x := range lo {
			lo[i] = q * x
			hi[i] += float64(l * x)
		}
	}
}

// fork sets hi to on*lo and leaves off*lo in lo.
func fork(lo, hi []float64, off, on float64) {
	hi = hi[:len(lo)]
	if vectors && len(lo) >= lanes {
		forkLanes(&lo[0], &hi[0], len(lo), off, on)
		return
	}
	for i, x := range lo {
		lo[i], hi[i] = off*x, on*x
	}
}

// run is one run of n entries.
func (s strip) run(r, n int) []float64 { return s.t[r*s.step : r*s.step+n] }

// from leaves the first k runs out.
func (s strip) from(k int) strip { return strip{s.t[k*s.step:], s.step} }

// part is the k-th run of n entries in runs of sumBlock.
func (s strip) part(k, n int) strip { return strip{s.run(k, n), sumBlock} }

// last is the last entry of the last run; it panics where a run would leave the table, before anything is written.
func (s strip) last(n, runs int) float64 { return s.t[(runs-1)*s.step+n-1] }

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
		d, s, r := dst.run(k, 2), s.run(k, 2), r.run(k, 2)
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
