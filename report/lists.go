package report

import (
	"io"
	"strings"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// ObservationsText writes the vocabulary as a table: facts, spec values, history words and observations, in file order.
func ObservationsText(w io.Writer, k *rules.Set, s Style) error {
	return listText(w, observationPage(k, s), s)
}

// ObservationsMarkdown is ObservationsText as Markdown.
func ObservationsMarkdown(w io.Writer, k *rules.Set) error {
	return listMarkdown(w, observationPage(k, Style{}))
}

// CausesText writes the causes as a table, in the order of the packs.
func CausesText(w io.Writer, k *rules.Set, s Style) error { return listText(w, causePage(k), s) }

// CausesMarkdown is CausesText as Markdown.
func CausesMarkdown(w io.Writer, k *rules.Set) error { return listMarkdown(w, causePage(k)) }

// RepairsText writes the repairs as a table, in the order of the packs.
func RepairsText(w io.Writer, k *rules.Set, s Style) error { return listText(w, repairPage(k), s) }

// RepairsMarkdown is RepairsText as Markdown.
func RepairsMarkdown(w io.Writer, k *rules.Set) error { return listMarkdown(w, repairPage(k)) }

// SourcesText writes the published sources as a bibliography. What is from memory is no source and is not listed.
func SourcesText(w io.Writer, k *rules.Set, s Style) error { return listText(w, sourcePage(k), s) }

// SourcesMarkdown is SourcesText as Markdown.
func SourcesMarkdown(w io.Writer, k *rules.Set) error { return listMarkdown(w, sourcePage(k)) }

func listText(w io.Writer, p *page, s Style) error {
	t := &terminal{width: s.filled().Width, colour: s.Colour}
	t.page(p)
	return t.flush(w)
}

func listMarkdown(w io.Writer, p *page) error {
	m := &hypertext{}
	m.page(p)
	return m.flush(w)
}

// observationPage has one table for each part of the sheet.
func observationPage(k *rules.Set, s Style) *page {
	p := &page{}
	p.heading(1, text("What an intake sheet can say"))
	for _, part := range []struct {
		where symptoms.Where
		title string
	}{
		{symptoms.Fact, "Under machine: facts and specifications"},
		{symptoms.History, "Under history: words"},
		{symptoms.Observed, "Under observed, every, somewhere or at: observations"},
	} {
		t := &table{head: []string{"Id", "Question", "Answer", "About", "Who"}, brief: []int{3, 4}}
		for _, o := range k.Vocabulary.All() {
			if o.Where == part.where {
				t.row(one(typed(o.ID)), one(text(question(o))), one(text(answerShort(s.of(o)))), one(text(o.About.String())),
					one(text(o.Who.String())))
			}
		}
		if len(t.rows) > 0 {
			p.heading(2, text(part.title))
			p.table(t)
		}
	}
	return orNone(p)
}

// orNone says so when a list has nothing in it.
func orNone(p *page) *page {
	if len(p.blocks) == 1 {
		p.para(text("None."))
	}
	return p
}

// answerShort is answers for a table: words with a space between them to break at.
func answerShort(o *symptoms.Observation) string {
	switch {
	case o.Where == symptoms.History:
		return "the word itself"
	case o.Kind == symptoms.Number && o.Unit == "":
		return "number"
	case o.Kind == symptoms.Number:
		return "number, " + oneLine(o.Unit)
	}
	return strings.ReplaceAll(answers(o), "|", ", ")
}

func causePage(k *rules.Set) *page {
	p := &page{}
	p.heading(1, text("Causes"))
	t := &table{head: []string{"Id", "Cause", "About", "System", "Share"}, right: []int{4}, brief: []int{2, 3, 4}}
	for _, c := range k.Causes {
		t.row(one(typed(c.ID)), one(text(c.Title)), one(text(c.About.String())), one(text(strings.ReplaceAll(c.System, "-", " "))),
			one(text(oneIn(c.Prior.Base))))
	}
	if len(t.rows) == 0 {
		return orNone(p)
	}
	p.table(t)
	p.para(text("Share: how often the cause is present, per place, on a machine of unknown complaint that comes into the shop, before its history is known."))
	return p
}

func repairPage(k *rules.Set) *page {
	p := &page{}
	p.heading(1, text("Repairs"))
	t := &table{head: []string{"Id", "Repair", "About", "Takes", "Cures"}, right: []int{3}, brief: []int{2, 3}}
	for _, r := range k.Repairs {
		var cures []string
		for _, l := range r.Cures {
			cures = append(cures, oneLine(l.To))
		}
		t.row(one(typed(r.ID)), one(text(r.Title)), one(text(r.About.String())), one(text(minutes(r.Minutes))),
			one(text(strings.Join(cures, ", "))))
	}
	if len(t.rows) == 0 {
		return orNone(p)
	}
	p.table(t)
	p.para(text("How each is done, and with what cautions, says "), typed("explain"), text(" with its id. "), bold(localCodes))
	return p
}

func sourcePage(k *rules.Set) *page {
	p := &page{}
	p.heading(1, text("Sources"))
	for _, s := range k.Sources {
		if s.Kind == rules.Published {
			p.item(0, text(s.String()), text(" ("), typed(s.ID), text(")"))
			p.field(1, "Seen of it", text(s.Seen))
		}
	}
	p.para(text("A claim marked \"common practice\" rests on the trade's custom and on no document."))
	return p
}
