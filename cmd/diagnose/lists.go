package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"diagnose.example/report"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// list is a command that lists records: how they are narrowed down and written.
type list struct {
	cmd *cobra.Command
	// filters are the flags that narrow the list, with the values that each can have.
	filters []filter
	// narrow returns the knowledge with only what the flags want.
	narrow func(k *rules.Set, want wanted) *rules.Set
	text   func(a *app, k *rules.Set, style report.Style) error
	json   func(k *rules.Set) any
}

// filter is a flag that narrows a list.
type filter struct {
	name, about string
	values      []string
}

// wanted holds the values of the filters; one that is not set wants everything.
type wanted map[string]string

func (w wanted) has(filter, value string) bool {
	return w[filter] == "" || w[filter] == value
}

// command finishes the command of a list.
func (l list) command(a *app) *cobra.Command {
	cmd := l.cmd
	cmd.GroupID = groupKnowledge
	cmd.Args = needs(0, 0, "one record is shown by: diagnose explain ID")
	flags := cmd.Flags()
	flags.String("format", "text", "`FORM` of the list: text or json")
	for _, f := range l.filters {
		flags.String(f.name, "", fold("only "+f.about+" `WORD`: "+strings.Join(f.values, ", "), 60))
	}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		s, err := loadSettings(cmd.Flags())
		if err != nil {
			return err
		}
		form, err := chosen(cmd, "format", "text", "json")
		if err != nil {
			return err
		}
		want := wanted{}
		for _, f := range l.filters {
			if want[f.name], err = chosen(cmd, f.name, append([]string{""}, f.values...)...); err != nil {
				return err
			}
		}
		k, err := a.knowledge(s)
		if err != nil {
			return err
		}
		if l.narrow != nil {
			k = l.narrow(k, want)
		}
		if form == "json" {
			return writeJSON(a.out, l.json(k))
		}
		return l.text(a, k, a.style(s))
	}
	return cmd
}

// chosen returns the value of a flag that must be one of the allowed words.
func chosen(cmd *cobra.Command, name string, allowed ...string) (string, error) {
	value, err := cmd.Flags().GetString(name)
	if err != nil {
		return "", err
	}
	if slices.Contains(allowed, value) {
		return value, nil
	}
	words := slices.DeleteFunc(slices.Clone(allowed), func(s string) bool { return s == "" })
	hint := "write one of: " + strings.Join(words, ", ")
	if meant := nearest(value, words); meant != "" {
		hint = "did you mean --" + name + " " + meant
	}
	return "", usage(hint, "--%s: %q is not possible", name, value)
}

func aboutFilter() filter {
	return filter{"about", "about", []string{symptoms.WholeMachine.String(), symptoms.Carburetor.String(), symptoms.Cylinder.String()}}
}

func (a *app) observationsCommand() *cobra.Command {
	who := []string{symptoms.Rider.String(), symptoms.LookOver.String(), symptoms.Bench.String(), symptoms.Running.String()}
	where := []string{symptoms.Fact.String(), symptoms.History.String(), symptoms.Observed.String()}
	return list{
		cmd: &cobra.Command{
			Use:   "observations",
			Short: "list what an intake sheet can say",
			Long: paragraphs("observations lists every question with its answers: the facts and specifications of the machine, the words of " +
				"its history, and what can be seen, heard and measured. How to take one is shown by: diagnose explain ID."),
			Example: example(
				"diagnose observations --who rider          # what to ask the rider",
				"diagnose observations --about carburetor --who bench",
				"diagnose observations --format json"),
		},
		filters: []filter{
			aboutFilter(),
			{"who", "answered by", who},
			{"where", "in this part of the sheet,", where},
		},
		narrow: func(k *rules.Set, want wanted) *rules.Set {
			narrowed := *k
			narrowed.Vocabulary = k.Vocabulary.Filter(func(o *symptoms.Observation) bool {
				return want.has("about", o.About.String()) && want.has("who", o.Who.String()) && want.has("where", o.Where.String())
			})
			return &narrowed
		},
		text: func(a *app, k *rules.Set, style report.Style) error { return report.ObservationsText(a.out, k, style) },
		json: report.ObservationsJSON,
	}.command(a)
}

func (a *app) causesCommand() *cobra.Command {
	return list{
		cmd: &cobra.Command{
			Use:   "causes",
			Short: "list the causes that are known",
			Long: paragraphs("causes lists everything that can be found wrong, with how often each is present on a machine of unknown " +
				"complaint that is brought to a workshop. What it does and how to tell it is shown by: diagnose explain ID."),
			Example: example(
				"diagnose causes --system float             # one part of the machine",
				"diagnose causes --format json"),
		},
		filters: []filter{
			{"system", "in this part of the machine,", rules.Systems()},
			aboutFilter(),
		},
		narrow: func(k *rules.Set, want wanted) *rules.Set {
			narrowed := *k
			narrowed.Causes = slices.DeleteFunc(slices.Clone(k.Causes), func(c *rules.Cause) bool {
				return !want.has("system", c.System) || !want.has("about", c.About.String())
			})
			return &narrowed
		},
		text: func(a *app, k *rules.Set, style report.Style) error { return report.CausesText(a.out, k, style) },
		json: report.CausesJSON,
	}.command(a)
}

func (a *app) repairsCommand() *cobra.Command {
	return list{
		cmd: &cobra.Command{
			Use:   "repairs",
			Short: "list the repairs that are known",
			Long: paragraphs("repairs lists what can be done, with the minutes it takes on the bench and the causes it cures. How it is " +
				"done, and with what cautions, is shown by: diagnose explain ID. The ids stand on a sheet under tried, too."),
			Example: example(
				"diagnose repairs --about carburetor",
				"diagnose repairs --format json"),
		},
		filters: []filter{aboutFilter()},
		narrow: func(k *rules.Set, want wanted) *rules.Set {
			narrowed := *k
			narrowed.Repairs = slices.DeleteFunc(slices.Clone(k.Repairs), func(r *rules.Repair) bool { return !want.has("about", r.About.String()) })
			return &narrowed
		},
		text: func(a *app, k *rules.Set, style report.Style) error { return report.RepairsText(a.out, k, style) },
		json: report.RepairsJSON,
	}.command(a)
}

func (a *app) sourcesCommand() *cobra.Command {
	return list{
		cmd: &cobra.Command{
			Use:   "sources",
			Short: "list the sources that the knowledge rests on",
			Long: paragraphs("sources lists the published sources that are cited, and what of each was seen. The records that cite one are " +
				"shown by: diagnose explain ID."),
			Example: example("diagnose sources", "diagnose sources --format json"),
		},
		text: func(a *app, k *rules.Set, style report.Style) error { return report.SourcesText(a.out, k, style) },
		json: report.SourcesJSON,
	}.command(a)
}
