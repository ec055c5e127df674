package main

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/report"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
	"github.com/spf13/cobra"
)

func (a *app) jobCommand() *cobra.Command {
	f := quoteFlags{confidence: "90"}
	cmd := &cobra.Command{
		Use:     "job SHEET",
		GroupID: groupIntake,
		Short:   "write one report of a job, to staple to it",
		Long: paragraphs(
			"job writes all that is known of a job in one report: the sheet as it was told, stop notices, the ranking with what speaks for and "+
				"against, what the numbers say, what to do next, the chain from the likeliest cause to what was seen, the quote, cautions, and the "+
				"sources that were cited.",
			"Prices are those of the shop, as with quote; without any they are invented, and every page says so. As pdf the chain is drawn."),
		Example: example(
			"diagnose job twin.yaml",
			"diagnose job twin.yaml --prices shop.yaml --output twin.pdf --paper letter"),
		Args: needs(1, 1, "name one sheet: diagnose job twin.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error { return a.job(cmd, args[0], f) },
	}
	flags := cmd.Flags()
	flags.String("format", "markdown", "`FORM` of the report: markdown or pdf")
	flags.String("prices", "", "the shop's prices are in `FILE`")
	flags.String("paper", "a4", "`SIZE` of printed pages: a4 or letter")
	flags.StringVar(&f.output, "output", "", "write to `FILE`, which must not be there yet")
	flags.StringVar(&f.date, "date", "", "the `DAY` of the report, as 2026-01-31; without it today")
	return cmd
}

func (a *app) job(cmd *cobra.Command, path string, f quoteFlags) error {
	form, err := formFor(cmd, f.output, map[string]string{".pdf": "pdf", ".md": "markdown"}, "markdown", "pdf")
	if err != nil {
		return err
	}
	o, err := f.options(time.Now())
	if err != nil {
		return err
	}
	switch {
	case isFolder(path):
		return usage("name one of the sheets in it", "job: %s is a folder", path)
	case form == "pdf" && f.output == "" && a.screen.terminal:
		return usage("write it to a file: --output job.pdf", "job: a pdf is nothing for a terminal")
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
	j, err := a.wholeJob(k, path, prices, o)
	if err != nil {
		return err
	}
	if f.output == "" {
		return writeJob(a.out, j, k, form, a.style(s), s.paper)
	}
	var b bytes.Buffer
	if err := writeJob(&b, j, k, form, report.Style{Width: s.width}, s.paper); err != nil {
		return err
	}
	return writeNew(f.output, b.Bytes())
}

// causesInReport is for how many causes a report gives reasons; stepsInReport, how many steps it proposes.
const (
	causesInReport = 3
	stepsInReport  = 2
)

// wholeJob diagnoses a sheet once, and makes from it the quote, the steps and the chain.
func (a *app) wholeJob(k *rules.Set, path string, p *quote.Prices, o quote.Options) (*report.Job, error) {
	data, err := a.read(input{path: path})
	if err != nil {
		return nil, err
	}
	sheet, err := symptoms.Decode(path, data, k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		return nil, err
	}
	in := func(err error) error { return fmt.Errorf("%s: %w", path, err) }
	d, err := engine.Diagnose(k, sheet, engine.Options{Explain: causesInReport})
	if err != nil {
		return nil, in(err)
	}
	j := &report.Job{}
	if j.Quote, err = quote.New(k, d, p, o); err != nil {
		return nil, in(err)
	}
	if j.Advice, err = engine.NextStep(k, sheet, engine.StepOptions{Top: stepsInReport}); err != nil {
		return nil, in(err)
	}
	if j.Chain, err = report.ChainOfDiagnosis(d, k, 1); err != nil {
		return nil, in(err)
	}
	return j, nil
}

func writeJob(w io.Writer, j *report.Job, k *rules.Set, form string, style report.Style, paper report.Paper) error {
	if form == "pdf" {
		return report.JobPDF(w, j, k, paper)
	}
	return report.JobMarkdown(w, j, k, style)
}
