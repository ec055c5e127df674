package rules

import (
	"strings"
	"testing"
)

// TestExamples runs the cases of every rule of the program.
func TestExamples(t *testing.T) {
	s, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Rules) == 0 {
		t.Fatal("no rules")
	}
	for _, r := range s.Rules {
		t.Run(r.ID, func(t *testing.T) {
			if err := s.RunExamples(r); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestRunExamples(t *testing.T) {
	s := flooding(t)
	for _, r := range s.Rules {
		if err := s.RunExamples(r); err != nil {
			t.Errorf("RunExamples(%s) = %v; want none", r.ID, err)
		}
	}
}

// TestRunExamplesWrong gives a rule cases that must not pass.
func TestRunExamplesWrong(t *testing.T) {
	s := flooding(t)
	value := func(name string, words ...string) ExampleValue { return ExampleValue{Name: name, Words: words} }
	of := func(values ...ExampleValue) []Example { return []Example{{Values: values}} }
	warm, cold := value("engine_warm", "yes"), value("engine_warm", "no")
	dead, alive := value("screw_answers", "no"), value("screw_answers", "yes")
	fires, silent := of(warm, dead), of(warm, alive)
	tests := []struct {
		name          string
		fires, silent []Example
		want          string
	}{
		{"right", fires, silent, ""},
		{"no cases", nil, nil, "no case in which it fires;no case in which it stays silent"},
		{"only firing", fires, nil, "no case in which it stays silent"},
		{"only silent", nil, silent, "no case in which it fires"},
		{"circumstance missing", of(dead), silent, "does not fire: given is unknown"},
		{"circumstance false", of(cold, dead), silent, "does not fire: given is false"},
		{"finding false", of(warm, alive), silent, "does not fire: when is false"},
		{"finding missing", of(warm), silent, "does not fire: when is unknown"},
		{"fires all the same", fires, of(warm, dead), "fires, and should be silent"},
		{"no near miss", fires, of(value("oil_level_risen", "no")), "is silent only because it gives nothing that the rule reads"},
		{"unknown observation", of(value("screw")), silent, `unknown observation "screw"`},
		{"wrong value", of(value("engine_warm", "hot")), silent, `engine_warm: engine_warm is answered by yes or no, not "hot"; write yes or no`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := *must(s.Rule("screw-without-answer"))(t)
			r.Fires, r.Silent = tt.fires, tt.silent
			var got []string
			if errs, ok := s.RunExamples(&r).(ErrorList); ok {
				for _, e := range errs {
					got = append(got, e.Message)
				}
			}
			if g := strings.Join(got, ";"); g != tt.want {
				t.Errorf("RunExamples = %q; want %q", g, tt.want)
			}
		})
	}
}

// must returns a looked-up record, and fails the test when there is none.
func must[T any](v *T, ok bool) func(testing.TB) *T {
	return func(t testing.TB) *T {
		t.Helper()
		if !ok {
			t.Fatal("no such record")
		}
		return v
	}
}
