package engine

import (
	"math"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
)

// chains fills the chain of each shown cause. Effects below which nobody looked were dropped from the inference; those on a
// chain are asked for in a second one.
func (w *work) chains(shown []*Ranked) error {
	seen := w.effectPosteriors(shown)
	for _, r := range shown {
		c := &chain{work: w, probability: seen, visited: map[*effectAt]bool{}}
		at := w.instance[r.Places[0]]
		c.from(Node{"cause", at.cause.ID, at.cause.Title, w.places[at.place]}, at.place, at.cause.Makes, at.cause.Cites)
		c.direct(at)
		r.Chain = c.trimmed()
	}
	return nil
}

// effectPosteriors returns a function that gives the posterior of any effect on the chains, NaN when it cannot be afforded.
func (w *work) effectPosteriors(shown []*Ranked) func(*effectAt) float64 {
	asked := w.ev.Without()
	extra := false
	for _, r := range shown {
		at := w.instance[r.Places[0]]
		for _, e := range w.effects {
			if math.IsNaN(w.post.of(e.node)) && strengthOn(w.pulls()[e], at) > 0 {
				asked.Ask(e.node)
				extra = true
			}
		}
	}
	full := w.post
	if extra {
		if s, err := belief.Plan(w.net, asked, belief.Options{Limit: w.options.Limit}); err == nil && len(s.SetAside()) == 0 {
			if r, err := s.Posterior(); err == nil {
				full = &posterior{r, s}
			}
		}
	}
	return func(e *effectAt) float64 { return full.of(e.node) }
}

// chain collects the steps from one cause.
type chain struct {
	*work
	probability func(*effectAt) float64
	visited     map[*effectAt]bool
	steps       []Step
}

func effectNode(e *effectAt, places []Place) Node {
	return Node{"effect", e.effect.ID, e.effect.Title, places[e.place]}
}

// from follows the links out of a cause or effect, depth first.
func (c *chain) from(from Node, place int, makes []rules.Link, cites []rules.Cite) {
	for _, l := range makes {
		number := c.know.effectNumber[l.To]
		for _, p := range c.reach(place, c.know.set.Effects[number].About) {
			e := c.effectOf[number][p]
			to := effectNode(e, c.places)
			c.steps = append(c.steps, Step{From: from, To: to, Word: l.Word, Chance: l.Chance, Cites: cites,
				Probability: c.probability(e)})
			if c.visited[e] {
				continue
			}
			c.visited[e] = true
			c.findingsOf(e, to)
			c.from(to, p, e.effect.Makes, e.effect.Cites)
		}
	}
}

// findingsOf adds the findings that an effect makes.
func (c *chain) findingsOf(e *effectAt, from Node) {
	c.eachFinding(func(f *findingAt, p parent) {
		if p.effect == e {
			c.finding(from, f, p)
		}
	})
}

// direct adds the findings that hang on the cause itself.
func (c *chain) direct(at *causeAt) {
	from := Node{"cause", at.cause.ID, at.cause.Title, c.places[at.place]}
	c.eachFinding(func(f *findingAt, p parent) {
		if p.cause == at {
			c.finding(from, f, p)
		}
	})
}

// eachFinding visits the findings in the order of the vocabulary, then place.
func (c *chain) eachFinding(visit func(*findingAt, parent)) {
	for _, o := range c.know.set.Vocabulary.All() {
		for _, place := range c.at[o.About] {
			for _, f := range c.findings[observedAt{o, place}] {
				for _, p := range f.parents {
					visit(f, p)
				}
			}
		}
	}
	for _, f := range c.compound {
		for _, p := range f.parents {
			visit(f, p)
		}
	}
}

func (c *chain) finding(from Node, f *findingAt, p parent) {
	state, answer := c.stateOnSheet(f)
	c.steps = append(c.steps, Step{From: from, To: Node{"finding", f.rule.ID, f.rule.Title, c.places[f.place]},
		Word: p.link.Word, Chance: p.link.Chance, Cites: f.rule.Cites, State: state, Answer: answer})
}

// stateOnSheet says what the sheet says of a finding.
func (w *work) stateOnSheet(f *findingAt) (State, string) {
	for _, it := range w.items {
		for i, g := range it.findings {
			if g == f {
				return it.states[i], it.Answer
			}
		}
	}
	return NotAsked, ""
}

// trimmed keeps what leads to a finding somebody looked for; without any, the chain as far as the first few findings that
// could be looked for. A whole chain keeps every finding.
func (c *chain) trimmed() []Step {
	const open = 3
	keep := map[Node]bool{}
	left := open
	for _, s := range c.steps {
		if s.To.Kind == "finding" && (s.State != NotAsked || c.options.WholeChain) {
			keep[s.To] = true
			left = 0
		}
	}
	for _, s := range c.steps {
		if left > 0 && s.To.Kind == "finding" {
			keep[s.To] = true
			left--
		}
	}
	keepAbove(c.steps, keep)
	var out []Step
	for _, s := range c.steps {
		if keep[s.To] {
			out = append(out, s)
		}
	}
	return out
}

// keepAbove adds whatever leads to what is kept. A step may lead to an effect whose own steps came earlier, when another
// path reached it first; so one pass is not enough.
func keepAbove(steps []Step, keep map[Node]bool) {
	for more := true; more; {
		more = false
		for i := len(steps) - 1; i >= 0; i-- {
			if s := steps[i]; keep[s.To] && !keep[s.From] {
				keep[s.From], more = true, true
			}
		}
	}
}
