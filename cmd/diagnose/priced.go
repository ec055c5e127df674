package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/report"
	"diagnose.example/rules"
)

// priced is a command that makes papers out of a sheet and the prices of a shop.
type priced struct {
	cmd *cobra.Command
	// forms are those that it can be written in, the usual one first; called is what it is called.
	forms  []string
	called string
	// work is how far the sheet is diagnosed.
	work engine.Options
	// make makes it of the diagnosis and the quote, and returns what writes it.
	make func(*rules.Set, *quote.Quote) (papers, error)
}

// papers writes something in a form, on the screen or on paper.
type papers func(w io.Writer, form string, style report.Style, paper report.Paper) error

// pricedFlags are the flags of such a command.
type pricedFlags struct {
	output, date, confidence string
}

// command finishes the command. Where it defines --confidence itself, that counts.
func (p priced) command(a *app, f *pricedFlags) *cobra.Command {
	cmd := p.cmd
	cmd.GroupID = groupIntake
	cmd.Args = needs(1, 1, "name one sheet: diagnose "+cmd.Name()+" twin.yaml")
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return p.run(a, cmd, args[0], *f) }
	flags := cmd.Flags()
	last := len(p.forms) - 1
	flags.String("format", p.forms[0], "`FORM` of the "+p.called+": "+strings.Join(p.forms[:last], ", ")+" or "+p.forms[last])
	flags.String("prices", "", "the shop's prices are in `FILE`")
	flags.String("paper", "a4", "`SIZE` of printed pages: a4 or letter")
	flags.StringVar(&f.output, "output", "", "write to `FILE`, which must not be there yet")
	flags.StringVar(&f.date, "date", "", "the `DAY` of the "+p.called+", as 2026-01-31; without it today")
	return cmd
}

func (p priced) run(a *app, cmd *cobra.Command, path string, f pricedFlags) error {
	name := cmd.Name()
	form, err := formFor(cmd, f.output, p.forms...)
	if err != nil {
		return err
	}
	o, err := f.options(time.Now())
	if err != nil {
		return err
	}
	switch {
	case isFolder(path):
		return usage("name one of the sheets in it", "%s: %s is a folder", name, path)
	case form == "pdf" && f.output == "" && a.screen.terminal:
		return usage("write it to a file: --output "+name+".pdf", "%s: a pdf is nothing for a terminal", name)
	}
	s, k, err := a.prepare(withoutFormat(cmd.Flags()))
	if err != nil {
		return err
	}
	prices, err := shopPrices(s.prices, k)
	if err != nil {
		return err
	}
	d, err := a.diagnosis(k, input{path: path}, p.work)
	if err != nil {
		return err
	}
	var write papers
	q, err := quote.New(k, d, prices, o)
	if err == nil {
		write, err = p.make(k, q)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return a.deliver(f.output, s, func(w io.Writer, style report.Style) error { return write(w, form, style, s.paper) })
}

// options reads the day and the confidence.
func (f pricedFlags) options(now time.Time) (quote.Options, error) {
	o := quote.Options{Date: time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)}
	if f.date != "" {
		day, err := time.Parse(time.DateOnly, f.date)
		if err != nil {
			return o, usage("write a day as 2026-01-31", "--date: %q is not possible", f.date)
		}
		o.Date = day
	}
	percent, err := strconv.ParseFloat(strings.TrimSuffix(f.confidence, "%"), 64)
	if err != nil || !(percent > 0 && percent < 100) {
		return o, usage("write a percentage above 0 and below 100, such as 90", "--confidence: %q is not possible", f.confidence)
	}
	o.Confidence = percent / 100
	return o, nil
}

// shopPrices reads the prices of a shop, and those of parts in the file that they name; without a file they are invented.
func shopPrices(path string, k *rules.Set) (*quote.Prices, error) {
	if path == "" {
		return quote.DemoPrices(k)
	}
	data, err := readFile(path)
	if err != nil {
		return nil, err
	}
	p, err := quote.ReadPrices(path, data, k)
	if err != nil || p.PartsFile == "" {
		return p, err
	}
	parts := configuration{path: path}.beside(p.PartsFile)
	if data, err = readFile(parts); err != nil {
		return nil, fmt.Errorf("%s: %w", p.PartsFilePos, err)
	}
	return p.AddParts(parts, data, k)
}
