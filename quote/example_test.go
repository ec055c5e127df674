package quote_test

import (
	"fmt"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// A sheet becomes a diagnosis, and that with a shop's prices a quote.
func Example() {
	k, err := rules.Default()
	if err != nil {
		fmt.Println(err)
		return
	}
	sheet, err := symptoms.Decode("single.yaml", []byte("sheet: 1\nobserved: {float_liquid_heard: yes, fuel_overflow: drips}\n"), k.Vocabulary,
		symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := engine.Diagnose(k, sheet, engine.Options{Explain: -1, Questions: -1})
	if err != nil {
		fmt.Println(err)
		return
	}
	prices, err := quote.ReadPrices("shop.yaml", []byte("prices: 1\ncurrency: EUR\nlabour: {rate: 60.00}\nparts: {float: 30.00, bowl-gasket: 5.00}\n"), k)
	if err != nil {
		fmt.Println(err)
		return
	}
	q, err := quote.New(k, d, prices, quote.Options{Confidence: 0.8})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(q.Steps[0].Work[0].Title, prices.Format(q.Likely.Gross))
	for _, l := range q.Steps[0].Lines {
		fmt.Println(l.Kind, prices.Format(l.Amount))
	}
	// Output:
	// Renew the float €75.00
	// access €12.00
	// labour €28.00
	// part €30.00
	// renewed €5.00
}
