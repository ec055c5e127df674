package quote

import (
	"os"
	"slices"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// workshop loads the invented knowledge of testdata.
func workshop(tb testing.TB) *rules.Set {
	tb.Helper()
	v, err := symptoms.ParseVocabulary("vocabulary.yaml", read(tb, "testdata/vocabulary.yaml"))
	if err != nil {
		tb.Fatal(err)
	}
	k, err := rules.Load(v, []rules.File{{Name: "workshop.yaml", Data: read(tb, "testdata/workshop.yaml")}})
	if err != nil {
		tb.Fatal(err)
	}
	return k
}

func read(tb testing.TB, path string) []byte {
	tb.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		tb.Fatal(err)
	}
	return data
}

// plainPrices make a minute of labour one and every part ten, without tax.
const plainPrices = "prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\n" +
	"parts: {kit: 10.00, float: 10.00, sealant: 10.00, plug: 10.00, bowl-gasket: 10.00, intake-ring: 10.00}\n"

func prices(tb testing.TB, k *rules.Set, text string) *Prices {
	tb.Helper()
	p, err := ReadPrices("shop.yaml", []byte(text), k)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

// bike is a diagnosis made by hand, with joint probabilities made by hand.
type bike struct {
	k      *rules.Set
	d      *engine.Diagnosis
	faults *engine.FaultSets
}

// twin is a machine with two carburetors, left and right, and a cylinder on each.
func twin(tb testing.TB) *bike {
	m := symptoms.Machine{Name: "twin", Strokes: 4, Carburetors: []string{"left", "right"}, Cylinders: []string{"1", "2"}, Feeds: []int{0, 1}}
	return &bike{workshop(tb), &engine.Diagnosis{Sheet: &symptoms.Sheet{Machine: m}}, &engine.FaultSets{}}
}

// fault adds a cause at a place. Its prior is zero, so that all of its probability is due to the sheet, unless a test sets one.
func (b *bike) fault(tb testing.TB, id, place string) int {
	tb.Helper()
	c, ok := b.k.Cause(id)
	if !ok {
		tb.Fatalf("no cause %q", id)
	}
	x := &engine.Cause{Cause: c}
	if place != "" {
		x.Place = engine.Place{Level: c.About, Name: place}
	}
	b.d.Causes = append(b.d.Causes, x)
	b.faults.Over = append(b.faults.Over, x)
	return len(b.faults.Over) - 1
}

// set adds the probability of exactly these faults.
func (b *bike) set(p float64, present ...int) {
	b.faults.Sets = append(b.faults.Sets, engine.FaultSet{Present: present, Probability: p})
	for _, f := range present {
		b.faults.Over[f].Probability += p
	}
}

func (b *bike) quote(tb testing.TB, p *Prices, confidence float64) *Quote {
	tb.Helper()
	o, err := Options{Confidence: confidence, Date: time.Date(2026, time.January, 31, 0, 0, 0, 0, time.UTC)}.withDefaults()
	if err != nil {
		tb.Fatal(err)
	}
	q, err := assemble(b.k, b.d, p, o, b.faults)
	if err != nil {
		tb.Fatal(err)
	}
	return q
}

// line returns the line of a kind and id in a step; nil when there is none.
func line(s Step, kind LineKind, id string) *Line {
	i := slices.IndexFunc(s.Lines, func(l Line) bool { return l.Kind == kind && l.ID == id })
	if i < 0 {
		return nil
	}
	return &s.Lines[i]
}

func eur(tb testing.TB, n string) currency.Amount {
	tb.Helper()
	a, err := currency.NewAmount(n, "EUR")
	if err != nil {
		tb.Fatal(err)
	}
	return a
}

// same compares amounts.
func same(a, b currency.Amount) bool {
	n, err := a.Cmp(b)
	return err == nil && n == 0
}
