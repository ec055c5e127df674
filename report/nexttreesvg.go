package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// NextTreeSVG draws the tree of what to do next as a timetable: at the left what is done and what may come out of it, at the right a
// line for each step over the minutes of work it takes, as thick as it is likely to be needed. A disc ends what is done, a ring what is not
// followed further. One document without scripts, style sheets or anything from outside, in one ink.
func NextTreeSVG(w io.Writer, root *engine.TreeNode, a *engine.Advice, k *rules.Set) error {
	n := newNextView(a, k, Style{})
	d := &timetable{nextView: n, rows: n.treeRows(root)}
	_, err := io.WriteString(w, d.document())
	return err
}

// timetable is a drawing in the making. The chart begins at chartLeft and is chartWidth wide.
type timetable struct {
	*nextView
	rows   []treeRow
	sketch sketch
	tops   []float64 // of the rows
	lines  [][]string
	scale  float64 // points a minute
}

const (
	tableWidth  = 1000.0
	chartLeft   = 560.0
	chartWidth  = tableWidth - chartLeft - 10
	rowPad      = 5.0
	step        = 18.0 // indent of a level
	chanceRight = 56.0 // end of the column of chances
	thickest    = 16.0
	thinnest    = 1.0
	rowSize     = 12.0
)

func (d *timetable) document() string {
	s := &d.sketch
	s.Chain = &Chain{title: "Next, and then", view: d.view}
	s.cites = d.cites
	s.width = tableWidth
	s.paragraph("Next, and then: "+d.sheetName()+" "+d.machineText(), headingSize, boldLetters)
	s.stops()
	longest := 0.0
	for _, r := range d.rows {
		longest = max(longest, r.to)
	}
	d.scale = chartWidth / max(longest, 10)
	d.place()
	if len(d.rows) > 0 {
		d.grid(longest)
	}
	d.connect()
	for i := range d.rows {
		d.row(i)
	}
	s.y += paragraphs
	s.paragraph("A line is as thick as its step is likely to be needed, and as long as the minutes of work it takes. "+treeReads, captionSize, "")
	for _, c := range cautionsOf(d.rows) {
		s.paragraph("Caution: "+c, captionSize, boldLetters)
	}
	s.sources()
	s.paragraph(localCodes, captionSize, boldLetters)
	height := s.y + 2*margin
	total := tableWidth + 2*margin
	title := "What to do next, and then: " + d.sheetName() + " " + d.machineText()
	return fmt.Sprintf("<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" viewBox=\"0 0 %[1]s %[2]s\" width=\"%[1]s\" height=\"%[2]s\""+
		" style=\"max-width:100%%;height:auto\" role=\"img\" aria-labelledby=\"next-title next-desc\">\n"+
		"<title id=\"next-title\">%[3]s</title>\n<desc id=\"next-desc\">%[4]s</desc>\n<rect width=\"%[1]s\" height=\"%[2]s\" fill=\"%[5]s\"/>\n"+
		"<g transform=\"translate(%[6]s %[6]s)\" fill=\"%[7]s\" font-family=\"sans-serif\">\n%[8]s</g>\n</svg>\n",
		at1(total), at1(height), escapeXML(title), escapeXML(d.description()), paper, at1(margin), ink, s.b.String())
}

// description says in sentences what the drawing shows, for those who do not see it.
func (d *timetable) description() string {
	var b strings.Builder
	for i := range d.rows {
		r := &d.rows[i]
		fmt.Fprintf(&b, "Level %d, %s: %s. ", r.depth+1, percent(r.reach), d.label(r))
	}
	return strings.TrimSpace(b.String())
}

// label is what stands at the left of a row.
func (d *timetable) label(r *treeRow) string {
	out := ""
	for _, x := range r.spans() {
		out += x.text
	}
	return out
}

// place breaks the labels into lines and finds the height of each row.
func (d *timetable) place() {
	s := &d.sketch
	s.y += 16 // for the figures of the time
	for i := range d.rows {
		r := &d.rows[i]
		lines := wrap(d.label(r), rowSize, chartLeft-chanceRight-20-step*float64(r.depth))
		d.lines = append(d.lines, lines)
		d.tops = append(d.tops, s.y)
		s.y += max(rowSize*leading*float64(len(lines))+rowPad, thickest*r.reach+4)
	}
}

func (d *timetable) middle(i int) float64 { return d.tops[i] + rowSize*0.7 }

func (d *timetable) x(minutes float64) float64 { return chartLeft + minutes*d.scale }

// grid draws the minutes of work behind the lines.
func (d *timetable) grid(longest float64) {
	every := 10.0
	for _, e := range []float64{20, 30, 60, 120, 240, 480} {
		if longest/every > 8 {
			every = e
		}
	}
	for m := 0.0; m <= longest+0.5*every && d.x(m) <= tableWidth; m += every {
		fmt.Fprintf(&d.sketch.b, "<path d=\"M%s %sV%s\" stroke=\"%s\" stroke-width=\"1\"/>\n", at1(d.x(m)), at1(d.tops[0]-4), at1(d.sketch.y), plate)
		mark := strconv.Itoa(int(m))
		if m == 0 {
			mark = "0 min"
		}
		d.sketch.letters(d.x(m), d.tops[0]-7, captionSize, `text-anchor="middle"`, mark)
	}
}

// connect draws from the end of each step to its outcomes.
func (d *timetable) connect() {
	for i, r := range d.rows {
		if r.parent < 0 {
			continue
		}
		x := d.x(d.rows[r.parent].to)
		fmt.Fprintf(&d.sketch.b, "<path d=\"M%s %sV%s\" fill=\"none\" %s stroke-width=\"0.8\"/>\n", at1(x), at1(d.middle(r.parent)), at1(d.middle(i)), inked)
	}
}

func thickness(reach float64) float64 { return max(thinnest, thickest*reach) }

// row writes one line of the table with its stretch of work.
func (d *timetable) row(i int) {
	r := &d.rows[i]
	s := &d.sketch
	for k, l := range d.lines[i] {
		attributes := ""
		if r.parent < 0 {
			attributes = boldLetters
		}
		s.letters(chanceRight+10+step*float64(r.depth), d.tops[i]+rowSize*(1+leading*float64(k)), rowSize, attributes, l)
	}
	if r.parent >= 0 {
		s.letters(chanceRight, d.tops[i]+rowSize, rowSize, `text-anchor="end"`, percent(r.reach))
	}
	y := d.middle(i)
	switch {
	case r.step != "":
		fmt.Fprintf(&s.b, "<path d=\"M%s %sH%s\" %s stroke-width=\"%s\"/>\n", at1(d.x(r.from)), at1(y), at1(max(d.x(r.to), d.x(r.from)+1)), inked, at1(thickness(r.reach)))
	case r.end == "done":
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"%s\"/>\n", disc(point{d.x(r.from), y}, radius(r.reach)), ink)
	default:
		fmt.Fprintf(&s.b, "<path d=\"%s\" fill=\"%s\" %s stroke-width=\"1.2\"/>\n", disc(point{d.x(r.from), y}, radius(r.reach)), paper, inked)
	}
}

// radius makes the area of an end as large as its chance.
func radius(reach float64) float64 { return max(2, thickest/2*math.Sqrt(reach)) }
