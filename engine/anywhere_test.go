package engine

import (
	"math"
	"slices"
	"testing"

	"diagnose.example/rules"
)

// Where only some are worked out exactly, the first five must be those that are first when all are, with the same figures.
func TestFirstAreFirst(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	left := 0
	for _, kind := range standardSheets {
		for _, carburetors := range []int{2, 3} {
			sheet := standardSheet(set.Vocabulary, carburetors, kind.asked, kind.abnormal)
			d, err := Diagnose(set, sheet, Options{Explain: -1, Questions: -1, Detail: FirstScreen})
			if err != nil {
				t.Fatal(err)
			}
			if d.Effort.Entries > 2e7 {
				continue
			}
			n, err := networkOf(set, sheet)
			if err != nil {
				t.Fatal(err)
			}
			post, err := n.infer(n.gather().ev, 0)
			if err != nil {
				t.Fatal(err)
			}
			w := &work{network: n, post: post}
			w.instances()
			var all []*Ranked
			for number, places := range w.byNumber {
				if len(places) == 0 {
					continue
				}
				r := &Ranked{Cause: set.Causes[number], Places: places}
				if r.Anywhere, err = w.anywhereAfter(post, places); err != nil {
					t.Fatal(err)
				}
				all = append(all, r)
			}
			slices.SortStableFunc(all, func(a, b *Ranked) int { return Descending(a.Anywhere, b.Anywhere) })
			for i, r := range d.Ranked {
				if i < 5 && (!r.Exact || math.Abs(r.Anywhere-all[i].Anywhere) > 1e-12) {
					t.Errorf("%d carburetors, number %d: %s, %v, exact %v; want %s, %v", carburetors, i+1, r.ID, r.Anywhere, r.Exact, all[i].ID, all[i].Anywhere)
				}
				if !r.Exact {
					left++
				}
			}
		}
	}
	if left == 0 {
		t.Error("all were worked out; the test shows nothing")
	}
}
