package quote

import (
	"math"
	"slices"
	"testing"

	"diagnose.example/symptoms"
)

// tolerance is for probabilities that were worked out in another way.
const tolerance = 1e-12

// TestOneFault is reckoned by hand: bowl off 15, work 45-15 = 30, kit 10, gasket 10.
func TestOneFault(t *testing.T) {
	b := twin(t)
	b.set(1, b.fault(t, "seat-worn", "left"))
	q := b.quote(t, prices(t, b.k, plainPrices), 0.9)
	if len(q.Steps) != 1 || !same(q.Likely.Gross, eur(t, "65")) || !same(q.NotToExceed.Gross, eur(t, "65")) || math.Abs(q.Reached-0.95) > tolerance {
		t.Errorf("quote = %d steps, likely %v, not to exceed %v with %g; want 1, 65, 65 with 0.95", len(q.Steps), q.Likely.Gross, q.NotToExceed.Gross, q.Reached)
	}
	for _, want := range []struct {
		kind   LineKind
		id     string
		amount string
	}{{Opening, "bowl-off", "15"}, {Labour, "renew-the-seat", "30"}, {PartFitted, "kit", "10"}, {PartRenewed, "bowl-gasket", "10"}} {
		if l := line(q.Steps[0], want.kind, want.id); l == nil || !same(l.Amount, eur(t, want.amount)) {
			t.Errorf("line %s %s = %+v; want %s", want.kind, want.id, l, want.amount)
		}
	}
}

// TestOneAfterAnother: the seat with 0.6, the float with 0.3, something else with 0.1. First the seat (65), which leaves
// 1-0.6*0.95 = 0.43; then the float: bowl off again 15, work 25, float 10, a new gasket 10, but no second kit: 60. Renewing the float
// does away with 0.15 of the worn seats that outlasted the first step, so in the end 0.6*(1-0.05*0.85)+0.3*0.95 = 0.8595 are right.
func TestOneAfterAnother(t *testing.T) {
	b := twin(t)
	b.set(0.6, b.fault(t, "seat-worn", "left"))
	b.set(0.3, b.fault(t, "float-heavy", "left"))
	b.set(0.1)
	q := b.quote(t, prices(t, b.k, plainPrices), 0.9)
	if len(q.Steps) != 2 {
		t.Fatalf("%d steps; want 2", len(q.Steps))
	}
	if got := q.Steps[1].Needed; math.Abs(got-0.43) > tolerance {
		t.Errorf("second step needed with %g; want 0.43", got)
	}
	if got := q.Steps[1].Right; math.Abs(got-0.8595) > tolerance {
		t.Errorf("right after the second step with %g; want 0.8595", got)
	}
	if !same(q.Expected.Net, eur(t, "90.80")) { // 65 + 0.43 * 60
		t.Errorf("expected %v; want 90.80", q.Expected.Net)
	}
	for _, tt := range []struct {
		confidence float64
		total      string
		reached    float64
	}{{0.5, "65", 0.57}, {0.57, "65", 0.57}, {0.58, "125", 0.8595}, {0.9, "125", 0.8595}} {
		total, reached := q.WithConfidence(tt.confidence - tolerance)
		if !same(total.Net, eur(t, tt.total)) || math.Abs(reached-tt.reached) > tolerance {
			t.Errorf("WithConfidence(%g) = %v with %g; want %s with %g", tt.confidence, total.Net, reached, tt.total, tt.reached)
		}
	}
	if line(q.Steps[1], PartFitted, "kit") != nil {
		t.Error("the kit is charged twice at one carburetor")
	}
	if q.None != 0.1 {
		t.Errorf("None = %g; want 0.1", q.None)
	}
}

// TestSharedWork wants one strip-down for all, and one kit for two causes at one place.
func TestSharedWork(t *testing.T) {
	t.Run("one bowl, one kit", func(t *testing.T) {
		b := twin(t)
		b.set(1, b.fault(t, "seat-worn", "left"), b.fault(t, "float-heavy", "left"))
		q := b.quote(t, prices(t, b.k, plainPrices), 0.9)
		// bowl off 15, seat 30, float 25, kit 10, float 10, gasket 10
		if len(q.Steps) != 1 || !same(q.Likely.Net, eur(t, "100")) {
			t.Errorf("%d steps, likely %v; want 1, 100", len(q.Steps), q.Likely.Net)
		}
	})
	t.Run("both carburetors off the rack once", func(t *testing.T) {
		b := twin(t)
		l, r := b.fault(t, "joint-leaks", "left"), b.fault(t, "joint-leaks", "right")
		b.set(0.6, l)
		b.set(0.4, l, r)
		q := b.quote(t, prices(t, b.k, plainPrices), 0.9)
		// off once 25, two joints 15 each, sealant 10 each, a ring 10 each; the right side is done at once since it is open
		if l := line(q.Steps[0], Labour, "seal-the-joint"); len(l.Places) != 2 || !same(q.Likely.Net, eur(t, "95")) {
			t.Errorf("places %v, likely %v; want both, 95", l.Places, q.Likely.Net)
		}
	})
	t.Run("two bowls, since both are likely", func(t *testing.T) {
		b := twin(t)
		b.set(1, b.fault(t, "seat-worn", "left"), b.fault(t, "seat-worn", "right"))
		q := b.quote(t, prices(t, b.k, plainPrices), 0.9)
		if l := line(q.Steps[0], PartRenewed, "bowl-gasket"); l == nil || l.Number != 2 || !same(q.Likely.Net, eur(t, "130")) {
			t.Errorf("gaskets %+v, likely %v; want 2, 130", l, q.Likely.Net)
		}
	})
}

// TestWorkInsideOtherWork: where the bowls are not reached, the carburetors come off first, once for all bowls, with new rings at both.
// Nobody charges it where they are reached, or where nobody told.
func TestWorkInsideOtherWork(t *testing.T) {
	const off, ring = "carburetors-off", "intake-ring"
	tests := []struct {
		name    string
		reached string
		places  []string
		off     string // amount of the outer opening, "" for no line
		likely  string
	}{
		{"not told", "", []string{"left"}, "", "65"},
		{"reached", "yes", []string{"left"}, "", "65"},
		{"one bowl, not reached", "no", []string{"left"}, "25", "110"},        // off 25, bowl 15, seat 30, kit 10, gasket 10, two rings 20
		{"two bowls, off once", "no", []string{"left", "right"}, "25", "175"}, // off 25, two rings 20, twice the 65 of a reached bowl
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := twin(t)
			if tt.reached != "" {
				o, _ := b.k.Vocabulary.Lookup("bowls_reached")
				b.d.Sheet.Machine.Facts = []symptoms.Reading{{Observation: o, Value: symptoms.Value{Yes: tt.reached == "yes"}}}
			}
			var present []int
			for _, place := range tt.places {
				present = append(present, b.fault(t, "seat-worn", place))
			}
			b.set(1, present...)
			q := b.quote(t, prices(t, b.k, plainPrices), 0.9)
			if !same(q.Likely.Net, eur(t, tt.likely)) {
				t.Errorf("likely = %v; want %s", q.Likely.Net, tt.likely)
			}
			l, rings := line(q.Steps[0], Opening, off), line(q.Steps[0], PartRenewed, ring)
			if (l == nil) != (tt.off == "") || (rings == nil) != (tt.off == "") {
				t.Fatalf("lines %s = %+v, %s = %+v; want them %q", off, l, ring, rings, tt.off)
			}
			if l == nil {
				return
			}
			inner := line(q.Steps[0], Opening, "bowl-off")
			if !same(l.Amount, eur(t, tt.off)) || rings.Number != 2 || inner == nil || l != &q.Steps[0].Lines[0] {
				t.Errorf("%s = %+v, %d rings, bowl-off %+v; want %s, 2, and the carburetors first", off, l, rings.Number, inner, tt.off)
			}
		})
	}
}

// TestWhatComesFirst wants the check and the repair that must come before another one, unless the sheet has them.
func TestWhatComesFirst(t *testing.T) {
	b := twin(t)
	b.set(1, b.fault(t, "not-in-step", ""))
	p := prices(t, b.k, plainPrices)
	q := b.quote(t, p, 0.9)
	// check 10, two plugs 20 and 20 for the parts, the work 45
	if !same(q.Likely.Net, eur(t, "95")) || line(q.Steps[0], Checking, "look-for-a-spark") == nil {
		t.Errorf("likely %v, lines %v; want 95 with the check", q.Likely.Net, q.Steps[0].Lines)
	}
	spark, _ := b.k.Vocabulary.Lookup("spark")
	b.d.Sheet.Readings = []symptoms.Reading{{Observation: spark, Scope: symptoms.Whole}}
	if q = b.quote(t, p, 0.9); !same(q.Likely.Net, eur(t, "85")) {
		t.Errorf("likely %v once the check has been made; want 85", q.Likely.Net)
	}
}

func TestTriedIsNotOffered(t *testing.T) {
	b := twin(t)
	b.set(1, b.fault(t, "fuel-old", ""))
	b.d.Sheet.Tried = []symptoms.Tried{{Did: "drain-the-tank", After: "no-change"}}
	if q := b.quote(t, prices(t, b.k, plainPrices), 0.9); len(q.Steps) != 1 || len(q.Steps[0].Work) != 0 || q.Reached != 0 {
		t.Errorf("quote = %+v; want no work", q.Steps)
	}
}

// TestMoney reckons the shop's rules by hand, on the repair of TestOneFault: labour 45, parts 20.
func TestMoney(t *testing.T) {
	const parts = "\nparts: {kit: 10.00, bowl-gasket: 10.00}\n"
	tests := []struct {
		name, prices     string
		net, tax, gross  string
		kind             LineKind
		amountOfThatKind string
	}{
		{"tax on top", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\ntax: {percent: 20}" + parts, "65", "13", "78", Labour, "30"},
		{"tax in the prices", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\ntax: {percent: 20, included: yes}" + parts, "54.17", "10.83", "65", Labour, "30"},
		{"tax rounded half up", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\ntax: {percent: 0.1}" + parts, "65", "0.07", "65.07", Labour, "30"}, // 0.065
		{"steps of labour", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00, step: 20}" + parts, "80", "0", "80", Labour, "40"},
		{"time for the diagnosis", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\ndiagnosis: 30" + parts, "95", "0", "95", Diagnosis, "30"},
		{"consumables by percentage", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\nconsumables: 3 %" + parts, "66.35", "0", "66.35", Consumed, "1.35"},
		{"consumables by amount", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\nconsumables: 4.50" + parts, "69.50", "0", "69.50", Consumed, "4.50"},
		{"least charge", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\nminimum: 70.00" + parts, "70", "0", "70", Minimum, "5"},
		{"its own minutes to open", "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\naccess: {bowl-off: 20}" + parts, "65", "0", "65", Labour, "25"},
		{"an odd rate", "prices: 1\ncurrency: EUR\nlabour: {rate: 50.01}" + parts, "57.51", "0", "57.51", Labour, "25.01"}, // 25.005; 12.5025
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := twin(t)
			b.set(1, b.fault(t, "seat-worn", "left"))
			q := b.quote(t, prices(t, b.k, tt.prices), 0.9)
			if got := q.Likely; !same(got.Net, eur(t, tt.net)) || !same(got.Tax, eur(t, tt.tax)) || !same(got.Gross, eur(t, tt.gross)) {
				t.Errorf("likely = %v + %v = %v; want %s + %s = %s", got.Net, got.Tax, got.Gross, tt.net, tt.tax, tt.gross)
			}
			i := slices.IndexFunc(q.Steps[0].Lines, func(l Line) bool { return l.Kind == tt.kind })
			if i < 0 || !same(q.Steps[0].Lines[i].Amount, eur(t, tt.amountOfThatKind)) {
				t.Errorf("lines = %+v; want %s with %s", q.Steps[0].Lines, tt.kind, tt.amountOfThatKind)
			}
		})
	}
}

// TestMinimumGivenBack: what was added up to the least charge goes when a further step passes it.
func TestMinimumGivenBack(t *testing.T) {
	b := twin(t)
	b.set(0.8, b.fault(t, "seat-worn", "left"))
	b.set(0.2, b.fault(t, "float-heavy", "left"))
	q := b.quote(t, prices(t, b.k, plainPrices+"minimum: 100.00\n"), 0.9)
	if len(q.Steps) != 2 || !same(q.Steps[0].Running.Net, eur(t, "100")) || !same(q.Steps[1].Running.Net, eur(t, "125")) || !same(q.Steps[1].Sum, eur(t, "25")) {
		t.Errorf("steps = %v, %v; want 100, then 25 more", q.Steps[0].Running.Net, q.Steps[len(q.Steps)-1].Sum)
	}
}

func TestNoDigits(t *testing.T) {
	b := twin(t)
	b.set(1, b.fault(t, "seat-worn", "left"))
	p := prices(t, b.k, "prices: 1\ncurrency: JPY\nlocale: ja-JP\nlabour: {rate: 7777}\ntax: {percent: 10}\nparts: {kit: 1000, bowl-gasket: 500}\n")
	q := b.quote(t, p, 0.9)
	// 15 min 1944.25, 30 min 3888.5 half up; 1944 + 3889 + 1500 = 7333; tax 733.3
	if got := p.Format(q.Likely.Gross); got != "￥8,066" {
		t.Errorf("likely = %s; want ￥8,066", got)
	}
}

func TestMissingPrice(t *testing.T) {
	b := twin(t)
	b.set(1, b.fault(t, "seat-worn", "left"))
	q := b.quote(t, prices(t, b.k, "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\nparts: {bowl-gasket: 10.00}\n"), 0.9)
	if l := line(q.Steps[0], PartFitted, "kit"); l == nil || !l.Missing || !slices.Equal(q.Missing, []string{"kit"}) || !same(q.Likely.Net, eur(t, "55")) {
		t.Errorf("line %+v, missing %v, likely %v; want it missing, [kit], 55", l, q.Missing, q.Likely.Net)
	}
}

func TestOptionsRefused(t *testing.T) {
	b := twin(t)
	for _, c := range []float64{-0.1, 1, 90, math.NaN()} {
		if q, err := New(b.k, b.d, prices(t, b.k, plainPrices), Options{Confidence: c}); err == nil {
			t.Errorf("New with confidence %g = %v; want an error", c, q)
		}
	}
}
