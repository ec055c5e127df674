package belief

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// The networks and sheets are invented (invented_test.go).

func intakeSchedule(b *testing.B, carburetors int, name string) (*Net, *Evidence, *Schedule) {
	b.Helper()
	for _, sh := range sheets {
		if sh.name != name {
			continue
		}
		rng := rand.New(rand.NewPCG(uint64(carburetors), 3))
		in := invent(rng, carburetors, 12)
		n, e := in.net(), evidence(in.sheet(rng, sh.machine, sh.local, sh.numbers))
		s, err := Plan(n, e, Options{Limit: 1e10})
		if err != nil {
			b.Fatal(err)
		}
		return n, e, s
	}
	b.Fatalf("no sheet %q", name)
	return nil, nil, nil
}

func report(b *testing.B, s *Schedule) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/s.Cost(), "ns/entry")
	b.ReportMetric(s.Cost(), "entries")
	b.ReportMetric(float64(s.Width()), "width")
}

func BenchmarkPlan(b *testing.B) {
	for _, k := range []int{1, 2, 4, 6} {
		for _, name := range []string{"intake", "all", "measured"} {
			b.Run(fmt.Sprintf("%s-%d", name, k), func(b *testing.B) {
				n, e, s := intakeSchedule(b, k, name)
				b.ReportAllocs()
				for b.Loop() {
					if _, err := Plan(n, e, Options{Limit: 1e10}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(s.Cost(), "entries")
			})
		}
	}
}

func BenchmarkPosterior(b *testing.B) {
	for _, k := range []int{1, 2, 4, 6} {
		for _, name := range []string{"intake", "all", "measured"} {
			b.Run(fmt.Sprintf("%s-%d", name, k), func(b *testing.B) {
				_, _, s := intakeSchedule(b, k, name)
				b.ReportAllocs()
				for b.Loop() {
					if _, err := s.Posterior(); err != nil {
						b.Fatal(err)
					}
				}
				report(b, s)
			})
		}
	}
}

// BenchmarkWide is two layers with everything coupled to everything: many findings seen, each with up to twelve parents among sixty
// causes.
func BenchmarkWide(b *testing.B) {
	for _, positives := range []int{18, 24, 30, 32} {
		rng := rand.New(rand.NewPCG(8, uint64(positives)))
		m := new(model)
		for range 60 {
			m.add(cause, 0.01+0.05*rng.Float64(), 0)
		}
		var facts []fact
		for range positives {
			f := m.add(finding, 0.01, 0)
			for _, c := range rng.Perm(60)[:2+rng.IntN(11)] {
				m.link(c, f, 0.2+0.75*rng.Float64())
			}
			facts = append(facts, seen(f))
		}
		n, e := m.net(), evidence(facts)
		s, err := Plan(n, e, Options{Limit: 1e10})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("findings-%d", positives), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.Posterior(); err != nil {
					b.Fatal(err)
				}
			}
			report(b, s)
		})
	}
}
