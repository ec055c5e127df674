package celoracle

import (
	"testing"
	"time"

	"diagnose.example/rules/condition"
	"diagnose.example/rules/condition/testdata/celoracle/random"
	"github.com/google/cel-go/cel"
)

// BenchmarkAgainstCEL evaluates 1000 random conditions with deciding sets in ten
// cases, here and by cel-go with unknowns, and reports the quotient of the fastest
// passes. Filling the case is part of both.
func BenchmarkAgainstCEL(b *testing.B) {
	b.Run("known", func(b *testing.B) { againstCEL(b, 0) })
	b.Run("75%unknown", func(b *testing.B) { againstCEL(b, 75) })
}

func againstCEL(b *testing.B, unknown int) {
	env, err := random.Env()
	if err != nil {
		b.Fatal(err)
	}
	c, p := celEnv(b, env), random.New(2)
	var ours []*condition.Condition
	var theirs []cel.Program
	for range 1000 {
		form := p.Condition(2)
		compiled, err := env.Compile(form.String())
		if err != nil {
			b.Fatal(err)
		}
		ours, theirs = append(ours, compiled), append(theirs, celProgram(b, c, form.CEL()))
	}
	var facts []random.Facts
	for range 10 {
		facts = append(facts, p.Facts(unknown))
	}
	k := env.NewCase()
	var open condition.Set
	fastest, fastestCEL := time.Hour, time.Hour
	for b.Loop() {
		fastest = min(fastest, elapsed(func() {
			for _, f := range facts {
				if err := f.Fill(env, k); err != nil {
					b.Fatal(err)
				}
				for _, c := range ours {
					open.Reset()
					c.Deciding(k, &open)
				}
			}
		}))
		fastestCEL = min(fastestCEL, elapsed(func() {
			for _, f := range facts {
				activation := celFacts(b, env, f)
				for _, program := range theirs {
					if _, _, err := program.Eval(activation); err != nil {
						b.Fatal(err)
					}
				}
			}
		}))
	}
	pairs := float64(len(ours) * len(facts))
	b.ReportMetric(float64(fastest)/pairs, "ns/condition")
	b.ReportMetric(float64(fastestCEL)/pairs, "ns/cel")
	b.ReportMetric(float64(fastestCEL)/float64(fastest), "times-faster")
}

func elapsed(run func()) time.Duration {
	start := time.Now()
	run()
	return time.Since(start)
}
