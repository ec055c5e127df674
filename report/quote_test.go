package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

const quotedSheet = `sheet: 1
job: "1042"
machine: {name: "parallel twin, 360 cm3", cylinders: 2, carburetors: [left, right]}
at:
  left: {fuel_overflow: yes, plug_look: black}
  right: {fuel_overflow: no}
`

const quotedPrices = `prices: 1
shop:
  name: Dílna Jiří Dvořák
  address: ["Příčná 12", "Žďár"]
  terms: ["Platba při vyzvednutí."]
  exclusions: ["Palivo."]
currency: %s
locale: %s
labour: {rate: 60, step: 5}
diagnosis: 30
consumables: 4 %%
tax: {name: DPH, percent: 21}
parts: {%s}
`

const allParts = "needle-valve: 19, bowl-gasket: 5, float: 27"

// quoted makes a quote from the invented knowledge of testdata.
func quoted(t *testing.T, k *rules.Set, sheet, prices string) *quote.Quote {
	t.Helper()
	s, err := symptoms.Decode("one-side-floods.yaml", []byte(sheet), k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		t.Fatal(err)
	}
	d, err := engine.Diagnose(k, s, engine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := quote.ReadPrices("shop.yaml", []byte(prices), k)
	if err != nil {
		t.Fatal(err)
	}
	q, err := quote.New(k, d, p, quote.Options{Date: january})
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func TestQuoteGolden(t *testing.T) {
	k := knowledge(t)
	czech := fmt.Sprintf(quotedPrices, "CZK", "cs-CZ", allParts)
	specimens := []struct {
		name string
		q    *quote.Quote
	}{
		{"quote", quoted(t, k, quotedSheet, czech)},
		{"quote-incomplete", quoted(t, k, quotedSheet, fmt.Sprintf(quotedPrices, "GBP", "en-GB", "needle-valve: 19.00, bowl-gasket: 5.00"))},
		{"quote-nothing", quoted(t, k, "sheet: 1\n", czech)},
	}
	specimens[2].q.Prices.Kind = quote.Demo
	for _, s := range specimens {
		golden(t, s.name+".80", written(t, func(w io.Writer) error { return QuoteText(w, s.q, k, Style{}) }))
		golden(t, s.name+".60", written(t, func(w io.Writer) error { return QuoteText(w, s.q, k, Style{Width: 60}) }))
		golden(t, s.name+".40", written(t, func(w io.Writer) error { return QuoteText(w, s.q, k, Style{Width: 40}) }))
		golden(t, s.name+".md", written(t, func(w io.Writer) error { return QuoteMarkdown(w, s.q, k) }))
		golden(t, s.name+".json", written(t, func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetIndent("", "  ")
			e.SetEscapeHTML(false)
			return e.Encode(QuoteJSON(s.q, k))
		}))
	}
}

// pdfText prints a quote and reads the pages back.
func pdfText(t *testing.T, q *quote.Quote, k *rules.Set, paper Paper) (pages []string, file []byte) {
	t.Helper()
	return readBack(t, func(w io.Writer) error { return QuotePDF(w, q, k, paper) })
}

// readBack prints pages and reads them with pdftotext. Without that program the test is skipped, unless PDFTOTEXT is set to
// required.
func readBack(t *testing.T, write func(io.Writer) error) (pages []string, file []byte) {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("PDFTOTEXT") == "required" {
			t.Fatal("pdftotext is not here, and PDFTOTEXT=required; it comes with the package poppler-utils")
		}
		t.Skip("NOT CHECKED: pdftotext is not here; it comes with the package poppler-utils")
	}
	file = written(t, write)
	path := filepath.Join(t.TempDir(), "quote.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-layout", "-enc", "UTF-8", path, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f"), file
}

// squeezed is a text with every run of space made one space: pages break lines where they like.
func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }

// TestQuoteOnPaper wants everything that the Markdown says on the pages too, in letters that can be read back.
func TestQuoteOnPaper(t *testing.T) {
	k := knowledge(t)
	q := quoted(t, k, quotedSheet, fmt.Sprintf(quotedPrices, "CZK", "cs-CZ", allParts))
	for _, paper := range []Paper{A4, Letter} {
		pages, file := pdfText(t, q, k, paper)
		whole := squeezed(strings.Join(pages, " "))
		for _, want := range []string{"Dílna Jiří Dvořák", "Příčná 12", "Žďár", "Quote", "Job 1042", "2 January 2026", "1 February 2026",
			"Parallel twin, 360 cm3", "Fuel runs from the overflow (left)", "What is proposed, and why", "We propose this work:", "The likely repair",
			"60,00 Kč/h", "Sum without tax", "DPH 21 %", "Total for the likely repair", "Cautions", "Not included", "Palivo.", "Terms", "Platba při vyzvednutí.",
			localCodes, "Date", "For the workshop", "Ordered as proposed, the customer"} {
			if !strings.Contains(whole, want) {
				t.Errorf("%s: %q is not on the pages:\n%s", paper.Name, want, whole)
			}
		}
		numbered(t, pages)
		if strings.Contains(whole, "DEMO") || strings.ContainsRune(whole, missing) {
			t.Errorf("%s: a stamp, or a letter that cannot be printed:\n%s", paper.Name, whole)
		}
		again := written(t, func(w io.Writer) error { return QuotePDF(w, q, k, paper) })
		if !bytes.Equal(file, again) {
			t.Errorf("%s: two runs differ", paper.Name)
		}
	}
}

// numbered wants "1 of 2" and so on at the foot of the pages.
func numbered(t *testing.T, pages []string) {
	t.Helper()
	for i, page := range pages {
		if want := fmt.Sprintf("%d of %d", i+1, len(pages)); !strings.HasSuffix(strings.TrimSpace(page), want) {
			t.Errorf("page %d does not end with %q:\n%s", i+1, want, page)
		}
	}
}

// TestFortyLines puts more work on a quote than a page holds, with names longer than a line.
func TestFortyLines(t *testing.T) {
	k := knowledge(t)
	q := quoted(t, k, quotedSheet, fmt.Sprintf(quotedPrices, "PLN", "pl-PL", allParts))
	q.Prices.Kind = quote.Demo
	first := q.Steps[0].Lines[0]
	first.Kind = quote.Labour
	for i := range 40 {
		l := first
		l.Text = fmt.Sprintf("Piece of work number %d", i+1)
		if i%5 == 0 {
			l.Text += " " + strings.Repeat("with a name that goes on and on ", 6) + strings.Repeat("w", 150)
		}
		q.Steps[0].Lines = append(q.Steps[0].Lines, l)
	}
	for _, paper := range []Paper{A4, Letter} {
		pages, _ := pdfText(t, q, k, paper)
		if len(pages) < 3 {
			t.Fatalf("%s: %d pages; want 3 at least", paper.Name, len(pages))
		}
		numbered(t, pages)
		whole := squeezed(strings.Join(pages, " "))
		for i := range 40 {
			if want := fmt.Sprintf("Piece of work number %d ", i+1); !strings.Contains(whole, want) {
				t.Errorf("%s: %q is missing", paper.Name, want)
			}
		}
		if got := strings.Count(strings.ReplaceAll(whole, " ", ""), "w"); got < 8*150 {
			t.Errorf("%s: %d letters w; want %d at least: a long word was cut off", paper.Name, got, 8*150)
		}
		if !strings.Contains(whole, "60,00 zł/h") {
			t.Errorf("%s: no 60,00 zł/h on the pages", paper.Name)
		}
		heads := 0
		for i, page := range pages {
			if !strings.Contains(page, demoStamp) {
				t.Errorf("%s: page %d does not say that the prices are invented", paper.Name, i+1)
			}
			if strings.Contains(page, "Piece of work") {
				heads++
				if !strings.Contains(page, "Work and parts") {
					t.Errorf("%s: page %d goes on with the table and has no head:\n%s", paper.Name, i+1, page)
				}
			}
		}
		if heads < 2 {
			t.Errorf("%s: the table is on %d pages; want 2 at least", paper.Name, heads)
		}
	}
}

// TestCurrencySigns wants the signs of currencies on paper as the locale writes them.
func TestCurrencySigns(t *testing.T) {
	k := knowledge(t)
	for _, tt := range []struct{ currency, locale, want string }{
		{"EUR", "de-DE", "60,00 €/h"}, {"GBP", "en-GB", "£60.00/h"}, {"JPY", "en-US", "¥60/h"}, {"PLN", "pl-PL", "60,00 zł/h"},
		{"CZK", "cs-CZ", "60,00 Kč/h"}, {"USD", "en-US", "$60.00/h"}, {"CHF", "de-CH", "CHF 60.00/h"},
	} {
		q := quoted(t, k, quotedSheet, fmt.Sprintf(quotedPrices, tt.currency, tt.locale, allParts))
		pages, _ := pdfText(t, q, k, A4)
		if whole := squeezed(strings.Join(pages, " ")); !strings.Contains(whole, tt.want) {
			t.Errorf("%s %s: no %q on the pages:\n%s", tt.currency, tt.locale, tt.want, whole)
		}
	}
}
