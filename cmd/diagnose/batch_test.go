package main

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

func numberedInputs(n int) iter.Seq[input] {
	return func(yield func(input) bool) {
		for i := range n {
			if !yield(input{path: fmt.Sprint(i)}) {
				return
			}
		}
	}
}

// TestOrdered lets the first input finish last: the results come in order all the same, and no more inputs are taken meanwhile than
// the window holds.
func TestOrdered(t *testing.T) {
	const n = 1000
	hold := make(chan struct{})
	var taken atomic.Int64
	do := func(in input) result {
		taken.Add(1)
		if in.path == "0" {
			<-hold
		}
		return result{path: in.path}
	}
	go func() {
		before := int64(-1)
		for before != taken.Load() { // until nothing moves any more
			before = taken.Load()
			time.Sleep(20 * time.Millisecond)
		}
		close(hold)
	}()
	var got []string
	most := int64(0)
	for r := range ordered(context.Background(), numberedInputs(n), do) {
		if len(got) == 0 {
			most = taken.Load()
		}
		got = append(got, r.path)
	}
	if len(got) != n || !slices.IsSortedFunc(got, func(a, b string) int {
		var x, y int
		fmt.Sscan(a, &x)
		fmt.Sscan(b, &y)
		return x - y
	}) {
		t.Errorf("%d results, %q ...; want %d in order", len(got), got[:3], n)
	}
	if most >= n {
		t.Errorf("all %d inputs were taken while the first was not done; want a window", most)
	}
}

func TestOrderedStopsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	n := 0
	for range ordered(ctx, numberedInputs(100000), func(in input) result { return result{path: in.path} }) {
		if n++; n == 3 {
			stop()
		}
	}
	if n < 3 || n > 1000 {
		t.Errorf("%d results after the context ended at the third; want few more", n)
	}
}

// batchOf runs a batch over inputs of which some are bad, with an array around them, and returns what is written.
func batchOf(ctx context.Context, list []argument, do func(input) result) (stdout, stderr string, err error) {
	var out, errs strings.Builder
	a := newApp(nil, &out, &errs)
	f := &form{open: "[\n", between: ",\n", close: "]\n"}
	err = a.batch(ctx, list, do, f)
	if err != nil {
		a.finish(err)
	}
	return out.String(), errs.String(), err
}

func TestBatch(t *testing.T) {
	do := func(in input) result {
		if in.path == "bad" {
			return result{in.path, []byte("?\n"), errors.New("bad: no sheet")}
		}
		return result{path: in.path, body: []byte(in.path + "\n")}
	}
	tests := []struct {
		name           string
		args           []string
		status         int
		stdout, stderr string
	}{
		{"all good", []string{"a", "b"}, statusDone, "[\na\n,\nb\n]\n", ""},
		{"one bad", []string{"a", "bad", "b"}, statusError, "[\na\n,\n?\n,\nb\n]\n", "diagnose: bad: no sheet\ndiagnose: 1 of 3 sheets not done: bad\n"},
		{"the only one bad", []string{"bad"}, statusError, "[\n?\n]\n", "diagnose: bad: no sheet\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			stdout, stderr, err := batchOf(context.Background(), argumentsOf(tt.args), do)
			status := statusDone
			if f := (*failure)(nil); errors.As(err, &f) {
				status = f.status
			}
			if status != tt.status || stdout != tt.stdout || stderr != tt.stderr {
				t.Errorf("batch(%q) = status %d, %q, %q; want %d, %q, %q", tt.args, status, stdout, stderr, tt.status, tt.stdout, tt.stderr)
			}
		})
	}
}

// TestBatchInterrupted ends the context in the middle: the array is closed, and it is said how far the run came.
func TestBatchInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	list := []argument{{path: ".", names: make([]string, 5000)}}
	stdout, stderr, err := batchOf(ctx, list, func(in input) result {
		if ctx.Err() == nil {
			stop()
		}
		return result{path: in.path, body: []byte("x\n")}
	})
	if err == nil || !strings.HasPrefix(stdout, "[\n") || !strings.HasSuffix(stdout, "]\n") {
		t.Errorf("interrupted batch = %v, %q; want an error and a closed array", err, stdout)
	}
	if !strings.HasPrefix(stderr, "diagnose: interrupted after ") || !strings.Contains(stderr, " of 5000 sheets\n") {
		t.Errorf("interrupted batch tells %q; want how far it came", stderr)
	}
}

func TestProgressLine(t *testing.T) {
	tests := []struct {
		name             string
		done, total, bad int
		elapsed          time.Duration
		want             string
	}{
		{"no rate yet", 3, 12, 0, 300 * time.Millisecond, "3 of 12 sheets"},
		{"slow", 12, 120, 0, 8 * time.Second, "12 of 120 sheets, 1.5 a second, 1m12s left"},
		{"fast, some bad", 1234, 100000, 3, 10 * time.Second, "1,234 of 100,000 sheets, 123 a second, 13m20s left, 3 bad"},
		{"the last", 1000000, 1000000, 1000, time.Hour, "1,000,000 of 1,000,000 sheets, 278 a second, 0s left, 1,000 bad"},
	}
	for _, tt := range tests {
		if got := progressLine(tt.done, tt.total, tt.bad, tt.elapsed); got != tt.want {
			t.Errorf("%s: progressLine(%d, %d, %d, %v) = %q; want %q", tt.name, tt.done, tt.total, tt.bad, tt.elapsed, got, tt.want)
		}
	}
}

// TestProgress writes the line over itself, not more often than the eye can follow, and takes it away.
func TestProgress(t *testing.T) {
	var w strings.Builder
	clock := time.Unix(0, 0)
	p := &progress{w: &w, width: 20, total: 500, now: func() time.Time { return clock }, start: clock}
	clock = clock.Add(2 * time.Second)
	p.show(100, 0)
	clock = clock.Add(10 * time.Millisecond)
	p.show(101, 0)
	clock = clock.Add(time.Second)
	p.show(200, 1)
	p.clear()
	p.clear()
	const want = "\r100 of 500 sheets, \x1b[K\r200 of 500 sheets, \x1b[K\r\x1b[K"
	if got := w.String(); got != want {
		t.Errorf("progress writes %q; want %q", got, want)
	}
}
