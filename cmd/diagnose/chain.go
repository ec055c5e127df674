package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/rules"
)

// chainFlags are the flags of chain.
type chainFlags struct {
	sheet  string
	causes int
	output string
	phone  bool
}

func (a *app) chainCommand() *cobra.Command {
	var f chainFlags
	cmd := &cobra.Command{
		Use:     "chain (ID | --sheet SHEET)",
		GroupID: groupKnowledge,
		Short:   "draw how a cause leads to what is seen",
		Long: paragraphs(
			"chain draws cause and effect, the same chain that the probabilities are worked out along. A cause, which can be repaired or "+
				"adjusted, makes effects happen inside the machine, these make others happen, and each is known by findings: what is "+
				"seen, heard or measured. The word at a link says how often: almost always, half the time, seldom.",
			"With the id of a cause the chain holds everything that the cause leads to. With --sheet it runs from the likeliest cause of "+
				"that intake sheet down to the findings: how probable each effect is, what was observed, what speaks against, and "+
				"what nobody asked about yet. --causes 2 begins at the two likeliest, which shows where they part and so which "+
				"finding would tell them apart.",
			"As text the chain is a tree; what can be reached in several ways is told once. As svg it is a drawing for a sheet of paper "+
				"or a browser, which holds its own legend and sources; a printer without colour loses nothing. --phone draws it slim "+
				"and long. With --output and a name in .svg or .md the form need not be named."),
		Example: example(
			"diagnose chain float-leaks                 # all that a leaking float leads to",
			"diagnose chain float-leaks --output float.svg",
			"diagnose chain --sheet twin.yaml           # from the likeliest cause on this sheet",
			"diagnose chain --sheet twin.yaml --causes 2 --format svg > twin.svg"),
		Args: needs(0, 1, "draw one cause at a time: diagnose chain float-leaks"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return a.complete(cmd, causeIDs)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.chain(cmd, args, f)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.sheet, "sheet", "", "draw the diagnosis of intake sheet `FILE`; - reads standard input")
	flags.IntVar(&f.causes, "causes", 1, "with --sheet: begin at the `N` likeliest causes")
	flags.String("format", "text", "`FORM` of the chain: text, svg or markdown")
	flags.StringVar(&f.output, "output", "", "write to `FILE`, which must not be there yet")
	flags.BoolVar(&f.phone, "phone", false, "draw for a telephone held upright")
	return cmd
}

func causeIDs(k *rules.Set) []string {
	ids := make([]string, len(k.Causes))
	for i, c := range k.Causes {
		ids[i] = c.ID
	}
	return ids
}

func (a *app) chain(cmd *cobra.Command, args []string, f chainFlags) error {
	form, err := formFor(cmd, f.output, "text", "svg", "markdown")
	if err != nil {
		return err
	}
	if err := f.check(cmd, args, form); err != nil {
		return err
	}
	s, k, err := a.prepare(withoutFormat(cmd.Flags()))
	if err != nil {
		return err
	}
	var c *report.Chain
	if f.sheet != "" {
		c, err = a.sheetChain(k, f.sheet, f.causes)
	} else {
		c, err = causeChain(k, args[0])
	}
	if err != nil {
		return err
	}
	return a.deliver(f.output, s, func(w io.Writer, style report.Style) error { return writeChain(w, c, form, style, f.picture()) })
}

// check finds flags that do not go together.
func (f *chainFlags) check(cmd *cobra.Command, args []string, form string) error {
	switch {
	case len(args) == 0 && f.sheet == "":
		return usage("name a cause: diagnose chain float-leaks; or a sheet: diagnose chain --sheet twin.yaml", "chain: of what is not said")
	case len(args) > 0 && f.sheet != "":
		return usage("leave out "+args[0]+", or --sheet", "chain: both a cause and a sheet are given")
	case f.causes < 1:
		return usage("write --causes and a number from 1", "chain: --causes: %d is not possible", f.causes)
	case f.sheet == "" && cmd.Flags().Changed("causes"):
		return usage("name a sheet too: --sheet twin.yaml", "chain: --causes counts the likeliest causes of a sheet")
	case f.phone && form != "svg":
		return usage("write --format svg --phone", "chain: --phone is for drawings")
	case isFolder(f.sheet):
		return usage("name one of the sheets in it", "chain: --sheet: %s is a folder", f.sheet)
	}
	return nil
}

func (f *chainFlags) picture() report.Picture {
	if f.phone {
		return report.Picture{Width: report.PhoneWidth}
	}
	return report.Picture{}
}

func writeChain(w io.Writer, c *report.Chain, form string, style report.Style, p report.Picture) error {
	switch form {
	case "svg":
		return report.ChainSVG(w, c, p)
	case "markdown":
		return report.ChainMarkdown(w, c)
	}
	return report.ChainText(w, c, style)
}

// causeChain draws what the knowledge says of a cause.
func causeChain(k *rules.Set, id string) (*report.Chain, error) {
	if _, ok := k.Cause(id); ok {
		return report.ChainOfCause(k, id)
	}
	if x, err := k.Explain(id); err == nil {
		return nil, trouble(fmt.Errorf("%q: not a cause but of the kind %s", id, x.Kind), "what is linked to it shows: diagnose explain "+id)
	}
	hint := "the causes are listed by: diagnose causes"
	if meant := nearest(id, causeIDs(k)); meant != "" {
		hint = "did you mean: diagnose chain " + meant
	}
	return nil, trouble(fmt.Errorf("%q: no such cause", id), hint)
}

// sheetChain draws the diagnosis of a sheet.
func (a *app) sheetChain(k *rules.Set, path string, causes int) (*report.Chain, error) {
	d, err := a.diagnosis(k, input{path: path}, engine.Options{Explain: causes, Detail: engine.FirstScreen, WholeChain: true})
	if err != nil {
		return nil, err
	}
	return report.ChainOfDiagnosis(d, k, causes)
}
