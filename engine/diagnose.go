package engine

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Diagnose ranks the causes of what is on a sheet. The error is an [*Impossible] when the sheet holds findings that cannot
// go together on any machine the knowledge allows; the embedded knowledge allows all.
func Diagnose(set *rules.Set, sheet *symptoms.Sheet, o Options) (*Diagnosis, error) {
	n, err := networkOf(set, sheet)
	if err != nil {
		return nil, err
	}
	g := n.gather()
	if err := n.net.Err(); err != nil {
		return nil, err
	}
	post, err := n.infer(g.ev, o.Limit)
	if err != nil {
		return nil, g.explainError(err)
	}
	w := &work{network: n, gathered: g, post: post, options: o.withDefaults()}
	return w.diagnosis()
}

func (o Options) withDefaults() Options {
	const first = 5
	for _, n := range []*int{&o.Explain, &o.Questions} {
		if *n == 0 {
			*n = first
		}
		*n = max(*n, 0)
	}
	return o
}

// Impossible says that findings on the sheet exclude one another under the knowledge.
type Impossible struct {
	// Evidence is a smallest set that cannot go together.
	Evidence []Evidence
}

// Error names the findings.
func (e *Impossible) Error() string {
	var names []string
	for _, ev := range e.Evidence {
		name := ev.Answer
		if ev.Observation != nil {
			name = ev.Observation.ID + ": " + ev.Answer
		}
		if ev.Pos.Line > 0 {
			name = ev.Pos.String() + ": " + name
		}
		names = append(names, name)
	}
	return "these findings cannot go together: " + strings.Join(names, "; ")
}

// explainError turns entry numbers into evidence.
func (g *gathered) explainError(err error) error {
	if err == nil {
		return nil
	}
	var imp *belief.Impossible
	if !errors.As(err, &imp) {
		return fmt.Errorf("inference: %w", err)
	}
	return &Impossible{Evidence: g.evidenceOf(imp.Items)}
}

// evidenceOf returns the evidence that entries belong to, each once, in the order of the sheet.
func (g *gathered) evidenceOf(entries []int) []Evidence {
	var out []Evidence
	for _, it := range g.items {
		if slices.ContainsFunc(it.entries, func(e int) bool { return slices.Contains(entries, e) }) {
			out = append(out, it.Evidence)
		}
	}
	return out
}

// work is one diagnosis in the making.
type work struct {
	*network
	*gathered
	post    *posterior
	options Options
	// byNumber lists the instances of each cause as they are shown.
	byNumber [][]*Cause
	// instance leads from what is shown to the network.
	instance map[*Cause]*causeAt
	// runs and pulled are worked out when the first reason is asked for.
	runs   []run
	pulled pulls
}

func (w *work) diagnosis() (*Diagnosis, error) {
	d := &Diagnosis{Sheet: w.sheet, Heard: w.heard, Measured: w.measured()}
	d.Stops = w.stops()
	if err := w.rank(d); err != nil {
		return nil, err
	}
	d.Effects = w.shownEffects()
	if err := w.explain(d); err != nil {
		return nil, err
	}
	if err := w.ask(d); err != nil {
		return nil, err
	}
	if err := w.repairs(d); err != nil {
		return nil, err
	}
	d.Effort = Effort{Width: w.post.schedule.Width(), Entries: w.post.schedule.Cost(), Findings: len(w.items),
		LogEvidence: w.post.logZ(), SetAside: w.evidenceOf(w.post.schedule.SetAside())}
	d.Warnings = w.warnings(d)
	return d, nil
}

// instances makes the causes that are shown out of those of the network.
func (w *work) instances() []*Cause {
	w.byNumber = make([][]*Cause, len(w.know.set.Causes))
	w.instance = map[*Cause]*causeAt{}
	var all []*Cause
	for _, at := range w.causes {
		c := &Cause{Cause: at.cause, Place: w.places[at.place], Probability: w.post.of(at.node), Prior: at.prior}
		w.byNumber[at.number] = append(w.byNumber[at.number], c)
		w.instance[c] = at
		all = append(all, c)
	}
	return all
}

// rank fills Causes and Ranked, in the order of their numbers to the last digit: who reads them may check it. The places of a cause are in
// the order of the machine where they are alike.
func (w *work) rank(d *Diagnosis) error {
	d.Causes = w.instances()
	if err := w.rankDistinct(d); err != nil {
		return err
	}
	slices.SortStableFunc(d.Causes, func(a, b *Cause) int {
		return cmp.Or(cmp.Compare(b.Probability, a.Probability), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Place.Name, b.Place.Name))
	})
	slices.SortStableFunc(d.Ranked, func(a, b *Ranked) int {
		return cmp.Or(cmp.Compare(b.Anywhere, a.Anywhere), cmp.Compare(a.ID, b.ID))
	})
	return nil
}

// rankDistinct fills Ranked, not yet sorted, with the probability of each cause to be present anywhere.
func (w *work) rankDistinct(d *Diagnosis) error {
	for number, places := range w.byNumber {
		if len(places) == 0 {
			continue
		}
		r := &Ranked{Cause: w.know.set.Causes[number], Prior: priorAnywhere(places), Places: slices.Clone(places)}
		slices.SortStableFunc(r.Places, func(a, b *Cause) int { return Descending(a.Probability, b.Probability) })
		d.Ranked = append(d.Ranked, r)
	}
	if err := w.rankAnywhere(d.Ranked); err != nil {
		return err
	}
	for _, r := range d.Ranked {
		for _, c := range r.Places {
			c.Anywhere = r.Anywhere
		}
	}
	return nil
}

func priorAnywhere(places []*Cause) float64 {
	none := 1.0
	for _, c := range places {
		none *= 1 - c.Prior
	}
	return 1 - none
}

// shownEffects lists the effects whose posterior the evidence reaches.
func (w *work) shownEffects() []Effect {
	var out []Effect
	for p := range w.places {
		for _, e := range w.effects {
			if e.place == p && w.post.of(e.node) == w.post.of(e.node) {
				out = append(out, Effect{Effect: e.effect, Place: w.places[p], Probability: w.post.of(e.node)})
			}
		}
	}
	return out
}
