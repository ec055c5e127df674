package condition_test

import (
	"math"
	"math/bits"
	"testing"

	"diagnose.example/rules/condition"
)

// A hand is a case as somebody would hold it who writes the rules in Go: points
// only, NaN and -1 for unknown, one struct field each.
type hand struct {
	leaks, warm, run, choke int8 // -1 no, 0 unknown, 1 yes
	plug, screw, band       int8 // word number, -1 unknown
	deposits                uint8
	looked                  bool // at the deposits
	height, spec, needle    float64
	cylinders, level        float64
}

// Bits of the hand-written deciding sets, in the order of symbols().
const (
	leaksBit = 1 << iota
	warmBit
	runBit
	chokeBit
	plugBit
	screwBit
	bandBit
	depositsBit
	heightBit
	specBit
	_
	_
	_
	needleBit
	cylindersBit
	levelBit
)

// A handRule is a condition in three forms.
type handRule struct {
	src    string
	eval   func(c *hand) int8
	decide func(c *hand) (int8, uint32)
}

func b3(b bool) int8 {
	if b {
		return 1
	}
	return -1
}

func is(word, want int8) int8 {
	if word < 0 {
		return 0
	}
	return b3(word == want)
}

func among(word int8, mask uint8) int8 {
	if word < 0 {
		return 0
	}
	return b3(mask>>word&1 == 1)
}

func (c *hand) holds(word int) int8 {
	if !c.looked {
		return 0
	}
	return b3(c.deposits>>word&1 == 1)
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

// open2 gives the bits of the unknown ones of two numbers.
func open2(a float64, bitA uint32, b float64, bitB uint32) uint32 {
	var s uint32
	if a != a {
		s = bitA
	}
	if b != b {
		s |= bitB
	}
	return s
}

// pick2 gives the bits of the undecided ones of two parts.
func pick2(a int8, bitA uint32, b int8, bitB uint32) uint32 {
	var s uint32
	if a == 0 {
		s = bitA
	}
	if b == 0 {
		s |= bitB
	}
	return s
}

var mm = 1e-3 // a variable, so that products with it round as mm(…) does

// handRules have 2 to 6 operators each, as the rules of the packs do.
var handRules = []handRule{
	{`leaks and motor_warm`,
		func(c *hand) int8 { return min(c.leaks, c.warm) },
		func(c *hand) (int8, uint32) {
			if t := min(c.leaks, c.warm); t != 0 {
				return t, 0
			}
			return 0, pick2(c.leaks, leaksBit, c.warm, warmBit)
		}},
	{`plug_has_run and not choke_on and plug_color in ["wet", "black"]`,
		func(c *hand) int8 { return min(c.run, -c.choke, among(c.plug, 0b101)) },
		func(c *hand) (int8, uint32) {
			p := among(c.plug, 0b101)
			if t := min(c.run, -c.choke, p); t != 0 {
				return t, 0
			}
			return 0, pick2(c.run, runBit, c.choke, chokeBit) | pick2(p, plugBit, 1, 0)
		}},
	{`motor_warm and (plug_color == "wet" or float_height > spec.float_height + mm(1))`,
		func(c *hand) int8 { return min(c.warm, max(is(c.plug, 0), above(c.height, c.spec+1*mm))) },
		func(c *hand) (int8, uint32) {
			p, h := is(c.plug, 0), above(c.height, c.spec+1*mm)
			either := max(p, h)
			if t := min(c.warm, either); t != 0 {
				return t, 0
			}
			s := pick2(c.warm, warmBit, 1, 0)
			if either == 0 {
				s |= pick2(p, plugBit, 1, 0)
				if h == 0 {
					s |= open2(c.height, heightBit, c.spec, specBit)
				}
			}
			return 0, s
		}},
	{`float_height > mm(3) and needle_diameter < mm(2)`,
		func(c *hand) int8 { return min(above(c.height, 3*mm), above(2*mm, c.needle)) },
		func(c *hand) (int8, uint32) {
			h, n := above(c.height, 3*mm), above(2*mm, c.needle)
			if t := min(h, n); t != 0 {
				return t, 0
			}
			return 0, pick2(h, heightBit, n, needleBit)
		}},
	{`leaks or "white" in plug_deposits or band.float_height in ["high", "much-too-high"]`,
		func(c *hand) int8 { return max(c.leaks, c.holds(1), among(c.band, 0b1100)) },
		func(c *hand) (int8, uint32) {
			d, h := c.holds(1), among(c.band, 0b1100)
			if t := max(c.leaks, d, h); t != 0 {
				return t, 0
			}
			return 0, pick2(c.leaks, leaksBit, d, depositsBit) | pick2(h, bandBit, 1, 0)
		}},
	{`float_height / spec.float_height > 1.1 and not leaks`,
		func(c *hand) int8 { return min(above(c.ratio(), 1.1), -c.leaks) },
		func(c *hand) (int8, uint32) {
			r := above(c.ratio(), 1.1)
			if t := min(r, -c.leaks); t != 0 {
				return t, 0
			}
			s := pick2(c.leaks, leaksBit, 1, 0)
			if r == 0 {
				s |= open2(c.height, heightBit, c.spec, specBit)
			}
			return 0, s
		}},
	{`(motor_warm or choke_on) and (screw_kind == "air" or level_mm > 2)`,
		func(c *hand) int8 { return min(max(c.warm, c.choke), max(is(c.screw, 0), above(c.level, 2))) },
		func(c *hand) (int8, uint32) {
			k, l := is(c.screw, 0), above(c.level, 2)
			a, b := max(c.warm, c.choke), max(k, l)
			if t := min(a, b); t != 0 {
				return t, 0
			}
			var s uint32
			if a == 0 {
				s = pick2(c.warm, warmBit, c.choke, chokeBit)
			}
			if b == 0 {
				s |= pick2(k, screwBit, l, levelBit)
			}
			return 0, s
		}},
	{`cylinders == 2 and plug_color != "tan" and band.float_height != "right"`,
		func(c *hand) int8 { return min(same(c.cylinders, 2), -is(c.plug, 4), -is(c.band, 4)) },
		func(c *hand) (int8, uint32) {
			n, p, h := same(c.cylinders, 2), -is(c.plug, 4), -is(c.band, 4)
			if t := min(n, p, h); t != 0 {
				return t, 0
			}
			return 0, pick2(n, cylindersBit, p, plugBit) | pick2(h, bandBit, 1, 0)
		}},
	{`not (leaks or motor_warm) or plug_has_run and "black" in plug_deposits`,
		func(c *hand) int8 { return max(-max(c.leaks, c.warm), min(c.run, c.holds(0))) },
		func(c *hand) (int8, uint32) {
			a, d := max(c.leaks, c.warm), c.holds(0)
			b := min(c.run, d)
			if t := max(-a, b); t != 0 {
				return t, 0
			}
			var s uint32
			if a == 0 {
				s = pick2(c.leaks, leaksBit, c.warm, warmBit)
			}
			if b == 0 {
				s |= pick2(c.run, runBit, d, depositsBit)
			}
			return 0, s
		}},
	{`mm(1) < needle_diameter <= mm(2) and cylinders > 1 and plug_color == "black"`,
		func(c *hand) int8 {
			return min(above(c.needle, 1*mm), -above(c.needle, 2*mm), above(c.cylinders, 1), is(c.plug, 2))
		},
		func(c *hand) (int8, uint32) {
			a, b, n, p := above(c.needle, 1*mm), -above(c.needle, 2*mm), above(c.cylinders, 1), is(c.plug, 2)
			if t := min(a, b, n, p); t != 0 {
				return t, 0
			}
			return 0, pick2(a, needleBit, b, needleBit) | pick2(n, cylindersBit, p, plugBit)
		}},
	{`level_mm - cylinders * 2 >= -1 or choke_on`,
		func(c *hand) int8 { return max(-above(-1, c.level-c.cylinders*2), c.choke) },
		func(c *hand) (int8, uint32) {
			l := -above(-1, c.level-c.cylinders*2)
			if t := max(l, c.choke); t != 0 {
				return t, 0
			}
			s := pick2(c.choke, chokeBit, 1, 0)
			if l == 0 {
				s |= open2(c.level, levelBit, c.cylinders, cylindersBit)
			}
			return 0, s
		}},
	{`leaks and motor_warm and plug_has_run and not choke_on and screw_kind == "fuel"`,
		func(c *hand) int8 { return min(c.leaks, c.warm, c.run, -c.choke, is(c.screw, 1)) },
		func(c *hand) (int8, uint32) {
			k := is(c.screw, 1)
			if t := min(c.leaks, c.warm, c.run, -c.choke, k); t != 0 {
				return t, 0
			}
			return 0, pick2(c.leaks, leaksBit, c.warm, warmBit) | pick2(c.run, runBit, c.choke, chokeBit) | pick2(k, screwBit, 1, 0)
		}},
}

// ratio is float_height over its spec, unknown when that is zero.
func (c *hand) ratio() float64 {
	if c.spec == 0 {
		return math.NaN()
	}
	return c.height / c.spec
}

// newHand copies facts that have points only.
func newHand(t testing.TB, vs values) *hand {
	c := &hand{plug: -1, screw: -1, band: -1}
	for name, at := range map[string]*int8{"leaks": &c.leaks, "motor_warm": &c.warm, "plug_has_run": &c.run, "choke_on": &c.choke} {
		if v, known := vs[name]; known {
			*at = b3(v.(bool))
		}
	}
	for name, at := range map[string]*int8{"plug_color": &c.plug, "screw_kind": &c.screw, "band.float_height": &c.band} {
		for i, w := range choiceWords[name] {
			if vs[name] == w {
				*at = int8(i)
			}
		}
	}
	if held, known := vs["plug_deposits"]; known {
		c.looked = true
		for _, w := range held.([]string) {
			c.deposits |= 1 << map[string]int{"black": 0, "white": 1, "glazed": 2}[w]
		}
	}
	for name, at := range map[string]*float64{"float_height": &c.height, "spec.float_height": &c.spec, "needle_diameter": &c.needle,
		"cylinders": &c.cylinders, "level_mm": &c.level} {
		*at = math.NaN()
		if v, known := vs[name]; known {
			ends := v.([2]float64)
			if ends[0] != ends[1] {
				t.Fatalf("newHand: %s is a range", name)
			}
			*at = ends[0]
		}
	}
	return c
}

// pointFacts are facts without ranges.
func (p pick) pointFacts(unknownInTen int) values {
	vs := p.facts(unknownInTen)
	for name, v := range vs {
		if ends, ok := v.([2]float64); ok {
			vs[name] = [2]float64{ends[0], ends[0]}
		}
	}
	return vs
}

// TestHand: the floor of the benchmarks computes the same, deciding sets included,
// so that the ratio means something.
func TestHand(t *testing.T) {
	env := newEnv(t)
	p := random(5)
	for _, r := range handRules {
		c := compile(t, env, r.src)
		for range 400 {
			facts := p.pointFacts(p(10))
			k, h := newCase(t, env, facts), newHand(t, facts)
			var s condition.Set
			truth := c.Deciding(k, &s)
			if got := condition.Truth(r.eval(h)); got != truth {
				t.Fatalf("hand-written %q with %v = %v; want %v", r.src, facts, got, truth)
			}
			got, open := r.decide(h)
			if condition.Truth(got) != truth {
				t.Fatalf("hand-written deciding %q with %v = %v; want %v", r.src, facts, got, truth)
			}
			var want uint32
			for _, i := range s.List() {
				want |= 1 << i
			}
			if open != want {
				t.Fatalf("hand-written deciding %q with %v = %b; want %b", r.src, facts, open, want)
			}
			if bits.OnesCount32(open) > 6 {
				t.Fatalf("deciding set of %q has %d members", r.src, bits.OnesCount32(open))
			}
		}
	}
}
