package report

import (
	"bytes"
	"io"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/rules"
)

// Job is all that is known of a job: what is stapled to it. A part that is nil is left out.
type Job struct {
	// Quote holds the diagnosis too. It must be there.
	Quote  *quote.Quote
	Advice *engine.Advice
	Chain  *Chain
}

// JobMarkdown writes a job report as GitHub-flavoured Markdown: the sheet, the ranking with its reasons, what to do next, what the
// numbers say, the quote, the chain as an outline, and the sources that were cited.
func JobMarkdown(w io.Writer, j *Job, k *rules.Set, s Style) error {
	v := newJobView(j, k, s)
	m := &hypertext{}
	p := &page{}
	v.title(p)
	if j.Quote.Prices.Kind == quote.Demo {
		p.para(bold(demoStamp))
	}
	v.diagnosis(p)
	if j.Chain != nil {
		v.chain(p)
	}
	v.offer(p)
	p.table(v.quote.table())
	v.ending(p)
	m.page(p)
	return m.flush(w)
}

// JobPDF writes a job report as pages, with the chain drawn. The same job gives the same file, byte for byte.
func JobPDF(w io.Writer, j *Job, k *rules.Set, paper Paper) error {
	v := newJobView(j, k, Style{})
	q := j.Quote
	name := strings.TrimSuffix(v.sheetName(), ":")
	o := imprint{paper: paper, title: "Job report: " + name, author: q.Prices.Shop.Name, created: q.Date,
		running: "Job report: " + name + tail(day(q.Date)), foot: strings.Join(append(oneOrNone(q.Prices.Shop.Name), q.Prices.Shop.Address...), ", ")}
	if q.Prices.Kind == quote.Demo {
		o.stamp = demoStamp
	}
	p, err := laidOut(o, v.print)
	if err != nil {
		return err
	}
	return p.flush(w)
}

// print sets the report after its order on paper; the chain is drawn on a page of its own.
func (v *jobView) print(p *printout) error {
	first := &page{}
	v.title(first)
	v.diagnosis(first)
	p.page(first)
	if v.links != nil {
		var drawing bytes.Buffer
		if err := v.links.draw(&drawing, Picture{}, v.cites, (*sketch).sourcesElsewhere); err != nil {
			return err
		}
		p.leave()
		p.newPage()
		p.heading(2, text(chainHeading))
		if err := p.picture(drawing.Bytes(), p.bottom()-p.y); err != nil {
			return err
		}
	}
	offer := &page{}
	v.offer(offer)
	p.page(offer)
	p.grid(v.quote.printTable())
	ending := &page{}
	v.ending(ending)
	p.page(ending)
	return nil
}

const chainHeading = "How the likeliest cause leads to what was seen"

// jobView tells a job with one list of sources for all its parts.
type jobView struct {
	*view
	next  *nextView
	quote *quoteView
	links *Chain
}

func newJobView(j *Job, k *rules.Set, s Style) *jobView {
	v := &jobView{view: newView(j.Quote.Diagnosis, k, s), quote: newQuoteView(j.Quote, k), links: j.Chain}
	v.quote.cites = v.cites
	if j.Advice != nil {
		v.next = newNextView(j.Advice, k, s)
		v.next.cites = v.cites
	}
	return v
}

func (v *jobView) title(p *page) {
	p.heading(1, text("Job report: "+strings.TrimSuffix(v.sheetName(), ":")))
}

// diagnosis is the first part: what is known, what it means, and what to do next.
func (v *jobView) diagnosis(p *page) {
	for _, f := range v.quote.head() {
		p.field(0, f.label, text(f.text))
	}
	v.stopSection(p)
	v.sheetSection(p)
	v.heardSection(p)
	v.warningSection(p)
	v.rankingSection(p)
	for _, r := range v.listed() {
		bare := *r
		bare.Chain = nil // the chain of the first has a picture of its own
		if len(bare.For)+len(bare.Against) > 0 {
			v.reasons(p, &bare)
		}
	}
	v.measuredSection(p)
	v.steps(p)
	v.repairSection(p, handOutRepairs)
}

// steps sets what to do next one heading lower than on a page of its own.
func (v *jobView) steps(p *page) {
	if v.next == nil || len(v.next.a.Proposals) == 0 {
		return
	}
	p.heading(2, text("What to do next"))
	first := len(p.blocks)
	for i := range v.next.a.Proposals {
		v.next.stepSection(p, i)
	}
	for i := range p.blocks[first:] {
		if b := &p.blocks[first+i]; b.kind == heading {
			b.level++
		}
	}
}

// chain sets the links as an outline.
func (v *jobView) chain(p *page) {
	p.heading(2, text(chainHeading))
	v.links.tree(p, v.cites)
}

// offer leads to the table of work and money.
func (v *jobView) offer(p *page) {
	p.heading(2, text("Quote"))
	p.para(text(v.quote.proposal()))
	p.para(text(v.quote.reason()))
}

// ending is what stands below the table: what the totals rest on, cautions, and the sources of the whole report.
func (v *jobView) ending(p *page) {
	for _, s := range v.quote.notes() {
		p.para(text(s))
	}
	if cautions := v.quote.cautions(); len(cautions) > 0 {
		p.heading(2, text("Cautions for the work"))
		for _, c := range cautions {
			p.item(0, one(bold(c.title+":"), text(" "+c.text))...)
		}
	}
	p.heading(2, text("Not included"))
	for _, s := range v.quote.exclusions() {
		p.item(0, text(s))
	}
	v.end(p)
}
