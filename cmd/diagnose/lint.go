package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

func (a *app) lintCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "lint [PACK...]",
		GroupID: groupKnowledge,
		Short:   "check knowledge packs",
		Long: paragraphs(
			"lint checks the built-in knowledge, together with the packs that are named, as arguments or with --pack. "+
				"What is not well formed is an error: every one is shown with file, line and column, and the exit status is 1. "+
				"What is well formed but doubtful is a finding (a cause that nothing shows, a claim without a source, a network too "+
				"wide to compute exactly): each is listed and the exit status is 3.",
			"It also prints the expected number of causes present before anything is observed, which should be from 1 to 2.5, and "+
				"how wide the inference gets on three standard sheets."),
		Example: example(
			"diagnose lint                              # the built-in knowledge",
			"diagnose lint our-shop.yaml                # with a pack of the shop's own"),
		Args: needs(0, -1, ""),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := loadSettings(cmd.Flags())
			if err != nil {
				return err
			}
			s.packs = append(s.packs, args...)
			k, err := a.knowledge(s)
			if err != nil {
				return err
			}
			return a.lint(k)
		},
	}
}

// lint writes the figures and the findings.
func (a *app) lint(k *rules.Set) error {
	wide, err := engine.LintWidths(k)
	if err != nil {
		return err
	}
	if err := a.figures(k); err != nil {
		return err
	}
	findings := append(k.Lint(), wide...)
	for _, finding := range findings {
		fmt.Fprintln(a.out, finding)
	}
	if len(findings) > 0 {
		return silent(statusFindings)
	}
	_, err = fmt.Fprintln(a.out, "no findings")
	return err
}

// figures writes how wide the inference gets on the standard sheets, and the expected number of faults.
func (a *app) figures(k *rules.Set) error {
	rows, err := engine.Widths(k)
	if err != nil {
		return err
	}
	fmt.Fprintf(a.out, "%-12s %11s %10s %6s %13s\n", "sheet", "carburetors", "open width", "budget", "table entries")
	for _, r := range rows {
		fmt.Fprintf(a.out, "%-12s %11d %10d %6d %13.1e\n", r.Sheet, r.Carburetors, r.Width, r.Budget, r.Entries)
	}
	fmt.Fprintf(a.out, "\n%-12s %15s\n", "carburetors", "expected faults")
	for _, carburetors := range []int{1, 2, 4, 6} {
		fmt.Fprintf(a.out, "%-12d %15.2f\n", carburetors, k.ExpectedFaults(carburetors))
	}
	_, err = fmt.Fprintln(a.out)
	return err
}
