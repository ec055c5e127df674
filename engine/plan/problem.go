package plan

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"math/bits"
	"slices"
)

// maxActions is how many tests, repairs and clusters each a table can have: one bit of a word each.
const maxActions = 64

// problem is a table made ready for planning. Tests and repairs are in the order of their ids, so that the result does not depend on the
// order of the table; sets of them are words with a bit for each.
type problem struct {
	tests, repairs []task
	clusters       []access
	open           uint64 // clusters open at the start
	shut           uint64 // clusters that trying the machine closes
	last           int    // in Table.Last; -1 for none
	lastCost       float64
	lastID         string
}

// task is a test or a repair.
type task struct {
	id      string
	at      int // its position here
	number  int // in the table
	kind    Kind
	cost    float64
	needs   uint64 // clusters that must be open, the outer ones included
	running bool
	after   pairs // what must have been done, what that needs included
}

// pairs is a set of tests and a set of repairs.
type pairs struct{ tests, repairs uint64 }

func (a pairs) or(b pairs) pairs    { return pairs{a.tests | b.tests, a.repairs | b.repairs} }
func (a pairs) minus(b pairs) pairs { return pairs{a.tests &^ b.tests, a.repairs &^ b.repairs} }
func (a pairs) meets(b pairs) bool  { return a.tests&b.tests|a.repairs&b.repairs != 0 }
func (a pairs) empty() bool         { return a.tests|a.repairs == 0 }

type access struct {
	id   string
	cost float64
	with uint64 // itself and those it is inside of
}

// compiler turns a table into a problem.
type compiler struct {
	t  *Table
	p  *problem
	at map[string]pairs // actions by id
}

func compile(t *Table) (*problem, error) {
	c := &compiler{t: t, p: &problem{last: -1}, at: map[string]pairs{}}
	if len(t.Tests) > maxActions || len(t.Repairs) > maxActions || len(t.Clusters) > maxActions {
		return nil, fmt.Errorf("plan: %d tests, %d repairs and %d clusters; at most %d of each: leave out the least likely",
			len(t.Tests), len(t.Repairs), len(t.Clusters), maxActions)
	}
	if err := c.addClusters(); err != nil {
		return nil, err
	}
	var err error
	if c.p.tests, err = c.tasks("test", t.Tests); err != nil {
		return nil, err
	}
	if c.p.repairs, err = c.tasks("repair", t.Repairs); err != nil {
		return nil, err
	}
	if err := c.addLast(); err != nil {
		return nil, err
	}
	return c.p, c.link()
}

// minutes turns a cost into minutes.
func (c *compiler) minutes(id string, cost Cost, factor float64) (float64, error) {
	ok := func(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }
	switch {
	case !ok(cost.Minutes) || !ok(cost.Money) || !ok(c.t.Rate) || !ok(factor):
		return 0, fmt.Errorf("plan: %q: %v minutes times %v and money %v at rate %v; write numbers from 0 up",
			id, cost.Minutes, factor, cost.Money, c.t.Rate)
	case cost.Money == 0:
		return cost.Minutes * factor, nil
	case c.t.Rate == 0:
		return 0, fmt.Errorf("plan: %q costs money; give the table a rate", id)
	}
	return cost.Minutes*factor + cost.Money/c.t.Rate, nil
}

func (c *compiler) addClusters() error {
	for i, k := range c.t.Clusters {
		if k.ID == "" || c.cluster(k.ID) != i {
			return fmt.Errorf("plan: cluster %d: the id %q is empty or stands twice; give each its own", i, k.ID)
		}
		factor := k.Factor
		if factor == 0 {
			factor = 1
		}
		cost, err := c.minutes(k.ID, k.Cost, factor)
		if err != nil {
			return err
		}
		with := uint64(1) << i
		for in := k.Inside; in != ""; {
			j := c.cluster(in)
			if j < 0 {
				return fmt.Errorf("plan: cluster %q: inside %q: there is no such cluster", k.ID, in)
			}
			if with>>j&1 == 1 {
				return fmt.Errorf("plan: cluster %q: inside %q: clusters stand inside each other in a circle", k.ID, in)
			}
			with |= 1 << j
			in = c.t.Clusters[j].Inside
		}
		c.p.clusters = append(c.p.clusters, access{k.ID, cost, with})
		if k.Open {
			c.p.open |= with
		}
	}
	for i, k := range c.p.clusters { // what is inside a cluster that closes is closed with it
		for j, outer := range c.t.Clusters {
			if outer.Closes && k.with>>j&1 == 1 {
				c.p.shut |= 1 << i
			}
		}
	}
	return nil
}

func (c *compiler) cluster(id string) int {
	return slices.IndexFunc(c.t.Clusters, func(k Cluster) bool { return k.ID == id })
}

func (c *compiler) tasks(what string, actions []Action) ([]task, error) {
	var out []task
	for i, a := range actions {
		t := task{id: a.ID, number: i, kind: Repair}
		if what == "test" {
			t.kind = a.Kind
			t.running = a.Running || a.Kind == Change
		}
		if t.kind > Repair || what == "test" && t.kind == Repair {
			return nil, fmt.Errorf("plan: test %q is a %v; a test is a check or a change", a.ID, a.Kind)
		}
		var err error
		if t.cost, err = c.minutes(a.ID, a.Cost, 1); err != nil {
			return nil, err
		}
		if a.Inside != "" {
			k := c.cluster(a.Inside)
			if k < 0 {
				return nil, fmt.Errorf("plan: %s %q: inside %q: there is no such cluster", what, a.ID, a.Inside)
			}
			t.needs = c.p.clusters[k].with
		}
		if t.running && t.needs&c.p.shut != 0 {
			return nil, fmt.Errorf("plan: %s %q needs the machine running and %q open, which closes before the machine can run",
				what, a.ID, a.Inside)
		}
		out = append(out, t)
	}
	slices.SortStableFunc(out, func(a, b task) int { return cmp.Compare(a.id, b.id) })
	for i := range out {
		t := &out[i]
		t.at = i
		if _, ok := c.at[t.id]; ok || t.id == "" {
			return nil, fmt.Errorf("plan: %s %d: the id %q is empty or stands twice; give each its own", what, t.number, t.id)
		}
		if c.at[t.id] = (pairs{tests: 1 << i}); what == "repair" {
			c.at[t.id] = pairs{repairs: 1 << i}
		}
	}
	return out, nil
}

func (c *compiler) addLast() error {
	for i, a := range c.t.Last {
		cost, err := c.minutes(a.ID, a.Cost, 1)
		if err != nil {
			return err
		}
		if _, ok := c.at[a.ID]; ok || a.ID == "" || len(a.After) > 0 || a.Inside != "" {
			return fmt.Errorf("plan: last resort %d %q: needs an id of its own and comes after nothing and inside nothing", i, a.ID)
		}
		p := c.p
		if p.last < 0 || cost < p.lastCost || cost == p.lastCost && a.ID < p.lastID {
			p.last, p.lastCost, p.lastID = i, cost, a.ID
		}
	}
	return nil
}

// link resolves what comes after what.
func (c *compiler) link() error {
	for _, a := range c.t.Tests {
		if err := c.follow("test", &a); err != nil {
			return err
		}
	}
	for _, a := range c.t.Repairs {
		if err := c.follow("repair", &a); err != nil {
			return err
		}
	}
	return c.close()
}

func (c *compiler) follow(what string, a *Action) error {
	var after pairs
	for _, id := range a.After {
		it, ok := c.at[id]
		if !ok && !slices.Contains(c.t.Done, id) {
			return fmt.Errorf("plan: %s %q: after %q: there is no such test or repair; add it or list it as done", what, a.ID, id)
		}
		after = after.or(it)
	}
	c.p.task(c.at[a.ID]).after = after
	return nil
}

// close adds to what each action comes after all that this comes after itself.
func (c *compiler) close() error {
	for changed := true; changed; {
		changed = false
		for t := range c.p.all() {
			after := t.after
			for u := range c.p.in(t.after) {
				after = after.or(u.after)
			}
			changed = changed || after != t.after
			t.after = after
		}
	}
	for id, self := range c.at {
		if c.p.task(self).after.meets(self) {
			return fmt.Errorf("plan: %q comes after itself, by way of others; leave out one of them", c.first(id))
		}
	}
	return nil
}

// first is the smallest id among those that come after themselves, to name the same one every time.
func (c *compiler) first(id string) string {
	for other, self := range c.at {
		if other < id && c.p.task(self).after.meets(self) {
			id = other
		}
	}
	return id
}

// set is the set of the task alone.
func (t *task) set() pairs {
	if t.kind == Repair {
		return pairs{repairs: 1 << t.at}
	}
	return pairs{tests: 1 << t.at}
}

// task returns the only member of a set.
func (p *problem) task(one pairs) *task {
	if one.tests != 0 {
		return &p.tests[bits.TrailingZeros64(one.tests)]
	}
	return &p.repairs[bits.TrailingZeros64(one.repairs)]
}

// in goes through the members of a set, tests first, by id.
func (p *problem) in(s pairs) iter.Seq[*task] {
	return func(yield func(*task) bool) {
		for m := s.tests; m != 0; m &= m - 1 {
			if !yield(&p.tests[bits.TrailingZeros64(m)]) {
				return
			}
		}
		for m := s.repairs; m != 0; m &= m - 1 {
			if !yield(&p.repairs[bits.TrailingZeros64(m)]) {
				return
			}
		}
	}
}

// all goes through every test and repair.
func (p *problem) all() iter.Seq[*task] { return p.in(pairs{full(len(p.tests)), full(len(p.repairs))}) }

// full is the set of the first n.
func full(n int) uint64 {
	if n >= 64 {
		return math.MaxUint64
	}
	return 1<<n - 1
}

// numbers translates a set of repairs into numbers of the table.
func (p *problem) numbers(repairs uint64) []int {
	out := make([]int, 0, bits.OnesCount64(repairs))
	for m := repairs; m != 0; m &= m - 1 {
		out = append(out, p.repairs[bits.TrailingZeros64(m)].number)
	}
	return out
}

// opening is the cost of opening what is needed and not open.
func (p *problem) opening(needs, open uint64) float64 {
	sum := 0.0
	for m := needs &^ open; m != 0; m &= m - 1 {
		sum += p.clusters[bits.TrailingZeros64(m)].cost
	}
	return sum
}
