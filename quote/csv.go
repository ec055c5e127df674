package quote

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/bojanz/currency"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// AddParts adds the prices of a CSV file (RFC 4180, with commas or semicolons) to p and returns the whole; p stays as it is. The
// first line is the head and has the columns part and price; further columns are not looked at. A part that has a price already
// is an error. The error is a symptoms.ErrorList with every mistake.
func (p *Prices) AddParts(name string, data []byte, k *rules.Set) (*Prices, error) {
	out := *p
	out.Parts = map[string]currency.Amount{}
	for id, a := range p.Parts {
		out.Parts[id] = a
	}
	t := &priceTable{reader: reader{file: name, lines: strings.Split(string(data), "\n"), k: k, prices: &out}}
	t.read(string(data))
	if len(t.faults) > 0 {
		return nil, t.faults
	}
	return &out, nil
}

// priceTable reads prices from CSV.
type priceTable struct {
	reader
	csv         *csv.Reader
	part, price int // columns
}

func (t *priceTable) read(data string) {
	t.csv = csv.NewReader(strings.NewReader(strings.TrimPrefix(data, "\ufeff")))
	t.csv.TrimLeadingSpace, t.csv.FieldsPerRecord, t.csv.Comment = true, -1, '#'
	if head := firstLine(t.lines); strings.Contains(head, ";") && !strings.Contains(head, ",") {
		t.csv.Comma = ';'
	}
	first := true
	for {
		row, err := t.csv.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.syntax(err)
			return
		}
		if first {
			if first = false; !t.head(row) {
				return
			}
			continue
		}
		t.row(row)
	}
	if first {
		t.fault(1, 1, "", "no line with the names of the columns", "begin with the line part,price")
	}
}

// firstLine is the first line that is no comment.
func firstLine(lines []string) string {
	for _, l := range lines {
		if strings.TrimSpace(l) != "" && !strings.HasPrefix(l, "#") {
			return l
		}
	}
	return ""
}

func (t *priceTable) syntax(err error) {
	var at *csv.ParseError
	if errors.As(err, &at) {
		t.fault(at.Line, at.Column, "", "not CSV: "+at.Err.Error(), "")
		return
	}
	t.fault(1, 1, "", "not CSV: "+err.Error(), "")
}

func (t *priceTable) head(row []string) bool {
	t.part, t.price = -1, -1
	for i, h := range row {
		switch strings.ToLower(strings.TrimSpace(h)) {
		case "part":
			t.part = i
		case "price":
			t.price = i
		}
	}
	if t.part < 0 || t.price < 0 {
		t.fault(1, 1, "", "the columns part and price are needed", "begin with the line part,price")
		return false
	}
	return true
}

func (t *priceTable) row(row []string) {
	if max(t.part, t.price) >= len(row) {
		line, column := t.csv.FieldPos(0)
		t.fault(line, column, "", "too few columns", "write part and price, as in the first line")
		return
	}
	id, price := strings.TrimSpace(row[t.part]), strings.TrimSpace(row[t.price])
	line, column := t.at(t.part)
	var ids []string
	for _, part := range t.k.Parts {
		ids = append(ids, part.ID)
	}
	if _, ok := t.k.Part(id); !ok {
		hint := ""
		if near := symptoms.Nearest(id, ids); near != "" {
			hint = "did you mean " + near + "?"
		}
		t.fault(line, column, id, fmt.Sprintf("there is no part %q", id), hint)
		return
	}
	if _, double := t.prices.Parts[id]; double {
		t.fault(line, column, id, fmt.Sprintf("%q has a price already", id), "leave one of them out")
		return
	}
	line, column = t.at(t.price)
	t.prices.Parts[id] = t.amount(scalar(price, line, column))
}

// at is the position of a field, in characters: the CSV reader counts bytes.
func (t *priceTable) at(field int) (line, column int) {
	line, column = t.csv.FieldPos(field)
	if line >= 1 && line <= len(t.lines) {
		if text := t.lines[line-1]; column-1 <= len(text) {
			column = len([]rune(text[:column-1])) + 1
		}
	}
	return line, column
}
