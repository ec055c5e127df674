package main

import (
	"io"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/report"
	"diagnose.example/rules"
)

func (a *app) quoteCommand() *cobra.Command {
	var f pricedFlags
	cmd := priced{
		cmd: &cobra.Command{
			Use:   "quote SHEET",
			Short: "offer a repair for a price",
			Long: paragraphs(
				"quote turns an intake sheet and the shop's prices into an offer: the likely repair with its labour, parts and the gaskets that must "+
					"be new once a joint was opened, what comes next only if the machine is not right after that and how likely that is, the "+
					"total to be expected, and a total that is enough with a chosen confidence.",
				"Prices stand in a file, named by --prices or in the configuration; how to write one says: diagnose help prices. Without one, invented "+
					"prices are used, and every page says so. A part without a price is named, and the totals are marked incomplete.",
				"As pdf it is a page or two to print and sign. With --output and a name in .pdf, .md or .json the form need not be named."),
			Example: example(
				"diagnose quote twin.yaml --prices shop.yaml",
				"diagnose quote twin.yaml --prices shop.yaml --output twin.pdf --paper letter",
				"diagnose quote twin.yaml --confidence 80 --format json"),
		},
		forms:  []string{"text", "markdown", "json", "pdf"},
		called: "quote",
		work:   engine.Options{Explain: -1, Questions: -1, Detail: engine.FirstScreen},
		make: func(k *rules.Set, q *quote.Quote) (papers, error) {
			return func(w io.Writer, form string, style report.Style, paper report.Paper) error {
				return writeQuote(w, q, k, form, style, paper)
			}, nil
		},
	}.command(a, &f)
	cmd.Flags().StringVar(&f.confidence, "confidence", "90", "not-to-exceed total that is enough with so many `PERCENT`")
	return cmd
}

func writeQuote(w io.Writer, q *quote.Quote, k *rules.Set, form string, style report.Style, paper report.Paper) error {
	switch form {
	case "pdf":
		return report.QuotePDF(w, q, k, paper)
	case "json":
		return writeJSON(w, report.QuoteJSON(q, k))
	case "markdown":
		return report.QuoteMarkdown(w, q, k)
	}
	return report.QuoteText(w, q, k, style)
}
