package condition_test

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"
	"time"

	"diagnose.example/rules/condition"
	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
)

// Each benchmark runs the hand-written rules over 64 cases and reports ns per
// condition. BenchmarkRatio does both sides in one run and reports the quotient.

const benchCases = 1000

// loads are the shares of what nobody observed, in tenths.
var loads = []struct {
	name    string
	unknown float64
}{{"known", 0}, {"75%unknown", 7.5}}

// sink keeps the compiler from dropping what nobody reads.
var sink int

// fixture is the rules and cases of one benchmark in all forms.
type fixture struct {
	conditions []*condition.Condition
	cases      []*condition.Case
	hands      []*hand
	facts      []values
	set        condition.Set
}

func newFixture(b *testing.B, unknownInTen float64) *fixture {
	env := newEnv(b)
	p := random(7)
	f := &fixture{}
	for _, r := range handRules {
		f.conditions = append(f.conditions, compile(b, env, r.src))
	}
	for range benchCases {
		tenths := int(unknownInTen)
		if p(10) < int(unknownInTen*10)%10 {
			tenths++
		}
		facts := p.pointFacts(tenths)
		f.facts = append(f.facts, facts)
		f.cases = append(f.cases, newCase(b, env, facts))
		f.hands = append(f.hands, newHand(b, facts))
	}
	for i := range env.Symbols() {
		f.set.Add(i) // grows to its size
	}
	return f
}

func (f *fixture) eval() {
	for _, k := range f.cases {
		for _, c := range f.conditions {
			sink += int(c.Eval(k))
		}
	}
}

func (f *fixture) deciding() {
	for _, k := range f.cases {
		f.set.Reset()
		for _, c := range f.conditions {
			sink += int(c.Deciding(k, &f.set))
		}
	}
}

func (f *fixture) handEval() {
	for _, h := range f.hands {
		for i := range handRules {
			sink += int(handRules[i].eval(h))
		}
	}
}

func (f *fixture) handDeciding() {
	for _, h := range f.hands {
		var set uint32
		for i := range handRules {
			t, open := handRules[i].decide(h)
			sink += int(t)
			set |= open
		}
		sink += int(set)
	}
}

func (f *fixture) pairs() int { return len(f.cases) * len(f.conditions) }

func perCondition(b *testing.B, f *fixture, run func()) {
	b.ReportAllocs()
	for b.Loop() {
		run()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*f.pairs()), "ns/condition")
}

func BenchmarkEval(b *testing.B) {
	for _, load := range loads {
		name, f := load.name, newFixture(b, load.unknown)
		b.Run(name+"/condition", func(b *testing.B) { perCondition(b, f, f.eval) })
		b.Run(name+"/by hand", func(b *testing.B) { perCondition(b, f, f.handEval) })
		b.Run(name+"/deciding", func(b *testing.B) { perCondition(b, f, f.deciding) })
		b.Run(name+"/deciding by hand", func(b *testing.B) { perCondition(b, f, f.handDeciding) })
	}
}

// BenchmarkRatio alternates the two sides and takes the fastest pass of each, so that
// what else the machine does falls out.
func BenchmarkRatio(b *testing.B) {
	for _, load := range loads {
		name, f := load.name, newFixture(b, load.unknown)
		b.Run(name+"/eval", func(b *testing.B) { ratio(b, f, f.eval, f.handEval) })
		b.Run(name+"/deciding", func(b *testing.B) { ratio(b, f, f.deciding, f.handDeciding) })
	}
}

func ratio(b *testing.B, f *fixture, ours, floor func()) {
	fastest, fastestFloor := time.Hour, time.Hour
	for b.Loop() {
		fastest = min(fastest, elapsed(ours))
		fastestFloor = min(fastestFloor, elapsed(floor))
	}
	b.ReportMetric(float64(fastest)/float64(f.pairs()), "ns/condition")
	b.ReportMetric(float64(fastestFloor)/float64(f.pairs()), "ns/by-hand")
	b.ReportMetric(float64(fastest)/float64(fastestFloor), "times")
}

func elapsed(run func()) time.Duration {
	start := time.Now()
	run()
	return time.Since(start)
}

// BenchmarkExpr runs expr's own two-valued machine on the known cases, for scale.
func BenchmarkExpr(b *testing.B) {
	f := newFixture(b, 0)
	var programs []*vm.Program
	for _, r := range handRules {
		program, err := expr.Compile(folded(b, r.src), expr.AsBool())
		if err != nil {
			b.Fatal(err)
		}
		programs = append(programs, program)
	}
	var envs []map[string]any
	for _, facts := range f.facts {
		envs = append(envs, exprFacts(facts))
	}
	var machine vm.VM
	perCondition(b, f, func() {
		for _, env := range envs {
			for _, p := range programs {
				if v, err := machine.Run(p, env); err != nil || v == true {
					sink++
				}
			}
		}
	})
}

var millimetres = regexp.MustCompile(`mm\((\d+)\)`)

// folded replaces mm(3) by its value, as compiling does here.
func folded(b *testing.B, src string) string {
	return millimetres.ReplaceAllStringFunc(src, func(s string) string {
		v, err := strconv.ParseFloat(millimetres.FindStringSubmatch(s)[1], 64)
		if err != nil {
			b.Fatal(err)
		}
		return fmt.Sprint(v * mm)
	})
}

func exprFacts(facts values) map[string]any {
	env := map[string]any{"spec": map[string]any{"float_height": facts["spec.float_height"].([2]float64)[0]},
		"band": map[string]any{"float_height": facts["band.float_height"]}}
	for name, v := range facts {
		if ends, ok := v.([2]float64); ok {
			v = ends[0]
		}
		env[name] = v
	}
	return env
}

// BenchmarkMany evaluates 1000 random conditions with deciding sets in one case.
func BenchmarkMany(b *testing.B) {
	env := newEnv(b)
	p := random(9)
	var conditions []*condition.Condition
	for len(conditions) < 1000 {
		if c, err := env.Compile(p.text(p.condition(2))); err == nil {
			conditions = append(conditions, c)
		}
	}
	k := newCase(b, env, p.facts(7))
	var s condition.Set
	b.ReportAllocs()
	for b.Loop() {
		for _, c := range conditions {
			s.Reset()
			c.Deciding(k, &s)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(conditions)), "ns/condition")
}

func BenchmarkCompile(b *testing.B) {
	env := newEnv(b)
	b.ReportAllocs()
	for b.Loop() {
		for _, r := range handRules {
			if _, err := env.Compile(r.src); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(handRules)), "ns/condition")
}
