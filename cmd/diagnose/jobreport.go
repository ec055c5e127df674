package main

import (
	"io"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/report"
	"diagnose.example/rules"
)

// causesInReport is for how many causes a report gives reasons; stepsInReport, how many steps it proposes.
const (
	causesInReport = 3
	stepsInReport  = 2
)

func (a *app) jobCommand() *cobra.Command {
	return priced{
		cmd: &cobra.Command{
			Use:   "job SHEET",
			Short: "write one report of a job, to staple to it",
			Long: paragraphs(
				"job writes all that is known of a job in one report: the sheet as it was told, stop notices, the ranking with what speaks for and "+
					"against, what the numbers say, what to do next, the chain from the likeliest cause to what was seen, the quote, cautions, and the "+
					"sources that were cited.",
				"Prices are those of the shop, as with quote; without any they are invented, and every page says so. As pdf the chain is drawn."),
			Example: example(
				"diagnose job twin.yaml",
				"diagnose job twin.yaml --prices shop.yaml --output twin.pdf --paper letter"),
		},
		forms:  []string{"markdown", "pdf"},
		called: "report",
		work:   engine.Options{Explain: causesInReport},
		make:   jobPapers,
	}.command(a, &pricedFlags{confidence: "90"})
}

// jobPapers makes the steps and the chain, to go with the quote.
func jobPapers(k *rules.Set, q *quote.Quote) (papers, error) {
	j := &report.Job{Quote: q}
	var err error
	if j.Advice, err = engine.NextStep(k, q.Diagnosis.Sheet, engine.StepOptions{Top: stepsInReport}); err != nil {
		return nil, err
	}
	if j.Chain, err = report.ChainOfDiagnosis(q.Diagnosis, k, 1); err != nil {
		return nil, err
	}
	return func(w io.Writer, form string, style report.Style, paper report.Paper) error {
		if form == "pdf" {
			return report.JobPDF(w, j, k, paper)
		}
		style.Top, style.Details = 0, report.Brief // as on the pages: those settings are for the screen of triage
		return report.JobMarkdown(w, j, k, style)
	}, nil
}
