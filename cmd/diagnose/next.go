package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/rules"
)

// nextFlags are the flags of next.
type nextFlags struct {
	top    int
	tree   int
	last   float64
	rate   float64
	prices []string
	output string
}

func (a *app) nextCommand() *cobra.Command {
	var f nextFlags
	cmd := &cobra.Command{
		Use:     "next SHEET",
		GroupID: groupIntake,
		Short:   "say what to check or repair next, by the time it saves",
		Long: paragraphs(
			"next weighs every check, every swap of parts from side to side and every repair by the work the whole job is expected to take if it "+
				"comes first, and tells the best: how it is done, with what caution, and what each outcome would mean. Write the outcome on the "+
				"sheet, under at: or observed: for what was found, under tried: for a repair, and ask again.",
			"Access that several jobs share, such as the carburetors off, is paid for once. What has to come before (no balancing before the valves "+
				"are checked) is kept to. A repair that changed nothing stays evidence. Where nothing is worth its time any more, next says so.",
			"With --tree 3 it tells the steps after that too, each planned anew with the outcome before it: as text, Markdown, or a drawing (svg) "+
				"in which a line is as long as the work and as thick as it is likely to be needed.",
			"Time is what counts. With --rate, the price of an hour of work, and --price part=amount, parts count as well."),
		Example: example(
			"diagnose next twin.yaml",
			"diagnose next twin.yaml --details               # every step whole, with sources",
			"diagnose next twin.yaml --tree 3 --format svg --output next.svg",
			"diagnose next twin.yaml --rate 60 --price carburetor-float=25"),
		Args: needs(1, 1, "name one sheet: diagnose next sheet.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error { return a.next(cmd, args[0], f) },
	}
	flags := cmd.Flags()
	flags.String("format", "text", "`FORM` of the result: text, json, markdown, or svg of a tree")
	flags.IntVar(&f.top, "top", 3, "tell the `N` best steps")
	flags.IntVar(&f.tree, "tree", 0, "tell what then, `N` steps deep")
	flags.Float64Var(&f.last, "last-resort", engine.DefaultLastResort, "`MINUTES` that sending the job out is reckoned at")
	flags.Float64Var(&f.rate, "rate", 0, "price of an hour of work; with it --price counts")
	flags.StringArrayVar(&f.prices, "price", nil, "price of a part as `PART=AMOUNT`; may be repeated")
	flags.StringVar(&f.output, "output", "", "write to `FILE`, which must not be there yet")
	flags.Bool("details", false, "tell every step whole, and what the plan rests on")
	return cmd
}

// deepestTree keeps a slip of the keyboard from planning for hours.
const deepestTree = 6

func (a *app) next(cmd *cobra.Command, path string, f nextFlags) error {
	form, err := formFor(cmd, f.output, "text", "json", "markdown", "svg")
	if err != nil {
		return err
	}
	if err := f.check(path, form); err != nil {
		return err
	}
	s, k, err := a.prepare(withoutFormat(cmd.Flags()))
	if err != nil {
		return err
	}
	o, err := f.options(k)
	if err != nil {
		return err
	}
	sheet, err := a.sheet(k, input{path: path})
	if err != nil {
		return err
	}
	var advice *engine.Advice
	var tree *engine.TreeNode
	if f.tree > 0 {
		tree, advice, err = engine.Tree(k, sheet, engine.TreeOptions{StepOptions: o, Depth: f.tree})
	} else {
		advice, err = engine.NextStep(k, sheet, o)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return a.deliver(f.output, s, func(w io.Writer, style report.Style) error {
		style.Top = f.top
		return writeNext(w, advice, tree, k, form, style)
	})
}

// check finds flags that do not go together or make no sense.
func (f *nextFlags) check(path, form string) error {
	switch {
	case f.top < 1:
		return usage("write --top and a number from 1", "next: --top: %d is not possible", f.top)
	case f.tree < 0 || f.tree > deepestTree:
		return usage("write --tree and a number from 1 to "+strconv.Itoa(deepestTree), "next: --tree: %d is not possible", f.tree)
	case !(f.last > 0):
		return usage("write --last-resort and the minutes, such as 480", "next: --last-resort: %v is not possible", f.last)
	case !(f.rate >= 0):
		return usage("write --rate and the price of an hour, such as 60", "next: --rate: %v is not possible", f.rate)
	case len(f.prices) > 0 && f.rate == 0:
		return usage("write --rate too, the price of an hour: without it money cannot be weighed against time", "next: --price without --rate")
	case form == "svg" && f.tree == 0:
		return usage("write --tree 3", "next: a drawing is made of a tree")
	case isFolder(path):
		return usage("name one of the sheets in it", "next: %s is a folder", path)
	}
	return nil
}

// options reads the prices.
func (f *nextFlags) options(k *rules.Set) (engine.StepOptions, error) {
	prices := map[string]float64{}
	for _, text := range f.prices {
		id, amount, ok := strings.Cut(text, "=")
		price, err := strconv.ParseFloat(amount, 64)
		if !ok || err != nil || !(price >= 0) {
			return engine.StepOptions{}, usage("write --price PART=AMOUNT, such as carburetor-float=25", "next: --price: %q is not possible", text)
		}
		if _, ok := k.Part(id); !ok {
			var ids []string
			for _, p := range k.Parts {
				ids = append(ids, p.ID)
			}
			hint := "the parts are named by: diagnose explain, and the id of a repair"
			if meant := nearest(id, ids); meant != "" {
				hint = "did you mean --price " + meant + "=" + amount
			}
			return engine.StepOptions{}, usage(hint, "next: --price: no part %q", id)
		}
		prices[id] = price
	}
	return engine.StepOptions{Top: f.top, LastResort: f.last, Rate: f.rate,
		Price: func(p *rules.Part) float64 { return prices[p.ID] }}, nil
}

func writeNext(w io.Writer, advice *engine.Advice, tree *engine.TreeNode, k *rules.Set, form string, style report.Style) error {
	switch {
	case form == "json":
		return writeJSON(w, report.NextJSON(advice, tree, k))
	case form == "svg":
		return report.NextTreeSVG(w, tree, advice, k)
	case form == "markdown" && tree != nil:
		return report.NextTreeMarkdown(w, tree, advice, k, style)
	case form == "markdown":
		return report.NextMarkdown(w, advice, k, style)
	case tree != nil:
		return report.NextTreeText(w, tree, advice, k, style)
	}
	return report.NextText(w, advice, k, style)
}
