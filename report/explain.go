package report

import (
	"fmt"
	"io"
	"strings"

	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// ExplainText writes what [rules.Set.Explain] returned about one record: everything the knowledge says of it, each link as a
// sentence with its source, how to tell it from its rivals, and the cautions where they belong. Height, Top and Details
// of the style have no meaning here.
func ExplainText(w io.Writer, x *rules.Explanation, k *rules.Set, s Style) error {
	t := &terminal{width: s.filled().Width, colour: s.Colour}
	t.page(explainPage(x, k, s))
	return t.flush(w)
}

// ExplainMarkdown is ExplainText as GitHub-flavoured Markdown.
func ExplainMarkdown(w io.Writer, x *rules.Explanation, k *rules.Set, s Style) error {
	m := &hypertext{}
	m.page(explainPage(x, k, s))
	return m.flush(w)
}

// explainer puts the page of one record together.
type explainer struct {
	*rules.Explanation
	k     *rules.Set
	cites *citations
	p     *page
	style Style
}

func explainPage(x *rules.Explanation, k *rules.Set, s Style) *page {
	e := &explainer{Explanation: x, k: k, style: s, cites: &citations{k: k}, p: &page{}}
	e.head()
	e.record()
	e.models()
	e.links()
	e.rivals()
	e.refs("Causes it bears on", e.Causes)
	e.questions()
	e.actions()
	e.refs(e.readersTitle(), e.Readers)
	e.cites.list(e.p)
	e.p.para(bold(localCodes))
	return e.p
}

func (e *explainer) head() {
	title := oneLine(e.Title)
	if title == "" {
		title = oneLine(e.ID)
	}
	e.p.heading(1, text(title))
	e.p.field(0, "Kind", text(e.Kind))
	e.p.field(0, "Id", typed(e.ID))
}

// record writes what only one kind of record has, its own caution included.
func (e *explainer) record() {
	switch {
	case e.Cause != nil:
		e.cause(e.Cause)
	case e.Effect != nil:
		e.p.field(0, "About", text(e.Effect.About.String()))
		e.says()
		e.body()
	case e.Rule != nil:
		e.rule(e.Rule)
	case e.Stop != nil:
		e.p.field(0, "About", text(e.Stop.About.String()))
		e.condition("When", e.Stop.When)
		e.step("What to do", e.Stop.Do, e.Stop.Caution)
	case e.Check != nil:
		e.p.field(0, "About", text(e.Check.About.String()))
		e.p.field(0, "Takes", text(minutes(e.Check.Minutes)))
		e.p.field(0, "Tools", text(joined(e.Check.Tools)))
		e.step("How", e.Check.How, e.Check.Caution)
	case e.Repair != nil:
		e.repair(e.Repair)
	case e.Part != nil:
		e.body()
	case e.Source != nil:
		e.source(e.Source)
	case e.Observation != nil:
		e.observation(e.Observation)
	}
}

func (e *explainer) cause(c *rules.Cause) {
	e.p.field(0, "About", text(c.About.String()))
	e.p.field(0, "System", text(strings.ReplaceAll(c.System, "-", " ")))
	e.condition("Only on machines where", c.Exists)
	e.says()
	e.body()
	if c.Tell != "" {
		e.p.heading(2, text("How to tell it from its rivals"))
		e.p.para(text(c.Tell))
	}
}

func (e *explainer) rule(r *rules.Rule) {
	e.p.field(0, "About", text(r.About.String()))
	e.condition("Seen when", r.When)
	if r.Given != nil {
		e.condition("Counts only when", r.Given)
		e.p.item(1, text("when that is not so, or not known, the finding says nothing"))
	}
	e.body()
	if e.Rule.Otherwise > 0 {
		e.p.field(0, "With nothing wrong", text("seen all the same "+often(r.OtherwiseWord, r.Otherwise)))
	}
	e.examples("Seen, for example, with", r.Fires)
	e.examples("Not seen, for example, with", r.Silent)
}

func (e *explainer) examples(label string, list []rules.Example) {
	for _, x := range list {
		var parts []string
		for _, v := range x.Values {
			parts = append(parts, oneLine(v.Name)+": "+strings.Join(v.Words, ", "))
		}
		e.p.field(0, label, typed(strings.Join(parts, "; ")))
	}
}

func (e *explainer) repair(r *rules.Repair) {
	e.p.field(0, "About", text(r.About.String()))
	e.p.field(0, "Takes", text(minutes(r.Minutes)))
	e.p.field(0, "Access", text(strings.ReplaceAll(r.Opens, "-", " ")))
	e.p.field(0, "Parts", text(partTitles(e.Parts)))
	e.step("How", r.How, r.Caution)
}

func (e *explainer) source(s *rules.Source) {
	e.p.field(0, "By", text(s.By))
	if s.Year != 0 {
		e.p.field(0, "Year", text(fmt.Sprint(s.Year)))
	}
	e.p.field(0, "Used", text(s.Section))
	e.p.field(0, "Seen of it", text(s.Seen))
	if s.Kind == rules.Remembered {
		e.p.field(0, "Note", text("from memory: nothing is shown as resting on it"))
	}
}

func (e *explainer) observation(o *symptoms.Observation) {
	e.p.field(0, "About", text(o.About.String()))
	e.p.field(0, "Who can answer", text(whoWords(o.Who)))
	if o.Minutes > 0 {
		e.p.field(0, "Takes", text(minutes(o.Minutes)))
	}
	e.p.field(0, "Tools", text(joined(o.Tools)))
	if o.Where == symptoms.Observed || o.How != "" || o.Caution != "" {
		e.step("How", o.How, o.Caution)
	}
	e.p.heading(2, text("The answers"))
	e.p.field(0, "Write", typed(entry(e.style.of(o))), text(" ("+homes(o)+")"))
	for _, w := range o.Words {
		e.p.field(1, w.Word, text(w.Means))
	}
	e.p.field(0, "Normal", text(o.Normal))
	if o.Several {
		e.p.item(0, text("several words can hold at once: write them as a list"))
	} else if o.Kind == symptoms.Choice && o.Where == symptoms.Observed {
		e.p.item(0, text("of several words write the first in this list: it hides those after it"))
	}
	if o.Kind == symptoms.Number {
		shown := e.style.of(o)
		unit := strings.TrimSpace(nbsp + oneLine(shown.Unit))
		e.p.field(0, "Plausible", text(number(shown.Range[0])+" to "+number(shown.Range[1])+nbsp+unit))
		if o.Uncertainty > 0 {
			e.p.field(0, "Uncertainty of one reading", text(number(shown.Uncertainty)+nbsp+unit+" (standard uncertainty)"))
		}
		e.p.field(0, "Counted from", text(strings.Join(o.Expected, ", or ")))
		label := "Counted from"
		if len(o.Expected) > 0 {
			label = "Where that is not known, from"
		}
		e.p.field(0, label, text(aroundWords(o.Around)))
		e.p.field(0, "Computed, where nobody gave it, as", typed(o.Computed))
	}
	for _, c := range o.Cites {
		e.p.field(0, "Rests on", text(strings.TrimSpace(oneLine(c.For)+e.cites.mark([]rules.Cite{rules.Cite(c)}))))
	}
}

func aroundWords(around string) string {
	switch around {
	case "":
		return ""
	case "others":
		return "the median of the same reading at the other places"
	}
	return "the specification " + oneLine(around)
}

func whoWords(w symptoms.Who) string {
	switch w {
	case symptoms.Rider:
		return "the rider, by asking"
	case symptoms.LookOver:
		return "whoever looks the bike over"
	case symptoms.Bench:
		return "at the bench, engine off"
	case symptoms.Running:
		return "with the engine running"
	}
	return w.String()
}

// step writes how something is done, its caution first, so that it is read before the work begins.
func (e *explainer) step(title, how, caution string) {
	if oneLine(how) == "" && oneLine(caution) == "" {
		return
	}
	e.p.heading(2, text(title))
	e.p.caution(0, caution)
	if oneLine(how) != "" {
		e.p.item(0, text(how), text(e.cites.mark(e.Cites)))
	}
}

func (e *explainer) body() {
	if oneLine(e.Text) != "" {
		e.p.para(text(e.Text), text(e.cites.mark(e.Cites)))
	}
}

func (e *explainer) says() {
	for _, s := range e.Says {
		e.p.item(0, text(upperFirst(oneLine(s))))
	}
}

func (e *explainer) condition(label string, c *condition.Condition) {
	if c != nil {
		e.p.field(0, label, typed(c.String()))
	}
}

// links writes the links as sentences with their sources.
func (e *explainer) links() {
	e.steps("What leads to it", e.In)
	title := "What it leads to"
	if e.Repair != nil {
		title = "What it cures"
	} else if e.Observation != nil {
		title = "What it is evidence of"
	}
	e.steps(title, e.Out)
}

func (e *explainer) steps(title string, list []rules.Step) {
	if len(list) == 0 {
		return
	}
	e.p.heading(2, text(title))
	for _, s := range list {
		sentence := one(text(upperFirst(oneLine(s.Sentence))))
		if s.To.Kind == "rule" && s.To.ID != e.ID {
			// The sentence says "this is seen", which a page about something else has to name.
			sentence = append(sentence, text(": "), bold(lowerFirst(oneLine(s.To.Title))))
		}
		e.p.item(0, append(sentence, text(e.cites.mark(s.Cites)))...)
	}
}

func (e *explainer) rivals() {
	if len(e.Rivals) == 0 {
		return
	}
	e.p.heading(2, text("Rivals: other causes of the same effects"))
	for _, r := range e.Rivals {
		e.p.item(0, bold(r.Ref.Title), text(" ("), typed(r.Ref.ID), text(")"))
		e.p.field(1, "Shares", text(refTitles(r.Shared)))
		e.p.field(1, "To tell it", text(r.Tell))
	}
}

func refTitles(refs []rules.Ref) string {
	var out []string
	for _, r := range refs {
		out = append(out, lowerFirst(oneLine(r.Title)))
	}
	return strings.Join(out, "; ")
}

func (e *explainer) refs(title string, refs []rules.Ref) {
	if len(refs) == 0 {
		return
	}
	e.p.heading(2, text(title))
	for _, r := range refs {
		e.p.item(0, text(r.Title), text(" ("), text(r.Kind+" "), typed(r.ID), text(")"))
	}
}

func (e *explainer) readersTitle() string {
	if e.Source != nil {
		return "Cited by"
	}
	return "Also read by, as a circumstance"
}

func (e *explainer) questions() {
	if len(e.Questions) == 0 {
		return
	}
	title := "Questions that bear on it, most telling first"
	if e.Rule != nil || e.Stop != nil || e.Check != nil {
		title = "Questions it reads"
	}
	e.p.heading(2, text(title))
	for _, o := range e.Questions {
		e.p.item(0, text(question(o)), text(" "), typed(entry(e.style.of(o))))
	}
}

// actions lists checks and repairs, each with its caution.
func (e *explainer) actions() {
	own := e.Check != nil || e.Repair != nil
	checks, repairs := "Checks that help", "Repairs"
	if own {
		checks, repairs = "Checks that come first", "Repairs that come first"
	}
	if len(e.Checks) > 0 {
		e.p.heading(2, text(checks))
	}
	for _, c := range e.Checks {
		e.action(c.Title, c.ID, c.Minutes, c.Caution, c.Cites)
	}
	if len(e.Repairs) > 0 {
		e.p.heading(2, text(repairs))
	}
	for _, r := range e.Repairs {
		e.action(r.Title, r.ID, r.Minutes, r.Caution, r.Cites)
	}
}

func (e *explainer) action(title, id string, m float64, caution string, cites []rules.Cite) {
	e.p.item(0, bold(title), text(" ("), typed(id), text(", "+minutes(m)+")"), text(e.cites.mark(cites)))
	e.p.caution(1, caution)
}

// often writes a likelihood word with its number: "seldom (0.15)", "1 in 50".
func often(word string, p float64) string {
	word = oneLine(word)
	if strings.HasPrefix(word, "1 in ") || word == "" {
		return oneIn(p)
	}
	return word + " (" + number(p) + ")"
}
