package rules

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func lintText(found []Lint) string {
	var b strings.Builder
	for _, l := range found {
		fmt.Fprintln(&b, l)
	}
	return b.String()
}

func TestLint(t *testing.T) {
	for _, name := range []string{"flooding", "doubtful"} {
		t.Run(name, func(t *testing.T) {
			s, err := Load(small(t), []File{{Name: name + ".yaml", Data: readFile(t, "testdata/"+name+".yaml")}})
			if err != nil {
				t.Fatal(err)
			}
			golden(t, name+".lint.golden", lintText(s.Lint()))
		})
	}
}

// shared builds a pack with trunk effects that reach into carburetors, and summary effects made in carburetors.
func shared(trunk, summaries int) string {
	var b strings.Builder
	b.WriteString("pack: shared\ntext: generated\neffects:\n")
	effect := func(id, about, makes string) {
		fmt.Fprintf(&b, "  - {id: %s, title: t, about: %s, %sotherwise: seldom, cites: [{source: common-practice, for: nothing}]}\n", id, about, makes)
	}
	letters := func(n int) string { return strings.Repeat("a", n+1) }
	for i := range trunk {
		effect("trunk-"+letters(i), "machine", "makes: {local: often}, ")
	}
	var makes []string
	for i := range summaries {
		effect("summary-"+letters(i), "machine", "")
		makes = append(makes, "summary-"+letters(i)+": often")
	}
	effect("local", "carburetor", "makes: {"+strings.Join(makes, ", ")+"}, ")
	return b.String()
}

func TestLintShapeBudget(t *testing.T) {
	tests := []struct {
		trunk, summaries int
		want             []string
	}{
		{7, 9, nil},
		{8, 1, []string{"8 shared causes and effects reach into carburetors, 7 is the most"}},
		{1, 10, []string{"10 effects of the whole machine sum up carburetors or cylinders, 9 is the most"}},
		{8, 10, []string{"8 shared", "10 effects"}},
	}
	for _, tt := range tests {
		s, err := Load(small(t), []File{{Name: "p", Data: []byte(shared(tt.trunk, tt.summaries))}})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, l := range s.Lint() {
			if strings.Contains(l.Message, "is the most") {
				got = append(got, l.Message)
			}
		}
		if len(got) != len(tt.want) {
			t.Errorf("%d trunk, %d summaries: %q; want %q", tt.trunk, tt.summaries, got, tt.want)
			continue
		}
		for i, w := range tt.want {
			if !strings.HasPrefix(got[i], w) {
				t.Errorf("%d trunk, %d summaries: %q; want %q", tt.trunk, tt.summaries, got[i], w)
			}
		}
	}
}

// TestExpectedFaults sums by hand: flooding has 1/2 about the machine and 1/50 + 1/25 + 1/100 + 1/20 about each carburetor,
// the 1/100 only in carburetors of one construction, so half of it.
func TestExpectedFaults(t *testing.T) {
	s := flooding(t)
	for _, k := range []int{1, 2, 4, 6} {
		want := 0.5 + float64(k)*(0.02+0.04+0.01/2+0.05)
		if got := s.ExpectedFaults(k); math.Abs(got-want) > 1e-12 {
			t.Errorf("ExpectedFaults(%d) = %v; want %v", k, got, want)
		}
	}
}

// TestExpectedFaultsLeavesOut is about a cause of two-strokes only, which a four-stroke cannot have.
func TestExpectedFaultsLeavesOut(t *testing.T) {
	s, err := Load(small(t), []File{{Name: "doubtful.yaml", Data: readFile(t, "testdata/doubtful.yaml")}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := s.ExpectedFaults(1), 1.0/3; math.Abs(got-want) > 1e-12 {
		t.Errorf("ExpectedFaults(1) = %v; want %v", got, want)
	}
}
