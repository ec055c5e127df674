package report

import (
	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// NextJSON returns an advice as data for [encoding/json]: "sheet", "job", "stop", "likely", "steps" best first, "plan", and "tree" if there
// is one. Times are minutes; what has no finite value is null.
func NextJSON(a *engine.Advice, tree *engine.TreeNode, k *rules.Set) any {
	j := &translator{k: k}
	r := &a.Reduced
	out := pairs{
		{"sheet", clean(a.Sheet.Path)}, {"job", clean(a.Sheet.Job)},
		{"stop", each(a.Stops, j.stop)},
		{"likely", each(a.Likely, likelyJSON)},
		{"steps", each(a.Proposals, j.proposal)},
		{"plan", pairs{
			{"expected_minutes", figure(r.Expected)}, {"without_checks_minutes", figure(r.Plain)}, {"bound_minutes", figure(r.Bound)},
			{"gap_minutes", figure(r.Gap)}, {"exact", r.Exact}, {"steps_ahead", r.Steps},
			{"hypotheses", each(r.Hypotheses, func(c *engine.Cause) pairs {
				return pairs{{"cause", clean(c.ID)}, {"at", clean(c.Place.Name)}, {"probability", figure(c.Probability)}}
			})},
			{"worlds", r.Worlds}, {"covered", figure(r.Covered)}, {"something_else", figure(r.Else)},
			{"considered", r.Considered}, {"last_resort_minutes", figure(r.LastResort)},
		}},
	}
	if tree != nil {
		out = append(out, pair{"tree", j.treeNode(tree)})
	}
	return append(out, pair{"closing", localCodes})
}

func likelyJSON(l engine.Likely) pairs {
	return pairs{{"cause", clean(l.ID)}, {"title", clean(l.Title)}, {"anywhere", figure(l.Anywhere)}}
}

func (j *translator) proposal(p engine.Proposal) pairs {
	opens := []string{}
	for _, a := range p.Opens {
		opens = append(opens, clean(a.ID))
	}
	also := []string{}
	for _, place := range p.Also {
		also = append(also, clean(place.Name))
	}
	return pairs{
		{"kind", string(p.Kind())}, {"actions", each(p.Actions, j.action)}, {"also_at", also}, {"opens", opens}, {"before", texts(p.For)},
		{"minutes", figure(p.Minutes)}, {"parts_cost", figure(p.Money)}, {"cost_minutes", figure(p.Cost)},
		{"expected_minutes", figure(p.Expected)}, {"saves_minutes", figure(p.Saves)}, {"ends_trouble", figure(p.Ends)},
		{"outcomes", each(p.Outcomes, outcomeJSON)},
	}
}

func (j *translator) action(a engine.Action) pairs {
	id, title, tools := "", "", []string{}
	switch {
	case a.Check != nil:
		id, title, tools = a.Check.ID, a.Check.Title, texts(a.Check.Tools)
	case a.Repair != nil:
		id, title = a.Repair.ID, a.Repair.Title
	}
	return pairs{
		{"do", clean(id)}, {"kind", string(a.Kind)}, {"at", clean(a.Place.Name)}, {"again", a.Again}, {"title", clean(title)}, {"how", clean(actionHow(a))},
		{"minutes_without_access", figure(a.Minutes)}, {"tools", tools}, {"parts", each(a.Parts, partJSON)},
		{"caution", clean(actionCaution(a))}, {"cites", j.cites(actionCites(a))},
	}
}

func outcomeJSON(o engine.Outcome) pairs {
	return pairs{
		{"probability", figure(o.Probability)}, {"cured", o.Cured},
		{"answers", each(o.Answers, func(f engine.Found) pairs {
			rule := ""
			if f.Rule != nil {
				rule = f.Rule.ID
			}
			return pairs{{"observation", clean(f.Observation.ID)}, {"at", clean(f.Place.Name)}, {"answer", clean(f.Value.Text)}, {"rule", clean(rule)}}
		})},
		{"tried", each(o.Tried, func(t symptoms.Tried) pairs {
			return pairs{{"did", clean(t.Did)}, {"at", clean(t.At)}, {"after", clean(t.After)}}
		})},
		{"likely", each(o.Top, likelyJSON)},
	}
}

func (j *translator) treeNode(n *engine.TreeNode) pairs {
	return pairs{
		{"reach", figure(n.Reach)}, {"likely", each(n.Likely, likelyJSON)}, {"step", j.proposal(n.Proposal)},
		{"branches", each(n.Branches, func(b engine.TreeBranch) pairs {
			out := pairs{{"reach", figure(b.Reach)}, {"outcome", outcomeJSON(b.Outcome)}, {"end", endWord(b.End)}}
			if b.Node != nil {
				out = append(out, pair{"then", j.treeNode(b.Node)})
			}
			return out
		})},
	}
}

func endWord(e engine.TreeEnd) string {
	switch e {
	case engine.Done:
		return "done"
	case engine.Rare:
		return "rare"
	case engine.Deep:
		return "deep"
	}
	return ""
}
