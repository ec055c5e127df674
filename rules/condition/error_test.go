package condition_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"diagnose.example/rules/condition"
)

// faulty are conditions with one fault each; testdata/errors.golden has the whole
// text of every error.
var faulty = []string{
	// Nothing to evaluate.
	``, "  \n\t", `// a comment alone`, `true`, `3 > 2`, `"wet"`, `["wet"]`, `leaks or false`, `leaks == true`, `leaks != true`, `false == motor_warm`,
	`(leaks and motor_warm) == true`,
	// Not yes or no.
	`float_height`, `spec.float_height + mm(1)`, `cylinders`, `plug_color`, `plug_deposits`, `leaks and float_height`,
	`not plug_color`, `plug_color == "wet" or "black"`, `mm(3)`, `-level_mm`,
	// Names.
	`float_hieght > mm(3)`, `laeks`, `leaks and\n  flot`, `spec.flote > mm(3)`, `spec > 3`, `spec`, `mm > 3`, `leaks.motor_warm`,
	`spec.float_height.x > mm(1)`, `leaks?.x`, `spec["float_height"] > mm(1)`, `$env.leaks`, `leaks(1)`, `spec.mm(3) > mm(1)`, `after-rebuild`,
	// Words.
	`plug_color == "blck"`, `plug_color == "purple"`, `plug_color in ["tan", "wite"]`, `plug_color in ["tan", "tan"]`, `plug_color in []`,
	`plug_color in [tan]`, `plug_color in [1, 2]`, `plug_color == wet`, `plug_color == weet`, `plug_color == screw_kind`, `plug_color == 3`, `plug_color > "tan"`,
	`plug_color in "tan"`, `plug_color in screw_kind`, `"wet" in plug_color`, `"wet" == "wet"`, `"wet" in ["wet"]`, `band.float_height == "hihg"`,
	`plug_color == leaks`, `plug_color == ["wet", "tan"]`, `float_height == ["low"]`, `leaks == ["a"]`, `["a"] in plug_deposits`, `leaks > 3`, `leaks > motor_warm`, `plug_deposits == "white"`, `"white" == plug_deposits`, `plug_deposits == ["white"]`, `plug_deposits in ["white"]`, `"whit" in plug_deposits`,
	`plug_deposits != plug_color`, `float_height == "low"`, `idle_speed == "low"`, `float_height in ["low"]`, `cylinders in [2, 4]`, `leaks in ["yes"]`, `leaks == "yes"`, `leaks == motor_warm`,
	`not plug_color == "wet"`, `not plug_color in ["wet"]`, `not float_height > mm(3)`, `b"wet" == plug_color`, `plug_color == "wet`,
	// Numbers and units.
	`float_height > 3`, `3 < float_height`, `float_height > spec.float_height + 1`, `float_height - 0.5 > spec.float_height`, `idle_speed < 900`, `disc_area(3) > disc_area(mm(2))`,
	`float_height > idle_speed`, `float_height + idle_speed > mm(3)`, `float_height * float_height > mm(3)`, `float_height / spec.float_height > mm(1)`, `cylinders == mm(2)`,
	`mm(float_height) > mm(3)`, `mm(leaks) > mm(3)`, `mm("3") > mm(3)`, `mm() > mm(3)`, `float_height > mm(22,5)`, `distance(float_height) > mm(3)`, `disc_area(idle_speed) > disc_area(mm(3))`,
	`float_height > 3mm`, `float_height > 3 mm`, `float_height > 1_000furlong`, `float_height > mm(1e999)`, `cylinders > 99999999999999999999`, `cylinders > 0x10`, `cylinders > 1e`,
	`float_height / 0 > mm(3)`, `float_height > mm(1e308 * 10)`, `root(-1) < cylinders`, `leaks + 1 > 2`, `cylinders + "2" > 3`, `cylinders - (leaks and motor_warm) > 1`, `-leaks`, `cylinders + [1] > 2`,
	`level_mm * ` + strings.Repeat("float_height * ", 12) + `float_height > 1`,
	// What expr has and this language does not.
	`leaks ? motor_warm : choke_on`, `leaks ?? motor_warm`, `let x = 3; cylinders > x`, `if leaks { motor_warm } else { choke_on }`, `cylinders in 1..4`, `cylinders ** 2 > 4`, `cylinders ^ 2 > 4`,
	`cylinders % 2 == 0`, `plug_color matches "w.*"`, `plug_color contains "w"`, `plug_color startsWith "w"`, `leaks | motor_warm`, `leaks & motor_warm`, `leaks; motor_warm`,
	`any(plug_deposits, # == "white")`, `any(plug_deposits, {true})`, `map(plug_deposits, # > 1)`, `len(plug_deposits) > 1`, `all(leaks)`, `mn(3) > float_height`, `leaks == nil`, `plug_color != null`, `{"a": 1} == leaks`, `::mm(3) > float_height`,
	`#`, `plug_deposits[0] == "white"`, `plug_color in ["wet"][0:1]`,
	// Slips.
	`plug_color = "wet"`, `leaks AND motor_warm`, `NOT leaks`, `plug_color is "wet"`, `leaks and`, `leaks and (motor_warm or choke_on`, `leaks)`, `leaks motor_warm`, `float_height >`, `float_height > > mm(3)`, `and leaks`,
	`plug_color in ["wet" "tan"]`, `float_height => mm(3)`, `float_height ≥ mm(3)`, `plug_color == “wet”`, `level_mm × 2 > 3`, `leaks @ 3`, `/* leaks`, `plug_color == "\q"`,
	// Wide runes and tabs before the fault, several lines.
	`plug_color == "濡れ"`, `/* 濡れ 🔥 */ flot`, "/* e\u0301 */ flot", "leaks and\n\t(motor_warm or\n\t flot > 3)\nand choke_on", "leaks\tand flot",
	// Size.
	`leaks` + strings.Repeat(" or leaks", 250), `leaks` + strings.Repeat(" or leaks", 64), strings.Repeat("leaks and (choke_on or ", 22) + "leaks" + strings.Repeat(")", 22),
}

func TestErrors(t *testing.T) {
	env := newEnv(t)
	var got strings.Builder
	for _, src := range faulty {
		src = strings.ReplaceAll(src, `\n`, "\n")
		_, err := env.Compile(src)
		var e *condition.Error
		if !errors.As(err, &e) {
			t.Errorf("Compile(%q) = %v; want a *condition.Error", src, err)
			continue
		}
		fmt.Fprintf(&got, "%s\n\n", clip(e.Error()))
	}
	golden := filepath.Join("testdata", "errors.golden")
	if *update {
		if err := os.WriteFile(golden, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	compareBlocks(t, got.String(), string(want))
}

// TestLimits: what just fits is compiled.
func TestLimits(t *testing.T) {
	env := newEnv(t)
	for _, src := range []string{
		`leaks` + strings.Repeat(" or leaks", 63),
		strings.Repeat(" ", 1995) + `leaks`,
		strings.Repeat("(", 997) + `leaks` + strings.Repeat(")", 997),
		strings.Repeat("!", 1995) + `leaks`,
		`level_mm * ` + strings.Repeat("float_height * ", 11) + `float_height / ` + strings.Repeat("float_height / ", 11) + `float_height > 1`,
	} {
		compile(t, env, src)
	}
}

// clip shortens lines for the golden file.
func clip(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if len(line) > 250 {
			lines[i] = line[:250] + " …"
		}
	}
	return strings.Join(lines, "\n")
}

func compareBlocks(t *testing.T, got, want string) {
	t.Helper()
	g, w := strings.Split(got, "\n\n"), strings.Split(want, "\n\n")
	for i := range max(len(g), len(w)) {
		var gi, wi string
		if i < len(g) {
			gi = g[i]
		}
		if i < len(w) {
			wi = w[i]
		}
		if gi != wi {
			t.Errorf("error %d:\n%s\nwant\n%s", i+1, gi, wi)
		}
	}
}
