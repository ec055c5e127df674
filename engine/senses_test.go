package engine

import (
	"slices"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// TestSensesAreKnown holds the names and words of the table to the vocabulary.
func TestSensesAreKnown(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	known := func(s symptoms.Said) {
		o, ok := set.Vocabulary.Lookup(s.ID)
		if !ok {
			t.Errorf("%s is no observation or fact", s.ID)
			return
		}
		for _, w := range s.Words {
			if _, err := symptoms.ParseValue(o, w); err != nil {
				t.Errorf("%s: %v", s.ID, err)
			}
		}
	}
	for _, s := range senses() {
		for _, id := range s.ask {
			known(is(id))
		}
		for _, x := range slices.Concat(s.after, s.until) {
			known(x)
		}
		if len(s.after)+len(s.until) == 0 {
			t.Errorf("%v: neither after nor until", s.ask)
		}
	}
	for _, s := range LeakSigns() {
		known(s)
	}
}

func TestIdle(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name, sheet, id string
		want            bool
	}{
		{"it runs, so it starts", "observed: {idle_speed: 1000 rpm}", "start_attempt", true},
		{"it idles, so it starts", "observed: {idle_report: steady}", "start_attempt", true},
		{"nothing was said of running", "observed: {fuel_smell: yes}", "start_attempt", false},
		{"it does not start, so nobody knows how it idles", "observed: {start_attempt: no-fire}", "idle_report", true},
		{"it never faded, so nothing helps against that", "observed: {idle_report: steady}", "reserve_helps", true},
		{"it faded", "observed: {fades_at_speed: yes}", "reserve_helps", false},
		{"a single cylinder is not compared", "machine: {cylinders: 1}", "cylinder_cut_out", true},
		{"a twin is", "machine: {cylinders: 2}", "cylinder_cut_out", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, err := symptoms.Decode("s", []byte("sheet: 1\n"+tt.sheet+"\n"), set.Vocabulary, symptoms.DecodeOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if got := Idle(s, tt.id); got != tt.want {
				t.Errorf("Idle(%s, %s) = %t; want %t", tt.sheet, tt.id, got, tt.want)
			}
		})
	}
}
