package engine

import (
	"os"
	"testing"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// A rider who says yes to everything is the widest sheet there is. At four carburetors nothing is set aside for it, and its first screen does
// with few inferences more: a reason each, and questions by their estimates.
func TestWidestRider(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds")
	}
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	rider := standardSheets[0]
	d, err := Diagnose(set, standardSheet(set.Vocabulary, 4, rider.asked, rider.abnormal), Options{Detail: FirstScreen, Questions: 3})
	if err != nil {
		t.Fatal(err)
	}
	if d.Effort.Entries <= longEntries || len(d.Effort.SetAside) > 0 {
		t.Errorf("%g table entries and %d answers set aside; want more than %g and none", d.Effort.Entries, len(d.Effort.SetAside), longEntries)
	}
	for _, r := range d.Ranked[:5] {
		if !r.Exact || len(r.For)+len(r.Against) == 0 {
			t.Errorf("%s: exact %v, %d reasons for and %d against; want an exact one with a reason", r.ID, r.Exact, len(r.For), len(r.Against))
		}
	}
	if len(d.Unasked) == 0 {
		t.Error("no question")
	}
	for _, q := range d.Unasked {
		if !q.Estimated {
			t.Errorf("the answers of %s were worked out; want its estimate", q.Observation.ID)
		}
	}
}

// Some sheets tempt the search for an order of work into tables that would be four times as large as need be.
func TestDearOrder(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	const path, most = "testdata/dear-order.yaml", 6e7
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := symptoms.Decode(path, text, set.Vocabulary, symptoms.DecodeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	n, err := networkOf(set, sheet)
	if err != nil {
		t.Fatal(err)
	}
	s, err := belief.Plan(n.net, n.gather().ev, belief.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s.Cost() > most {
		t.Errorf("%g table entries; want %g at most", s.Cost(), float64(most))
	}
}
