package report

import (
	"time"

	"github.com/bojanz/currency"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/rules"
)

// QuoteJSON returns a quote as data for [encoding/json]:
//
//	sheet, job, machine         as on the sheet
//	date, valid_until           days as 2026-01-31, null when undated
//	prices                      "own" or "demo" (invented)
//	currency                    ISO 4217
//	tax                         {name, percent, included} or null
//	proposal, reason            the two sentences of the printed quote
//	steps                       [{needed, right, work, lines, sum, running}]: the likely repair first; needed is P(it comes to this
//	                            step), right P(the machine is right after it), running the total up to and with it
//	  work                      [{repair, title, at, for: [{cause, at, probability}]}]
//	  lines                     [{kind, id, text, at, minutes, number, each, amount, missing}]: kind is diagnosis, check, access, labour, part,
//	                            renewed, consumables or minimum; amounts are null where missing is true
//	likely, expected            totals {net, tax, gross}
//	not_to_exceed               {net, tax, gross, confidence, reached}
//	faults                      [{cause, at, probability}] that were taken into account
//	least, others, none         see quote.Quote
//	not_followed                probability of the fault sets that were too improbable to be followed
//	missing                     ids of parts without a price; when there are any, every total is too small
//	stop, cautions              stop notices, and the cautions of the work
//	exclusions, terms, closing  as printed
//
// Amounts are decimal numbers as strings, in the currency, with the digits that it has.
func QuoteJSON(q *quote.Quote, k *rules.Set) any {
	v := newQuoteView(q, k)
	j := &translator{k: k}
	kind := "own"
	if q.Prices.Kind == quote.Demo {
		kind = "demo"
	}
	limit := totalJSON(q.NotToExceed)
	limit = append(limit, pair{"confidence", figure(q.Confidence)}, pair{"reached", figure(q.Reached)})
	return pairs{
		{"sheet", clean(q.Diagnosis.Sheet.Path)}, {"job", clean(q.Diagnosis.Sheet.Job)}, {"machine", v.machineText()},
		{"stop", each(q.Diagnosis.Stops, j.stop)},
		{"date", dateJSON(q.Date)}, {"valid_until", dateJSON(q.ValidUntil)},
		{"prices", kind}, {"currency", clean(q.Prices.Currency)}, {"tax", taxJSON(q.Prices.Tax)},
		{"proposal", v.proposal()}, {"reason", v.reason()},
		{"steps", each(q.Steps, stepJSON)},
		{"likely", totalJSON(q.Likely)}, {"expected", totalJSON(q.Expected)}, {"not_to_exceed", limit},
		{"faults", each(q.Faults.Over, faultJSON)},
		{"least", figure(q.Least)}, {"others", q.Others}, {"none", figure(q.None)}, {"not_followed", figure(q.Faults.Lost)},
		{"missing", texts(q.Missing)},
		{"cautions", each(v.cautions(), func(c titled) pairs { return pairs{{"work", c.title}, {"caution", c.text}} })},
		{"exclusions", texts(v.exclusions())}, {"terms", texts(v.terms())}, {"closing", localCodes},
	}
}

func dateJSON(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return t.Format(time.DateOnly)
}

func taxJSON(t quote.Tax) any {
	if t.Percent == "" {
		return nil
	}
	return pairs{{"name", clean(t.Name)}, {"percent", t.Percent}, {"included", t.Included == quote.InPrices}}
}

func totalJSON(t quote.Total) pairs {
	return pairs{{"net", amountJSON(t.Net)}, {"tax", amountJSON(t.Tax)}, {"gross", amountJSON(t.Gross)}}
}

// amountJSON writes an amount with the digits of its currency; one that is not known is null.
func amountJSON(a currency.Amount) any {
	if a.CurrencyCode() == "" {
		return nil
	}
	return a.Round().Number()
}

func faultJSON(c *engine.Cause) pairs {
	return pairs{{"cause", clean(c.ID)}, {"at", clean(c.Place.Name)}, {"probability", figure(c.Probability)}}
}

func stepJSON(s quote.Step) pairs {
	return pairs{
		{"needed", figure(s.Needed)}, {"right", figure(s.Right)},
		{"work", each(s.Work, func(w quote.Work) pairs {
			return pairs{{"repair", clean(w.ID)}, {"title", clean(w.Title)}, {"at", placeNames(w.Places)}, {"for", each(w.For, faultJSON)}}
		})},
		{"lines", each(s.Lines, lineJSON)},
		{"sum", amountJSON(s.Sum)}, {"running", totalJSON(s.Running)},
	}
}

func lineJSON(l quote.Line) pairs {
	return pairs{
		{"kind", string(l.Kind)}, {"id", clean(l.ID)}, {"text", clean(l.Text)}, {"at", placeNames(l.Places)},
		{"minutes", figure(l.Minutes)}, {"number", l.Number}, {"each", amountJSON(l.Each)}, {"amount", amountJSON(l.Amount)},
		{"missing", l.Missing},
	}
}

// placeNames are the names of places; the machine has none.
func placeNames(places []engine.Place) []string {
	out := []string{}
	for _, p := range places {
		if p.Name != "" {
			out = append(out, clean(p.Name))
		}
	}
	return out
}
