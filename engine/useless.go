package engine

import (
	"slices"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Useless lists the observations that no rule takes as evidence on the machine of a sheet, whatever else is told: valve clearances of a
// two-stroke. The facts that only they are compared with come after them.
func Useless(set *rules.Set, sheet *symptoms.Sheet) ([]string, error) {
	n, err := networkOf(set, sheet)
	if err != nil {
		return nil, err
	}
	applies := n.rulesThatMayApply()
	var out []string
	for _, o := range set.Vocabulary.All() {
		rs := set.Evidence(o.ID)
		if len(rs) > 0 && !slices.ContainsFunc(rs, func(r *rules.Rule) bool { return applies[r] }) {
			out = append(out, o.ID)
		}
	}
	return append(out, onlyFor(out, set.Vocabulary)...), nil
}

// rulesThatMayApply are those with a place where their circumstance holds or is not known, and with something that can make their finding.
func (n *network) rulesThatMayApply() map[*rules.Rule]bool {
	out := map[*rules.Rule]bool{}
	for _, fs := range n.findings {
		for _, f := range fs {
			out[f.rule] = true
		}
	}
	for _, f := range slices.Concat(n.compound, n.waiting) {
		out[f.rule] = true
	}
	return out
}

// onlyFor lists the facts with which some of these observations are compared, and no other.
func onlyFor(observations []string, v *symptoms.Vocabulary) []string {
	wanted, idle := map[string]bool{}, map[string]bool{}
	var order []string
	for _, o := range v.All() {
		for _, id := range append(slices.Clone(o.Expected), o.Around) {
			switch {
			case id == "":
			case !slices.Contains(observations, o.ID):
				wanted[id] = true
			case !idle[id]:
				idle[id] = true
				order = append(order, id)
			}
		}
	}
	return slices.DeleteFunc(order, func(id string) bool { return wanted[id] })
}
