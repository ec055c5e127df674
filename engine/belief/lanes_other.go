//go:build !amd64

package belief

// Other processors take the plain loops.
const vectors, lanes = false, 4

func combineLanes(dst, a, b *float64, n, runs, dstStep, aStep, bStep int, wa, wb float64) {}

func scaleLanes(dst, a *float64, n, runs, dstStep, aStep int, w float64) {}

func pourLanes(lo, hi *float64, n, runs, loStep, hiStep int, l, q float64) {}

func dotLanes(sum *[8]float64, a, b *float64, n int) {}

func forkLanes(lo, hi *float64, n int, off, on float64) {}

func dotScaleLanes(sum *[8]float64, dst, s, r *float64, n, runs, dstStep, sStep, rStep int, w float64) {
}

func dotMixLanes(sr, st *[8]float64, s, r, t *float64, n int, off, on float64) {}

func turnLanes(dst, src *float64, n int, same, other *[4]float64, across bool) {}

func spreadTwoLanes(dst, src *float64, n, a, b int, on, qa, la, qb, lb float64) {}

func spreadTwoMixLanes(dst, t, src *float64, n, a, b int, on, qa, la, qb, lb, off float64) {}

func gatherTwoLanes(dst, src *float64, n, a, b int, qa, la, qb, lb float64) {}
