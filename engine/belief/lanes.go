package belief

// The arithmetic of the passes, in runs of entries that lie side by side. On processors with vectors of four numbers (AVX) runs of four
// and more are handed to lanes_amd64.s, which does the same multiplications and additions in the same order: the results are the same
// to the last bit, in a third of the time (BenchmarkLanes). The conversions keep a compiler from fusing a multiplication with the addition
// after it, which would round once where others round twice. Tables, and so runs, are powers of two long.

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
	switch n {
	case 1:
		for r := range runs {
			dst.t[r*dst.step] = float64(wa*a.t[r*a.step]) + float64(wb*b.t[r*b.step])
		}
		return
	case 2:
		for r := range runs {
			d, a, b := dst.two(r), a.two(r), b.two(r)
			d[0], d[1] = float64(wa*a[0])+float64(wb*b[0]), float64(wa*a[1])+float64(wb*b[1])
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
	switch n {
	case 1:
		for r := range runs {
			dst.t[r*dst.step] = w * a.t[r*a.step]
		}
		return
	case 2:
		for r := range runs {
			d, a := dst.two(r), a.two(r)
			d[0], d[1] = w*a[0], w*a[1]
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

// two is a run of two entries.
func (s strip) two(r int) *[2]float64 { return (*[2]float64)(s.t[r*s.step:]) }

// from leaves the first k runs out.
func (s strip) from(k int) strip { return strip{s.t[k*s.step:], s.step} }

// part is the k-th run of n entries in runs of sumBlock.
func (s strip) part(k, n int) strip { return strip{s.run(k, n), sumBlock} }

// last is the last entry of the last run; it panics where a run would leave the table, before anything is written.
func (s strip) last(n, runs int) float64 { return s.t[(runs-1)*s.step+n-1] }
