package belief

import "golang.org/x/sys/cpu"

// vectors says whether the processor, and the system it runs under, know vectors of four numbers.
var vectors = cpu.X86.HasAVX

// lanes is how many numbers a vector holds. Runs are powers of two, so from here on they are whole vectors.
const lanes = 4

//go:noescape
func combineLanes(dst, a, b *float64, n, runs, dstStep, aStep, bStep int, wa, wb float64)

//go:noescape
func scaleLanes(dst, a *float64, n, runs, dstStep, aStep int, w float64)

//go:noescape
func pourLanes(lo, hi *float64, n, runs, loStep, hiStep int, l, q float64)

//go:noescape
func dotLanes(sum *[8]float64, a, b *float64, n int)

//go:noescape
func forkLanes(lo, hi *float64, n int, off, on float64)

//go:noescape
func dotScaleLanes(sum *[8]float64, dst, s, r *float64, n, runs, dstStep, sStep, rStep int, w float64)

//go:noescape
func dotMixLanes(sr, st *[8]float64, s, r, t *float64, n int, off, on float64)

//go:noescape
func turnLanes(dst, src *float64, n int, same, other *[4]float64, across bool)

//go:noescape
func spreadTwoLanes(dst, src *float64, n, a, b int, on, qa, la, qb, lb float64)

//go:noescape
func spreadTwoMixLanes(dst, t, src *float64, n, a, b int, on, qa, la, qb, lb, off float64)

//go:noescape
func gatherTwoLanes(dst, src *float64, n, a, b int, qa, la, qb, lb float64)
