package report

import (
	"cmp"
	"math"
	"slices"

	"diagnose.example/engine"
)

// leastChange is the difference of a chance that is worth telling: two percent.
const leastChange = 0.02

// change is what an answer does to the chance of one cause.
type change struct {
	text string
	by   float64
}

// changes says what an answer would do to the likeliest causes, the largest change first: "float leaks 41 % -> 88 %". An
// answer names only the likeliest causes after it; one that is no longer among them has at most the chance of the last.
func (v *view) changes(a engine.Answer) []string {
	var list []change
	add := func(title string, before, after float64, most string) {
		if by := math.Abs(after - before); by >= leastChange {
			list = append(list, change{lowerFirst(oneLine(title)) + " " + percent(before) + " ->" + nbsp + percent(after) + most, by})
		}
	}
	last := 1.0
	for _, l := range a.Top {
		last = min(last, l.Anywhere)
		i := slices.IndexFunc(v.d.Ranked, func(r *engine.Ranked) bool { return r.ID == l.ID })
		if i >= 0 {
			add(l.Title, v.d.Ranked[i].Anywhere, l.Anywhere, "")
		}
	}
	for _, r := range v.d.Ranked[:min(len(a.Top), len(v.d.Ranked))] {
		gone := !slices.ContainsFunc(a.Top, func(l engine.Likely) bool { return l.ID == r.ID })
		if gone && r.Anywhere > last {
			add(r.Title, r.Anywhere, last, " or less")
		}
	}
	slices.SortStableFunc(list, func(x, y change) int { return cmp.Compare(y.by, x.by) })
	out := make([]string, len(list))
	for i, c := range list {
		out[i] = c.text
	}
	return out
}
