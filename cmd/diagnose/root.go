package main

import (
	"bufio"
	"errors"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// app is one run of the command.
type app struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	out            *bufio.Writer
	screen         screen
}

func newApp(stdin io.Reader, stdout, stderr io.Writer) *app {
	return &app{stdin: stdin, stdout: stdout, stderr: stderr, out: bufio.NewWriter(stdout), screen: screenOf(stdout)}
}

// The groups of commands in the help text.
const (
	groupIntake    = "intake"
	groupKnowledge = "knowledge"
	groupProgram   = "program"
)

// root builds the command with everything under it.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "diagnose",
		Short: "find what is wrong with the fuel system of a carbureted motorcycle",
		Long: paragraphs(
			"diagnose reads an intake sheet, on which a workshop wrote what a motorcycle does and what was seen and measured on "+
				"it, and ranks what may be wrong with its fuel system: each cause at each carburetor with its probability, what "+
				"speaks for and against it, what to check next and how to put it right.",
			"Start with a blank sheet, fill in what you know, leave out what nobody looked at, and let it be ranked."),
		Example: example(
			"diagnose blank --cylinders 2 --carburetors left,right > twin.yaml",
			"diagnose triage twin.yaml"),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return unknownCommand(cmd, args[0])
		},
	}
	root.SetIn(a.stdin)
	root.SetOut(a.out)
	root.SetErr(a.stderr)
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error { return flagFailure(cmd, err) })
	a.persistentFlags(root.PersistentFlags())
	root.AddGroup(
		&cobra.Group{ID: groupIntake, Title: "At the bench:"},
		&cobra.Group{ID: groupKnowledge, Title: "The knowledge:"},
		&cobra.Group{ID: groupProgram, Title: "The program:"})
	root.AddCommand(a.triageCommand(), a.interviewCommand(), a.nextCommand(), a.blankCommand(), a.reckonCommand(), a.quoteCommand(), a.jobCommand(),
		a.explainCommand(), a.chainCommand(), a.observationsCommand(), a.causesCommand(), a.repairsCommand(), a.sourcesCommand(), a.lintCommand(),
		a.completionCommand(), a.versionCommand())
	root.AddCommand(topics()...)
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(helpCommand())
	return root
}

// persistentFlags are understood by every command.
func (a *app) persistentFlags(flags *pflag.FlagSet) {
	flags.StringArray("pack", nil, "also read knowledge pack `FILE`; may be repeated")
	flags.String("colour", "auto", "`WHEN` to use colour: auto, always or never")
	flags.StringSlice("units", nil, "ask for numbers in these `UNITS`, such as in,psi,°F")
	flags.Int("width", 0, "text `COLUMNS` wide; 0 is as the terminal, 80 in a pipe")
	flags.String("config", "", "read configuration `FILE` instead of the usual one")
	flags.SetNormalizeFunc(func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		if name == "color" {
			name = "colour"
		}
		return pflag.NormalizedName(name)
	})
}

// flush hands everything written so far to standard output.
func (a *app) flush() error { return a.out.Flush() }

// helpCommand is cobra's own, but for a topic that does not exist, which is a mistake here.
func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		GroupID: groupProgram,
		Short:   "show help about a command or a topic",
		Long:    paragraphs("help shows what a command does, with examples, or one of the topics listed by: diagnose help"),
		Example: example("diagnose help triage", "diagnose help sheet"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return commandNames(cmd.Root()), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			found, _, err := cmd.Root().Find(args)
			if err != nil || found == cmd.Root() && len(args) > 0 {
				hint := "commands and topics are listed by: diagnose help"
				if meant := nearest(args[0], commandNames(cmd.Root())); meant != "" {
					hint = "did you mean: diagnose help " + meant
				}
				return usage(hint, "%q: no such command or topic", args[0])
			}
			found.InitDefaultHelpFlag()
			return found.Help()
		},
	}
}

func commandNames(root *cobra.Command) []string {
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
	}
	return names
}

// unknownCommand says what the first argument was probably meant to be: a command, or a sheet for triage.
func unknownCommand(root *cobra.Command, name string) error {
	hint := "the commands are listed by: diagnose help"
	if meant := nearest(name, commandNames(root)); meant != "" {
		hint = "did you mean: diagnose " + meant
	} else if _, err := os.Stat(name); err == nil {
		hint = "to rank a sheet: diagnose triage " + name
	}
	return usage(hint, "%q: no such command", name)
}

// flagFailure turns a complaint of the flag parser into one of ours.
func flagFailure(cmd *cobra.Command, err error) error {
	// With a word before it that is no command, the flag is most likely one of the command that was meant.
	if words := cmd.Flags().Args(); !cmd.HasParent() && len(words) > 0 {
		return unknownCommand(cmd, words[0])
	}
	hint := "the flags are listed by: " + cmd.CommandPath() + " --help"
	var (
		unknown *pflag.NotExistError
		without *pflag.ValueRequiredError
		invalid *pflag.InvalidValueError
	)
	switch {
	case errors.As(err, &unknown):
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if meant := nearest(unknown.GetSpecifiedName(), names); meant != "" {
			hint = "did you mean --" + meant
		}
		return usage(hint, "%s: no flag --%s", cmd.Name(), unknown.GetSpecifiedName())
	case errors.As(err, &without):
		return usage(flagHint(without.GetFlag(), hint), "--%s: a value is missing", without.GetFlag().Name)
	case errors.As(err, &invalid):
		return usage(flagHint(invalid.GetFlag(), hint), "--%s: %q is not possible", invalid.GetFlag().Name, invalid.GetValue())
	}
	return usage(hint, "%s: %w", cmd.Name(), err)
}

// flagHint says what may be written for a flag that is a setting, or else the fallback.
func flagHint(flag *pflag.Flag, fallback string) string {
	for _, row := range settingTable() {
		if row.key == flag.Name {
			return "write " + row.values
		}
	}
	return fallback
}

// needs returns a check for the number of arguments: from least to most, where most below 0 is any number.
func needs(least, most int, hint string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return usage(hint, "%s: something is missing after the command", cmd.Name())
		case most >= 0 && len(args) > most:
			return usage(hint, "%s: %q is one too many", cmd.Name(), args[most])
		}
		return nil
	}
}

// paragraphs breaks each text into lines for the help screen and puts an empty line between them.
func paragraphs(texts ...string) string {
	var broken []string
	for _, text := range texts {
		broken = append(broken, fold(text, defaultWidth-2))
	}
	return strings.Join(broken, "\n\n")
}

// fold breaks a text into lines of at most width characters, at spaces.
func fold(text string, width int) string {
	var b strings.Builder
	column := 0
	for _, word := range strings.Fields(text) {
		n := len([]rune(word))
		switch {
		case column == 0:
		case column+1+n > width:
			b.WriteByte('\n')
			column = 0
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}

// example lays out command lines for the help screen.
func example(lines ...string) string {
	return "  " + strings.Join(lines, "\n  ")
}
