package report

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"github.com/go-pdf/fpdf"
)

// imprint says what stands on a printout besides its contents.
type imprint struct {
	paper Paper
	// title and author go into the file's properties, and created too; with the same contents and the same created two
	// printouts are the same file.
	title, author string
	created       time.Time
	// foot stands at the bottom of every page, left of the page number.
	foot string
	// stamp, when there is one, stands at the top of every page in a frame.
	stamp string
	// running stands at the top of the second page and those after it.
	running string
	// tight leaves less air between paragraphs and at the foot.
	tight bool
}

// printout lays out text, tables and drawings on pages of paper, from top to bottom. All lengths are millimetres, sizes of
// letters are points. What does not fit below what is there goes on the next page.
type printout struct {
	imprint
	pdf    *fpdf.Fpdf
	glyphs *glyphs
	// left and width say between which edges the text runs, y where the next line begins.
	left, width, y float64
	// top is where the text of the page began.
	top float64
	// short says that a page was left with a few lines on it.
	short bool
	err   error
}

// The page.
const (
	sideMargin   = 18.0
	topMargin    = 14.0
	bottomMargin = 17.0
	footLine     = 11.0 // from the lower edge
)

// What saves a page with a few lines on it: below shortPage of text it is tried to do without, with tightGap of the usual air
// between paragraphs and the text coming tightFoot nearer to the foot.
const (
	shortPage = 35.0
	tightGap  = 0.5
	tightFoot = 2.5
)

// Sizes of letters in points.
const (
	hugeSize  = 20.0
	largeSize = 14.0
	headSizes = 11.5
	bodySize  = 9.0
	smallSize = 8.0
)

// lineFactor is the distance of lines over the size of their letters, pointMM the length of a point.
const (
	lineFactor = 1.32
	pointMM    = 25.4 / 72
)

// The inks of a page, as shades of one dark blue that print well in grey.
type shade struct{ r, g, b int }

var (
	black = shade{20, 33, 48}
	grey  = shade{96, 108, 120}
	pale  = shade{200, 207, 214}
	tint  = shade{236, 240, 244}
)

// newPrintout begins a printout.
func newPrintout(o imprint) *printout {
	if o.created.IsZero() {
		o.created = time.Unix(0, 0).UTC() // the zero time would be taken as now
	}
	pdf := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: o.paper.Width, Ht: o.paper.Height}})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(o.created)
	pdf.SetModificationDate(o.created)
	pdf.SetTitle(oneLine(o.title), true)
	pdf.SetAuthor(oneLine(o.author), true)
	pdf.SetProducer("diagnose", true)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCellMargin(0)
	for _, f := range faces() {
		pdf.AddUTF8FontFromBytes(f.family, f.style, bytes.Clone(f.data)) // it writes into what it is given
	}
	g, err := newGlyphs()
	p := &printout{imprint: o, pdf: pdf, glyphs: g, left: sideMargin, width: o.paper.Width - 2*sideMargin, err: err}
	p.newPage()
	return p
}

func (p *printout) newPage() {
	p.pdf.AddPage()
	p.y = topMargin
	if p.stamp != "" {
		p.stamped()
	}
	if p.running != "" && p.pdf.PageNo() > 1 {
		p.put(p.left, p.y, smallSize, one(dim(p.running)))
		p.y += 4
		p.line(p.left, p.y, p.left+p.width, p.y, 0.2, pale)
		p.y += 4
	}
	p.top = p.y
}

// stamped sets the stamp in a frame across the top of the page.
func (p *printout) stamped() {
	lines := p.wrap(one(bold(p.stamp)), bodySize, p.width-6)
	h := float64(len(lines))*lineHeight(bodySize) + 3
	p.rect(p.left, p.y, p.width, h, 0.4, black, shade{255, 255, 255})
	for i, l := range lines {
		p.put(p.left+(p.width-p.measure(l, bodySize))/2, p.y+1.5+float64(i)*lineHeight(bodySize), bodySize, l)
	}
	p.y += h + 5
}

// lineHeight is the height of a line of letters of a size.
func lineHeight(size float64) float64 { return size * pointMM * lineFactor }

// bottom is where the text of a page must end.
func (p *printout) bottom() float64 {
	if p.tight {
		return p.paper.Height - bottomMargin + tightFoot
	}
	return p.paper.Height - bottomMargin
}

// gap is the air that a printout leaves where it is usually so much.
func (p *printout) gap(usual float64) float64 {
	if p.tight {
		return usual * tightGap
	}
	return usual
}

// leave is called where a page ends by design and not because it is full; it notes whether that page holds only a few lines.
func (p *printout) leave() {
	p.short = p.short || p.pdf.PageCount() > 1 && p.y-p.top <= shortPage
}

// laidOut prints what fill sets. Where only a few lines reach the last page, or one that was left, it is set once more with less air, and
// that one is taken when it needs fewer pages; a page that is full enough to be worth turning to stays as it is.
func laidOut(o imprint, fill func(*printout) error) (*printout, error) {
	p := newPrintout(o)
	if err := fill(p); err != nil {
		return nil, err
	}
	if p.leave(); !p.short {
		return p, nil
	}
	o.tight = true
	q := newPrintout(o)
	if err := fill(q); err != nil {
		return nil, err
	}
	if q.pdf.PageCount() < p.pdf.PageCount() {
		return q, nil
	}
	return p, nil
}

// room begins a new page unless there is so much room left on this one. At the top of a page nothing more can be done.
func (p *printout) room(height float64) {
	if p.y+height > p.bottom() && p.y > topMargin+25 {
		p.newPage()
	}
}

// space leaves room, but none at the top of a page.
func (p *printout) space(height float64) { p.y = min(p.y+height, p.bottom()) }

// flush writes the footers, now that the number of pages is known, and the file.
func (p *printout) flush(w io.Writer) error {
	if p.err != nil {
		return p.err
	}
	pages := p.pdf.PageCount()
	for n := 1; n <= pages; n++ {
		p.pdf.SetPage(n)
		y := p.paper.Height - footLine
		p.line(p.left, y-2, p.left+p.width, y-2, 0.2, pale)
		number := one(text(fmt.Sprintf("%d of %d", n, pages)))
		p.put(p.left+p.width-p.measure(number, smallSize), y-1, smallSize, number)
		for i, l := range p.wrap(one(dim(p.foot)), smallSize, p.width-25) {
			p.put(p.left, y-1+float64(i)*lineHeight(smallSize), smallSize, l)
		}
	}
	var b bytes.Buffer
	if err := p.pdf.Output(&b); err != nil {
		return fmt.Errorf("printing: %w", err)
	}
	_, err := w.Write(b.Bytes())
	return err
}
