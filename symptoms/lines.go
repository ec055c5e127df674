package symptoms

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The fast form of a vocabulary is a text of one value a line, in a fixed order. Reading
// it takes no parser, and the strings are parts of the one embedded text, so that loading
// costs little more than finding the line breaks. A vocabulary of YAML files of the
// same size takes a hundred times as long.

// linesHeader opens the fast form and changes with its layout.
const linesHeader = "vocabulary lines 2"

// A lineWriter writes the fast form, a lineReader reads it; both describe the layout by
// the same function, observationLines.
type lineForm interface {
	text(*string)
	number(*float64)
	count(*int)
	flag(*bool)
}

// observationLines is the layout of one observation.
func observationLines(f lineForm, o *Observation) {
	f.text(&o.ID)
	f.text(&o.Question)
	small(f, &o.Where)
	small(f, &o.About)
	small(f, &o.Kind)
	list(f, &o.Words, func(w *Word) { f.text(&w.Word); f.text(&w.Means) })
	f.text(&o.Normal)
	f.flag(&o.Several)
	f.text(&o.Unit)
	f.number(&o.Range[0])
	f.number(&o.Range[1])
	f.number(&o.Uncertainty)
	f.number(&o.Blunder)
	f.text(&o.Around)
	list(f, &o.Expected, f.text)
	f.text(&o.Computed)
	list(f, &o.Tells, func(t *Tell) { f.text(&t.Number); f.text(&t.Unit); f.text(&t.Says); f.text(&t.Less) })
	list(f, &o.Bands, func(b *Band) { f.text(&b.Word); f.text(&b.Means); f.number(&b.Lo); f.number(&b.Hi) })
	small(f, &o.Who)
	f.text(&o.How)
	f.number(&o.Minutes)
	list(f, &o.Tools, f.text)
	f.text(&o.Caution)
	f.flag(&o.Common)
	list(f, &o.Cites, func(c *Cite) { f.text(&c.Source); f.text(&c.At); f.text(&c.For) })
}

func small[T ~uint8](f lineForm, v *T) {
	n := int(*v)
	f.count(&n)
	*v = T(n)
}

func list[T any](f lineForm, l *[]T, each func(*T)) {
	n := len(*l)
	f.count(&n)
	if *l == nil && n > 0 {
		*l = make([]T, n)
	}
	for i := range *l {
		each(&(*l)[i])
	}
}

type lineWriter struct{ strings.Builder }

func (w *lineWriter) text(s *string) {
	w.WriteString(strings.NewReplacer(`\`, `\\`, "\n", `\n`).Replace(*s) + "\n")
}
func (w *lineWriter) number(v *float64) { w.WriteString(strconv.FormatFloat(*v, 'g', -1, 64) + "\n") }
func (w *lineWriter) count(n *int)      { w.WriteString(strconv.Itoa(*n) + "\n") }
func (w *lineWriter) flag(b *bool)      { w.WriteString(strconv.FormatBool(*b) + "\n") }

// writeLines returns the fast form of a vocabulary.
func writeLines(all []*Observation) string {
	w := &lineWriter{}
	w.WriteString(linesHeader + "\n")
	n := len(all)
	w.count(&n)
	for _, o := range all {
		observationLines(w, o)
	}
	return w.String()
}

// A lineReader reads the fast form. After the first fault it reads nothing more.
type lineReader struct {
	rest string
	line int
	err  error
}

func (r *lineReader) next() string {
	line, rest, ok := strings.Cut(r.rest, "\n")
	if !ok && r.err == nil {
		r.err = fmt.Errorf("embedded vocabulary: the text ends in line %d", r.line)
	}
	r.rest, r.line = rest, r.line+1
	return line
}

func (r *lineReader) text(s *string) {
	*s = r.next()
	if strings.Contains(*s, `\`) {
		*s = strings.NewReplacer(`\\`, `\`, `\n`, "\n").Replace(*s)
	}
}

func (r *lineReader) number(v *float64) {
	line := r.next()
	if line == "0" {
		return
	}
	f, err := strconv.ParseFloat(line, 64)
	if (err != nil || math.IsNaN(f)) && r.err == nil {
		r.err = fmt.Errorf("embedded vocabulary: line %d: %q is not a number", r.line, short(line))
	}
	*v = f
}

func (r *lineReader) count(n *int) {
	line := r.next()
	i, err := strconv.Atoi(line)
	if (err != nil || i < 0 || i > len(r.rest)) && r.err == nil {
		r.err = fmt.Errorf("embedded vocabulary: line %d: %q is not a number of entries", r.line, short(line))
	}
	if r.err != nil {
		i = 0
	}
	*n = i
}

func (r *lineReader) flag(b *bool) { *b = r.next() == "true" }

// readLines reads the fast form.
func readLines(s string) ([]*Observation, error) {
	r := &lineReader{rest: s}
	if r.next() != linesHeader {
		return nil, fmt.Errorf("embedded vocabulary: the first line must be %q", linesHeader)
	}
	n := 0
	r.count(&n)
	observations := make([]Observation, n)
	all := make([]*Observation, n)
	for i := range observations {
		observationLines(r, &observations[i])
		all[i] = &observations[i]
	}
	if r.err == nil && r.rest != "" {
		r.err = fmt.Errorf("embedded vocabulary: line %d: more lines than entries", r.line)
	}
	if r.err != nil {
		return nil, r.err
	}
	return all, nil
}
