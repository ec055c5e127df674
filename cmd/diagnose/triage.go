package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"runtime"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

func (a *app) triageCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "triage SHEET...",
		GroupID: groupIntake,
		Short:   "rank what may be wrong, from an intake sheet",
		Long: paragraphs(
			"triage reads intake sheets and writes for each the likely causes, likeliest first, with the probability at each "+
				"carburetor, the reasons, the check worth doing next, and what was not asked. A stop notice, where there is one, "+
				"comes before anything else.",
			"A sheet is a YAML or JSON file; - reads standard input; a folder stands for every .yaml, .yml and .json file in it. "+
				"Several sheets are taken one after the other; one that cannot be read is reported, the others are still done, "+
				"and the exit status is 1. With --format json one sheet gives an object, several or a folder an array.",
			"The first screen fits into 24 lines of 80 columns. Everything else stands behind --details."),
		Example: example(
			"diagnose triage twin.yaml                  # the first screen",
			"diagnose triage twin.yaml --details        # every reason, check and repair",
			"diagnose triage sheets/ --format json      # a folder, for a program to read",
			"diagnose triage - < twin.yaml              # from standard input"),
		Args: needs(1, -1, "name a sheet: diagnose triage sheet.yaml; a blank one is written by: diagnose blank"),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := loadSettings(cmd.Flags())
			if err != nil {
				return err
			}
			return a.triage(args, s)
		},
	}
	flags := cmd.Flags()
	flags.String("format", "text", "`FORM` of the result: text, json or markdown")
	flags.Int("top", 5, "show `N` causes")
	flags.Bool("details", false, "show everything, not only the first screen")
	return cmd
}

// triage ranks every sheet named by args and writes the results in their order.
func (a *app) triage(args []string, s *settings) error {
	if err := oneStandardInput(args); err != nil {
		return err
	}
	k, err := a.knowledge(s)
	if err != nil {
		return err
	}
	t := &triage{app: a, knowledge: k, settings: s, actions: k.Actions()}
	w := a.resultWriter(k, s, len(args) > 1 || isFolder(args[0]))
	bad := false
	for r := range t.results(inputs(args)) {
		if r.err != nil {
			bad = true
			if err := a.interrupt(r.err); err != nil {
				return err
			}
		}
		if err := w.write(r); err != nil {
			return err
		}
	}
	if err := w.close(); err != nil {
		return err
	}
	if bad {
		return silent(statusError)
	}
	return nil
}

// interrupt reports an error while results are being written. What was written before comes out before it.
func (a *app) interrupt(err error) error {
	if flushErr := a.flush(); flushErr != nil {
		return flushErr
	}
	a.finish(err)
	return nil
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

// triage diagnoses sheets with one knowledge and one set of options.
type triage struct {
	app       *app
	knowledge *rules.Set
	settings  *settings
	actions   []string
}

// result is what became of one input.
type result struct {
	path      string
	diagnosis *engine.Diagnosis
	err       error
}

// results diagnoses the inputs on all processors and yields the results in the order of the inputs. At any time at most
// one input per processor is in memory, however many there are.
func (t *triage) results(ins iter.Seq[input]) iter.Seq[result] {
	return func(yield func(result) bool) {
		// The channel holds what has been started; the one being waited for is out of it, the one being sent is not yet started.
		started := make(chan chan result, runtime.GOMAXPROCS(0)-1)
		stop := make(chan struct{})
		defer close(stop)
		go func() {
			defer close(started)
			for in := range ins {
				one := make(chan result, 1)
				select {
				case started <- one:
				case <-stop:
					return
				}
				go func() { one <- t.one(in) }()
			}
		}()
		for one := range started {
			if !yield(<-one) {
				return
			}
		}
	}
}

// one diagnoses one input.
func (t *triage) one(in input) result {
	r := result{path: in.path}
	data, err := t.app.read(in)
	if err != nil {
		r.err = err
		return r
	}
	sheet, err := symptoms.Decode(in.path, data, t.knowledge.Vocabulary, symptoms.DecodeOptions{Actions: t.actions})
	if err != nil {
		r.err = err
		return r
	}
	r.diagnosis, err = engine.Diagnose(t.knowledge, sheet, t.settings.work())
	if err != nil {
		r.err = fmt.Errorf("%s: %w", in.path, err)
	}
	return r
}

// work says how much of a diagnosis is worked out: for the first screen no more than it shows.
func (s *settings) work() engine.Options {
	o := engine.Options{Explain: s.top}
	if s.format == "text" && !s.details {
		o.Detail, o.Questions = engine.FirstScreen, 3
	}
	return o
}

// resultWriter writes results one by one.
type resultWriter interface {
	write(result) error
	close() error
}

// resultWriter returns the writer for the wanted format; many says that the results form a list.
func (a *app) resultWriter(k *rules.Set, s *settings, many bool) resultWriter {
	style := a.style(s)
	switch {
	case s.format == "json" && many:
		return &jsonList{jsonOne: jsonOne{a.out, k}}
	case s.format == "json":
		return &jsonOne{a.out, k}
	case s.format == "markdown":
		return &textWriter{app: a, print: func(w io.Writer, d *engine.Diagnosis) error { return report.Markdown(w, d, k, style) }}
	default:
		return &textWriter{app: a, print: func(w io.Writer, d *engine.Diagnosis) error { return report.Text(w, d, k, style) }}
	}
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

// textWriter writes the diagnoses one under the other; errors have gone to standard error.
type textWriter struct {
	app   *app
	print func(io.Writer, *engine.Diagnosis) error
	begun bool
}

func (t *textWriter) write(r result) error {
	if r.err != nil {
		return nil
	}
	if t.begun {
		fmt.Fprintln(t.app.out)
	}
	t.begun = true
	if err := t.print(t.app.out, r.diagnosis); err != nil {
		return err
	}
	return t.app.flush()
}

func (t *textWriter) close() error { return nil }

// jsonOne writes a diagnosis as an object.
type jsonOne struct {
	w io.Writer
	k *rules.Set
}

func (j *jsonOne) write(r result) error {
	var value any = report.SheetError{Sheet: r.path, Error: plain(r.err)}
	if r.err == nil {
		value = report.JSON(r.diagnosis, j.k)
	}
	return writeJSON(j.w, value)
}

func (j *jsonOne) close() error { return nil }

// jsonList writes the objects as the items of an array, each as soon as it is known.
type jsonList struct {
	jsonOne
	begun bool
}

func (j *jsonList) write(r result) error {
	opening := "["
	if j.begun {
		opening = ","
	}
	j.begun = true
	if _, err := fmt.Fprintln(j.w, opening); err != nil {
		return err
	}
	return j.jsonOne.write(r)
}

func (j *jsonList) close() error {
	if !j.begun {
		fmt.Fprintln(j.w, "[")
	}
	_, err := fmt.Fprintln(j.w, "]")
	return err
}

// writeJSON writes a value readably, with every digit, and without the escapes that only a web page needs.
func writeJSON(w io.Writer, value any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(value)
}

// plain is the text of an error for a program to read.
func plain(err error) string {
	var f *failure
	if err == nil {
		return ""
	}
	if errors.As(err, &f) && f.err != nil {
		return f.err.Error()
	}
	return err.Error()
}
