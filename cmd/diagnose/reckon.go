package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"diagnose.example/report"
	"diagnose.example/symptoms"
)

// reckonCommand holds the calculators, one command each. What they know stands in package report.
func (a *app) reckonCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "reckon WHAT",
		GroupID: groupIntake,
		Short:   "work out a number at the bench: float level, jets, leaks, flow",
		Long: paragraphs(
			"reckon works out what a measurement means: how far a float height moves the fuel level, which jet suits the air of a place, how large a "+
				"leak must be. Each calculator says what it took for granted, how sure the result is, and which formula it used with its source. "+
				"Outside the range for which a formula was checked it does not answer.",
			"Numbers take their unit with them: \"22.5 mm\", \"7/8 in\", \"22 ± 0.5 mm\". The figure behind ± is a standard uncertainty; without one the "+
				"usual uncertainty of such a reading is taken. With --units in,psi results are shown in inches and psi. With --ask it asks for one "+
				"number after the other; where one is missing and you sit at a terminal it asks by itself."),
		Example: example(
			`diagnose reckon float-level --float-height "22.5 mm" --book-height "21 mm"`,
			`diagnose reckon weather --altitude "1500 m" --jet 110`,
			`diagnose reckon exhaust-gas --ask`),
		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.calculators()
			}
			hint := "the calculators are listed by: diagnose reckon"
			if meant := nearest(args[0], calculatorWords()); meant != "" {
				hint = "did you mean: diagnose reckon " + meant
			}
			return usage(hint, "%q: no such calculator", args[0])
		},
	}
	for _, c := range report.Calculators() {
		cmd.AddCommand(a.calculatorCommand(c))
	}
	return cmd
}

// calculators lists what can be reckoned, one line each.
func (a *app) calculators() error {
	longest := 0
	for _, c := range report.Calculators() {
		longest = max(longest, len(c.ID))
	}
	for _, c := range report.Calculators() {
		fmt.Fprintf(a.out, "%-*s  %s\n", longest, c.ID, c.Title)
	}
	_, err := fmt.Fprintln(a.out, "\nEach with its inputs and a worked example: diagnose reckon float-level --help")
	return err
}

func calculatorWords() []string {
	var words []string
	for _, c := range report.Calculators() {
		words = append(append(words, c.ID), c.Also...)
	}
	return words
}

// reckonFlags are the flags that all calculators have.
type reckonFlags struct {
	output string
	ask    bool
	phone  bool
}

func (a *app) calculatorCommand(c *report.Calculator) *cobra.Command {
	var f reckonFlags
	examples := make([]string, len(c.Examples))
	for i, e := range c.Examples {
		examples[i] = "diagnose reckon " + c.ID + " " + e
	}
	cmd := &cobra.Command{
		Use:     c.ID,
		Aliases: c.Also,
		Short:   c.Title,
		Long:    paragraphs(c.Text, "A worked example, the first below: "+c.Worked),
		Example: example(examples...),
		Args:    needs(0, 0, "numbers go behind flags, and with a space inside into quotes: --"+strings.SplitN(examples[0], " --", 3)[1]),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.reckon(cmd, c, f)
		},
	}
	flags := cmd.Flags()
	flags.SortFlags = false
	for i := range c.Inputs {
		in := &c.Inputs[i]
		flags.Var(&inputValue{kind: inputKind(in)}, in.Name, fold(inputUsage(in), 56))
	}
	for _, in := range c.Inputs {
		words := make([]string, len(in.Words))
		for i, w := range in.Words {
			words[i] = w.Word
		}
		_ = cmd.RegisterFlagCompletionFunc(in.Name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)) // fails for flags that do not exist
	}
	flags.BoolVar(&f.ask, "ask", false, "ask for what is not given, one after the other")
	flags.String("format", "text", "`FORM` of the result: text, json, markdown or svg")
	flags.StringVar(&f.output, "output", "", "write to `FILE`, which must not be there yet")
	flags.BoolVar(&f.phone, "phone", false, "draw for a telephone held upright")
	return cmd
}

// inputValue is a flag for an input: a text that the calculator reads. The help shows its unit where others show a type.
type inputValue struct{ text, kind string }

func (v *inputValue) String() string     { return v.text }
func (v *inputValue) Set(s string) error { v.text = s; return nil }
func (v *inputValue) Type() string       { return v.kind }

func inputKind(in *report.Input) string {
	switch {
	case len(in.Words) > 0:
		return "word"
	case in.Unit == "":
		return "number"
	}
	if u, ok := symptoms.LookupUnit(in.Unit); ok && strings.Contains(in.Unit, "°") {
		return u.Func // the help counts bytes when it lines flags up
	}
	return in.Unit
}

// inputUsage is the line of an input in the list of flags: what it is, and what is taken without it.
func inputUsage(in *report.Input) string {
	text := in.Text
	if len(in.Words) > 0 {
		words := make([]string, len(in.Words))
		for i, w := range in.Words {
			words[i] = w.Word + " (" + w.Means + ")"
		}
		text += ": " + strings.Join(words, "; ")
	}
	switch {
	case in.Required && in.Unless != "":
		text += "; needed, or --" + in.Unless
	case in.Required:
		text += "; needed"
	case in.Default != "":
		text += "; else " + in.Default
	}
	return text
}

func (a *app) reckon(cmd *cobra.Command, c *report.Calculator, f reckonFlags) error {
	form, err := formFor(cmd, f.output, "text", "json", "markdown", "svg")
	if err != nil {
		return err
	}
	if f.phone && form != "svg" {
		return usage("write --format svg --phone", "%s: --phone is for drawings", c.ID)
	}
	s, err := loadSettings(withoutFormat(cmd.Flags()))
	if err != nil {
		return err
	}
	written := map[string]string{}
	for _, in := range c.Inputs {
		if flag := cmd.Flags().Lookup(in.Name); flag.Changed {
			written[in.Name] = flag.Value.String()
		}
	}
	ask, err := f.asks(a, c, written, form)
	if err != nil {
		return err
	}
	if ask {
		if err := a.ask(c, written); err != nil {
			return err
		}
	}
	r, err := c.Reckon(written)
	if err != nil {
		if err = reckonFailure(c, err); len(c.Missing(written)) > 0 {
			err = wholeLine(c, err)
		}
		return err
	}
	return a.deliver(f.output, s, func(w io.Writer, style report.Style) error {
		if err := f.write(w, r, form, style); err != nil {
			return reckonFailure(c, err)
		}
		return nil
	})
}

func (f *reckonFlags) write(w io.Writer, r *report.Reckoning, form string, style report.Style) error {
	switch form {
	case "json":
		return writeJSON(w, report.ReckonJSON(r))
	case "markdown":
		return report.ReckonMarkdown(w, r, style)
	case "svg":
		p := report.Picture{}
		if f.phone {
			p.Width = report.PhoneWidth
		}
		return report.ReckonSVG(w, r, style, p)
	}
	return report.ReckonText(w, r, style)
}

// wholeLine adds a whole line to an error, for whoever left something out.
func wholeLine(c *report.Calculator, err error) error {
	return &failure{err: err, status: statusUsage, hints: []string{
		"a whole line: diagnose reckon " + c.ID + " " + c.Examples[0], "or be asked: diagnose reckon " + c.ID + " --ask",
	}}
}

// reckonFailure makes failures of what a calculator refuses: a wrong or missing input is a mistake on the command line, and a state
// outside the model an error.
func reckonFailure(c *report.Calculator, err error) error {
	var outside *report.OutOfRange
	if errors.As(err, &outside) {
		hint := "the model does not answer there"
		if outside.Flags != "" {
			hint += "; check " + outside.Flags
		}
		if outside.Hint != "" {
			hint = outside.Hint
		}
		return trouble(fmt.Errorf("%s: %w", c.ID, outside), hint)
	}
	var list interface{ Unwrap() []error }
	if errors.As(err, &list) {
		var failures []error
		for _, one := range list.Unwrap() {
			failures = append(failures, reckonFailure(c, one))
		}
		return errors.Join(failures...)
	}
	var fault *report.InputFault
	if errors.As(err, &fault) {
		return usage(fault.Hint, "%s: %w", c.ID, fault)
	}
	return fmt.Errorf("%s: %w", c.ID, err)
}
