package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"diagnose.example/report"
	"diagnose.example/rules"
)

func (a *app) explainCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "explain ID",
		GroupID: groupKnowledge,
		Short:   "show one record of the knowledge with its sources",
		Long: paragraphs(
			"explain shows everything that is known about one cause, effect, rule, stop notice, observation, check, repair, part or "+
				"source: what it is, what makes it happen and how often, by what it is seen, how to tell it from its rivals, how "+
				"to check and mend it, and where each claim comes from.",
			"The ids are words; triage, observations, causes and repairs print them, and the Tab key completes them."),
		Example: example(
			"diagnose explain float-leaks               # a cause",
			"diagnose explain fuel-level-high           # the effect it makes",
			"diagnose explain float-leaks --format markdown"),
		Args: needs(1, 1, "name one record: diagnose explain float-leaks; the causes are listed by: diagnose causes"),
		ValidArgsFunction: func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
			return a.complete(cmd, ids)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := loadSettings(cmd.Flags())
			if err != nil {
				return err
			}
			form, err := chosen(cmd, "format", "text", "markdown", "json")
			if err != nil {
				return err
			}
			return a.explain(args[0], form, s)
		},
	}
	cmd.Flags().String("format", "text", "`FORM` of the page: text, markdown or json")
	return cmd
}

func (a *app) explain(id, form string, s *settings) error {
	k, err := a.knowledge(s)
	if err != nil {
		return err
	}
	x, err := k.Explain(id)
	if err != nil {
		hint := "the records are listed by: diagnose causes, diagnose repairs, diagnose observations, diagnose sources"
		if meant := nearest(id, ids(k)); meant != "" {
			hint = "did you mean: diagnose explain " + meant
		}
		return trouble(fmt.Errorf("%q: no such record", id), hint)
	}
	switch form {
	case "json":
		return writeJSON(a.out, report.ExplainJSON(x, k))
	case "markdown":
		return report.ExplainMarkdown(a.out, x, k, a.style(s))
	}
	return report.ExplainText(a.out, x, k, a.style(s))
}

// ids returns the id of every record and observation.
func ids(k *rules.Set) []string {
	var all []string
	for _, r := range k.Causes {
		all = append(all, r.ID)
	}
	for _, r := range k.Effects {
		all = append(all, r.ID)
	}
	for _, r := range k.Rules {
		all = append(all, r.ID)
	}
	for _, r := range k.Stops {
		all = append(all, r.ID)
	}
	for _, r := range k.Parts {
		all = append(all, r.ID)
	}
	for _, r := range k.Sources {
		all = append(all, r.ID)
	}
	for _, o := range k.Vocabulary.All() {
		all = append(all, o.ID)
	}
	return append(all, k.Actions()...)
}

// complete offers words of the knowledge to the Tab key. Where the knowledge cannot be read there is nothing to offer.
func (a *app) complete(cmd *cobra.Command, words func(*rules.Set) []string) ([]string, cobra.ShellCompDirective) {
	_, k, err := a.prepare(cmd.Flags())
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	return words(k), cobra.ShellCompDirectiveNoFileComp
}
