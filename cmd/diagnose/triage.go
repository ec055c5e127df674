package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"diagnose.example/report"
	"diagnose.example/rules"
)

func (a *app) triageCommand() *cobra.Command {
	ranking := false
	cmd := &cobra.Command{
		Use:     "triage SHEET...",
		GroupID: groupIntake,
		Short:   "rank what may be wrong, from an intake sheet",
		Long: paragraphs(
			"triage reads intake sheets and writes for each the likely causes, likeliest first, with the probability at each "+
				"carburetor, the reasons, the check worth doing next, and what was not asked. A stop notice, where there is one, "+
				"comes before anything else.",
			"A sheet is a YAML or JSON file; - reads standard input; a folder stands for every .yaml, .yml and .json file in it, by name, "+
				"but not for folders inside it. As text a folder is a list, an entry for each sheet. One that cannot be read is "+
				"reported, the others are still done, and the exit status is 1.",
			"With --format json one sheet gives an object, several or a folder an array; with --format jsonl each sheet is an object on a "+
				"line of its own. --ranking leaves out of both the reasons, questions and work, which is several times quicker. There may be "+
				"any number of sheets: results are written in the order of the sheets as soon as they are known, and "+
				"what is written is not kept.",
			"The first screen fits into 24 lines of 80 columns. Everything else stands behind --details."),
		Example: example(
			"diagnose triage twin.yaml                  # the first screen",
			"diagnose triage twin.yaml --details        # every reason, check and repair",
			"diagnose triage sheets/                    # a folder: a few lines for each sheet",
			"diagnose triage sheets/ --format jsonl --ranking > ranked.jsonl",
			"diagnose triage - < twin.yaml              # from standard input"),
		Args: needs(1, -1, "name a sheet: diagnose triage sheet.yaml; a blank one is written by: diagnose blank"),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := loadSettings(cmd.Flags())
			if err != nil {
				return err
			}
			if ranking && s.format != "json" && s.format != "jsonl" {
				return usage("write --format json or --format jsonl too", "triage: --ranking is for json and jsonl")
			}
			return a.triage(args, s, ranking)
		},
	}
	flags := cmd.Flags()
	flags.String("format", "text", "`FORM` of the result: text, json, jsonl or markdown")
	flags.Int("top", 5, "show `N` causes")
	flags.Bool("details", false, "show everything, not only the first screen")
	flags.BoolVar(&ranking, "ranking", false, "json and jsonl: the ranking and stop notices only")
	return cmd
}

// triage ranks every sheet that the arguments stand for and writes the results in their order.
func (a *app) triage(args []string, s *settings, ranking bool) error {
	if err := oneStandardInput(args); err != nil {
		return err
	}
	k, err := a.knowledge(s)
	if err != nil {
		return err
	}
	f := a.form(k, s, amountOf(args, ranking))
	t := &triage{app: a, knowledge: k, form: f}
	list := argumentsOf(args)
	if f.amount == single {
		return a.batch(context.Background(), list, t.one, f)
	}
	t.form.work.Processors = 1 // for each sheet, and as many sheets side by side as there are processors
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return a.batch(ctx, list, t.one, f)
}

func oneStandardInput(args []string) error {
	seen := false
	for _, arg := range args {
		if arg == "-" && seen {
			return usage("give - once", "triage: standard input can be read once only")
		}
		seen = seen || arg == "-"
	}
	return nil
}

// triage diagnoses sheets with one knowledge for one form.
type triage struct {
	app       *app
	knowledge *rules.Set
	form      *form
}

// one diagnoses one input and lays the result out.
func (t *triage) one(in input) result {
	r := result{path: in.path}
	d, err := t.app.diagnosis(t.knowledge, in, t.form.work)
	if err == nil {
		r.body, err = t.form.result(d)
	}
	if r.err = err; err != nil {
		r.body = t.form.mistake(in, err)
	}
	return r
}

// style is how texts are to look with these settings on this screen.
func (a *app) style(s *settings) report.Style {
	style := report.Style{Width: a.screen.width, Height: a.screen.height, Top: s.top, Units: s.units}
	if s.width > 0 {
		style.Width = s.width
	}
	if coloured(s.colour, a.screen) {
		style.Colour = report.ANSI
	}
	if s.details {
		style.Details = report.Full
	}
	return style
}
