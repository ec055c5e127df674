package engine_test

import (
	"fmt"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// shopSheets is where the sheets of the invented shop are. The first line of each names the true cause and its place.
const shopSheets = "../testdata/sheets/"

var trueCause = regexp.MustCompile(`^# True cause: ([a-z-]+)`)

// shopSheet loads a sheet of the shop and its true cause, "" when its first line says that none is known.
func shopSheet(t *testing.T, set *rules.Set, name string) (s *symptoms.Sheet, cause, firstLine string) {
	t.Helper()
	data := read(t, shopSheets+name)
	s, err := symptoms.Decode(name, data, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
	if err != nil {
		t.Fatal(err)
	}
	firstLine, _, _ = strings.Cut(string(data), "\n")
	if m := trueCause.FindStringSubmatch(firstLine); m != nil {
		if _, ok := set.Cause(m[1]); ok {
			cause = m[1]
		}
	}
	return s, cause, firstLine
}

func ranked(t *testing.T, set *rules.Set, s *symptoms.Sheet) []*engine.Ranked {
	t.Helper()
	d, err := engine.Diagnose(set, s, engine.Options{Explain: -1, Questions: -1})
	if err != nil {
		t.Fatal(err)
	}
	return d.Ranked
}

// first asserts that a cause leads a ranking, by its probability of being present somewhere.
func first(t *testing.T, what string, got []*engine.Ranked, want string) {
	t.Helper()
	if got[0].ID != want {
		t.Errorf("%s: %s leads with %.3f, then %s with %.3f; want %s", what, got[0].ID, got[0].Anywhere, got[1].ID, got[1].Anywhere, want)
	}
}

// TestShopSheets holds every sheet whose true cause is known to that cause, at the place where it is.
func TestShopSheets(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob(shopSheets + "*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("Glob(%s) = %v, %v; want sheets", shopSheets, paths, err)
	}
	for _, p := range paths {
		name := filepath.Base(p)
		t.Run(name, func(t *testing.T) {
			s, cause, firstLine := shopSheet(t, set, name)
			if cause == "" {
				if !strings.HasPrefix(firstLine, "# True cause: not known") {
					t.Fatalf("%s begins with %q; want a true cause", name, firstLine)
				}
				return
			}
			got := ranked(t, set, s)
			first(t, name, got, cause)
			if at := got[0].Places[0].Place.Name; len(s.Machine.Carburetors) > 1 && !strings.Contains(firstLine, at) {
				t.Errorf("%s: %s is likeliest at %q; want the place of %q", name, cause, at, firstLine)
			}
		})
	}
}

// mostDiffering is the largest number of observations in which the two bikes of a pair differ.
const mostDiffering = 3

// TestPairs takes bikes with the same complaint and another cause. They are alike but for a few observations, and those alone
// turn the ranking round.
func TestPairs(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ complaint, one, other string }{
		{"floods", "one-side-floods.yaml", "one-side-floods-is-dirt.yaml"},
		{"floods and runs rich", "leaking-float.yaml", "leaking-float-is-the-valve.yaml"},
		{"idles weak on one side", "lean-idle.yaml", "lean-idle-is-tight-valves.yaml"},
		{"fades when held open", "single-height-too-low.yaml", "single-height-too-low-is-the-tank-vent.yaml"},
		{"rich idle since the rebuild", "missing-idle-plug.yaml", "missing-idle-plug-is-the-choke.yaml"},
	}
	for _, tt := range tests {
		t.Run(tt.complaint, func(t *testing.T) {
			one, oneCause, _ := shopSheet(t, set, tt.one)
			other, otherCause, _ := shopSheet(t, set, tt.other)
			if oneCause == "" || otherCause == "" || oneCause == otherCause {
				t.Fatalf("true causes %q and %q; want two", oneCause, otherCause)
			}
			alike(t, one, other)
			differ := differing(one, other)
			if n := len(differ); n == 0 || n > mostDiffering {
				t.Errorf("%s and %s differ in %d observations: %v; want 1 to %d", tt.one, tt.other, n, differ, mostDiffering)
			}
			first(t, tt.one, ranked(t, set, one), oneCause)
			first(t, tt.other, ranked(t, set, other), otherCause)
			first(t, tt.one+" with the differing observations of "+tt.other, ranked(t, set, flipped(one, other, differ)), otherCause)
			first(t, tt.other+" with the differing observations of "+tt.one, ranked(t, set, flipped(other, one, differ)), oneCause)
		})
	}
}

// alike asserts that nothing but observations tells two bikes apart.
func alike(t *testing.T, one, other *symptoms.Sheet) {
	t.Helper()
	type known struct {
		Machine symptoms.Machine
		History []string
		Facts   []string
		Tried   []string
	}
	of := func(s *symptoms.Sheet) known {
		k := known{Machine: s.Machine, History: s.History}
		for _, f := range s.Machine.Facts {
			k.Facts = append(k.Facts, keyOf(f)+" "+f.Value.Text)
		}
		for _, tr := range s.Tried {
			k.Tried = append(k.Tried, fmt.Sprint(tr.Did, " ", tr.At, " ", tr.After))
		}
		k.Machine.Facts = nil
		return k
	}
	if a, b := of(one), of(other); !reflect.DeepEqual(a, b) {
		t.Errorf("the bikes differ in what is no observation:\n%+v\n%+v", a, b)
	}
}

// keyOf names an observation and where it was made.
func keyOf(r symptoms.Reading) string {
	return fmt.Sprint(r.Observation.ID, "@", r.Place, "/", r.Scope)
}

// differing lists the observations that two sheets answer differently, or only one of them.
func differing(one, other *symptoms.Sheet) []string {
	answers := func(s *symptoms.Sheet) map[string]symptoms.Value {
		m := map[string]symptoms.Value{}
		for _, r := range s.Readings {
			v := r.Value
			v.Text = ""
			m[keyOf(r)] = v
		}
		return m
	}
	a, b := answers(one), answers(other)
	var out []string
	for k, v := range a {
		if w, ok := b[k]; !ok || !reflect.DeepEqual(v, w) {
			out = append(out, k)
		}
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return out
}

// flipped is a sheet with some observations answered as on another one.
func flipped(s, as *symptoms.Sheet, keys []string) *symptoms.Sheet {
	out := *s
	out.Readings = nil
	for _, r := range s.Readings {
		if !slices.Contains(keys, keyOf(r)) {
			out.Readings = append(out.Readings, r)
		}
	}
	for _, r := range as.Readings {
		if slices.Contains(keys, keyOf(r)) {
			out.Readings = append(out.Readings, r)
		}
	}
	return &out
}
