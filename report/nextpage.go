package report

import (
	"strconv"
	"strings"

	"diagnose.example/engine"
)

// page is the full form: every step whole, then what the plan rests on.
func (n *nextView) page() *page {
	p := &page{}
	p.heading(1, text("Next: "+strings.TrimSuffix(n.sheetName(), ":")))
	n.stopSection(p)
	p.para(text(upperFirst(n.machineText()) + "."))
	n.likelySection(p)
	if len(n.a.Proposals) == 0 {
		p.para(text("Nothing is known that could be done next on such a machine."))
	}
	for i := range n.a.Proposals {
		n.stepSection(p, i)
	}
	n.planSection(p)
	n.cites.list(p)
	p.heading(2, text("About the figures"))
	p.para(text(roundingRule))
	p.para(bold(localCodes))
	return p
}

func (n *nextView) likelySection(p *page) {
	if len(n.a.Likely) == 0 {
		return
	}
	p.heading(2, text("Likeliest now"))
	for _, l := range n.a.Likely {
		p.item(0, text(percent(l.Anywhere)+" "+oneLine(l.Title)))
	}
}

func (n *nextView) stepSection(p *page, i int) {
	step := &n.a.Proposals[i]
	rank := strconv.Itoa(i+1) + ". "
	if step.Kind() == engine.HandOver {
		p.heading(2, text(rank+"Send the job out, or renew the unit"))
		p.field(0, "Reckoned at", text(wholeMinutes(step.Minutes)))
		p.field(0, "The whole job then", text(wholeMinutes(step.Expected)))
		return
	}
	p.heading(2, text(rank+n.title(step)+" ("+n.takesOf(step)+")"))
	for _, a := range step.Actions {
		p.caution(0, actionCaution(a))
		p.field(0, "How", text(actionHow(a)), text(n.cites.mark(actionCites(a))))
	}
	p.field(0, "Needs", text(n.needs(step)))
	for _, a := range step.Opens {
		p.field(0, "Access", text(oneLine(a.Title)+", counted in the minutes"), text(n.cites.mark(a.Cites)))
	}
	if step.Money > 0 {
		p.field(0, "Parts cost", text(number(step.Money)))
	}
	p.field(0, "Has to come before", text(n.actions(step.For)))
	if step.Kind() == engine.DoRepair {
		p.item(0, text(n.endsSays(step)))
	}
	p.field(0, "The whole job, begun with it", text(wholeMinutes(step.Expected)))
	if i == 0 {
		p.field(0, "Why first", text(n.whyFirst()))
	}
	for _, o := range n.worthTelling(step) {
		p.item(0, append(n.outcomeHead(step, o), text(": "+n.after(o, 3)))...)
		n.writeOutcome(p, o)
	}
}

// writeOutcome says how an outcome is written on the sheet.
func (n *nextView) writeOutcome(p *page, o *engine.Outcome) {
	for _, f := range o.Answers {
		line := sheetKey(f.Observation.ID) + ": " + f.Value.Text
		p.field(1, "Write", typed(line), text(" ("+n.home(engine.Question{Observation: f.Observation, Place: f.Place})+")"))
	}
	for _, t := range o.Tried {
		line := "{did: " + t.Did
		if t.At != "" {
			line += ", at: " + sheetKey(t.At)
		}
		p.field(1, "Write", typed(line+", after: "+t.After+"}"), text(" (in the list tried:)"))
	}
}

func (n *nextView) planSection(p *page) {
	r := &n.a.Reduced
	p.heading(2, text("What the plan rests on"))
	for _, s := range n.planSays() {
		p.item(0, text(s))
	}
	var names []string
	for _, h := range r.Hypotheses {
		names = append(names, lowerFirst(oneLine(h.Title))+n.spot(h.Place))
	}
	p.field(0, "Causes told apart", text(strings.Join(names, "; ")))
	p.field(0, "Something else is reckoned at", text(wholeMinutes(r.LastResort)+", as for sending the job out"))
	p.item(0, text("What an outcome means, and how likely it is, is exact for the knowledge as written. The times are estimates in the smaller "+
		"problem; each answer written on the sheet is planned with anew."))
}
