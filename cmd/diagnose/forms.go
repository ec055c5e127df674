package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"

	"diagnose.example/engine"
	"diagnose.example/report"
	"diagnose.example/rules"
)

// amount says how many results are written, and how much of each.
type amount uint8

const (
	single  amount = iota // one sheet
	several               // sheets named one by one
	listed                // a folder among them: as text, a few lines for each
)

// shape is an amount, or a ranking of it only.
type shape struct {
	amount
	ranking bool
}

func amountOf(args []string, ranking bool) shape {
	s := shape{several, ranking}
	if len(args) == 1 {
		s.amount = single
	}
	for _, arg := range args {
		if isFolder(arg) {
			s.amount = listed
		}
	}
	return s
}

// form is how results are written: how much is worked out, how each is laid out, and what stands around them. Laying out is done
// by whoever diagnoses, side by side with others; the pieces are then put together in order.
type form struct {
	shape
	work engine.Options
	lay  func(io.Writer, *engine.Diagnosis) error
	// bad lays out the entry of a sheet that cannot be done; nil where there is none and standard error alone tells.
	bad                  func(io.Writer, string, error) error
	open, between, close string
}

// form returns the form that the settings ask for.
func (a *app) form(k *rules.Set, s *settings, of shape) *form {
	style := a.style(s)
	f := &form{shape: of, work: engine.Options{Explain: s.top}, between: "\n"}
	switch {
	case s.format == "json" || s.format == "jsonl":
		f.asJSON(k, s.format)
	case s.format == "markdown":
		f.lay = func(w io.Writer, d *engine.Diagnosis) error { return report.Markdown(w, d, k, style) }
	case of.amount == listed && !s.details:
		f.asList(k, style)
	default:
		f.lay = func(w io.Writer, d *engine.Diagnosis) error { return report.Text(w, d, k, style) }
		if !s.details {
			f.work.Detail, f.work.Questions = engine.FirstScreen, 3
		}
	}
	return f
}

// asJSON writes objects: readably, several as an array, or each on a line of its own.
func (f *form) asJSON(k *rules.Set, format string) {
	value := report.JSON
	if f.ranking {
		value = report.Ranking
		f.work.Explain, f.work.Questions = -1, -1
	}
	encode := writeJSON
	f.between = ""
	switch {
	case format == "jsonl":
		encode = writeJSONLine
	case f.amount != single:
		f.open, f.between, f.close = "[\n", ",\n", "]\n"
	}
	f.lay = func(w io.Writer, d *engine.Diagnosis) error { return encode(w, value(d, k)) }
	f.bad = func(w io.Writer, path string, err error) error {
		return encode(w, report.SheetError{Sheet: path, Error: plain(err)})
	}
}

// asList writes an entry for each sheet.
func (f *form) asList(k *rules.Set, style report.Style) {
	f.work.Detail, f.work.Explain, f.work.Questions = engine.FirstScreen, -1, 3
	f.lay = func(w io.Writer, d *engine.Diagnosis) error { return report.Entry(w, d, k, style) }
	f.bad = func(w io.Writer, path string, err error) error { return report.EntryError(w, path, plain(err), style) }
	var end bytes.Buffer
	_ = report.EntriesEnd(&end, style) // a buffer takes everything
	f.close = "\n" + end.String()
}

// result lays out a diagnosis.
func (f *form) result(d *engine.Diagnosis) ([]byte, error) {
	var b bytes.Buffer
	err := f.lay(&b, d)
	return b.Bytes(), err
}

// mistake lays out what stands in place of an input that cannot be done; nil is nothing. A folder has a place in an array only.
func (f *form) mistake(in input, err error) []byte {
	if f.bad == nil || in.err != nil && f.open == "" {
		return nil
	}
	var b bytes.Buffer
	_ = f.bad(&b, in.path, err) // a buffer takes everything
	return b.Bytes()
}

// writeJSON writes a value readably, with every digit, and without the escapes that only a web page needs.
func writeJSON(w io.Writer, value any) error {
	m, ok := value.(json.Marshaler)
	if !ok {
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		e.SetEscapeHTML(false)
		return e.Encode(value)
	}
	// An encoder would go through the text twice more before it indents it.
	text, err := m.MarshalJSON()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.Grow(2 * len(text))
	if err := json.Indent(&b, text, "", "  "); err != nil {
		return err
	}
	b.WriteByte('\n')
	_, err = b.WriteTo(w)
	return err
}

// writeJSONLine is writeJSON on one line.
func writeJSONLine(w io.Writer, value any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(value)
}

// plain is the text of an error for a program to read.
func plain(err error) string {
	var f *failure
	if errors.As(err, &f) && f.err != nil {
		return f.err.Error()
	}
	return err.Error()
}
