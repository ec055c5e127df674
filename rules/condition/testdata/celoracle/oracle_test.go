package celoracle

import (
	"strings"
	"testing"

	"diagnose.example/rules/condition"
	"diagnose.example/rules/condition/testdata/celoracle/random"
	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/types"
)

// celEnv declares the symbols of the environment in CEL.
func celEnv(t testing.TB, env *condition.Env) *cel.Env {
	t.Helper()
	kinds := map[condition.Kind]*cel.Type{
		condition.YesNo: cel.BoolType, condition.Word: cel.StringType,
		condition.Words: cel.ListType(cel.StringType), condition.Number: cel.DoubleType,
	}
	var options []cel.EnvOption
	for _, s := range env.Symbols() {
		options = append(options, cel.Variable(random.Variable(s.Name), kinds[s.Kind]))
	}
	c, err := cel.NewEnv(options...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func celProgram(t testing.TB, c *cel.Env, src string) cel.Program {
	t.Helper()
	ast, issues := c.Compile(src)
	if issues.Err() != nil {
		t.Fatalf("CEL %s:\n%v", src, issues.Err())
	}
	program, err := c.Program(ast, cel.EvalOptions(cel.OptPartialEval))
	if err != nil {
		t.Fatalf("CEL %s: %v", src, err)
	}
	return program
}

// celFacts says what is known, and names the rest as unknown.
func celFacts(t testing.TB, env *condition.Env, facts random.Facts) cel.PartialActivation {
	t.Helper()
	vars := map[string]any{}
	var unknown []*cel.AttributePatternType
	for _, s := range env.Symbols() {
		if v, ok := facts[s.Name]; ok {
			vars[random.Variable(s.Name)] = v
		} else {
			unknown = append(unknown, cel.AttributePattern(random.Variable(s.Name)))
		}
	}
	activation, err := cel.PartialVars(vars, unknown...)
	if err != nil {
		t.Fatal(err)
	}
	return activation
}

// celTruth returns the truth and, of an unknown, the names that CEL gives.
func celTruth(t testing.TB, program cel.Program, activation cel.PartialActivation) (condition.Truth, map[string]bool) {
	t.Helper()
	v, _, err := program.Eval(activation)
	if err != nil {
		t.Fatal(err)
	}
	unknown, ok := v.(*types.Unknown)
	switch {
	case !ok && v == types.True:
		return condition.True, nil
	case !ok && v == types.False:
		return condition.False, nil
	case !ok:
		t.Fatalf("CEL gives %v", v)
	}
	names := map[string]bool{}
	for _, id := range unknown.IDs() {
		trails, _ := unknown.GetAttributeTrails(id)
		for _, trail := range trails {
			names[trail.Variable()] = true
		}
	}
	return condition.Unknown, names
}

// TestAgainstCEL compares 2,500 random conditions in 20 cases each, 50,000 pairs,
// in truth, and the deciding sets of all that are unknown.
func TestAgainstCEL(t *testing.T) {
	const conditions, cases = 2500, 20
	env, err := random.Env()
	if err != nil {
		t.Fatal(err)
	}
	c, p := celEnv(t, env), random.New(1)
	k := env.NewCase()
	counts := map[condition.Truth]int{}
	differentTruth, sets, differentSet := 0, 0, 0
	for range conditions {
		form := p.Condition(3)
		ours, err := env.Compile(form.String())
		if err != nil {
			t.Fatalf("Compile(%q):\n%v", form, err)
		}
		program := celProgram(t, c, form.CEL())
		for range cases {
			facts := p.Facts(p(100))
			if err := facts.Fill(env, k); err != nil {
				t.Fatal(err)
			}
			var open condition.Set
			got := ours.Deciding(k, &open)
			want, names := celTruth(t, program, celFacts(t, env, facts))
			counts[got]++
			if got != want {
				differentTruth++
				t.Errorf("%q in %v: %v; CEL %v", form, facts, got, want)
			}
			if want != condition.Unknown || got != condition.Unknown {
				continue
			}
			sets++
			if !sameSet(env, &open, names) {
				differentSet++
				t.Errorf("%q in %v: deciding set %v; CEL %v", form, facts, open.List(), names)
			}
			if differentTruth+differentSet > 10 {
				t.FailNow()
			}
		}
	}
	total := counts[condition.False] + counts[condition.Unknown] + counts[condition.True]
	t.Logf("%d pairs: %d false, %d unknown, %d true; %d differ; %d deciding sets: %d differ",
		total, counts[condition.False], counts[condition.Unknown], counts[condition.True], differentTruth, sets, differentSet)
	if total != conditions*cases || min(counts[condition.False], counts[condition.Unknown], counts[condition.True]) < total/10 {
		t.Errorf("%d pairs, %v; want %d, a tenth of each truth at least", total, counts, conditions*cases)
	}
}

func sameSet(env *condition.Env, open *condition.Set, names map[string]bool) bool {
	if open.Len() != len(names) {
		return false
	}
	for _, i := range open.List() {
		if !names[strings.ReplaceAll(env.Symbols()[i].Name, ".", "_")] {
			return false
		}
	}
	return true
}
