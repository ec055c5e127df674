package engine

import (
	"cmp"
	"slices"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// TreeNode is a step of a decision tree and what follows from its outcomes.
type TreeNode struct {
	Proposal Proposal
	Likely   []Likely
	// Reach is the probability of coming here from the first step.
	Reach    float64
	Branches []TreeBranch
}

// TreeBranch is one outcome of a step.
type TreeBranch struct {
	Outcome Outcome
	// Reach is the probability of this outcome from the first step on.
	Reach float64
	// Node is what to do then; nil where End says why there is nothing.
	Node *TreeNode
	End  TreeEnd
}

// TreeEnd says why a branch of a tree goes no further.
type TreeEnd uint8

// The ends of branches.
const (
	GoesOn TreeEnd = iota
	Done           // the repair cured something
	Rare           // so improbable that it is not followed
	Deep           // the tree was not to be deeper
)

// TreeOptions say how much of a tree is made. The zero value is the default.
type TreeOptions struct {
	StepOptions
	// Depth is the number of steps one after another; 0 means 3.
	Depth int
	// Least is the probability, from the first step on, below which a branch is not followed; 0 means 1 in 50.
	Least float64
}

// Tree works out what to do next, what then, and so on. Every step is found as [NextStep] finds it, with the outcomes before it written on
// the sheet, so the tree is what a shop would be told that asks again after each step. It takes as long as that many steps. The advice is
// that for the first step.
func Tree(set *rules.Set, sheet *symptoms.Sheet, o TreeOptions) (*TreeNode, *Advice, error) {
	know, err := newKnowledge(set)
	if err != nil {
		return nil, nil, err
	}
	o.Depth = cmp.Or(o.Depth, 3)
	o.Least = cmp.Or(o.Least, 0.02)
	t := &growing{know: know, o: o}
	t.o.StepOptions = o.StepOptions.withDefaults()
	first, err := nextStep(know, sheet, t.o.StepOptions)
	if err != nil || len(first.Proposals) == 0 {
		return nil, first, err
	}
	root, err := t.grow(first, 1, o.Depth)
	return root, first, err
}

// growing is a tree in the making.
type growing struct {
	know *knowledge
	o    TreeOptions
}

// grow makes the node for an advice; depth counts it and what is below it.
func (t *growing) grow(a *Advice, reach float64, depth int) (*TreeNode, error) {
	n := &TreeNode{Proposal: a.Proposals[0], Likely: a.Likely, Reach: reach}
	for _, out := range n.Proposal.Outcomes {
		n.Branches = append(n.Branches, t.branch(out, reach*out.Probability, depth))
	}
	slices.SortStableFunc(n.Branches, func(a, b TreeBranch) int { return Descending(a.Reach, b.Reach) })
	err := inParallel(len(n.Branches), func(i int) error {
		b := &n.Branches[i]
		if b.End != GoesOn {
			return nil
		}
		o := t.o.StepOptions
		o.Top = 1
		next, err := nextStep(t.know, b.Outcome.WriteOn(a.Sheet), o)
		if err == nil && len(next.Proposals) > 0 {
			b.Node, err = t.grow(next, b.Reach, depth-1)
		}
		return err
	})
	return n, err
}

// branch decides whether an outcome is followed.
func (t *growing) branch(out Outcome, reach float64, depth int) TreeBranch {
	b := TreeBranch{Outcome: out, Reach: reach}
	switch {
	case out.Cured:
		b.End = Done
	case reach < t.o.Least:
		b.End = Rare
	case depth <= 1:
		b.End = Deep
	}
	return b
}
