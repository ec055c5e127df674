package main

import (
	"errors"
	"fmt"
	"strings"
	"syscall"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// What the terminal gets. Results go to standard output and nothing else does. Everything about the run itself goes to
// standard error: one line "diagnose: " and the message, lower case, no final stop; then, where the user can do something
// about it, lines "diagnose: hint: " with what to type. A run that succeeds writes nothing to standard error.

// The exit statuses.
const (
	statusDone     = 0
	statusError    = 1
	statusUsage    = 2
	statusFindings = 3
)

// failure is an error that knows its exit status and what the user could type instead.
type failure struct {
	err    error // nil: everything has been said already
	status int
	hints  []string
}

func (f *failure) Error() string {
	if f.err == nil {
		return fmt.Sprintf("exit status %d", f.status)
	}
	return f.err.Error()
}

func (f *failure) Unwrap() error { return f.err }

// usage makes a failure out of a mistake on the command line.
func usage(hint, format string, args ...any) error {
	return &failure{err: fmt.Errorf(format, args...), status: statusUsage, hints: hintList(hint)}
}

// trouble makes a failure out of an error and a hint, which may be empty.
func trouble(err error, hint string) error {
	return &failure{err: err, status: statusError, hints: hintList(hint)}
}

// silent ends the run with a status and no further word.
func silent(status int) error { return &failure{status: status} }

func hintList(hint string) []string {
	if hint == "" {
		return nil
	}
	return []string{hint}
}

// finish reports err on standard error and returns the exit status for it.
func (a *app) finish(err error) int {
	if flushErr := a.flush(); err == nil {
		err = flushErr
	}
	if err == nil {
		return statusDone
	}
	// The reader of a pipe (head, a pager) has had enough: no error of ours and nobody left to tell.
	if errors.Is(err, syscall.EPIPE) {
		return statusDone
	}
	a.say(err)
	var f *failure
	if errors.As(err, &f) {
		return f.status
	}
	return statusError
}

// say writes an error with the prefix; a list of errors one by one, each with its source line and hint.
func (a *app) say(err error) {
	if f, ok := err.(*failure); ok {
		if f.err != nil {
			a.say(f.err)
		}
		for _, hint := range f.hints {
			a.line("hint: " + hint)
		}
		return
	}
	var list interface{ Unwrap() []error }
	if errors.As(err, &list) {
		for _, one := range list.Unwrap() {
			a.say(one)
		}
		return
	}
	m := messageOf(err)
	for line := range strings.Lines(m.text) {
		a.line(strings.TrimRight(line, "\n"))
	}
	if m.hint != "" {
		a.line("hint: " + m.hint)
	}
}

// line writes one line to standard error. Names of files and words of sheets may hold anything, so what a terminal would take for
// an order is shown and not sent.
func (a *app) line(text string) {
	fmt.Fprintf(a.stderr, "diagnose: %s\n", printable(text))
}

// message is what an error says, taken apart.
type message struct{ text, hint string }

// messageOf takes apart the errors that carry a position. Both kinds show the source line in the same way.
func messageOf(err error) message {
	var fault *symptoms.Error
	var inPack *rules.Error
	switch {
	case errors.As(err, &fault):
	case errors.As(err, &inPack):
		fault = &symptoms.Error{Pos: inPack.Pos, Message: inPack.Message, Hint: inPack.Hint, Line: inPack.Line}
		if inPack.ID != "" {
			fault.Message = inPack.ID + ": " + inPack.Message
		}
	default:
		return message{text: err.Error()}
	}
	shown := *fault
	shown.Hint = ""
	return message{text: shown.Error(), hint: fault.Hint}
}
