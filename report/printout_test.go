package report

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// january is when the printouts of the tests were made.
var january = time.Date(2026, time.January, 2, 9, 0, 0, 0, time.UTC)

func printed(t *testing.T, o imprint, fill func(*printout)) []byte {
	t.Helper()
	if o.paper == (Paper{}) {
		o.paper = A4
	}
	o.created = january
	p := newPrintout(o)
	fill(p)
	var b bytes.Buffer
	if err := p.flush(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestPrintoutSameEveryTime wants the same file for the same contents.
func TestPrintoutSameEveryTime(t *testing.T) {
	d, k := oneSideFloods(t), knowledge(t)
	fill := func(p *printout) { p.page(newView(d, k, Style{Details: Full}).everything()) }
	first := printed(t, imprint{foot: "foot"}, fill)
	if second := printed(t, imprint{foot: "foot"}, fill); !bytes.Equal(first, second) {
		t.Error("printout: two runs differ")
	}
}

func TestPrintable(t *testing.T) {
	g, err := newGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ name, in, want string }{
		{"plain", "float 22 mm", "float 22 mm"},
		{"signs of currencies", "€ £ ¥ zł Kč Ft lei kr ₽", "€ £ ¥ zł Kč Ft lei kr □"},
		{"accents of Europe", "Ångström, Dvořák, Łódź, Ægir, ß, ő, ț, ễ", "Ångström, Dvořák, Łódź, Ægir, ß, ő, ț, e"},
		{"accent after its letter", "cafe\u0301", "café"},
		{"spaces of all widths", "1\u00a0000\u202f€", "1 000 €"},
		{"no letter for it", "修理", "□□"},
		{"Greek and Cyrillic", "Ω Ж", "Ω Ж"},
	}
	for _, tt := range tests {
		if got := g.printable(tt.in); got != tt.want {
			t.Errorf("printable(%q) = %q; want %q: %s", tt.in, got, tt.want, tt.name)
		}
	}
}

func TestPaperNamed(t *testing.T) {
	if p, ok := PaperNamed("LETTER"); !ok || p != Letter {
		t.Errorf("PaperNamed(LETTER) = %v, %v; want %v", p, ok, Letter)
	}
	if p, ok := PaperNamed("foolscap"); ok {
		t.Errorf("PaperNamed(foolscap) = %v; want none", p)
	}
}

// TestWrapLosesNothing wants every letter of a text on some line, and no line wider than it may be.
func TestWrapLosesNothing(t *testing.T) {
	p := newPrintout(imprint{paper: A4, created: january})
	for _, in := range []string{"", "one", strings.Repeat("a short word ", 40), strings.Repeat("endless", 60), "a " + strings.Repeat("w", 200) + " b"} {
		out := ""
		for _, l := range p.wrap(one(text(in)), bodySize, 40) {
			if n := p.measure(l, bodySize); n > 40.01 {
				t.Errorf("wrap(%.20q...): a line of %.2f mm; want 40 at most", in, n)
			}
			out += lettersOf(l)
		}
		if got, want := strings.ReplaceAll(out, " ", ""), strings.ReplaceAll(in, " ", ""); got != want {
			t.Errorf("wrap(%.20q...) = %q; want the same letters", in, got)
		}
	}
}

func TestPictureRefuses(t *testing.T) {
	tests := []struct{ name, svg, want string }{
		{"no drawing", "words", "drawing: EOF"},
		{"another element", `<svg width="10" height="10"><circle r="3"/></svg>`, "drawing: cannot print <circle>"},
		{"another command", `<svg width="10" height="10"><path d="M0 0C1 1 2 2 3 3"/></svg>`, `drawing: cannot print 'M' with 7 numbers in a path`},
		{"no size", `<svg/>`, "drawing: not an svg with width and height"},
	}
	for _, tt := range tests {
		p := newPrintout(imprint{paper: A4, created: january})
		if err := p.picture([]byte(tt.svg), 0); err == nil || err.Error() != tt.want {
			t.Errorf("picture(%s) = %v; want %s", tt.name, err, tt.want)
		}
	}
}

// TestPictureOfChain prints each chain that there is a golden drawing of.
func TestPictureOfChain(t *testing.T) {
	c, err := ChainOfDiagnosis(oneSideFloods(t), knowledge(t), 1)
	if err != nil {
		t.Fatal(err)
	}
	var svg bytes.Buffer
	if err := ChainSVG(&svg, c, Picture{}); err != nil {
		t.Fatal(err)
	}
	printed(t, imprint{}, func(p *printout) {
		before := p.y
		if err := p.picture(svg.Bytes(), 0); err != nil {
			t.Error(err)
		}
		if p.y <= before {
			t.Errorf("picture left the line at %g; want it below %g", p.y, before)
		}
	})
}

// TestShortLastPage wants a last page with a few lines saved by less air, a fuller one kept, and one page left alone.
func TestShortLastPage(t *testing.T) {
	tests := []struct {
		name        string
		paragraphs  int
		plain, want int // pages with the usual air, and as laid out
	}{
		{"one page", 40, 1, 1},
		{"two lines over", 47, 2, 1},
		{"half a page over", 65, 2, 2},
	}
	for _, tt := range tests {
		fill := func(p *printout) error {
			for range tt.paragraphs {
				p.para(text("A line."))
			}
			return nil
		}
		o := imprint{paper: A4, created: january}
		plain := newPrintout(o)
		if err := fill(plain); err != nil {
			t.Fatal(err)
		}
		p, err := laidOut(o, fill)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := plain.pdf.PageCount(), p.pdf.PageCount(); a != tt.plain || b != tt.want {
			t.Errorf("%s: %d pages, laid out %d; want %d, %d", tt.name, a, b, tt.plain, tt.want)
		}
		if p.tight != (tt.want < tt.plain) {
			t.Errorf("%s: tight = %t; want it only where a page is saved", tt.name, p.tight)
		}
	}
}

// TestTableBeginsWithRows wants no head of a table with a single row at the foot of a page.
func TestTableBeginsWithRows(t *testing.T) {
	table := &printTable{columns: []printColumn{{head: "What"}, {head: "How much", width: 30, right: true}}}
	for range 5 {
		table.rows = append(table.rows, printRow{cells: [][]span{one(text("a row")), one(text("1"))}})
	}
	alone := newPrintout(imprint{paper: A4, created: january})
	alone.grid(table)
	height := alone.y - alone.top
	for _, tt := range []struct {
		name string
		left float64 // room at the foot, of the table's height
		page int
	}{
		{"room for the head and a row", 0.4, 2},
		{"room for the head and four rows", 0.85, 1},
	} {
		p := newPrintout(imprint{paper: A4, created: january})
		p.y = p.bottom() - tt.left*height
		p.grid(table)
		whole := p.y-p.top > height-0.1
		if p.pdf.PageCount() != 2 || whole != (tt.page == 2) {
			t.Errorf("%s: %d pages, the whole table on the second: %t; want 2 pages, %t", tt.name, p.pdf.PageCount(), whole, tt.page == 2)
		}
	}
}
