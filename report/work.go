package report

import (
	"fmt"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// questionSection lists what nobody asked, what each answer would mean and how it is written.
func (v *view) questionSection(p *page, most int) {
	list := v.d.Unasked[:min(most, len(v.d.Unasked))]
	if len(list) == 0 {
		return
	}
	p.heading(2, text("Not asked yet, and worth the minutes"))
	for _, q := range list {
		if q.Observation != nil {
			v.questionItem(p, q)
			v.tells(p, 1, q.Gain)
		}
	}
}

func (v *view) questionItem(p *page, q engine.Question) {
	p.item(0, text(asked(q.Observation, v.spotName(q.Place))))
	p.field(1, "Write", v.answerSpans(q)...)
	if q.Circumstance {
		p.item(1, text("asked because other findings only count when it is known"))
	}
	for _, a := range q.Answers {
		says := "changes little"
		if c := v.changes(a); len(c) > 0 {
			says = strings.Join(c, "; ")
		}
		p.item(1, text("if "+oneLine(a.Text)+" ("+percent(a.Probability)+"): "+says))
	}
}

// tells adds the expected gain of a question or check, in the details.
func (v *view) tells(p *page, level int, gain float64) {
	if v.style.Details == Full {
		p.field(level, "Tells", text(fmt.Sprintf("%.2g%sbits", gain, nbsp)))
	}
}

// checkSection lists bench work, most telling per minute first, each with its caution.
func (v *view) checkSection(p *page, most int) {
	list := v.d.Checks[:min(most, len(v.d.Checks))]
	if len(list) == 0 {
		return
	}
	p.heading(2, text("Next checks, most telling for their time first"))
	for _, c := range list {
		p.heading(3, text(oneLine(c.Title)+" ("+v.takes(c.Place, c.Minutes)+")"))
		p.caution(0, c.Caution)
		p.field(0, "How", text(c.How), text(v.cites.mark(c.Cites)))
		p.field(0, "Tools", text(joined(c.Tools)))
		p.field(0, "First", text(v.actions(c.After)))
		for _, q := range c.Questions {
			if q.Observation != nil {
				v.questionItem(p, q)
			}
		}
		v.tells(p, 0, c.Gain)
	}
}

// repairSection lists repairs by the chance that they cure something present, each with its caution.
func (v *view) repairSection(p *page, most int) {
	list := v.d.Repairs[:min(most, len(v.d.Repairs))]
	if len(list) == 0 {
		return
	}
	p.heading(2, text("Repairs, likeliest to cure first"))
	for _, r := range list {
		p.heading(3, text(oneLine(r.Title)+" ("+v.takes(r.Place, r.Minutes)+")"))
		p.caution(0, r.Caution)
		p.field(0, "Chance that it cures something present", text(percent(r.Probability)))
		p.field(0, "How", text(r.How), text(v.cites.mark(r.Cites)))
		p.field(0, "Parts", text(partTitles(r.Parts)))
		p.field(0, "First", text(v.actions(r.After)))
		p.field(0, "Access", text(strings.ReplaceAll(oneLine(r.Opens), "-", " ")))
		p.field(0, "For", text(v.causesOf(r.For)))
	}
}

// takes says where a piece of work is done and how long it takes: "left, 12 minutes".
func (v *view) takes(p engine.Place, m float64) string {
	if place := v.spotName(p); place != "" {
		return place + ", " + minutes(m)
	}
	return minutes(m)
}

func joined(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = oneLine(w)
	}
	return strings.Join(out, ", ")
}

func partTitles(parts []*rules.Part) string {
	var out []string
	for _, x := range parts {
		if x != nil {
			out = append(out, lowerFirst(oneLine(x.Title)))
		}
	}
	return strings.Join(out, ", ")
}

func (v *view) causesOf(causes []*engine.Cause) string {
	var out []string
	for _, c := range causes {
		out = append(out, lowerFirst(oneLine(c.Title))+v.spot(c.Place)+" "+percent(c.Probability))
	}
	return strings.Join(out, "; ")
}

// actions names checks and repairs that must come first.
func (v *view) actions(ids []string) string {
	var out []string
	for _, id := range ids {
		out = append(out, actionTitle(v.k, id))
	}
	return strings.Join(out, "; ")
}

func actionTitle(k *rules.Set, id string) string {
	if k != nil {
		if c, ok := k.Check(id); ok {
			return lowerFirst(oneLine(c.Title))
		}
		if r, ok := k.Repair(id); ok {
			return lowerFirst(oneLine(r.Title))
		}
	}
	return oneLine(id)
}
