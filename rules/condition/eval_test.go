package condition_test

import (
	"fmt"
	"math"
	"testing"

	"diagnose.example/rules/condition"
)

const (
	f = condition.False
	u = condition.Unknown
	y = condition.True
)

// TestEval goes through the forms of the language, each with its meaning.
func TestEval(t *testing.T) {
	inf := math.Inf(1)
	tests := []struct {
		name string
		src  string
		in   values
		want condition.Truth
	}{
		{"yes", `leaks`, values{"leaks": true}, y},
		{"no", `leaks`, values{"leaks": false}, f},
		{"nobody looked", `leaks`, nil, u},
		{"nobody looked, denied", `not leaks`, nil, u},
		{"false decides and", `leaks and motor_warm`, values{"motor_warm": false}, f},
		{"true decides or", `leaks or motor_warm`, values{"motor_warm": true}, y},
		{"not binds before and", `not leaks and motor_warm`, values{"leaks": false, "motor_warm": true}, y},
		{"and binds before or", `leaks or motor_warm and choke_on`, values{"leaks": true, "motor_warm": false}, y},

		{"its word", `plug_color == "wet"`, values{"plug_color": "wet"}, y},
		{"another word", `plug_color == "wet"`, values{"plug_color": "tan"}, f},
		{"no word", `plug_color == "wet"`, nil, u},
		{"word on the left", `"wet" == plug_color`, values{"plug_color": "wet"}, y},
		{"unequal", `plug_color != "wet"`, values{"plug_color": "tan"}, y},
		{"unequal unknown", `plug_color != "wet"`, nil, u},
		{"in the list", `plug_color in ["wet", "oily"]`, values{"plug_color": "oily"}, y},
		{"not in the list", `plug_color in ["wet", "oily"]`, values{"plug_color": "black"}, f},
		{"not in", `plug_color not in ["wet", "oily"]`, values{"plug_color": "black"}, y},
		{"not in, unknown", `plug_color not in ["wet", "oily"]`, nil, u},
		{"in all its words, unknown", `screw_kind in ["air", "fuel"]`, nil, u},
		{"in all its words", `screw_kind in ["air", "fuel"]`, values{"screw_kind": "air"}, y},
		{"not in all its words", `screw_kind not in ["air", "fuel"]`, values{"screw_kind": "air"}, f},
		{"band", `band.float_height in ["low", "much-too-low"]`, values{"band.float_height": "low"}, y},

		{"one of several", `"white" in plug_deposits`, values{"plug_deposits": []string{"white", "glazed"}}, y},
		{"absent from several", `"black" in plug_deposits`, values{"plug_deposits": []string{"white", "glazed"}}, f},
		{"looked and found none", `"black" in plug_deposits`, values{"plug_deposits": []string{}}, f},
		{"several, unknown", `"black" in plug_deposits`, nil, u},
		{"not in several", `"black" not in plug_deposits`, values{"plug_deposits": []string{"white"}}, y},
		{"not in several, unknown", `"black" not in plug_deposits`, nil, u},

		{"point above", `float_height > mm(3)`, values{"float_height": 0.004}, y},
		{"point at the limit", `float_height > mm(3)`, values{"float_height": 3 * 1e-3}, f},
		{"point at the limit, >=", `float_height >= mm(3)`, values{"float_height": 3 * 1e-3}, y},
		{"limit first", `mm(3) <= float_height`, values{"float_height": 3 * 1e-3}, y},
		{"range above", `level_mm > 3`, values{"level_mm": [2]float64{3.2, 3.9}}, y},
		{"range straddles", `level_mm > 3`, values{"level_mm": [2]float64{2.8, 3.4}}, u},
		{"range below", `level_mm > 3`, values{"level_mm": [2]float64{2.8, 2.9}}, f},
		{"range ends at the limit, >", `level_mm > 3`, values{"level_mm": [2]float64{2, 3}}, f},
		{"range ends at the limit, >=", `level_mm >= 3`, values{"level_mm": [2]float64{2, 3}}, u},
		{"range begins at the limit, >=", `level_mm >= 3`, values{"level_mm": [2]float64{3, 4}}, y},
		{"range begins at the limit, <", `level_mm < 3`, values{"level_mm": [2]float64{3, 4}}, f},
		{"range straddles, <=", `level_mm <= 3`, values{"level_mm": [2]float64{2.8, 3.4}}, u},
		{"bound decides", `level_mm < 300`, values{"level_mm": [2]float64{-inf, 200}}, y},
		{"bound leaves open", `level_mm < 100`, values{"level_mm": [2]float64{-inf, 200}}, u},
		{"bound with arithmetic", `level_mm - cylinders > 1`, values{"level_mm": [2]float64{5, inf}, "cylinders": 2.0}, y},
		{"product of zero and no bound", `level_mm * cylinders >= 0`, values{"level_mm": [2]float64{0, 5}, "cylinders": [2]float64{1, inf}}, y},
		{"quotient of no bounds", `level_mm / cylinders >= 0`, values{"level_mm": [2]float64{1, inf}, "cylinders": [2]float64{1, inf}}, y},
		{"equal points", `cylinders == 2`, values{"cylinders": 2.0}, y},
		{"unequal points", `cylinders != 2`, values{"cylinders": 2.0}, f},
		{"equality of a range that holds it", `cylinders == 2`, values{"cylinders": [2]float64{2, 3}}, u},
		{"equality of a range beside it", `cylinders == 2`, values{"cylinders": [2]float64{3, 4}}, f},
		{"chain", `mm(2) < float_height < mm(4)`, values{"float_height": 0.003}, y},
		{"chain broken", `mm(2) < float_height < mm(4)`, values{"float_height": 0.005}, f},
		{"around its spec", `float_height > spec.float_height + mm(1)`, values{"float_height": 0.0235, "spec.float_height": 0.022}, y},
		{"spec unknown", `float_height > spec.float_height + mm(1)`, values{"float_height": 0.0235}, u},
		{"two ranges apart", `float_height > spec.float_height`, values{"float_height": [2]float64{0.023, 0.024}, "spec.float_height": [2]float64{0.021, 0.022}}, y},
		{"two ranges overlap", `float_height > spec.float_height`, values{"float_height": [2]float64{0.021, 0.024}, "spec.float_height": [2]float64{0.021, 0.022}}, u},
		{"ratio", `float_height / spec.float_height > 1.05`, values{"float_height": 0.0235, "spec.float_height": 0.022}, y},
		{"minus a range", `-level_mm < -2`, values{"level_mm": [2]float64{3, 4}}, y},
		{"product of ranges with signs", `level_mm * cylinders >= -8`, values{"level_mm": [2]float64{-2, 3}, "cylinders": [2]float64{1, 4}}, y},
		{"a range minus itself is not narrowed", `level_mm - level_mm == 0`, values{"level_mm": [2]float64{1, 2}}, u},

		{"divided by zero", `level_mm / cylinders > 1`, values{"level_mm": 1.0, "cylinders": 0.0}, u},
		{"divided by a range over zero", `level_mm / cylinders > 1`, values{"level_mm": 1.0, "cylinders": [2]float64{-1, 1}}, u},
		{"divided by a range that touches zero", `level_mm / cylinders > 1`, values{"level_mm": 1.0, "cylinders": [2]float64{0, 0.5}}, u},
		{"divided by a negative range", `level_mm / cylinders <= -1`, values{"level_mm": 1.0, "cylinders": [2]float64{-1, -0.5}}, y},
		{"not a number", `root(level_mm) > 1`, values{"level_mm": -1.0}, u},
		{"not a number at one corner", `root(level_mm) < 9`, values{"level_mm": [2]float64{-1, 4}}, u},
		{"too large, compared with less", `level_mm * level_mm > 1`, values{"level_mm": 1e300}, y},
		{"too large, compared with itself", `level_mm * level_mm - level_mm * level_mm == 0`, values{"level_mm": 1e300}, u},
		{"nothing times unknown", `level_mm * cylinders < 1`, values{"cylinders": 0.0}, u},

		{"unit", `air_temperature < degC(5)`, values{"air_temperature": 277.0}, y},
		{"function of a point", `disc_area(needle_diameter) > disc_area(mm(2))`, values{"needle_diameter": 0.0021}, y},
		{"monotone function of a range", `disc_area(needle_diameter) > disc_area(mm(2))`, values{"needle_diameter": [2]float64{0.0021, 0.0025}}, y},
		{"monotone function straddles", `disc_area(needle_diameter) > disc_area(mm(2))`, values{"needle_diameter": [2]float64{0.0019, 0.0025}}, u},
		{"falls in the second argument", `ring_area(mm(3), needle_diameter) < disc_area(mm(3))`, values{"needle_diameter": [2]float64{0.001, 0.0025}}, y},
		{"other function of a point", `distance(float_height, spec.float_height) < mm(1)`, values{"float_height": 0.0225, "spec.float_height": 0.022}, y},
		{"other function of a range", `distance(float_height, spec.float_height) < mm(9)`, values{"float_height": [2]float64{0.0225, 0.0226}, "spec.float_height": 0.022}, u},
		{"function in function", `ring_area(mm(3), distance(float_height, mm(20))) > disc_area(mm(2))`, values{"float_height": 0.021}, y},
	}
	env := newEnv(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, k := compile(t, env, tt.src), newCase(t, env, tt.in)
			if got := c.Eval(k); got != tt.want {
				t.Errorf("Eval(%q) with %v = %v; want %v", tt.src, tt.in, got, tt.want)
			}
			if got := c.Deciding(k, new(condition.Set)); got != tt.want {
				t.Errorf("Deciding(%q) with %v = %v; want %v", tt.src, tt.in, got, tt.want)
			}
		})
	}
}

func TestDeciding(t *testing.T) {
	tests := []struct {
		name string
		src  string
		in   values
		want string
	}{
		{"all of it", `leaks and (motor_warm or plug_color == "wet")`, nil, "leaks motor_warm plug_color"},
		{"decided", `leaks and motor_warm`, values{"leaks": false}, ""},
		{"decided by the last", `leaks and motor_warm and choke_on`, values{"choke_on": false}, ""},
		{"known part drops out", `leaks and motor_warm`, values{"leaks": true}, "motor_warm"},
		{"decided part drops out", `leaks or (motor_warm and plug_color == "wet")`, values{"motor_warm": false}, "leaks"},
		{"numbers", `float_height > spec.float_height + mm(1)`, values{"float_height": 0.022}, "spec.float_height"},
		{"range too wide", `float_height > mm(3)`, values{"float_height": [2]float64{0.002, 0.004}}, "float_height"},
		{"range wide enough", `float_height > mm(1) and leaks`, values{"float_height": [2]float64{0.002, 0.004}}, "leaks"},
		{"several", `"white" in plug_deposits or leaks`, nil, "leaks plug_deposits"},
		{"cannot be computed", `level_mm / cylinders > 1`, values{"level_mm": 1.0, "cylinders": 0.0}, ""},
		{"read twice", `leaks and motor_warm or leaks and choke_on`, nil, "leaks motor_warm choke_on"},
	}
	env := newEnv(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var s condition.Set
			compile(t, env, tt.src).Deciding(newCase(t, env, tt.in), &s)
			if got := names(env, s.List()); got != tt.want {
				t.Errorf("Deciding(%q) with %v = %q; want %q", tt.src, tt.in, got, tt.want)
			}
		})
	}
}

func TestDecidingAddsToTheSet(t *testing.T) {
	env := newEnv(t)
	var s condition.Set
	k := env.NewCase()
	compile(t, env, `leaks`).Deciding(k, &s)
	compile(t, env, `cylinders == 2`).Deciding(k, &s)
	if got, want := names(env, s.List()), "leaks cylinders"; got != want || s.Len() != 2 {
		t.Errorf("Deciding twice = %q (%d); want %q (2)", got, s.Len(), want)
	}
	s.Reset()
	if s.Len() != 0 || s.Has(index(t, env, "leaks")) {
		t.Errorf("Set after Reset has %d members; want 0", s.Len())
	}
}

// TestManySymbols has more symbols than a word of the set has bits.
func TestManySymbols(t *testing.T) {
	var symbols []condition.Symbol
	for i := range 200 {
		symbols = append(symbols, condition.Symbol{Name: fmt.Sprintf("sign_%d", i)})
	}
	symbols = append(symbols, condition.Symbol{Name: "level", Kind: condition.Number})
	env, err := condition.NewEnv(symbols, nil)
	if err != nil {
		t.Fatal(err)
	}
	var s condition.Set
	compile(t, env, `sign_3 or sign_150 and sign_70 or level * level > 2`).Deciding(env.NewCase(), &s)
	if got, want := names(env, s.List()), "sign_3 sign_70 sign_150 level"; got != want {
		t.Errorf("Deciding = %q; want %q", got, want)
	}
	for _, i := range []int{-1, 0, 64, 201, 1000} {
		if s.Has(i) {
			t.Errorf("Has(%d) = true; want false", i)
		}
	}
	s.Add(-1)
	if s.Len() != 4 {
		t.Errorf("Len after Add(-1) = %d; want 4", s.Len())
	}
}

func TestValues(t *testing.T) {
	env := newEnv(t)
	k := newCase(t, env, values{"leaks": true, "plug_color": "oily", "plug_deposits": []string{"white"}, "float_height": [2]float64{0.02, 0.021}})
	c := compile(t, env, `motor_warm or leaks and plug_color in ["wet", "oily"] or "black" in plug_deposits or float_height > mm(22)`)
	want := []condition.Seen{
		{Symbol: index(t, env, "motor_warm")},
		{Symbol: index(t, env, "leaks"), Known: true, Carries: true, Words: 2},
		{Symbol: index(t, env, "plug_color"), Known: true, Carries: true, Words: 2},
		{Symbol: index(t, env, "plug_deposits"), Known: true, Words: 2},
		{Symbol: index(t, env, "float_height"), Known: true, Lo: 0.02, Hi: 0.021},
	}
	got := c.Values(k)
	if len(got) != len(want) {
		t.Fatalf("Values(%v) has %d entries; want %d", c, len(got), len(want))
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("Values(%v)[%d] = %+v; want %+v", c, i, got[i], want[i])
		}
	}
}

func TestFinding(t *testing.T) {
	const no, yes = 1, 2
	tests := []struct {
		src    string
		symbol string // "" if it is no finding
		words  uint64
	}{
		{`leaks`, "leaks", yes},
		{`not leaks`, "leaks", no},
		{`not not leaks`, "leaks", yes},
		{`plug_color == "wet"`, "plug_color", 1},
		{`plug_color != "wet"`, "plug_color", 0b11110},
		{`not (plug_color != "wet")`, "plug_color", 1},
		{`plug_color in ["oily", "tan"]`, "plug_color", 0b10010},
		{`plug_color not in ["oily", "tan"]`, "plug_color", 0b01101},
		{`plug_color == "wet" or plug_color == "oily"`, "plug_color", 0b11},
		{`plug_color != "wet" and plug_color != "oily"`, "plug_color", 0b11100},
		{`band.float_height == "low"`, "band.float_height", 2},
		{`"white" in plug_deposits`, "plug_deposits", 2},
		{`"white" not in plug_deposits`, "", 0},
		{`"white" in plug_deposits or "black" in plug_deposits`, "", 0},
		{`leaks and motor_warm`, "", 0},
		{`leaks and plug_color == "wet"`, "", 0},
		{`cylinders == 2`, "", 0},
		{`float_height > mm(3)`, "", 0},
		{`plug_color == "wet" and plug_color == "oily"`, "", 0},
		{`plug_color == "wet" or plug_color != "wet"`, "", 0},
		{`leaks or not leaks`, "", 0},
	}
	env := newEnv(t)
	for _, tt := range tests {
		got, ok := compile(t, env, tt.src).Finding()
		if ok != (tt.symbol != "") {
			t.Errorf("Finding(%q) = %v, %v; want %v", tt.src, got, ok, !ok)
			continue
		}
		if ok && (got.Symbol != index(t, env, tt.symbol) || got.Words != tt.words) {
			t.Errorf("Finding(%q) = %s %b; want %s %b", tt.src, env.Symbols()[got.Symbol].Name, got.Words, tt.symbol, tt.words)
		}
	}
}

func TestString(t *testing.T) {
	tests := []struct{ src, want string }{
		{`leaks&&!motor_warm||choke_on`, `leaks and not motor_warm or choke_on`},
		{`leaks and (motor_warm and choke_on)`, `leaks and motor_warm and choke_on`},
		{`leaks and (motor_warm or choke_on)`, `leaks and (motor_warm or choke_on)`},
		{`((leaks))`, `leaks`},
		{`not (leaks or motor_warm)`, `not (leaks or motor_warm)`},
		{`not not leaks`, `leaks`},
		{`not (level_mm > 3)`, `not (level_mm > 3)`},
		{`'wet' == plug_color`, `plug_color == "wet"`},
		{`not (plug_color == "wet")`, `plug_color != "wet"`},
		{"plug_color in [`tan`, 'wet']", `plug_color in ["wet", "tan"]`},
		{`plug_color in ["tan"]`, `plug_color == "tan"`},
		{`plug_color not in ["tan", "wet"]`, `plug_color not in ["wet", "tan"]`},
		{`plug_color in ["wet", "oily", "black"]`, `plug_color not in ["white", "tan"]`},
		{`screw_kind != "air"`, `screw_kind == "fuel"`},
		{`screw_kind in ["air", "fuel"]`, `screw_kind in ["air", "fuel"]`},
		{`screw_kind not in ["fuel", "air"]`, `screw_kind not in ["air", "fuel"]`},
		{`not ("white" in plug_deposits)`, `"white" not in plug_deposits`},
		{`0<level_mm<=3.50`, `0 < level_mm and level_mm <= 3.5`},
		{`level_mm-(cylinders-1)>(2*level_mm)/3`, `level_mm - (cylinders - 1) > 2 * level_mm / 3`},
		{`level_mm-cylinders-1 >= -(level_mm+1)*2`, `level_mm - cylinders - 1 >= -(level_mm + 1) * 2`},
		{`level_mm + (cylinders + 1) > - -2`, `level_mm + (cylinders + 1) > -(-2)`},
		{`+level_mm == 1_000_000e15`, `level_mm == 1e+21`},
		{`level_mm < .000_000_5`, `level_mm < 5e-07`},
		{`ring_area( mm(3),needle_diameter )>disc_area(mm(1+1))`, `ring_area(mm(3), needle_diameter) > disc_area(mm(1 + 1))`},
		{`spec . float_height > mm(3) // a remark`, `spec.float_height > mm(3)`},
	}
	env := newEnv(t)
	for _, tt := range tests {
		got := compile(t, env, tt.src).String()
		if got != tt.want {
			t.Errorf("String of %q = %q; want %q", tt.src, got, tt.want)
		}
		if again := compile(t, env, got).String(); again != got {
			t.Errorf("String of %q = %q; want itself", got, again)
		}
	}
}

func TestReads(t *testing.T) {
	env := newEnv(t)
	c := compile(t, env, `float_height > spec.float_height and leaks and (plug_color == "wet" or float_height > mm(3))`)
	if got, want := names(env, c.Reads()), "leaks plug_color float_height spec.float_height"; got != want {
		t.Errorf("Reads(%v) = %q; want %q", c, got, want)
	}
}

func TestNoAllocations(t *testing.T) {
	env := newEnv(t)
	k := newCase(t, env, values{"leaks": true, "float_height": [2]float64{0.02, 0.021}, "needle_diameter": [2]float64{0.002, 0.003}})
	c := compile(t, env, `leaks and (plug_color in ["wet", "oily"] or "white" in plug_deposits) and float_height / spec.float_height > 1.1
		and ring_area(mm(3), distance(needle_diameter, mm(1))) > disc_area(needle_diameter)`)
	var s condition.Set
	c.Deciding(k, &s) // grows the set
	i := index(t, env, "spec.float_height")
	n := testing.AllocsPerRun(100, func() {
		s.Reset()
		k.SetNumber(i, 0.02, 0.02)
		c.Eval(k)
		c.Deciding(k, &s)
		k.Clear(i)
		c.Eval(k)
		c.Deciding(k, &s)
	})
	if n != 0 {
		t.Errorf("setting, Eval and Deciding: %v allocations; want 0", n)
	}
}
