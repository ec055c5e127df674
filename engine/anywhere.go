package engine

import (
	"math"

	"diagnose.example/engine/belief"
)

// anyPresent returns P(at least one of some causes is present | evidence) as 1 - P(all absent). It is held between the
// largest of their posteriors and the sum: rounding of the difference must not put a cause likelier at one place than anywhere.
func (n *network) anyPresent(ev *belief.Evidence, p *posterior, nodes []belief.Node) (float64, error) {
	largest, sum := 0.0, 0.0
	for _, node := range nodes {
		largest = max(largest, p.of(node))
		sum += p.of(node)
	}
	if len(nodes) < 2 || largest == 0 {
		return largest, nil
	}
	none := ev.Without(p.schedule.SetAside()...)
	for _, node := range nodes {
		none.NotSeen(node)
	}
	s, err := belief.Plan(n.net, none, belief.Options{})
	if err != nil {
		return 0, err
	}
	r, err := s.Posterior()
	if err != nil {
		return 1, nil // all absent is impossible
	}
	return min(max(1-math.Ldexp(r.Z/p.Z, r.Exp-p.Exp), largest), min(sum, 1)), nil
}

// anywhereAfter returns P(present at one place at least) for the places of one cause.
func (w *work) anywhereAfter(ev *belief.Evidence, p *posterior, places []*Cause) (float64, error) {
	nodes := make([]belief.Node, len(places))
	for i, c := range places {
		nodes[i] = w.instance[c].node
	}
	return w.anyPresent(ev, p, nodes)
}
