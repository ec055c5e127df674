package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"diagnose.example/engine/interview"
	"diagnose.example/rules"
)

func (a *app) interviewCommand() *cobra.Command {
	var f blankFlags
	var job string
	cmd := &cobra.Command{
		Use:     "interview SHEET",
		GroupID: groupIntake,
		Short:   "fill in an intake sheet by questions, the most useful one first",
		Long: paragraphs(
			"interview asks what the machine does and then, one by one, what would tell most about the cause for its minutes: the "+
				"rider first, then a look over the machine, then the engine running, then the bench. Each answer is written to SHEET at once. "+
				"If SHEET exists, the interview goes on from it; what is on it is not asked again.",
			"Answers: yes, no, a word or its number or its beginning, a number with unit (22,5 mm). An empty line or ? is "+
				"\"don't know\". Where the same is asked of several carburetors or cylinders: all dry; right drips; left dry, right drips.",
			"At any question: back (undo and ask again), why (what the answer would tell), so far (the ranking), later (skip this "+
				"group), note TEXT, stop (the ranking, and end), help."),
		Example: example(
			"diagnose interview job-1042.yaml",
			"diagnose interview job-1043.yaml --cylinders 2 --carburetors left,right",
			"printf '%s\\n' 'single' 4 1 slide gravity | diagnose interview job-1044.yaml"),
		Args: needs(1, 1, "name the sheet to write: diagnose interview job-1042.yaml"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.interview(cmd, args[0], job, &f)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&job, "job", "", "the job's `NUMBER`; left out: from the name of the sheet")
	flags.IntVar(&f.cylinders, "cylinders", 1, "engine of `N` cylinders; left out: asked")
	flags.StringVar(&f.carburetors, "carburetors", "", "`NAMES` of the carburetors in order, or their number; left out: asked")
	flags.IntVar(&f.strokes, "strokes", 4, "engine of `N` strokes, 2 or 4; left out: asked")
	flags.StringVar(&f.name, "name", "", "the machine, in free `TEXT`; left out: asked")
	return cmd
}

// interview takes the sheet up, or begins it, and talks until the end.
func (a *app) interview(cmd *cobra.Command, path, job string, f *blankFlags) error {
	switch {
	case path == "-":
		return usage("name a file: diagnose interview job-1042.yaml", "interview: standard input is for the answers")
	case isFolder(path):
		return usage("name a sheet in it: diagnose interview "+filepath.ToSlash(filepath.Join(path, "job-1042.yaml")), "interview: %s is a folder", path)
	}
	s, k, err := a.prepare(cmd.Flags())
	if err != nil {
		return err
	}
	o := interview.Options{Units: s.units}
	data, err := os.ReadFile(path)
	var talk *interview.Talk
	resumed := false
	switch {
	case err == nil:
		talk, err = interview.Resume(k, path, data, o)
		resumed = true
	case errors.Is(err, fs.ErrNotExist):
		talk, err = a.begin(cmd, k, path, job, f, o)
	default:
		err = pathError(err)
	}
	if err != nil {
		return err
	}
	stopped, forget := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer forget()
	context.AfterFunc(stopped, forget) // a second one ends the program at once
	d := &dialogue{app: a, talk: talk, knowledge: k, settings: s, path: path, in: bufio.NewReader(io.LimitReader(a.stdin, maxInput)),
		width: a.style(s).Width, shown: map[string]bool{}, stopped: stopped}
	return d.run(resumed)
}

// begin starts a new sheet with what the flags say of the machine.
func (a *app) begin(cmd *cobra.Command, k *rules.Set, path, job string, f *blankFlags, o interview.Options) (*interview.Talk, error) {
	if job == "" {
		job = jobOf(path)
	}
	var told interview.Told
	if cmd.Flags().Changed("name") {
		told.Name = f.name
	}
	if cmd.Flags().Changed("strokes") {
		told.Strokes = strconv.Itoa(f.strokes)
	}
	if cmd.Flags().Changed("carburetors") && !cmd.Flags().Changed("cylinders") {
		return nil, usage("write --cylinders too", "interview: --carburetors without --cylinders")
	}
	if cmd.Flags().Changed("cylinders") {
		m, err := f.machine()
		if err != nil {
			return nil, err
		}
		told.Cylinders = strconv.Itoa(len(m.Cylinders))
		if f.carburetors != "" {
			told.Carburetors = m.Carburetors
		}
	}
	return interview.New(k, path, job, told, o)
}

// jobOf takes the job's number from the name of its sheet: job-1042.yaml is 1042.
func jobOf(path string) string {
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	return strings.TrimPrefix(name, "job-")
}

// save writes the sheet so that at any moment either the old or the new one is whole on the disk: into a file beside it, which then takes
// its name.
func save(path string, data []byte) error {
	mode := fs.FileMode(0o666)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
		if target, err := filepath.EvalSymlinks(path); err == nil {
			path = target
		}
	}
	temporary := path + ".new"
	file, err := os.OpenFile(temporary, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, mode)
	if err != nil {
		return pathError(err)
	}
	_, err = file.Write(data)
	if err == nil {
		err = file.Sync()
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Rename(temporary, path)
	}
	if err != nil {
		os.Remove(temporary)
		return fmt.Errorf("%s: the sheet was not saved: %w", path, err)
	}
	return nil
}
