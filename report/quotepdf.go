package report

import (
	"io"
	"strings"

	"diagnose.example/quote"
	"diagnose.example/rules"
)

// QuotePDF writes a quote as pages to print and sign, in the size of a paper. The same quote gives the same file, byte for byte:
// its day stands for the time of writing.
func QuotePDF(w io.Writer, q *quote.Quote, k *rules.Set, paper Paper) error {
	v := newQuoteView(q, k)
	name := strings.TrimSuffix(v.sheetName(), ":")
	o := imprint{paper: paper, title: "Quote: " + name, author: q.Prices.Shop.Name, created: q.Date,
		running: "Quote: " + name + tail(day(q.Date)), foot: strings.Join(append(oneOrNone(q.Prices.Shop.Name), q.Prices.Shop.Address...), ", ")}
	if q.Prices.Kind == quote.Demo {
		o.stamp = demoStamp
	}
	p, err := laidOut(o, func(p *printout) error {
		v.print(p)
		return nil
	})
	if err != nil {
		return err
	}
	return p.flush(w)
}

func tail(s string) string {
	if s == "" {
		return ""
	}
	return ", " + s
}

// print sets the quote after its order on paper: who, what, why, how much, and what else there is to know.
func (v *quoteView) print(p *printout) {
	v.letterhead(p)
	p.field("Machine", text(upperFirst(v.machineText())))
	for _, n := range v.stopNotices() {
		p.space(2)
		p.warning("Stop", n.title+n.places+". "+oneLine(n.stop.Do)+" "+oneLine(n.stop.Caution))
	}
	p.heading(2, text("What was observed"))
	p.items(v.observed())
	p.heading(2, text("What is proposed, and why"))
	p.para(text(v.proposal()))
	p.para(text(v.reason()))
	p.heading(2, text("Work and money"))
	p.grid(v.printTable())
	for _, s := range v.notes() {
		p.small(text(s))
	}
	v.smallPrint(p)
	p.signatures("Date", "For the workshop", "Ordered as proposed, the customer")
}

// letterhead sets the shop at the left and what the paper is at the right.
func (v *quoteView) letterhead(p *printout) {
	shop := v.q.Prices.Shop
	const right = 62.0
	top, left := p.y, p.width-right-6
	for _, l := range p.wrap(one(bold(shop.Name)), largeSize, left) {
		p.put(p.left, p.y, largeSize, l)
		p.y += lineHeight(largeSize)
	}
	for _, a := range shop.Address {
		for _, l := range p.wrap(one(dim(a)), bodySize, left) {
			p.put(p.left, p.y, bodySize, l)
			p.y += lineHeight(bodySize)
		}
	}
	below := p.y
	p.y = top
	x := p.left + p.width - right
	p.put(x, p.y-1.5, hugeSize, one(bold("Quote")))
	p.y += lineHeight(hugeSize)
	for _, f := range []labelledText{{"Job", v.d.Sheet.Job}, {"Date", day(v.q.Date)}, {"Stands until", day(v.q.ValidUntil)}} {
		if oneLine(f.text) == "" {
			continue
		}
		p.put(x, p.y, bodySize, one(dim(f.label)))
		for _, l := range p.wrap(one(text(f.text)), bodySize, right-24) {
			p.put(x+24, p.y, bodySize, l)
			p.y += lineHeight(bodySize)
		}
	}
	p.y = max(p.y, below) + 3
	p.line(p.left, p.y, p.left+p.width, p.y, 0.6, black)
	p.y += 4
}

// printTable is all work and money on paper.
func (v *quoteView) printTable() *printTable {
	t := &printTable{columns: []printColumn{{head: "Work and parts"}, {head: "Number", width: 20, right: true},
		{head: "Each", width: 27, right: true}, {head: "Amount", width: 27, right: true}}}
	blank := one(text(""))
	sums := func(lines []sumLine) {
		for _, s := range lines {
			kind := sumRow
			if s.strong {
				kind = totalRow
			}
			t.rows = append(t.rows, printRow{kind: kind, cells: [][]span{one(text(s.text)), blank, blank, one(text(s.amount))}})
		}
	}
	for i, s := range v.q.Steps {
		t.rows = append(t.rows, printRow{kind: groupRow, cells: [][]span{one(text(v.stepTitle(i)))}})
		for _, l := range s.Lines {
			number, each, amount := v.figures(l)
			t.rows = append(t.rows, printRow{cells: [][]span{one(text(v.lineText(l))), one(text(number)), one(text(each)), one(text(amount))}, inset: 3})
		}
		if i == 0 {
			sums(v.firstSums())
		} else {
			sums(v.stepSums(i))
		}
	}
	if last := v.lastSums(); len(v.q.Steps) > 1 && len(last) > 0 {
		t.rows = append(t.rows, printRow{kind: groupRow, cells: [][]span{one(text("How far it may go"))}})
		sums(last)
	} else {
		sums(last)
	}
	return t
}

// smallPrint sets cautions, exclusions and terms.
func (v *quoteView) smallPrint(p *printout) {
	if cautions := v.cautions(); len(cautions) > 0 {
		p.heading(3, text("Cautions"))
		for _, c := range cautions {
			p.smallItem(bold(c.title+":"), text(" "+c.text))
		}
	}
	p.heading(3, text("Not included"))
	for _, s := range v.exclusions() {
		p.smallItem(text(s))
	}
	// The terms stay with the signatures below them.
	height := signatureHeight + 9
	for _, s := range v.terms() {
		height += float64(len(p.wrap(one(text(s)), smallSize, p.width-5)))*lineHeight(smallSize) + 1
	}
	p.room(height)
	p.heading(3, text("Terms"))
	for _, s := range v.terms() {
		p.smallItem(text(s))
	}
	p.small(bold(localCodes))
}
