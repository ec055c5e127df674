package belief

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// plainly runs f with the plain loops.
func plainly(f func()) {
	had := vectors
	setVectors(false)
	defer setVectors(had)
	f()
}

// laneWork is a table cut in the ways the passes cut it: a bit parts it in runs, packed or not.
type laneWork struct {
	name string
	do   func(dst, a, b []float64, bit uint8) []float64 // what it returns besides dst
}

var laneWorks = []laneWork{
	{"spread", func(dst, _, _ []float64, bit uint8) []float64 { spread(dst, reach{bit, 0.3, 0.7}); return nil }},
	{"spreadInto", func(dst, a, _ []float64, bit uint8) []float64 {
		spreadInto(dst, a, 0.9, reach{bit, 0.3, 0.7})
		return nil
	}},
	{"gatherInto", func(dst, a, _ []float64, bit uint8) []float64 { gatherInto(dst, a, reach{bit, 0.3, 0.7}); return nil }},
	{"gather", func(dst, _, _ []float64, bit uint8) []float64 { gather(dst, reach{bit, 0.3, 0.7}); return nil }},
	{"sumOut", func(dst, a, _ []float64, bit uint8) []float64 { sumOut(dst[:len(a)/2], a, bit, 0.9, 0.2); return nil }},
	{"sumOut in place", func(dst, _, _ []float64, bit uint8) []float64 {
		sumOut(dst[:len(dst)/2], dst, bit, 0.9, 0.2)
		return nil
	}},
	{"spreadAll", func(dst, a, _ []float64, bit uint8) []float64 {
		spreadAll(dst, a, 0.9, armsFrom(bit, len(dst)))
		return nil
	}},
	{"spreadAll in place", func(dst, _, _ []float64, bit uint8) []float64 {
		spreadAll(dst, dst, 1, armsFrom(bit, len(dst)))
		return nil
	}},
	{"spreadMix", func(dst, a, b []float64, bit uint8) []float64 {
		spreadMix(dst, a, b, 0.8, 0.9, armsFrom(bit, len(dst)))
		return nil
	}},
	{"spreadMix of two", func(dst, a, b []float64, bit uint8) []float64 {
		arms := armsFrom(bit, len(dst))
		spreadMix(dst, a, b, 0.8, 0.9, arms[:min(len(arms), 2)])
		return nil
	}},
	{"gatherAll", func(dst, a, _ []float64, bit uint8) []float64 {
		gatherAll(dst, a, armsFrom(bit, len(dst)))
		return nil
	}},
	{"gatherAll in place", func(dst, _, _ []float64, bit uint8) []float64 {
		gatherAll(dst, dst, armsFrom(bit, len(dst)))
		return nil
	}},
	{"scale of a part", func(dst, a, _ []float64, bit uint8) []float64 {
		_, hi, n, runs := halves(a, bit)
		scale(strip{dst, n}, hi, n, runs, 0.9)
		return nil
	}},
	{"combine with a part", func(dst, a, b []float64, bit uint8) []float64 {
		lo, _, n, runs := halves(a, bit)
		combine(strip{dst, n}, lo, strip{b, n}, n, runs, 0.9, 1)
		return nil
	}},
	{"spreadUpper", func(dst, a, _ []float64, bit uint8) []float64 { spreadUpper(dst, a[:len(dst)/2], bit, 0.9); return nil }},
	{"dotScale", func(dst, a, b []float64, bit uint8) []float64 {
		lo, hi, n, runs := halves(dst, bit)
		slo, shi, _, _ := halves(a, bit)
		h := len(b) / 2
		return []float64{dotScale(lo, slo, strip{b[:h], n}, n, runs, 0.9), dotScale(hi, shi, strip{b[h:], n}, n, runs, 0.2)}
	}},
	{"dotMix", func(dst, a, b []float64, _ uint8) []float64 {
		x, y := dotMix(a, dst, b, 0.9, 0.2)
		return []float64{x, y}
	}},
	{"openBit", func(dst, _, _ []float64, _ uint8) []float64 { openBit(dst, 0.9, 0.2); return nil }},
	{"unopen", func(dst, _, _ []float64, _ uint8) []float64 { unopen(dst, 0.9, 0.2); return nil }},
	{"refold", func(dst, a, _ []float64, _ uint8) []float64 { p := refold(dst, a, 0.9, 0.2); return p[:] }},
	{"addScaled", func(dst, a, _ []float64, _ uint8) []float64 { addScaled(dst, a, 0.9); return nil }},
	{"scaled", func(dst, a, _ []float64, _ uint8) []float64 { scaled(dst, a, 0.9); return nil }},
}

// armsFrom are up to four children, at a bit and above it.
func armsFrom(bit uint8, n int) []reach {
	arms := []reach{{bit, 0.3, 0.7}}
	for i, k := range []uint8{1, 2, 4} {
		if 2<<(bit+k) <= n {
			arms = append(arms, reach{bit + k, 0.2 + 0.1*float64(i), 0.8 - 0.1*float64(i)})
		}
	}
	return arms
}

// Vectors and plain loops must agree to the last bit: a result may not depend on the processor.
func TestLanesAgree(t *testing.T) {
	if !vectors {
		t.Skip("this processor has no vectors that lanes_amd64.s could use")
	}
	rng := rand.New(rand.NewPCG(4, 4))
	for log := uint8(1); log <= 13; log++ {
		table := func() []float64 {
			s := make([]float64, 1<<log)
			for i := range s {
				s[i] = rng.ExpFloat64() * 1e-3
			}
			return s
		}
		for bit := range log {
			dst, a, b := table(), table(), table()
			for _, w := range laneWorks {
				fast, slow := slices.Clone(dst), slices.Clone(dst)
				x := w.do(fast, slices.Clone(a), slices.Clone(b), bit)
				var y []float64
				plainly(func() { y = w.do(slow, slices.Clone(a), slices.Clone(b), bit) })
				if !slices.Equal(fast, slow) || !slices.Equal(x, y) {
					t.Errorf("%s of 2^%d entries at bit %d: vectors differ from plain loops", w.name, log, bit)
				}
			}
		}
	}
}

// The vectors write where the plain loops would, and no further.
func TestLanesStayInside(t *testing.T) {
	const edge = -1.0
	for log := uint8(1); log <= 6; log++ {
		for bit := range log {
			for _, w := range laneWorks {
				room := slices.Repeat([]float64{edge}, 3<<log)
				dst := room[1<<log : 2<<log : 2<<log]
				for i := range dst {
					dst[i] = 1
				}
				ones := slices.Repeat([]float64{1}, 1<<log)
				w.do(dst, ones, slices.Clone(ones), bit)
				for i, x := range room {
					if (i < 1<<log || i >= 2<<log) && x != edge {
						t.Fatalf("%s of 2^%d entries at bit %d: wrote entry %d of the table", w.name, log, bit, i-1<<log)
					}
				}
			}
		}
	}
}

// A run that would leave the table panics before anything is written; it never reads or writes elsewhere.
func TestLanesCheckBounds(t *testing.T) {
	s := make([]float64, 16)
	for name, f := range map[string]func(){
		"combine": func() { combine(whole(s), whole(s), whole(s[1:]), 16, 1, 1, 1) },
		"scale":   func() { scale(strip{s, 8}, whole(s), 8, 3, 1) },
		"pour":    func() { pour(whole(s), whole(s[8:]), 16, 1, 1, 1) },
		"fork":    func() { fork(s, s[8:], 1, 1) },
		"dot":     func() { dot(s, s[:8]) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s went beyond its table and did not panic", name)
				}
			}()
			f()
		}()
	}
}

// BenchmarkLanes is the plain loops against vectors: every work on one table, by the length of its runs, and a whole computation.
func BenchmarkLanes(b *testing.B) {
	const log = 14
	table := make([]float64, 1<<log)
	for i := range table {
		table[i] = 1e-3
	}
	a, c, dst := slices.Clone(table), slices.Clone(table), slices.Clone(table)
	each := func(b *testing.B, name string, f func()) {
		b.Run(name+"/vectors", func(b *testing.B) {
			for b.Loop() {
				f()
			}
		})
		b.Run(name+"/plain", func(b *testing.B) {
			plainly(func() {
				for b.Loop() {
					f()
				}
			})
		})
	}
	for _, bit := range []uint8{0, 1, 2, 3, 6, 13} {
		for _, w := range laneWorks[:10] {
			each(b, fmt.Sprintf("%s/run-%d", w.name, 1<<bit), func() {
				copy(dst, table)
				w.do(dst, a, c, bit)
			})
		}
	}
	_, _, s := intakeSchedule(b, 4, "measured")
	each(b, "posterior", func() {
		if _, err := s.Posterior(); err != nil {
			b.Fatal(err)
		}
	})
}
