package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"diagnose.example/engine"
)

// reasonSections explains the causes that the engine worked out reasons for.
func (v *view) reasonSections(p *page) {
	for _, r := range v.listed() {
		if len(r.For)+len(r.Against)+len(r.Chain) > 0 {
			v.reasons(p, r)
		}
	}
}

func (v *view) reasons(p *page, r *engine.Ranked) {
	place := ""
	if len(r.Places) > 0 {
		place = v.spot(r.Places[0].Place)
	}
	p.heading(2, text(oneLine(r.Title)+place+": "), text(percent(r.Anywhere)))
	if r.Text != "" {
		p.para(text(r.Text), text(v.cites.mark(r.Cites)))
	}
	v.weights(p, "What speaks for it", r.For)
	v.weights(p, "What speaks against it", r.Against)
	v.chain(p, r.Chain)
	if r.Tell != "" {
		p.heading(3, text("How to tell it from its rivals"))
		p.para(text(r.Tell))
	}
	p.field(0, "Cured by", text(v.repairTitles(r.Repairs)))
}

// weights lists evidence with its weight: on the odds against the prior, and when all other evidence is known.
func (v *view) weights(p *page, title string, list []engine.Weight) {
	if len(list) == 0 {
		return
	}
	p.heading(3, text(title))
	for _, w := range list {
		p.item(0, text(upperFirst(v.sawAt(w.Evidence))))
		p.item(1, text(fmt.Sprintf("alone %s (%s); when the rest is known %s (%s)", likelier(w.Alone), signed(decibans(w.Alone)),
			likelier(w.Rest), signed(decibans(w.Rest)))))
		if len(w.ToldBy) > 0 {
			told := make([]string, len(w.ToldBy))
			for i, e := range w.ToldBy {
				told[i] = v.sawAt(e)
			}
			p.item(1, text("already told by: "+strings.Join(told, "; ")))
		}
		if w.Through != nil {
			p.item(1, text("because it speaks for: "+lowerFirst(oneLine(w.Through.Title))+v.spot(w.Through.Place)))
		}
	}
}

// chain draws how the cause leads to what is seen as a tree, each link with its word and source. What follows from an
// effect stands where the effect is named first.
func (v *view) chain(p *page, steps []engine.Step) {
	if len(steps) == 0 {
		return
	}
	p.heading(3, text("From cause to what is seen"))
	tree := &chainTree{view: v, page: p, steps: steps, grown: map[engine.Node]bool{}}
	for _, s := range steps {
		reached := slices.ContainsFunc(steps, func(t engine.Step) bool { return t.To == s.From })
		if !reached && !tree.grown[s.From] {
			p.item(0, text(upperFirst(oneLine(s.From.Title))+v.spot(s.From.Place)))
			tree.grow(s.From, 1)
		}
	}
}

type chainTree struct {
	*view
	page  *page
	steps []engine.Step
	grown map[engine.Node]bool
}

// deepest is how far items are set in at most, so that a line keeps room for words.
const deepest = 10

func (t *chainTree) grow(from engine.Node, depth int) {
	t.grown[from] = true
	for _, s := range t.steps {
		if s.From != from {
			continue
		}
		leads := slices.ContainsFunc(t.steps, func(next engine.Step) bool { return next.From == s.To })
		t.page.item(min(depth, deepest), t.step(s, leads && t.grown[s.To])...)
		if !t.grown[s.To] {
			t.grow(s.To, depth+1)
		}
	}
}

// step is one link: how often, to what, with which chance or answer, and its source.
func (v *view) step(s engine.Step, again bool) []span {
	title := lowerFirst(oneLine(s.To.Title)) + v.spot(s.To.Place)
	if s.To.Kind == "finding" {
		return one(text(linkWord(s)+" seen: "), bold(title), text(v.cites.mark(s.Cites)+"; "+stepState(s)))
	}
	chance := ""
	if !math.IsNaN(s.Probability) {
		chance = " " + percent(s.Probability)
	}
	out := one(text(linkWord(s)+" -> "), bold(title), text(chance+v.cites.mark(s.Cites)))
	if again {
		return append(out, dim(", see there"))
	}
	return out
}

func linkWord(s engine.Step) string {
	if s.Word != "" {
		return oneLine(s.Word)
	}
	return percent(s.Chance)
}

func stepState(s engine.Step) string {
	state := map[engine.State]string{
		engine.Seen: "so on the sheet", engine.NotSeen: "not so on the sheet", engine.NotAsked: "not asked", engine.Doubtful: "in doubt",
	}[s.State]
	if answer := oneLine(s.Answer); answer != "" {
		return state + " (" + answer + ")"
	}
	return state
}

func (v *view) repairTitles(ids []string) string {
	var out []string
	for _, id := range ids {
		title := id
		if v.k != nil {
			if r, ok := v.k.Repair(id); ok {
				title = lowerFirst(r.Title)
			}
		}
		out = append(out, oneLine(title))
	}
	return strings.Join(out, "; ")
}
