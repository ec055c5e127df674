package main

import (
	"fmt"
	"io"
	"strconv"
	"time"
)

// progress is the line on standard error that tells how far a run over many sheets is. There is one only where standard error is a
// terminal and standard output is none: where results scroll by, they tell.
type progress struct {
	w           io.Writer // nil: no line
	width       int
	total       int
	now         func() time.Time
	start, last time.Time
	shown       bool
}

func (a *app) newProgress(total int) *progress {
	s := screenOf(a.stderr)
	p := &progress{width: s.width, total: total, now: time.Now, start: time.Now()}
	if total > 1 && s.terminal && !a.screen.terminal {
		p.w = a.stderr
	}
	return p
}

// show writes the line, some times a second at most.
func (p *progress) show(done, bad int) {
	const every = 200 * time.Millisecond
	now := p.now()
	if p.w == nil || now.Sub(p.last) < every {
		return
	}
	line := []rune(progressLine(done, p.total, bad, now.Sub(p.start)))
	line = line[:min(len(line), p.width-1)]
	fmt.Fprintf(p.w, "\r%s\x1b[K", string(line))
	p.last, p.shown = now, true
}

// clear takes the line away, before something else is written to standard error.
func (p *progress) clear() {
	if p.w != nil && p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
}

// progressLine says how many sheets are done, how fast, how long the others will take, and how many were bad.
func progressLine(done, total, bad int, elapsed time.Duration) string {
	line := fmt.Sprintf("%s of %s sheets", thousands(done), thousands(total))
	if seconds := elapsed.Seconds(); seconds >= 1 && done > 0 {
		rate := float64(done) / seconds
		format := ", %.0f a second"
		if rate < 10 {
			format = ", %.1f a second"
		}
		line += fmt.Sprintf(format, rate)
		left := time.Duration(float64(total-done) / rate * float64(time.Second))
		line += ", " + left.Round(time.Second).String() + " left"
	}
	if bad > 0 {
		line += fmt.Sprintf(", %s bad", thousands(bad))
	}
	return line
}

// thousands writes a number with its thousands apart.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
