package condition_test

import (
	"errors"
	"fmt"

	"diagnose.example/rules/condition"
)

// workshop is a small environment: what can be observed, and the units.
func workshop() (*condition.Env, error) {
	length := condition.Dim{1}
	return condition.NewEnv([]condition.Symbol{
		{Name: "motor_warm"},
		{Name: "plug_color", Kind: condition.Word, Words: []string{"wet", "black", "white", "tan"}},
		{Name: "float_height", Kind: condition.Number, Dim: length, Unit: "mm"},
		{Name: "spec.float_height", Kind: condition.Number, Dim: length, Unit: "mm"},
	}, []condition.Function{
		{Name: "mm", Args: []condition.Dim{{}}, Result: length, Monotone: true, Call: func(a []float64) float64 { return a[0] * 1e-3 }},
	})
}

// A condition is compiled once and evaluated in as many cases as there are places.
func Example() {
	env, err := workshop()
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := env.Compile(`motor_warm and (plug_color == "wet" or float_height > spec.float_height + mm(1))`)
	if err != nil {
		fmt.Println(err)
		return
	}

	k := env.NewCase()
	warm, _ := env.Index("motor_warm")
	spec, _ := env.Index("spec.float_height")
	height, _ := env.Index("float_height")
	k.SetYesNo(warm, true)
	k.SetNumber(spec, 0.022, 0.022)

	var open condition.Set
	fmt.Print(c.Deciding(k, &open), ", asks for")
	for _, i := range open.List() {
		fmt.Print(" ", env.Symbols()[i].Name)
	}
	fmt.Println()

	k.SetNumber(height, 0.0235, 0.0245) // a reading with its uncertainty
	fmt.Println(c.Eval(k))
	for _, v := range c.Values(k) {
		if v.Carries {
			fmt.Println("because of", env.Symbols()[v.Symbol].Name)
		}
	}
	// Output:
	// unknown, asks for plug_color float_height
	// true
	// because of motor_warm
	// because of float_height
	// because of spec.float_height
}

// An error has a position, and mostly says what to write instead.
func ExampleEnv_Compile() {
	env, err := workshop()
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = env.Compile(`plug_color == "blck"`)
	fmt.Println(err)
	_, err = env.Compile(`float_height > spec.float_height + 1`)
	fmt.Println(err)

	var fault *condition.Error
	if errors.As(err, &fault) {
		fmt.Println("column", fault.Column, "hint:", fault.Hint)
	}
	// Output:
	// 1:15: plug_color has no word "blck"
	//     plug_color == "blck"
	//                   ^
	//     write "black"
	// 1:36: spec.float_height is a length, 1 has no unit
	//     float_height > spec.float_height + 1
	//                                        ^
	//     write mm(1)
	// column 36 hint: write mm(1)
}

// A condition about one symbol is a finding: the words that make it true.
func ExampleCondition_Finding() {
	env, err := workshop()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, src := range []string{`plug_color not in ["white", "tan"]`, `not motor_warm`, `float_height > mm(3)`} {
		c, err := env.Compile(src)
		if err != nil {
			fmt.Println(err)
			return
		}
		f, ok := c.Finding()
		fmt.Printf("%v: %v %04b\n", c, ok, f.Words)
	}
	// Output:
	// plug_color in ["wet", "black"]: true 0011
	// not motor_warm: true 0001
	// float_height > mm(3): false 0000
}

// Unknown is not false: its negation is unknown too.
func ExampleTruth() {
	fmt.Println(condition.Unknown.Not())
	fmt.Println(condition.Unknown.And(condition.False))
	fmt.Println(condition.Unknown.Or(condition.False))
	// Output:
	// unknown
	// false
	// unknown
}
