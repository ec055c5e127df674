package main

import (
	"context"
	"fmt"
	"iter"
	"runtime"
	"strings"
)

// result is what became of one input: what is written for it, or why not. body may be set beside err, as the entry of a sheet that
// cannot be done.
type result struct {
	path string
	body []byte
	err  error
}

// batch works through the inputs and writes what comes of them, in their order, as soon as it is known. A bad one is reported and
// the others are done; at the end it is said how many were bad, and the status is 1. When ctx ends, what has been written is
// brought to a proper end.
func (a *app) batch(ctx context.Context, list []argument, do func(input) result, f *form) error {
	b := &batch{app: a, form: f, total: count(list)}
	b.progress = a.newProgress(b.total)
	if b.total > manySheets {
		collectAt(forManySheets)
	}
	for r := range ordered(ctx, inputs(list), do) {
		if err := b.write(r); err != nil {
			b.progress.clear()
			return err
		}
		b.progress.show(b.done, b.bad)
	}
	b.progress.clear()
	return b.end(ctx)
}

// batch is a run over sheets. It keeps no results.
type batch struct {
	app       *app
	form      *form
	progress  *progress
	total     int
	done, bad int
	begun     bool
	names     []string // of the first bad ones
}

// mostMessages is how many bad sheets are reported one by one where each has an entry in the output besides.
const mostMessages = 20

func (b *batch) write(r result) error {
	b.done++
	if r.err != nil {
		if err := b.report(r); err != nil {
			return err
		}
	}
	if r.body == nil {
		return nil
	}
	before := b.form.between
	if !b.begun {
		before = b.form.open
	}
	b.begun = true
	b.app.out.WriteString(before)
	b.app.out.Write(r.body)
	return b.app.flush()
}

// report tells of a bad sheet. What was written before comes out before it.
func (b *batch) report(r result) error {
	const most = 5
	if b.bad++; len(b.names) < most {
		b.names = append(b.names, r.path)
	}
	if b.form.bad != nil && b.bad > mostMessages {
		return nil
	}
	if err := b.app.flush(); err != nil {
		return err
	}
	b.progress.clear()
	b.app.say(r.err)
	return nil
}

func (b *batch) end(ctx context.Context) error {
	if !b.begun {
		b.app.out.WriteString(b.form.open)
	}
	if b.begun || b.form.open != "" { // an array is closed even when it is empty; the end of a list needs a list
		b.app.out.WriteString(b.form.close)
	}
	if err := b.app.flush(); err != nil {
		return err
	}
	if b.bad > 0 && b.total > 1 {
		b.app.line(b.summary())
	}
	if ctx.Err() != nil && b.done < b.total {
		return trouble(fmt.Errorf("interrupted after %d of %d sheets", b.done, b.total), "what has been written so far is complete")
	}
	if b.bad > 0 {
		return silent(statusError)
	}
	return nil
}

// summary says how many sheets were bad, and the first of them by name.
func (b *batch) summary() string {
	names := strings.Join(b.names, ", ")
	if more := b.bad - len(b.names); more > 0 {
		names += fmt.Sprintf(" and %d more", more)
	}
	return fmt.Sprintf("%d of %d sheets not done: %s", b.bad, b.done, names)
}

// window is how many inputs for each processor may be under way or waiting for their turn to be written: enough that one slow sheet
// does not hold up the others, and no more memory than that however many there are.
const window = 8

// ordered does the inputs on all processors and yields the results in the order of the inputs, until ctx ends.
func ordered(ctx context.Context, ins iter.Seq[input], do func(input) result) iter.Seq[result] {
	return func(yield func(result) bool) {
		ctx, stop := context.WithCancel(ctx)
		defer stop()
		processors := runtime.GOMAXPROCS(0)
		tasks, turns := make(chan task), make(chan chan result, window*processors)
		go feed(ctx, ins, tasks, turns)
		for range processors {
			go func() {
				for t := range tasks {
					t.to <- do(t.in)
				}
			}()
		}
		for {
			r, ok := nextResult(ctx, turns)
			if !ok || !yield(r) {
				return
			}
		}
	}
}

// task is an input and where its result goes.
type task struct {
	in input
	to chan result
}

// feed hands out the inputs. The channel of each result takes its place in the queue before anybody works on it.
func feed(ctx context.Context, ins iter.Seq[input], tasks chan<- task, turns chan<- chan result) {
	defer close(turns)
	defer close(tasks)
	for in := range ins {
		to := make(chan result, 1)
		select {
		case turns <- to:
		case <-ctx.Done():
			return
		}
		select {
		case tasks <- task{in, to}:
		case <-ctx.Done():
			return
		}
	}
}

// nextResult waits for the result whose turn it is; false when there is none any more.
func nextResult(ctx context.Context, turns <-chan chan result) (result, bool) {
	select {
	case to, ok := <-turns:
		if !ok {
			return result{}, false
		}
		select {
		case r := <-to:
			return r, true
		case <-ctx.Done():
		}
	case <-ctx.Done():
	}
	return result{}, false
}
