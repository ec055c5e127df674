package engine

import (
	"math"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/engine/plan"
	"diagnose.example/symptoms"
)

// foresee lays out what a proposal can show and returns what remains to be worked out.
func (pl *planning) foresee(p *Proposal) []func() error {
	switch p.Kind() {
	case HandOver:
		return nil
	case DoRepair:
		return pl.foreseeRepairs(p)
	}
	op := pl.tests[slices.IndexFunc(pl.tests, func(op *option) bool {
		return op.check == p.Actions[0].Check && pl.places[op.place] == p.Actions[0].Place
	})]
	p.Outcomes = make([]Outcome, len(op.outcomes))
	var todo []func() error
	for i, found := range op.outcomes {
		out := &p.Outcomes[i]
		out.Answers = found
		if len(found) == 0 { // nothing that the check shows is evidence here: it is done for what comes after it
			out.Tried = []symptoms.Tried{pl.tried(p.Actions[0])}
		}
		for k, r := range pl.reasons {
			out.Probability += r.p * op.given[k][i]
		}
		if pl.o.Detail == Everything {
			ev := pl.seeing(found)
			todo = append(todo, func() error { return pl.workOutcome(out, ev) })
		}
	}
	return todo
}

func (pl *planning) tried(a Action) symptoms.Tried {
	id := ""
	if a.Check != nil {
		id = a.Check.ID
	} else {
		id = a.Repair.ID
	}
	return symptoms.Tried{Did: id, At: a.Place.Name, After: "no-change"}
}

// foreseeRepairs: repairs cure something that is there, or they change nothing. Whether they cured is a finding without a leak, so that
// after no change the sheet says just what it will say with the repair written on it as tried.
func (pl *planning) foreseeRepairs(p *Proposal) []func() error {
	p.Outcomes = []Outcome{{Cured: true}, {}}
	cured, same := &p.Outcomes[0], &p.Outcomes[1]
	node := pl.net.Finding(0, pl.summaryBlock())
	for _, a := range p.Actions {
		same.Tried = append(same.Tried, pl.tried(a))
		places, _ := pl.triedAt(a.Place.Name)
		for i := range a.Repair.Cures {
			l := &a.Repair.Cures[i]
			for _, at := range places {
				if c := pl.causeOf[pl.know.causeNumber[l.To]][at]; c != nil {
					pl.net.Link(c.node, node, min(l.Chance, mostReliable))
				}
			}
		}
	}
	cured.Probability, p.Ends = pl.curedInReduced(p.numbers)
	same.Probability = 1 - cured.Probability
	if pl.o.Detail != Everything {
		return nil
	}
	yes, no := pl.base.Without(), pl.base.Without()
	yes.Seen(node)
	no.NotSeen(node)
	return []func() error{
		func() error { return pl.workOutcome(cured, yes) },
		func() error { return pl.workOutcome(same, no) },
	}
}

// curedInReduced returns the probabilities, in the reduced problem, that the repairs cure a reason, and all reasons.
func (pl *planning) curedInReduced(repairs []int) (some, all float64) {
	var cures []plan.Cure
	for _, r := range repairs {
		cures = append(cures, pl.repairs[r].cures...)
	}
	for _, r := range pl.reasons {
		none, every := 1.0, 1.0
		for i := range len(pl.hypotheses) + 1 {
			if r.faults>>i&1 == 0 {
				continue
			}
			stays := 1.0
			for _, c := range cures {
				if c.Fault == i {
					stays *= 1 - c.Chance
				}
			}
			none *= stays
			every *= 1 - stays
		}
		some += r.p * (1 - none)
		all += r.p * every
	}
	return some, all
}

// workOutcome infers exactly how likely an outcome is, and what it means.
func (pl *planning) workOutcome(out *Outcome, ev *belief.Evidence) error {
	post, err := pl.inferLike(ev, math.Inf(1), pl.post)
	if err != nil {
		return pl.outcomeThatCannotBe(out, err)
	}
	out.Probability = math.Exp(post.logZ() - pl.post.logZ())
	out.Top, err = (&asking{work: pl.work}).likeliest(post)
	return err
}

// outcomeThatCannotBe: a repair of causes that cannot be there cures nothing.
func (pl *planning) outcomeThatCannotBe(out *Outcome, err error) error {
	if _, ok := pl.explainError(err).(*Impossible); ok {
		out.Probability = 0
		return nil
	}
	return err
}
