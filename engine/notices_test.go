package engine_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/rules"
)

// TestStopNotices gives each stop notice of the packs a sheet on which it is raised, and near misses on which it is not.
func TestStopNotices(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	const bike = "sheet: 1\nmachine: {carburetors: [left, right], cylinders: 2}\n"
	tests := []struct {
		id     string
		fires  string
		place  string
		silent []string
	}{
		{"stop-fuel-in-oil", `observed: {fuel_in_oil: "yes"}`, "",
			[]string{`observed: {fuel_in_oil: "no"}`, `observed: {fuel_in_oil: unknown}`, `somewhere: {fuel_overflow: pours}`}},
		{"stop-engine-locked", `observed: {engine_locked: "yes"}`, "",
			[]string{`observed: {engine_locked: "no"}`, `at: {left: {fuel_overflow: pours}}`}},
		{"stop-overflow-and-locked", "observed: {engine_locked: \"yes\"}\nat: {right: {fuel_overflow: drips}}", "right",
			[]string{"observed: {engine_locked: \"yes\"}\nat: {right: {fuel_overflow: dry}}",
				"observed: {engine_locked: \"no\"}\nat: {right: {fuel_overflow: pours}}", `observed: {engine_locked: "yes"}`}},
		{"stop-throttle-sticks", `observed: {throttle_snaps_shut: "no"}`, "",
			[]string{`observed: {throttle_snaps_shut: "yes"}`, `observed: {throttle_slack: "no"}`}},
		{"stop-leak-near-heat", `observed: {leak_danger: near-heat}`, "",
			[]string{`observed: {leak_danger: closed-room}`, `observed: {leak_danger: neither}`, `observed: {parked_leak: with-tap-shut}`}},
		{"stop-leak-indoors", `observed: {leak_danger: closed-room}`, "",
			[]string{`observed: {leak_danger: near-heat}`, `observed: {leak_danger: neither}`, `observed: {fuel_smell: "yes"}`}},
	}
	raised := func(text string) []engine.Stop { return diagnose(t, set, bike+text).Stops }
	is := func(id string) func(engine.Stop) bool { return func(s engine.Stop) bool { return s.ID == id } }
	tested := map[string]bool{}
	for _, tt := range tests {
		tested[tt.id] = true
		t.Run(tt.id, func(t *testing.T) {
			stops := raised(tt.fires)
			i := slices.IndexFunc(stops, is(tt.id))
			if i < 0 {
				t.Fatalf("Diagnose(%s) raises %d notices, none of them %s", tt.fires, len(stops), tt.id)
			}
			if got := stops[i].Place.Name; got != tt.place {
				t.Errorf("Diagnose(%s): the notice is about %q; want %q", tt.fires, got, tt.place)
			}
			if len(stops[i].Because) == 0 || stops[i].Caution == "" || len(stops[i].Cites) == 0 {
				t.Errorf("Diagnose(%s): the notice has %d reasons, caution %q, %d sources; want all of them", tt.fires,
					len(stops[i].Because), stops[i].Caution, len(stops[i].Cites))
			}
			for _, s := range tt.silent {
				if slices.ContainsFunc(raised(s), is(tt.id)) {
					t.Errorf("Diagnose(%s) raises %s; want silence", s, tt.id)
				}
			}
		})
	}
	for _, s := range set.Stops {
		if !tested[s.ID] {
			t.Errorf("no case for %s", s.ID)
		}
	}
}

// TestStopNoticesComeFirst renders a sheet with notices in every format: each notice stands before the first cause.
func TestStopNoticesComeFirst(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	s, _, _ := shopSheet(t, set, "one-side-floods.yaml")
	d, err := engine.Diagnose(set, s, engine.Options{})
	if err != nil || len(d.Stops) == 0 {
		t.Fatalf("Diagnose = %v with %d notices; want some", err, len(d.Stops))
	}
	formats := map[string]func(*bytes.Buffer) error{
		"text":          func(b *bytes.Buffer) error { return report.Text(b, d, set, report.Style{}) },
		"text, details": func(b *bytes.Buffer) error { return report.Text(b, d, set, report.Style{Details: report.Full}) },
		"markdown":      func(b *bytes.Buffer) error { return report.Markdown(b, d, set, report.Style{}) },
	}
	for name, render := range formats {
		var b bytes.Buffer
		if err := render(&b); err != nil {
			t.Fatal(err)
		}
		for _, stop := range d.Stops {
			notice, cause := strings.Index(b.String(), stop.Title), strings.Index(b.String(), d.Ranked[0].Title)
			if notice < 0 || cause < 0 || notice > cause {
				t.Errorf("%s: %q at %d and the first cause at %d; want the notice before it", name, stop.Title, notice, cause)
			}
		}
	}
	data, err := json.Marshal(report.JSON(d, set))
	if err != nil {
		t.Fatal(err)
	}
	var object struct {
		Stop []json.RawMessage
	}
	if err := json.Unmarshal(data, &object); err != nil || len(object.Stop) != len(d.Stops) {
		t.Errorf("JSON: %d notices, %v; want %d", len(object.Stop), err, len(d.Stops))
	}
}
