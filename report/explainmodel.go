package report

import (
	"strings"

	"diagnose.example/rules"
)

// models says how a record's numbers are computed: the formula, what goes in, a worked example, the source.
func (e *explainer) models() {
	if len(e.Models) == 0 {
		return
	}
	e.p.heading(2, text("How it is computed"))
	for _, u := range e.Models {
		m := u.Model
		e.p.item(0, bold(m.Name), text(": "+oneLine(m.Doc)))
		f, ok := m.Formula()
		if ok && len(f.Lines) > 0 {
			e.p.field(1, "Formula", typed(strings.Join(f.Lines, "; ")))
		}
		for i, p := range m.Params {
			e.p.field(1, upperFirst(p.Name), text(joinUnit(three(u.Args[i]), p.Unit)))
		}
		label := "Worked example, gives"
		if u.OwnCase {
			label = "Worked example, of the case above, gives"
		}
		e.p.field(1, label, text(joinUnit(three(u.Result), m.Result.Unit)+" "+oneLine(m.Result.Name)))
		e.p.field(1, "Taken for granted", text(m.Assumes))
		e.p.field(1, "Source", text(oneLine(m.Citation())))
	}
}

func modelJSON(u rules.ModelUse) pairs {
	m := u.Model
	f, _ := m.Formula()
	args := []pairs{}
	for i, p := range m.Params {
		args = append(args, pairs{{"name", clean(p.Name)}, {"unit", clean(p.Unit)}, {"value", figure(u.Args[i])}})
	}
	return pairs{
		{"function", m.Name}, {"says", clean(m.Doc)}, {"formula", texts(f.Lines)}, {"arguments", args},
		{"result", pairs{{"name", clean(m.Result.Name)}, {"unit", clean(m.Result.Unit)}, {"value", figure(u.Result)}}},
		{"assumes", clean(m.Assumes)}, {"source", clean(m.Citation())},
	}
}
