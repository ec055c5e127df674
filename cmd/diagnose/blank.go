package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// blankFlags are the flags of blank.
type blankFlags struct {
	cylinders   int
	carburetors string
	strokes     int
	name        string
}

func (a *app) blankCommand() *cobra.Command {
	var f blankFlags
	cmd := &cobra.Command{
		Use:     "blank",
		GroupID: groupIntake,
		Short:   "write a blank intake sheet to fill in",
		Long: paragraphs(
			"blank writes an intake sheet with the commonest questions, one a line, grouped by who can answer them: the rider, a "+
				"look over the machine, the bench, the engine running. It prints on one page. Put the answers in, and leave empty "+
				"what nobody looked at: silence is never taken for \"no\". What each question asks is shown by: diagnose explain ID.",
			"The carburetors are named in order, or counted. Their names stand on the sheet, in the report and in the workshop, so "+
				"choose ones that cannot be mixed up: left,right or front,rear or 1,2,3,4 from the left."),
		Example: example(
			"diagnose blank --cylinders 2 --carburetors left,right > twin.yaml",
			"diagnose blank --cylinders 1 --strokes 2 > single.yaml",
			"diagnose blank --cylinders 4 --carburetors 4 > four.yaml"),
		Args: needs(0, 0, "write the sheet to a file with: diagnose blank > sheet.yaml"),
		RunE: func(cmd *cobra.Command, _ []string) error {
			machine, err := f.machine()
			if err != nil {
				return err
			}
			return a.blank(cmd, machine)
		},
	}
	flags := cmd.Flags()
	flags.IntVar(&f.cylinders, "cylinders", 1, fmt.Sprintf("`N` cylinders, 1 to %d", symptoms.MaxCylinders))
	flags.StringVar(&f.carburetors, "carburetors", "", "`NAMES` of the carburetors in order, or their number;\nleft out: one per cylinder")
	flags.IntVar(&f.strokes, "strokes", 4, "engine of `N` strokes, 2 or 4")
	flags.StringVar(&f.name, "name", "", "the machine, in free `TEXT`")
	return cmd
}

func (a *app) blank(cmd *cobra.Command, machine symptoms.Machine) error {
	_, k, err := a.prepare(cmd.Flags())
	if err != nil {
		return err
	}
	useless, err := uselessOn(k, machine)
	if err != nil {
		return err
	}
	_, err = a.out.Write(symptoms.Blank(k.Vocabulary, machine, useless...))
	return err
}

// uselessOn lists what means nothing on a machine of this construction, such as valve clearances on a two-stroke. The sheet is read as a
// filled one would be, so that the engine is told in the usual way how the machine is built.
func uselessOn(k *rules.Set, machine symptoms.Machine) ([]string, error) {
	sheet, err := symptoms.Decode("blank", symptoms.Blank(k.Vocabulary, machine), k.Vocabulary, symptoms.DecodeOptions{})
	if err != nil {
		return nil, err
	}
	return engine.Useless(k, sheet)
}

// machine is the machine that the flags describe.
func (f *blankFlags) machine() (symptoms.Machine, error) {
	var none symptoms.Machine
	if f.strokes != 2 && f.strokes != 4 {
		return none, usage("write --strokes 2 or --strokes 4", "blank: --strokes: %d is not possible", f.strokes)
	}
	if f.cylinders < 1 || f.cylinders > symptoms.MaxCylinders {
		return none, usage(fmt.Sprintf("write --cylinders 1 to %d", symptoms.MaxCylinders), "blank: --cylinders: %d is not possible", f.cylinders)
	}
	carburetors, err := f.carburetorNames()
	if err != nil {
		return none, err
	}
	m := symptoms.Machine{Name: f.name, Strokes: f.strokes, Carburetors: carburetors, Cylinders: numbered(f.cylinders)}
	if len(carburetors) == f.cylinders {
		m.Cylinders = slices.Clone(carburetors)
	}
	for i := range f.cylinders {
		m.Feeds = append(m.Feeds, i*len(carburetors)/f.cylinders)
	}
	return m, nil
}

// carburetorNames reads --carburetors: names with commas between, a number, or nothing for one per cylinder.
func (f *blankFlags) carburetorNames() ([]string, error) {
	const hint = "write --carburetors left,right or --carburetors 2"
	if f.carburetors == "" {
		if f.cylinders > symptoms.MaxCarburetors {
			return nil, usage("write --carburetors 4 or as many as there are",
				"blank: one carburetor for each of %d cylinders: at most %d carburetors are possible", f.cylinders, symptoms.MaxCarburetors)
		}
		return numbered(f.cylinders), nil
	}
	if n, err := strconv.Atoi(f.carburetors); err == nil {
		if n < 1 || n > symptoms.MaxCarburetors {
			return nil, usage(hint, "blank: --carburetors: %d is not possible, 1 to %d are", n, symptoms.MaxCarburetors)
		}
		return numbered(n), f.enoughCylinders(n)
	}
	names := strings.Split(f.carburetors, ",")
	for i, name := range names {
		names[i] = strings.TrimSpace(name)
		if names[i] == "" || slices.Contains(names[:i], names[i]) {
			return nil, usage(hint, "blank: --carburetors: %q: a name is missing or there twice", f.carburetors)
		}
	}
	if len(names) > symptoms.MaxCarburetors {
		return nil, usage(hint, "blank: --carburetors: %d of them, at most %d are possible", len(names), symptoms.MaxCarburetors)
	}
	return names, f.enoughCylinders(len(names))
}

func (f *blankFlags) enoughCylinders(carburetors int) error {
	if carburetors > f.cylinders {
		return usage(fmt.Sprintf("write --cylinders %d too", carburetors),
			"blank: %d carburetors for --cylinders %d", carburetors, f.cylinders)
	}
	return nil
}

func numbered(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = strconv.Itoa(i + 1)
	}
	return names
}
