package simulate

import (
	"math"

	"diagnose.example/engine/belief"
	"diagnose.example/symptoms"
)

// SingleFault returns, for the model's causes in the order of Faults, what somebody believes who takes it for certain that exactly one
// cause is present: its prior odds times the exact probability of what is told when it is the only one. Numbers must not be told.
func (b *Bike) SingleFault(told []Told) ([]Fault, []float64, error) {
	faults, post := make([]Fault, b.model.causes), make([]float64, b.model.causes)
	sum := 0.0
	for c := range faults {
		faults[c] = b.fault(c)
		z, err := b.onlyCause(c, told)
		if err != nil {
			return nil, nil, err
		}
		prior := b.model.prior(&b.model.nodes[c], b.History)
		post[c] = prior / (1 - prior) * z
		sum += post[c]
	}
	for c := range post {
		post[c] /= sum
	}
	return faults, post, nil
}

// onlyCause returns the probability of what is told when cause c is present and no other.
func (b *Bike) onlyCause(c int, told []Told) (float64, error) {
	net, evidence := belief.NewNet(), new(belief.Evidence)
	nodes := make([]belief.Node, len(b.model.nodes))
	states := b.states(told)
	for i := range b.model.nodes {
		n := &b.model.nodes[i]
		nodes[i] = -1
		seen, about := states[i]
		switch {
		case i == c:
			nodes[i] = net.Cause(1, 0)
		case i < b.model.causes || i >= b.model.findings && !about:
			continue
		case i < b.model.findings:
			nodes[i] = net.Effect(n.leak, 0)
		default:
			nodes[i] = net.Finding(n.leak, 0)
		}
		for _, a := range n.in {
			if nodes[a.from] >= 0 {
				net.Link(nodes[a.from], nodes[i], a.chance)
			}
		}
		if about && seen {
			evidence.Seen(nodes[i])
		} else if about {
			evidence.NotSeen(nodes[i])
		}
	}
	s, err := belief.Plan(net, evidence, belief.Options{Tries: 1})
	if err != nil {
		return 0, err
	}
	z, exp, err := s.Probability()
	return math.Ldexp(z, exp), err
}

// states says which findings are seen and which are not, by what is told.
func (b *Bike) states(told []Told) map[int]bool {
	out := map[int]bool{}
	for _, t := range told {
		i, ok := b.question(t.Observation, t.Place)
		if !ok || !b.answered()[i].ok {
			continue
		}
		q, shown := &b.model.questions[i], b.answered()[i].shown
		for _, f := range q.findings {
			mask := b.model.nodes[f].rule.Finding.Words
			switch is := mask>>shown&1 == 1; {
			case q.observation.Several:
				out[f] = b.present[f]
			case is || q.observation.Kind == symptoms.YesNo || shown > firstWord(b.model.nodes[f].rule):
				out[f] = is
			}
		}
	}
	return out
}
