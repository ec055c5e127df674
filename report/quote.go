package report

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/bojanz/currency"

	"diagnose.example/engine"
	"diagnose.example/quote"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// QuoteText writes a quote for a terminal or a pipe.
func QuoteText(w io.Writer, q *quote.Quote, k *rules.Set, s Style) error {
	t := &terminal{width: s.filled().Width, colour: s.Colour}
	t.page(newQuoteView(q, k).page())
	return t.flush(w)
}

// QuoteMarkdown writes a quote as GitHub-flavoured Markdown.
func QuoteMarkdown(w io.Writer, q *quote.Quote, k *rules.Set) error {
	m := &hypertext{}
	m.page(newQuoteView(q, k).page())
	return m.flush(w)
}

// quoteView is a quote as it is being told.
type quoteView struct {
	*view
	q *quote.Quote
}

func newQuoteView(q *quote.Quote, k *rules.Set) *quoteView {
	return &quoteView{newView(q.Diagnosis, k, Style{}), q}
}

// demoStamp stands on every page that is made from invented prices.
const demoStamp = "DEMO: all prices and the workshop on this page are invented"

// page is the quote as a page, for the terminal and for Markdown.
func (v *quoteView) page() *page {
	p := &page{}
	p.heading(1, text("Quote: "+strings.TrimSuffix(v.sheetName(), ":")))
	if v.q.Prices.Kind == quote.Demo {
		p.para(bold(demoStamp))
	}
	for _, f := range v.head() {
		p.field(0, f.label, text(f.text))
	}
	for _, n := range v.stopNotices() {
		p.para(bold("STOP: " + n.title + n.places))
		p.item(0, text(n.stop.Do))
		p.caution(0, n.stop.Caution)
	}
	p.heading(2, text("What was observed"))
	for _, s := range v.observed() {
		p.item(0, text(s))
	}
	p.heading(2, text("What is proposed"))
	p.para(text(v.proposal()))
	p.para(text(v.reason()))
	p.heading(2, text("Work and money"))
	p.table(v.table())
	for _, s := range v.notes() {
		p.para(text(s))
	}
	if cautions := v.cautions(); len(cautions) > 0 {
		p.heading(2, text("Cautions"))
		for _, c := range cautions {
			p.item(0, one(bold(c.title+":"), text(" "+c.text))...)
		}
	}
	p.heading(2, text("Not included"))
	for _, s := range v.exclusions() {
		p.item(0, text(s))
	}
	p.heading(2, text("Terms"))
	for _, s := range v.terms() {
		p.item(0, text(s))
	}
	p.para(bold(localCodes))
	return p
}

// labelledText is a line of the head.
type labelledText struct{ label, text string }

func (v *quoteView) head() []labelledText {
	shop := v.q.Prices.Shop
	return []labelledText{
		{"Workshop", strings.Join(append(oneOrNone(shop.Name), shop.Address...), ", ")},
		{"Machine", v.machineText()},
		{"Date", day(v.q.Date)},
		{"Stands until", day(v.q.ValidUntil)},
	}
}

func oneOrNone(s string) []string {
	if oneLine(s) == "" {
		return nil
	}
	return []string{s}
}

func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2" + nbsp + "January" + nbsp + "2006")
}

// mostObserved is how many findings a quote lists; the intake sheet has them all.
const mostObserved = 8

// observed lists what was found out of the ordinary, in the words of the rules, and what was tried.
func (v *quoteView) observed() []string {
	var out []string
	for _, h := range v.d.Heard {
		for i, r := range h.Rules {
			if h.States[i] == engine.Seen {
				out = appendNew(out, upperFirst(sentence(r.Title))+v.readAt(h.Reading))
			}
		}
	}
	for _, t := range v.d.Sheet.Tried {
		did := "Tried already: " + actionTitle(v.k, t.Did)
		if t.At != "" && (len(v.d.Sheet.Machine.Carburetors) > 1 || len(v.d.Sheet.Machine.Cylinders) > 1) {
			did += " at " + v.named(t.At)
		}
		out = append(out, did+", "+afterWords(t.After))
	}
	if len(out) == 0 {
		return []string{"Nothing on the intake sheet is out of the ordinary."}
	}
	if n := len(out) - mostObserved; n > 1 {
		out = append(out[:mostObserved], "and "+count(n, "other finding")+" on the intake sheet")
	}
	return out
}

// readAt says where a reading was made.
func (v *quoteView) readAt(r symptoms.Reading) string {
	switch {
	case r.Scope == symptoms.Somewhere:
		return ", it is not known at which " + r.Observation.About.String()
	case r.Scope == symptoms.Whole || v.single(r.Observation.About):
		return ""
	}
	return " (" + placeName(r.Observation.About, r.Place) + ")"
}

// proposal says in one sentence what the likely repair is.
func (v *quoteView) proposal() string {
	work := v.q.Steps[0].Work
	if len(work) == 0 {
		return "No repair is proposed yet: what is on the sheet does not point to one clearly enough. What is charged is the time to find " +
			"the fault."
	}
	var parts []string
	for _, w := range work {
		parts = append(parts, lowerFirst(sentence(w.Title))+inBrackets(v.placesText(w.Places)))
	}
	return "We propose this work: " + strings.Join(parts, "; ") + "."
}

// reason says in one sentence why.
func (v *quoteView) reason() string {
	var causes []*engine.Cause
	for _, w := range v.q.Steps[0].Work {
		for _, c := range w.For {
			if !slices.Contains(causes, c) {
				causes = append(causes, c)
			}
		}
	}
	if len(causes) == 0 {
		return "With more answers on the sheet the quote can say more."
	}
	slices.SortStableFunc(causes, func(a, b *engine.Cause) int {
		if a.Probability > b.Probability {
			return -1
		}
		return 1
	})
	const most = 3
	var parts []string
	for _, c := range causes[:min(most, len(causes))] {
		parts = append(parts, "\u201c"+sentence(c.Title)+"\u201d"+v.spot(c.Place)+" ("+percent(c.Probability)+")")
	}
	verb := "is the likeliest cause"
	if len(parts) > 1 {
		verb = "are the likeliest causes"
	}
	return "From what was observed " + list(parts, "and") + " " + verb + ", and this work puts the machine right with a chance of " +
		percent(v.q.Steps[0].Right) + "."
}

func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

// placesText names places: "left and right", "carburetors 1, 2 and 4"; nothing where there is only one such place.
func (v *quoteView) placesText(places []engine.Place) string {
	if len(places) == 0 || places[0].Name == "" || v.single(places[0].Level) {
		return ""
	}
	names, numbers := make([]string, len(places)), true
	for i, p := range places {
		names[i] = oneLine(p.Name)
		numbers = numbers && where(p) != names[i]
	}
	switch {
	case numbers && len(places) == 1:
		return where(places[0])
	case numbers:
		return places[0].Level.String() + "s" + nbsp + list(names, "and")
	}
	return list(names, "and")
}

// money writes an amount as the shop does.
func (v *quoteView) money(a currency.Amount) string { return v.q.Prices.Format(a) }

// lineText is what a line is for, with its places.
func (v *quoteView) lineText(l quote.Line) string {
	s := upperFirst(sentence(l.Text))
	if places := v.placesText(l.Places); places != "" {
		s += ", " + places
	}
	switch l.Kind {
	case quote.Checking:
		return "Check first: " + lowerFirst(s)
	case quote.PartRenewed:
		return s + " (new once opened)"
	}
	return s
}

// priceMissing stands in place of a price that is not known.
const priceMissing = "price to ask"

// figures are the number, the price of one and the amount of a line.
func (v *quoteView) figures(l quote.Line) (number, each, amount string) {
	switch {
	case l.Missing:
		return fmt.Sprint(l.Number), priceMissing, "?"
	case l.Number > 0:
		return fmt.Sprint(l.Number), v.money(l.Each), v.money(l.Amount)
	case l.Minutes > 0:
		return figureMinutes(l.Minutes), v.money(l.Each) + "/h", v.money(l.Amount)
	}
	return "", "", v.money(l.Amount)
}

func figureMinutes(m float64) string { return number(m) + nbsp + "min" }

// stepTitle opens the lines of a step.
func (v *quoteView) stepTitle(i int) string {
	s := v.q.Steps[i]
	switch {
	case i == 0 && len(s.Work) == 0:
		return "Finding the fault"
	case i == 0:
		return "The likely repair"
	}
	return "Only if it is not right after that (chance " + percent(s.Needed) + ")"
}

// sum is a row of totals.
type sumLine struct {
	text, amount string
	strong       bool
}

// firstSums are the rows that close the likely repair.
func (v *quoteView) firstSums() []sumLine {
	t, tax := v.q.Likely, v.q.Prices.Tax
	out := []sumLine{}
	name := oneLine(tax.Name)
	if name == "" {
		name = "Tax"
	}
	title := "Total for the likely repair"
	if len(v.q.Steps[0].Work) == 0 {
		title = "Total"
	}
	switch {
	case tax.Percent == "":
	case tax.Included == quote.InPrices:
		out = append(out, sumLine{fmt.Sprintf("in it %s %s%s%%", name, tax.Percent, nbsp), v.money(t.Tax), false})
		return append([]sumLine{{title + v.short(v.q.Steps[:1]), v.money(t.Gross), true}}, out...)
	default:
		out = append(out, sumLine{"Sum without tax", v.money(t.Net), false},
			sumLine{fmt.Sprintf("%s %s%s%%", name, tax.Percent, nbsp), v.money(t.Tax), false})
	}
	return append(out, sumLine{title + v.short(v.q.Steps[:1]), v.money(t.Gross), true})
}

// lastSums are the rows at the end of the table.
func (v *quoteView) lastSums() []sumLine {
	if len(v.q.Steps[0].Work) == 0 {
		return nil
	}
	with := ""
	if v.q.Prices.Tax.Percent != "" {
		with = ", with tax"
	}
	title := "Not to exceed without asking you" + with
	if v.q.Reached < v.q.Confidence {
		title = "All the work above" + with
	}
	var out []sumLine
	if len(v.q.Steps) > 1 {
		out = append(out, sumLine{"To be expected, each step counted with its chance" + with + v.short(v.q.Steps), v.money(v.q.Expected.Gross), false})
	}
	return append(out, sumLine{title + " (enough with " + percent(v.q.Reached) + ")" + v.short(v.limit()), v.money(v.q.NotToExceed.Gross), true})
}

// short marks a total of some steps that lacks prices.
func (v *quoteView) short(steps []quote.Step) string {
	for _, s := range steps {
		if slices.ContainsFunc(s.Lines, func(l quote.Line) bool { return l.Missing }) {
			return ", INCOMPLETE: prices are missing"
		}
	}
	return ""
}

// limit lists the steps of the not-to-exceed total.
func (v *quoteView) limit() []quote.Step {
	if v.q.Reached < v.q.Confidence {
		return v.q.Steps
	}
	i := slices.IndexFunc(v.q.Steps, func(s quote.Step) bool { return s.Right == v.q.Reached })
	return v.q.Steps[:i+1]
}

// table is all work and money.
func (v *quoteView) table() *table {
	t := &table{head: []string{"Number", "Work and parts", "Each", "Amount"}, right: []int{0, 2, 3}, brief: []int{2, 3}}
	blank := one(text(""))
	sums := func(lines []sumLine) {
		for _, s := range lines {
			if s.strong {
				t.row(blank, one(bold(s.text)), blank, one(bold(s.amount)))
			} else {
				t.row(blank, one(text(s.text)), blank, one(text(s.amount)))
			}
		}
	}
	for i, s := range v.q.Steps {
		t.row(blank, one(bold(v.stepTitle(i))), blank, blank)
		for _, l := range s.Lines {
			number, each, amount := v.figures(l)
			t.row(one(text(number)), one(text(v.lineText(l))), one(text(each)), one(text(amount)))
		}
		if i == 0 {
			sums(v.firstSums())
		} else {
			sums(v.stepSums(i))
		}
	}
	sums(v.lastSums())
	return t
}

// stepSums are the rows that close a further step.
func (v *quoteView) stepSums(i int) []sumLine {
	s, without, with := v.q.Steps[i], "", ""
	if tax := v.q.Prices.Tax; tax.Percent != "" {
		with = ", with tax"
		if tax.Included == quote.OnTop {
			without = ", without tax"
		}
	}
	return []sumLine{{"Sum of this step" + without + v.short(v.q.Steps[i:i+1]), v.money(s.Sum), false}, {"Total up to here" + with + v.short(v.q.Steps[:i+1]), v.money(s.Running.Gross), false}}
}

// notes say what the figures rest on.
func (v *quoteView) notes() []string {
	if len(v.q.Steps[0].Work) == 0 {
		return v.missingNote()
	}
	out := v.missingNote()
	if v.q.Steps[0].Right < 0.5 {
		out = append(out, "It is early for a quote: the likely repair puts the machine right with less than an even chance. More answers on the intake sheet, "+
			"the most telling first, cost little and may save a step.")
	}
	if v.q.Reached < v.q.Confidence {
		out = append(out, fmt.Sprintf("No sum can be named that is enough with %s: with all the work above the machine is right with a chance of %s. One more "+
			"check before the work may change that.", percent(v.q.Confidence), percent(v.q.Reached)))
	}
	said := "The chances are worked out exactly over all combinations of the " + count(len(v.q.Faults.Over), "fault") +
		" that the sheet has made likelier by " + percent(v.q.Least) + " or more, and over how reliably each repair cures."
	if len(v.q.Faults.Over) == 1 {
		said = "The chances are worked out over the one fault that the sheet has made likelier by " + percent(v.q.Least) +
			" or more, and over how reliably the repair cures it."
	}
	if v.q.Others > 0 {
		said += " " + upperFirst(count(v.q.Others, "other fault")) + " that it made less likely than these counts as something else."
		if v.q.Others > 1 {
			said = strings.Replace(said, "that it made less likely than these counts", "that are less likely than these count", 1)
		}
	}
	return append(out, said+" The chance that it is something else is "+percent(v.q.None)+"; this quote then ends, and we ask you.")
}

func (v *quoteView) missingNote() []string {
	if len(v.q.Missing) == 0 {
		return nil
	}
	var parts []string
	for _, id := range v.q.Missing {
		title := id
		if part, ok := v.k.Part(id); ok {
			title = lowerFirst(oneLine(part.Title))
		}
		parts = append(parts, title)
	}
	return []string{"No price is known for: " + strings.Join(parts, "; ") + ". Every total that has such a part in it is too small by that."}
}

// titled is a caution with the work it belongs to.
type titled struct{ title, text string }

// cautions are those of the proposed work, in its order, each once.
func (v *quoteView) cautions() []titled {
	var out []titled
	for _, s := range v.q.Steps {
		for _, w := range s.Work {
			out = addCaution(out, w.Title, w.Caution)
		}
		for _, l := range s.Lines {
			if c, ok := v.k.Check(l.ID); ok && l.Kind == quote.Checking {
				out = addCaution(out, c.Title, c.Caution)
			}
		}
	}
	return out
}

func addCaution(list []titled, title, text string) []titled {
	text = oneLine(text)
	if text == "" {
		return list
	}
	for i := range list {
		if list[i].text == text {
			if !strings.Contains(list[i].title, oneLine(title)) {
				list[i].title += "; " + lowerFirst(oneLine(title))
			}
			return list
		}
	}
	return append(list, titled{oneLine(title), text})
}

// exclusions say what is not offered.
func (v *quoteView) exclusions() []string {
	out := []string{
		"Faults that the sheet says nothing about, and damage that only shows once something is open: you are told before more is done.",
		"Doing a repair again that did not cure the fault, beyond the steps above.",
	}
	for _, s := range v.q.Prices.Shop.Exclusions {
		out = append(out, oneLine(s))
	}
	return out
}

// terms are how amounts are made and what the shop wants said.
func (v *quoteView) terms() []string {
	p := v.q.Prices
	labour := "Labour is " + v.money(p.Rate) + " an hour"
	if p.StepMinutes > 1 {
		labour += fmt.Sprintf(", each line in full steps of %d minutes", p.StepMinutes)
	}
	out := []string{labour + ". All amounts are in " + oneLine(p.Currency) + ". " + p.Rounding()}
	for _, s := range p.Shop.Terms {
		out = append(out, oneLine(s))
	}
	return out
}
