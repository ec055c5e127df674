package report

import (
	"slices"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

func TestChanges(t *testing.T) {
	d := &engine.Diagnosis{Sheet: &symptoms.Sheet{}}
	for _, c := range []struct {
		id string
		p  float64
	}{{"needle", 0.5}, {"float", 0.4}, {"jet", 0.05}} {
		d.Ranked = append(d.Ranked, &engine.Ranked{Cause: &rules.Cause{ID: c.id, Title: "The " + c.id}, Anywhere: c.p})
	}
	likely := func(id string, p float64) engine.Likely {
		return engine.Likely{ID: id, Title: "The " + id, Anywhere: p}
	}
	cases := []struct {
		name string
		top  []engine.Likely
		want []string
	}{
		{"nothing moves", []engine.Likely{likely("needle", 0.51), likely("float", 0.39)}, nil},
		{"largest first", []engine.Likely{likely("needle", 0.6), likely("float", 0.1)}, []string{"the float 40 % -> 10 %", "the needle 50 % -> 60 %"}},
		{"one drops out", []engine.Likely{likely("needle", 0.5), likely("jet", 0.07)}, []string{"the float 40 % -> 7 % or less", "the jet 5 % -> 7 %"}},
		{"no answer", nil, nil},
	}
	v := newView(d, nil, Style{})
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := v.changes(engine.Answer{Top: c.top})
			for i := range got {
				got[i] = spaced(got[i])
			}
			if !slices.Equal(got, c.want) && len(got)+len(c.want) > 0 {
				t.Errorf("changes(%v) = %q; want %q", c.top, got, c.want)
			}
		})
	}
}

// TestStopNoticesAreGathered: one notice for a condition that holds at several places, with all of them named.
func TestStopNoticesAreGathered(t *testing.T) {
	at := func(id, place, because string) engine.Stop {
		return engine.Stop{
			Stop:  &rules.Stop{ID: id, Title: "Stop " + id},
			Place: engine.Place{Level: symptoms.Carburetor, Name: place}, Because: []string{because},
		}
	}
	d := &engine.Diagnosis{
		Sheet: &symptoms.Sheet{Machine: symptoms.Machine{Carburetors: []string{"1", "2", "3"}}},
		Stops: []engine.Stop{at("flood", "1", "a"), at("oil", "2", "b"), at("flood", "3", "a"), at("flood", "2", "c")},
	}
	got := newView(d, nil, Style{}).stopNotices()
	if len(got) != 2 {
		t.Fatalf("stopNotices = %d notices; want 2", len(got))
	}
	if want := " at carburetor 1, carburetor 3 and carburetor 2"; spaced(got[0].places) != want {
		t.Errorf("places of the first = %q; want %q", got[0].places, want)
	}
	if want := []string{"a", "c"}; !slices.Equal(got[0].because, want) {
		t.Errorf("reasons of the first = %q; want %q", got[0].because, want)
	}
}

func TestLowerFirst(t *testing.T) {
	for in, want := range map[string]string{
		"Float leaks": "float leaks", "CO is high": "CO is high", "O-ring is flat": "O-ring is flat", "A valve": "a valve", "": "",
		"Über": "über", "5 mm": "5 mm",
	} {
		if got := lowerFirst(in); got != want {
			t.Errorf("lowerFirst(%q) = %q; want %q", in, got, want)
		}
	}
}
