package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"diagnose.example/engine/belief"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// MaxTogether is the largest number of causes that [Together] takes: it works out up to 2 to that power fault sets.
const MaxTogether = 16

// FaultSet is one answer to "which of these causes are present": those of Present are, the others are not.
type FaultSet struct {
	// Present holds indexes into FaultSets.Over, ascending; empty means none of them.
	Present []int
	// Probability is P(exactly these of Over are present | sheet).
	Probability float64
}

// FaultSets is the joint posterior of some causes. What else may be present is summed out.
type FaultSets struct {
	Over []*Cause
	// Sets holds the fault sets that were worked out, likeliest first.
	Sets []FaultSet
	// Lost is the probability of all fault sets that were not followed to the end, see TogetherOptions.Least; their own
	// probabilities are not known singly. Sets and Lost sum to one.
	Lost float64
	// Inferences is how many were made.
	Inferences int
}

// TogetherOptions steer [Together]. The zero value follows every fault set.
type TogetherOptions struct {
	// Least is the probability below which a branch of fault sets is given up and added to FaultSets.Lost as a whole.
	Least float64
	// Limit is as in Options: what is set aside there is set aside here.
	Limit float64
}

// Together returns the exact joint posterior of causes of a diagnosis of the sheet. It is built up by the chain rule,
// P(a, b | sheet) = P(a | sheet) P(b | a, sheet), with an inference of its own for every condition, so that nothing is taken
// to be independent. It is quickest when the likeliest causes come first; the order does not change the result.
func Together(set *rules.Set, sheet *symptoms.Sheet, over []*Cause, o TogetherOptions) (*FaultSets, error) {
	if len(over) > MaxTogether {
		return nil, fmt.Errorf("%d causes at once; %d at most", len(over), MaxTogether)
	}
	n, err := networkOf(set, sheet)
	if err != nil {
		return nil, err
	}
	nodes, err := n.nodesOf(over)
	if err != nil {
		return nil, err
	}
	g := n.gather()
	s, err := belief.Plan(n.net, g.ev, belief.Options{Limit: o.Limit})
	if err != nil {
		return nil, g.explainError(err)
	}
	t := &together{network: n, base: &posterior{schedule: s}, ev: g.ev.Without(s.SetAside()...), nodes: nodes, least: o.Least}
	if err := t.grow(); err != nil {
		return nil, g.explainError(err)
	}
	return t.result(over), nil
}

// nodesOf finds causes of a diagnosis in the network.
func (n *network) nodesOf(over []*Cause) ([]belief.Node, error) {
	nodes := make([]belief.Node, len(over))
	for i, c := range over {
		at := slices.IndexFunc(n.causes, func(a *causeAt) bool { return a.cause.ID == c.ID && n.places[a.place] == c.Place })
		if at < 0 {
			return nil, fmt.Errorf("cause %q at %q does not exist on this machine", c.ID, c.Place.Name)
		}
		nodes[i] = n.causes[at].node
		if slices.Contains(nodes[:i], nodes[i]) {
			return nil, fmt.Errorf("cause %q at %q is named twice", c.ID, c.Place.Name)
		}
	}
	return nodes, nil
}

// together grows the fault sets cause by cause.
type together struct {
	*network
	base       *posterior // planned, not computed
	ev         *belief.Evidence
	nodes      []belief.Node
	least      float64
	done       []branch
	lost       float64
	inferences int
}

// branch is what is known of the first causes: bit i of present says that cause i is there.
type branch struct {
	present     uint32
	probability float64
}

func (t *together) grow() error {
	level := []branch{{0, 1}}
	for depth := range t.nodes {
		next := make([][2]branch, len(level))
		err := inParallel(len(level), func(i int) error {
			p, err := t.conditional(level[i].present, depth)
			b := level[i]
			next[i] = [2]branch{{b.present, b.probability * (1 - p)}, {b.present | 1<<depth, b.probability * p}}
			return err
		})
		if err != nil {
			return err
		}
		t.inferences += len(level)
		level = level[:0]
		for _, pair := range next {
			for _, b := range pair {
				switch {
				case b.probability == 0:
				case b.probability < t.least:
					t.lost += b.probability
				default:
					level = append(level, b)
				}
			}
		}
	}
	t.done = level
	return nil
}

// conditional returns P(the next cause | the causes before it as given, evidence).
func (t *together) conditional(present uint32, depth int) (float64, error) {
	ev := t.ev.Without()
	for i, node := range t.nodes[:depth] {
		if present&(1<<i) != 0 {
			ev.Seen(node)
		} else {
			ev.NotSeen(node)
		}
	}
	post, err := t.inferLike(ev, math.Inf(1), t.base)
	if err != nil {
		return 0, err
	}
	return post.of(t.nodes[depth]), nil
}

func (t *together) result(over []*Cause) *FaultSets {
	out := &FaultSets{Over: slices.Clone(over), Lost: t.lost, Inferences: t.inferences}
	for _, b := range t.done {
		s := FaultSet{Probability: b.probability}
		for i := range t.nodes {
			if b.present&(1<<i) != 0 {
				s.Present = append(s.Present, i)
			}
		}
		out.Sets = append(out.Sets, s)
	}
	slices.SortStableFunc(out.Sets, func(a, b FaultSet) int {
		return cmp.Or(Descending(a.Probability, b.Probability), cmp.Compare(len(a.Present), len(b.Present)), slices.Compare(a.Present, b.Present))
	})
	return out
}
