package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"diagnose.example/report"
)

// asks says whether questions are to be put: where --ask wants it, and where something is missing and somebody sits at the terminal who can
// be asked for it.
func (f *reckonFlags) asks(a *app, c *report.Calculator, written map[string]string, form string) (bool, error) {
	seen := a.screen.terminal && (form == "text" || f.output != "")
	switch {
	case !f.ask:
		return seen && a.answersTyped() && len(c.Missing(written)) > 0, nil
	case seen || !a.answersTyped():
		return true, nil
	case !a.screen.terminal:
		return false, usage("write --output FILE, and let standard output be", "%s: --ask: the questions would not be seen", c.ID)
	}
	return false, usage("write --output FILE too", "%s: --ask: the questions would stand in the %s", c.ID, form)
}

// answersTyped says that answers come from somebody at a terminal.
func (a *app) answersTyped() bool {
	f, ok := a.stdin.(*os.File)
	if !ok {
		return false
	}
	_, _, ok = windowSize(f.Fd())
	return ok
}

// ask reads an answer from standard input, line by line, for each input that is not given, in the order in which the help lists them. An
// empty one takes the default, or leaves the input out. At a terminal the questions are shown, and a wrong answer is asked
// for again; in a pipe, where the next line belongs to the next question, it is an error.
func (a *app) ask(c *report.Calculator, written map[string]string) error {
	lines, typed := bufio.NewScanner(a.stdin), a.answersTyped()
	for i := range c.Inputs {
		in := &c.Inputs[i]
		_, given := written[in.Name]
		_, instead := written[in.Unless]
		for given = given || instead || in.Detail; !given; {
			answer, err := a.answer(in, lines, typed)
			switch {
			case errors.Is(err, io.EOF) && in.Required:
				return wholeLine(c, usage("write "+in.Flag(), "%s: standard input ended before --%s was answered", c.ID, in.Name))
			case errors.Is(err, io.EOF):
				return nil
			case err != nil:
				return err
			}
			if answer == "" && !in.Required {
				break
			}
			err = in.Check(answer)
			if err != nil && !typed {
				return reckonFailure(c, err)
			}
			if given = err == nil; given {
				written[in.Name] = answer
				continue
			}
			fmt.Fprintf(a.out, "  %s\n", complaint(err))
		}
	}
	return nil
}

// complaint says in one line what is wrong with an answer.
func complaint(err error) string {
	var fault *report.InputFault
	if errors.As(err, &fault) && fault.Hint != "" {
		return strings.TrimPrefix(fault.Message, fault.Flags+": ") + "; " + fault.Hint
	}
	return err.Error()
}

// answer shows the question to whoever types and reads a line.
func (a *app) answer(in *report.Input, lines *bufio.Scanner, typed bool) (string, error) {
	if typed {
		for _, w := range in.Words {
			fmt.Fprintf(a.out, "  %s: %s\n", w.Word, w.Means)
		}
		fmt.Fprintf(a.out, "%s [%s] ", in.Question, in.Answers())
		if err := a.flush(); err != nil {
			return "", err
		}
	}
	if lines.Scan() {
		return strings.TrimSpace(lines.Text()), nil
	}
	if err := lines.Err(); err != nil {
		return "", err
	}
	return "", io.EOF
}
