package report

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"diagnose.example/carburetor"
)

// The size of a plot in a terminal.
const (
	plotWidth = 60
	plotRows  = 13
)

// ticks are where an axis is marked: from first, a step apart, within low and high.
type ticks struct {
	low, high, step float64
	at              []float64
}

// niceTicks widens low and high to whole steps of 1, 2 or 5 times a power of ten, at most most of them.
func niceTicks(low, high float64, most int) ticks {
	if !(high > low) {
		pad := max(math.Abs(low)*0.1, 1)
		low, high = low-pad, high+pad
	}
	step := math.Pow(10, math.Floor(math.Log10((high-low)/float64(most))))
	for _, f := range []float64{1, 2, 5, 10, 20, 50} {
		t := ticks{step: step * f}
		t.low = math.Floor(low/t.step+1e-9) * t.step
		t.high = math.Ceil(high/t.step-1e-9) * t.step
		n := math.Round((t.high - t.low) / t.step)
		if n > float64(most) {
			continue
		}
		for i := range int(n) + 1 {
			t.at = append(t.at, t.low+float64(i)*t.step)
		}
		return t
	}
	return ticks{low: low, high: high, step: high - low, at: []float64{low, high}}
}

// label writes the number at a tick, with as many decimals as the step needs.
func (t ticks) label(v float64) string {
	places := max(0, int(math.Ceil(-math.Log10(t.step)-1e-9)))
	s := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// share is how far along the axis a value is, 0 to 1.
func (t ticks) share(v float64) float64 { return (v - t.low) / (t.high - t.low) }

// axes returns the ticks of both axes: the curve and the point fit in.
func (r *Reckoning) axes(mostX, mostY int) (x, y ticks) {
	here := r.Here
	lowX, highX, lowY, highY := here.X, here.X, here.Y, here.Y
	if r.fromZero {
		lowY, highY = min(lowY, 0), max(highY, 0)
	}
	for _, p := range r.Curve.Points {
		lowX, highX = min(lowX, p.X), max(highX, p.X)
		lowY, highY = min(lowY, p.Y), max(highY, p.Y)
	}
	return niceTicks(lowX, highX, mostX), niceTicks(lowY, highY, mostY)
}

// plot draws a curve in plain ASCII letters: an asterisk for the curve, an O for the point of these inputs, dots for zero.
func (r *Reckoning) plot(columns int) []string {
	c, here := *r.Curve, r.Here
	x, y := r.axes(5, 6)
	labels := 0
	for _, v := range y.at {
		labels = max(labels, len(y.label(v)))
	}
	room := columns - labels - 3 // a space and the axis, and one column over for the last label
	grid := make([][]byte, plotRows)
	for i := range grid {
		grid[i] = bytes.Repeat([]byte{' '}, room)
	}
	column := func(v float64) int { return int(math.Round(x.share(v) * float64(room-1))) }
	row := func(v float64) int { return plotRows - 1 - int(math.Round(y.share(v)*float64(plotRows-1))) }
	if y.low < 0 && y.high > 0 {
		for i := range grid[row(0)] {
			grid[row(0)][i] = '.'
		}
	}
	stroke(grid, c.Points, column, row)
	grid[row(here.Y)][column(here.X)] = 'O'
	lines := folded(asciiAxis(c.Y), columns)
	marks := map[int]string{}
	for _, v := range y.at {
		marks[row(v)] = y.label(v)
	}
	for i, g := range grid {
		edge := "|"
		if marks[i] != "" {
			edge = "+"
		}
		lines = append(lines, fmt.Sprintf("%*s %s%s", labels, marks[i], edge, g))
	}
	lines = append(lines, foot(x, column, room, labels)...)
	for _, name := range folded(asciiAxis(c.X), columns) {
		lines = append(lines, fmt.Sprintf("%*s", min(columns, labels+2+(room+len(name))/2), name))
	}
	return append(lines, folded(fmt.Sprintf("O: these figures, %s and %s", asciiPoint(roundTo(here.X, 4), c.X.Unit), asciiPoint(roundTo(here.Y, 3), c.Y.Unit)), columns)...)
}

// folded breaks a line of plain letters at spaces.
func folded(line string, columns int) []string {
	var out []string
	for _, l := range fill(one(text(line)), columns, columns) {
		var b strings.Builder
		for _, s := range l {
			b.WriteString(s.text)
		}
		out = append(out, b.String())
	}
	return out
}

// stroke draws the points with what lies between them.
func stroke(grid [][]byte, points []carburetor.Point, column func(float64) int, row func(float64) int) {
	for i, p := range points {
		grid[row(p.Y)][column(p.X)] = '*'
		if i == 0 {
			continue
		}
		q := points[i-1]
		steps := max(1, 2*max(abs(column(p.X)-column(q.X)), abs(row(p.Y)-row(q.Y))))
		for k := range steps {
			f := float64(k) / float64(steps)
			grid[row(q.Y+f*(p.Y-q.Y))][column(q.X+f*(p.X-q.X))] = '*'
		}
	}
}

func abs(n int) int { return max(n, -n) }

// foot is the lower axis with its numbers.
func foot(x ticks, column func(float64) int, room, labels int) []string {
	axis := bytes.Repeat([]byte{'-'}, room)
	numbers := bytes.Repeat([]byte{' '}, labels+2+room+1)
	for _, v := range x.at {
		axis[column(v)] = '+'
		s := x.label(v)
		at := min(max(labels+2+column(v)-(len(s)-1)/2, 0), len(numbers)-len(s))
		copy(numbers[at:], s)
	}
	return []string{strings.Repeat(" ", labels+1) + "+" + string(axis), strings.TrimRight(string(numbers), " ")}
}

// asciiAxis names an axis in plain letters.
func asciiAxis(a carburetor.Axis) string {
	if a.Unit == "" {
		return ascii(a.Name)
	}
	return ascii(a.Name + ", " + a.Unit)
}

func asciiPoint(v float64, unit string) string {
	return strings.TrimSpace(number(v) + " " + ascii(unit))
}

// ascii replaces what plain letters do not have.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r > '~' {
			return '?'
		}
		return r
	}, strings.NewReplacer("°C", "deg C", "°F", "deg F", "°", "deg", nbsp, " ", "±", "+-").Replace(s))
}
