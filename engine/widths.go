package engine

import (
	"fmt"
	"math"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// WidthRow says what one of the standard sheets costs on a machine with some number of carburetors.
type WidthRow struct {
	Sheet       string // "rider", "intake", "all normal"
	Carburetors int
	// Width is the largest number of open bits, Entries the table entries touched, Findings the entries of evidence.
	Width    int
	Entries  float64
	Findings int
	// Budget is the width above which exact inference is no longer interactive.
	Budget int
}

// budgets are the widths that the knowledge must stay within, by number of carburetors.
var budgets = []struct{ carburetors, width int }{{1, 20}, {2, 20}, {4, 22}, {6, 24}}

// standardSheets are the sheets whose width is watched. On the first two what the rider tells is that everything is wrong, at
// the first place where it has one; the rest is normal.
var standardSheets = []struct {
	name     string
	asked    func(*symptoms.Observation) bool
	abnormal func(*symptoms.Observation) bool
}{
	{"rider", isFrom(symptoms.Rider), isFrom(symptoms.Rider)},
	{"intake", isFrom(symptoms.Rider, symptoms.LookOver), isFrom(symptoms.Rider)},
	{"all normal", isFrom(symptoms.Rider, symptoms.LookOver, symptoms.Bench, symptoms.Running), isFrom()},
}

func isFrom(whos ...symptoms.Who) func(*symptoms.Observation) bool {
	return func(o *symptoms.Observation) bool {
		for _, w := range whos {
			if o.Who == w {
				return true
			}
		}
		return false
	}
}

// Widths measures the standard sheets at 1, 2, 4 and 6 carburetors.
func Widths(set *rules.Set) ([]WidthRow, error) {
	know, err := newKnowledge(set)
	if err != nil {
		return nil, err
	}
	var out []WidthRow
	for _, std := range standardSheets {
		for _, b := range budgets {
			n, err := newNetwork(know, standardSheet(set.Vocabulary, b.carburetors, std.asked, std.abnormal))
			if err != nil {
				return nil, err
			}
			g := n.gather()
			s, err := belief.Plan(n.net, g.ev, belief.Options{Limit: math.Inf(1)})
			if err != nil {
				return nil, err
			}
			out = append(out, WidthRow{std.name, b.carburetors, s.Width(), s.Cost(), g.ev.Len(), b.width})
		}
	}
	return out, nil
}

// standardSheet answers every question asked for, on a machine with one cylinder a carburetor.
func standardSheet(v *symptoms.Vocabulary, carburetors int, asked, abnormal func(*symptoms.Observation) bool) *symptoms.Sheet {
	s := &symptoms.Sheet{Path: "standard sheet"}
	m := &s.Machine
	for i := range carburetors {
		m.Carburetors = append(m.Carburetors, fmt.Sprint(i+1))
		m.Feeds = append(m.Feeds, i)
	}
	m.Cylinders = m.Carburetors
	m.Strokes = 4
	for _, o := range v.All() {
		if o.Where != symptoms.Observed || !asked(o) {
			continue
		}
		if o.About == symptoms.WholeMachine {
			s.Readings = append(s.Readings, answered(o, "", abnormal(o))...)
			continue
		}
		for i, place := range m.Places(o.About) {
			s.Readings = append(s.Readings, answered(o, place, abnormal(o) && i == 0)...)
		}
	}
	return s
}

// answered gives an observation its normal answer, or the abnormal one that hides most.
func answered(o *symptoms.Observation, place string, abnormal bool) []symptoms.Reading {
	r := symptoms.Reading{Observation: o, Place: place, Scope: symptoms.Whole}
	if place != "" {
		r.Scope = symptoms.At
	}
	switch {
	case o.Kind == symptoms.YesNo:
		r.Value.Yes = (o.Normal == "yes") != abnormal
	case len(o.Words) == 0:
		return nil // a number without bands is no evidence
	case abnormal:
		r.Value.Words = []string{o.Words[0].Word}
	default:
		r.Value.Words = []string{o.Words[len(o.Words)-1].Word}
	}
	r.Value.Lo, r.Value.Hi = math.Inf(-1), math.Inf(1)
	return []symptoms.Reading{r}
}

// LintWidths reports the standard sheets that are over their budget.
func LintWidths(set *rules.Set) ([]rules.Lint, error) {
	rows, err := Widths(set)
	if err != nil {
		return nil, err
	}
	var out []rules.Lint
	for _, r := range rows {
		if r.Width > r.Budget {
			out = append(out, rules.Lint{ID: r.Sheet, Message: fmt.Sprintf("open width %d on the %q sheet with %d carburetors; the budget is %d",
				r.Width, r.Sheet, r.Carburetors, r.Budget),
				Hint: "let causes make fewer effects, or hang machine-level findings on a summary effect"})
		}
	}
	return out, nil
}
