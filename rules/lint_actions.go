package rules

import (
	"slices"
	"strings"
	"unicode"
)

// actions finds causes that nothing repairs or checks, and checks, repairs and parts that do no good.
func (l *linter) actions() {
	cured, needed := map[string]bool{}, map[string]bool{}
	for _, r := range l.set.Repairs {
		if len(r.Cures) == 0 {
			l.say(r.Pos, r.ID, "name the causes it cures", "this repair cures nothing")
		}
		for _, c := range r.Cures {
			cured[c.To] = true
		}
		for _, p := range r.Parts {
			needed[p] = true
		}
	}
	for _, p := range l.set.Parts {
		if !needed[p.ID] {
			l.say(p.Pos, p.ID, "name it in a repair or take it out", "no repair needs this part")
		}
	}
	for _, c := range l.set.Checks {
		if !slices.ContainsFunc(l.set.Rules, func(r *Rule) bool { return meets(c.Observes, r.evidence) }) {
			l.say(c.Pos, c.ID, "write a rule about what it observes", "no rule takes as evidence what this check observes")
		}
	}
	for _, c := range l.set.Causes {
		if !cured[c.ID] {
			l.say(c.Pos, c.ID, "name it in a repair's cures", "no repair cures this cause")
		}
		if !l.checked(c) {
			l.say(c.Pos, c.ID, "write a check that observes what it leads to", "no check tells anything about this cause")
		}
	}
}

// checked reports whether some check takes an observation that a finding below the cause is about.
func (l *linter) checked(c *Cause) bool {
	reach := l.graph.reach(c.ID)
	return slices.ContainsFunc(l.set.Rules, func(r *Rule) bool {
		return reach[r.ID] > 0 && slices.ContainsFunc(l.set.Checks, func(k *Check) bool { return meets(k.Observes, r.evidence) })
	})
}

// fuelWords are the words that make a step one with petrol about, or with vapour where petrol was.
var fuelWords = []string{"fuel", "petrol", "gasoline", "bowl", "bowls", "tank", "tap", "carburetor", "carburetors", "jet", "jets", "float", "floats"}

// cautions finds steps with fuel about and no caution.
func (l *linter) cautions() {
	step := func(id, text, caution string) {
		if caution != "" {
			return
		}
		words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
		for _, w := range words {
			if slices.Contains(fuelWords, w) {
				l.say(l.set.head(id).pos, id, "write a caution: vapour, flames and sparks, skin and eyes, where the fuel goes",
					"a step with %s about, and no caution", w)
				return
			}
		}
	}
	for _, c := range l.set.Checks {
		step(c.ID, c.Title+" "+c.How, c.Caution)
	}
	for _, r := range l.set.Repairs {
		step(r.ID, r.Title+" "+r.How, r.Caution)
	}
	for _, s := range l.set.Stops {
		step(s.ID, s.Title+" "+s.Do, s.Caution)
	}
}

// titles finds numbers in titles: they belong into bands and conditions, where they have a unit.
func (l *linter) titles() {
	for _, h := range l.set.heads() {
		if h.kind != "part" && strings.ContainsFunc(h.title, unicode.IsDigit) {
			l.say(h.pos, h.id, "say it in words; the number belongs into a band or condition", "a number in the title %q", h.title)
		}
	}
}
