package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/report"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// quoteFlags are the flags of quote.
type quoteFlags struct {
	output, date, confidence string
}

func (a *app) quoteCommand() *cobra.Command {
	var f quoteFlags
	cmd := &cobra.Command{
		Use:     "quote SHEET",
		GroupID: groupIntake,
		Short:   "offer a repair for a price",
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
		Args: needs(1, 1, "name one sheet: diagnose quote twin.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.quote(cmd, args[0], f)
		},
	}
	flags := cmd.Flags()
	flags.String("format", "text", "`FORM` of the quote: text, markdown, json or pdf")
	flags.String("prices", "", "the shop's prices are in `FILE`")
	flags.String("paper", "a4", "`SIZE` of printed pages: a4 or letter")
	flags.StringVar(&f.output, "output", "", "write to `FILE`, which must not be there yet")
	flags.StringVar(&f.date, "date", "", "the `DAY` of the quote, as 2026-01-31; without it today")
	flags.StringVar(&f.confidence, "confidence", "90", "not-to-exceed total that is enough with so many `PERCENT`")
	return cmd
}

func (a *app) quote(cmd *cobra.Command, path string, f quoteFlags) error {
	form, err := formFor(cmd, f.output, map[string]string{".pdf": "pdf", ".md": "markdown", ".json": "json"}, "text", "markdown", "json", "pdf")
	if err != nil {
		return err
	}
	o, err := f.options(time.Now())
	if err != nil {
		return err
	}
	switch {
	case isFolder(path):
		return usage("name one of the sheets in it", "quote: %s is a folder", path)
	case form == "pdf" && f.output == "" && a.screen.terminal:
		return usage("write it to a file: --output quote.pdf", "quote: a pdf is nothing for a terminal")
	}
	s, err := loadSettings(withoutFormat(cmd.Flags()))
	if err != nil {
		return err
	}
	k, err := a.knowledge(s)
	if err != nil {
		return err
	}
	prices, err := shopPrices(s.prices, k)
	if err != nil {
		return err
	}
	q, err := a.sheetQuote(k, path, prices, o)
	if err != nil {
		return err
	}
	if f.output == "" {
		return writeQuote(a.out, q, k, form, a.style(s), s.paper)
	}
	var b bytes.Buffer
	if err := writeQuote(&b, q, k, form, report.Style{Width: s.width}, s.paper); err != nil {
		return err
	}
	return writeNew(f.output, b.Bytes())
}

// formFor is the wanted form: that of --format, or else the one that the name of the file calls for.
func formFor(cmd *cobra.Command, output string, byName map[string]string, allowed ...string) (string, error) {
	form, err := chosen(cmd, "format", allowed...)
	if err != nil || cmd.Flags().Changed("format") {
		return form, err
	}
	if named, ok := byName[strings.ToLower(filepath.Ext(output))]; ok {
		return named, nil
	}
	return form, nil
}

// options reads the day and the confidence.
func (f quoteFlags) options(now time.Time) (quote.Options, error) {
	o := quote.Options{Date: time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)}
	if f.date != "" {
		day, err := time.Parse(time.DateOnly, f.date)
		if err != nil {
			return o, usage("write a day as 2026-01-31", "--date: %q is not possible", f.date)
		}
		o.Date = day
	}
	percent, err := strconv.ParseFloat(strings.TrimSuffix(f.confidence, "%"), 64)
	if err != nil || !(percent > 0 && percent < 100) {
		return o, usage("write a percentage above 0 and below 100, such as 90", "--confidence: %q is not possible", f.confidence)
	}
	o.Confidence = percent / 100
	return o, nil
}

// shopPrices reads the prices of a shop, and those of parts in the file that they name; without a file they are invented.
func shopPrices(path string, k *rules.Set) (*quote.Prices, error) {
	if path == "" {
		return quote.DemoPrices(k)
	}
	data, err := readFile(path)
	if err != nil {
		return nil, err
	}
	p, err := quote.ReadPrices(path, data, k)
	if err != nil || p.PartsFile == "" {
		return p, err
	}
	parts := configuration{path: path}.beside(p.PartsFile)
	if data, err = readFile(parts); err != nil {
		return nil, fmt.Errorf("%s: %w", p.PartsFilePos, err)
	}
	return p.AddParts(parts, data, k)
}

// sheetQuote diagnoses a sheet, as far as a quote needs it, and makes the quote.
func (a *app) sheetQuote(k *rules.Set, path string, p *quote.Prices, o quote.Options) (*quote.Quote, error) {
	data, err := a.read(input{path: path})
	if err != nil {
		return nil, err
	}
	sheet, err := symptoms.Decode(path, data, k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		return nil, err
	}
	d, err := engine.Diagnose(k, sheet, engine.Options{Explain: -1, Questions: -1, Detail: engine.FirstScreen})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	q, err := quote.New(k, d, p, o)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return q, nil
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
