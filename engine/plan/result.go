package plan

// Options steer Next. The zero value plans as far ahead as the budget allows.
type Options struct {
	// Steps is how many steps to look ahead: 1 weighs each step by the repairs in order of their index that would follow it; 0 is as many
	// as the budget allows, to the end if possible.
	Steps int
	// Budget is how many questions may be put to beliefs; 0 is what the belief proposes, or DefaultBudget. One step is looked
	// ahead whatever it costs.
	Budget int
	// Tests and Repairs bound how many of each are considered after the first step when not all can be; 0 is 6 and 8.
	Tests, Repairs int
	// Tree is the depth to which the outcome tree is written down; 0 is no tree.
	Tree int
	// Replan makes every node of the tree look as far ahead as the first step does. Without it the tree is the plan whose expected
	// cost was reported, which looks less far ahead at every level.
	Replan bool
}

// Step is one thing to do.
type Step struct {
	Kind    Kind
	Numbers []int    // in Table.Tests, Table.Repairs or Table.Last; several repairs are done together before the machine is tried
	IDs     []string // the same by id
	Opens   []string // clusters to open for it, outermost first
	Cost    float64  // minutes, opening and the worth of the money included
}

// Choice is a first step with what the job is expected to cost with it.
type Choice struct {
	Step
	Expected float64 // minutes until the job is done, if this is done first and the best known plan is followed then
}

// Result is a plan and how good it is. All costs are in minutes of work, money turned into minutes by Table.Rate.
type Result struct {
	Next Choice
	// Choices are all first steps that were weighed, cheapest first, Next among them; the second is the runner-up.
	Choices []Choice
	// Without is the expected cost if Next is not available at all, +Inf if the job cannot be finished as well then.
	Without float64
	// Greedy is the expected cost of the plain plan: no tests, repairs in order of their index, handing over when that is better.
	Greedy float64
	// Bound is a cost that no plan can be below: that of knowing all faults beforehand.
	Bound float64
	// Exact says that Next.Expected is the least possible.
	Exact bool
	Steps int // how many steps were looked ahead; 0 if Exact
	// LeftOut lists ids that were considered as first steps only.
	LeftOut []string
	// Left is the probability that no repair of the table cures the machine.
	Left float64
	// Tree is the plan as a tree, nil if it was not asked for.
	Tree *Node
	// Questions is the number of questions that were put to beliefs.
	Questions int
}

// Gap is how much cheaper a plan could be at most: zero if the plan is exact.
func (r *Result) Gap() float64 {
	if r.Exact {
		return 0
	}
	return max(0, r.Next.Expected-r.Bound)
}

// Node is a place in a plan.
type Node struct {
	Reach    float64 // probability of getting there
	Belief   Belief
	Step     Step
	Expected float64 // minutes from here to the end
	Branches []Branch
}

// Branch is one way in which a step can come out.
type Branch struct {
	Outcome int     // of a test, its number. Of a repair: 1 the machine is good, 0 it still misbehaves
	P       float64 // given that the node was reached
	Node    *Node   // nil where the job ends or the tree is cut off
	Ends    bool    // the machine is good, or was handed over
}
