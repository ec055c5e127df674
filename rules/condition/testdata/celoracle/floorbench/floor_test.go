//go:build floor

package floorbench

import (
	"math"
	"testing"
	"time"

	"diagnose.example/rules/condition"
	"diagnose.example/rules/condition/testdata/celoracle/random"
)

// A rule is a condition in three forms.
type rule struct {
	src    string
	eval   func(c *hand) int8
	decide func(c *hand) (int8, uint64)
}

// A hand is a case as somebody would hold it who writes the rules in Go.
type hand struct {
	leaks, motor_warm, plug_has_run, choke_on, idles, tap_open, vent_clear, starts int8
	plug_color, screw_kind, band_float_height, exhaust_smoke                       int8
	looked                                                                         bool
	deposits                                                                       uint8
	float_height, spec_float_height, needle_diameter                               float64
	cylinders, level_mm, turns_out                                                 float64
}

func b3(b bool) int8 {
	if b {
		return 1
	}
	return -1
}

func among(word int8, mask uint8) int8 {
	if word < 0 {
		return 0
	}
	return b3(mask>>word&1 == 1)
}

func (c *hand) holds(mask uint8) int8 {
	if !c.looked {
		return 0
	}
	return b3(c.deposits&mask != 0)
}

func above(a, b float64) int8 {
	if a != a || b != b {
		return 0
	}
	return b3(a > b)
}

func same(a, b float64) int8 {
	if a != a || b != b {
		return 0
	}
	return b3(a == b)
}

func quotient(a, b float64) float64 {
	if b == 0 {
		return math.NaN()
	}
	return a / b
}

func newHand(env *condition.Env, facts random.Facts) *hand {
	c := &hand{}
	yesNo := map[string]*int8{"leaks": &c.leaks, "motor_warm": &c.motor_warm, "plug_has_run": &c.plug_has_run, "choke_on": &c.choke_on,
		"idles": &c.idles, "tap_open": &c.tap_open, "vent_clear": &c.vent_clear, "starts": &c.starts}
	words := map[string]*int8{"plug_color": &c.plug_color, "screw_kind": &c.screw_kind, "band.float_height": &c.band_float_height, "exhaust_smoke": &c.exhaust_smoke}
	numbers := map[string]*float64{"float_height": &c.float_height, "spec.float_height": &c.spec_float_height, "needle_diameter": &c.needle_diameter,
		"cylinders": &c.cylinders, "level_mm": &c.level_mm, "turns_out": &c.turns_out}
	for _, at := range words {
		*at = -1
	}
	for _, at := range numbers {
		*at = math.NaN()
	}
	for _, s := range env.Symbols() {
		switch v := facts[s.Name].(type) {
		case bool:
			*yesNo[s.Name] = b3(v)
		case float64:
			*numbers[s.Name] = v
		case string:
			for i, w := range s.Words {
				if w == v {
					*words[s.Name] = int8(i)
				}
			}
		case []string:
			c.looked = true
			for i, w := range s.Words {
				for _, held := range v {
					if w == held {
						c.deposits |= 1 << i
					}
				}
			}
		}
	}
	return c
}

var sink int

// BenchmarkFloor runs all conditions case by case, checks first that both sides
// agree, and reports the fastest pass of each and their quotient.
func BenchmarkFloor(b *testing.B) {
	for _, load := range []struct {
		name    string
		unknown int
	}{{"known", 0}, {"75%unknown", 75}} {
		name, f := load.name, newFixture(b, load.unknown)
		b.Run(name+"/eval", func(b *testing.B) { f.compare(b, f.eval, f.handEval) })
		b.Run(name+"/deciding", func(b *testing.B) { f.compare(b, f.deciding, f.handDeciding) })
	}
}

type fixture struct {
	conditions []*condition.Condition
	cases      []*condition.Case
	hands      []*hand
	open       condition.Set
}

func newFixture(b *testing.B, unknown int) *fixture {
	env, err := random.Env()
	if err != nil {
		b.Fatal(err)
	}
	f, p := &fixture{}, random.New(3)
	for i := range rules {
		c, err := env.Compile(rules[i].src)
		if err != nil {
			b.Fatal(err)
		}
		f.conditions = append(f.conditions, c)
	}
	for range 200 {
		facts, k := p.Facts(unknown), env.NewCase()
		if err := facts.Fill(env, k); err != nil {
			b.Fatal(err)
		}
		f.cases, f.hands = append(f.cases, k), append(f.hands, newHand(env, facts))
	}
	f.agree(b)
	return f
}

func (f *fixture) agree(b *testing.B) {
	for n, k := range f.cases {
		for i, c := range f.conditions {
			f.open.Reset()
			truth := c.Deciding(k, &f.open)
			var bits uint64
			for _, s := range f.open.List() {
				bits |= 1 << s
			}
			t, open := rules[i].decide(f.hands[n])
			if e := rules[i].eval(f.hands[n]); condition.Truth(t) != truth || condition.Truth(e) != truth || open != bits {
				b.Fatalf("%q: %v %b; in Go %d, %d %b", rules[i].src, truth, bits, e, t, open)
			}
		}
	}
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
		for _, c := range f.conditions {
			f.open.Reset()
			sink += int(c.Deciding(k, &f.open))
		}
	}
}

func (f *fixture) handEval() {
	for _, h := range f.hands {
		for i := range rules {
			sink += int(rules[i].eval(h))
		}
	}
}

func (f *fixture) handDeciding() {
	for _, h := range f.hands {
		for i := range rules {
			t, open := rules[i].decide(h)
			sink += int(t) + int(open)
		}
	}
}

func (f *fixture) compare(b *testing.B, ours, floor func()) {
	fastest, fastestFloor := time.Hour, time.Hour
	for b.Loop() {
		fastest, fastestFloor = min(fastest, elapsed(ours)), min(fastestFloor, elapsed(floor))
	}
	pairs := float64(len(f.cases) * len(f.conditions))
	b.ReportMetric(float64(fastest)/pairs, "ns/condition")
	b.ReportMetric(float64(fastestFloor)/pairs, "ns/in-go")
	b.ReportMetric(float64(fastest)/float64(fastestFloor), "times")
}

func elapsed(run func()) time.Duration {
	start := time.Now()
	run()
	return time.Since(start)
}
