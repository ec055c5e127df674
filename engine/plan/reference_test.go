package plan_test

import (
	"fmt"
	"math"
	"math/bits"
	"slices"

	"diagnose.example/engine/plan"
	"pgregory.net/rapid"
)

// job is a small random planning problem, and a second, slow way to solve it: plain recursion over what may happen, nothing kept, nothing
// left out, no bound. It shares no code with the package.
type job struct {
	worlds map[uint64]float64
	faults int
	rows   [][]float64 // by test: leak, then for each fault the chance to show
	cures  [][]plan.Cure
	table  plan.Table
}

func (j *job) shows(test int, faults uint64) float64 {
	none := 1 - j.rows[test][0]
	for f := range j.faults {
		if faults>>f&1 == 1 {
			none *= 1 - j.rows[test][1+f]
		}
	}
	return 1 - none
}

func (j *job) belief(t *rapid.T) *plan.Tabular {
	m := plan.TableModel{Repairs: j.cures}
	for f := uint64(0); f < 1<<j.faults; f++ {
		m.Worlds = append(m.Worlds, plan.World{Faults: f, P: j.worlds[f]})
	}
	for i := range j.rows {
		m.Tests = append(m.Tests, func(f uint64) []float64 { return []float64{1 - j.shows(i, f), j.shows(i, f)} })
	}
	b, err := plan.NewTabular(m)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// limits bound what drawJob draws.
type limits struct{ faults, tests, repairs, clusters int }

func drawJob(t *rapid.T, most limits) *job {
	j := &job{worlds: map[uint64]float64{}, faults: rapid.IntRange(1, most.faults).Draw(t, "faults")}
	for range rapid.IntRange(1, 6).Draw(t, "worlds") {
		j.worlds[rapid.Uint64Range(1, 1<<j.faults-1).Draw(t, "world")] = float64(rapid.IntRange(1, 9).Draw(t, "weight"))
	}
	chance := rapid.SampledFrom([]float64{0, 0.2, 0.5, 0.9, 1})
	minutes := rapid.IntRange(1, 60)
	for i := range rapid.IntRange(0, most.clusters).Draw(t, "clusters") {
		c := plan.Cluster{ID: fmt.Sprint("cluster ", i), Cost: plan.Cost{Minutes: float64(minutes.Draw(t, "opening"))},
			Closes: rapid.Bool().Draw(t, "closes"), Open: rapid.IntRange(0, 4).Draw(t, "open") == 0}
		if i > 0 && rapid.Bool().Draw(t, "nested") {
			c.Inside = fmt.Sprint("cluster ", i-1)
		}
		if rapid.Bool().Draw(t, "factor") {
			c.Factor = 1.5
		}
		j.table.Clusters = append(j.table.Clusters, c)
	}
	var ids []string
	action := func(id string) plan.Action {
		a := plan.Action{ID: id, Cost: plan.Cost{Minutes: float64(minutes.Draw(t, "minutes"))}}
		if rapid.Bool().Draw(t, "money") {
			a.Money = 10
		}
		if n := len(j.table.Clusters); n > 0 && rapid.Bool().Draw(t, "inside") {
			a.Inside = j.table.Clusters[rapid.IntRange(0, n-1).Draw(t, "which")].ID
		}
		if len(ids) > 0 && rapid.IntRange(0, 3).Draw(t, "after") == 0 {
			a.After = []string{rapid.SampledFrom(ids).Draw(t, "what")}
		}
		ids = append(ids, id)
		return a
	}
	tests, repairs := rapid.IntRange(0, most.tests).Draw(t, "tests"), rapid.IntRange(1, most.repairs).Draw(t, "repairs")
	for i := range max(tests, repairs) { // in turn, so that each can come after the other
		if i < repairs {
			var cures []plan.Cure
			for f := range j.faults {
				if c := chance.Draw(t, "cures"); c > 0 {
					cures = append(cures, plan.Cure{Fault: f, Chance: c})
				}
			}
			j.cures = append(j.cures, cures)
			j.table.Repairs = append(j.table.Repairs, action(fmt.Sprint("repair ", i)))
		}
		if i < tests {
			row := make([]float64, 1+j.faults)
			for k := range row {
				row[k] = chance.Draw(t, "shows")
			}
			j.rows = append(j.rows, row)
			a := action(fmt.Sprint("test ", i))
			if j.closing(a.Inside) == 0 {
				switch rapid.IntRange(0, 2).Draw(t, "running") {
				case 0:
					a.Kind = plan.Change
				case 1:
					a.Running = true
				}
			}
			j.table.Tests = append(j.table.Tests, a)
		}
	}
	if rapid.Bool().Draw(t, "last") {
		j.table.Last = []plan.Action{{ID: "last", Cost: plan.Cost{Minutes: float64(rapid.IntRange(5, 200).Draw(t, "last resort"))}}}
	}
	j.table.Rate = 2
	return j
}

func (j *job) minutes(a *plan.Action) float64 { return a.Minutes + a.Money/j.table.Rate }

// cluster finds a cluster by id, -1 for "".
func (j *job) cluster(id string) int {
	return slices.IndexFunc(j.table.Clusters, func(c plan.Cluster) bool { return c.ID == id })
}

// chain lists a cluster and those it is inside of.
func (j *job) chain(id string) []int {
	var out []int
	for k := j.cluster(id); k >= 0; k = j.cluster(j.table.Clusters[k].Inside) {
		out = append(out, k)
	}
	return out
}

// open pays for what has to be opened.
func (j *job) openFor(id string, open *uint64) float64 {
	cost := 0.0
	for _, k := range j.chain(id) {
		if c := j.table.Clusters[k]; *open>>k&1 == 0 {
			*open |= 1 << k
			cost += c.Minutes * max(c.Factor, 1)
		}
	}
	return cost
}

// shut closes what has to be closed for trying the machine, with all inside.
func (j *job) shut(open uint64) uint64 {
	for k, c := range j.table.Clusters {
		for _, outer := range j.chain(c.ID) {
			if j.table.Clusters[outer].Closes {
				open &^= 1 << k
			}
		}
	}
	return open
}

// closing lists those of a cluster and what it is inside of that have to be closed for trying the machine.
func (j *job) closing(id string) uint64 {
	var in uint64
	for _, k := range j.chain(id) {
		if j.shut(1<<k) == 0 {
			in |= 1 << k
		}
	}
	return in
}

func (j *job) start() point {
	p := point{worlds: j.worlds, done: map[string]bool{}}
	for _, c := range j.table.Clusters {
		if c.Open {
			j.openFor(c.ID, &p.open)
		}
	}
	return p
}

// point is where the job stands. Weights of worlds are not made to sum to one.
type point struct {
	worlds map[uint64]float64
	done   map[string]bool
	open   uint64
}

func (p *point) weight() float64 {
	sum := 0.0
	for f := uint64(0); f < 64; f++ {
		sum += p.worlds[f]
	}
	return sum
}

func (p *point) with(ids ...string) map[string]bool {
	done := map[string]bool{}
	for id := range p.done {
		done[id] = true
	}
	for _, id := range ids {
		done[id] = true
	}
	return done
}

func (p *point) ready(a *plan.Action, together ...string) bool {
	for _, id := range a.After {
		if !p.done[id] && !slices.Contains(together, id) {
			return false
		}
	}
	return !p.done[a.ID]
}

// repaired is the point after some repairs that did not make the machine good.
func (j *job) repaired(p point, repairs []int) point {
	worlds := p.worlds
	var ids []string
	for _, r := range repairs {
		ids = append(ids, j.table.Repairs[r].ID)
		for _, c := range j.cures[r] {
			next := map[uint64]float64{}
			for f := uint64(0); f < 64; f++ {
				if w := worlds[f]; w > 0 && f>>c.Fault&1 == 1 {
					next[f&^(1<<c.Fault)] += w * c.Chance
					next[f] += w * (1 - c.Chance)
				} else if w > 0 {
					next[f] += w
				}
			}
			worlds = next
		}
	}
	left := map[uint64]float64{}
	for f, w := range worlds {
		if f != 0 {
			left[f] = w
		}
	}
	return point{left, p.with(ids...), p.open}
}

// seen is the point after a test.
func (j *job) seen(p point, test, outcome int) point {
	worlds := map[uint64]float64{}
	for f, w := range p.worlds {
		x := j.shows(test, f)
		if outcome == 0 {
			x = 1 - x
		}
		worlds[f] = w * x
	}
	return point{worlds, p.with(j.table.Tests[test].ID), p.open}
}

// options steer the reference.
type refOptions struct {
	banned string // an id that may not be used
	noLast bool
}

// optimum is the least expected cost times the weight.
func (j *job) optimum(p point, o refOptions) float64 {
	z := p.weight()
	if z < 1e-12 {
		return 0
	}
	best := math.Inf(1)
	if len(j.table.Last) > 0 && !o.noLast {
		best = z * j.minutes(&j.table.Last[0])
	}
	if j.hopeless(p, o) {
		if math.IsInf(best, 1) {
			return 0
		}
		return best
	}
	n := len(j.cures)
	for set := 1; set < 1<<n; set++ {
		if cost, next, ok := j.doRepairs(p, members(uint64(set)), o); ok {
			best = min(best, z*cost+j.optimum(next, o))
		}
	}
	for i := range j.rows {
		a := &j.table.Tests[i]
		if !p.ready(a) || a.ID == o.banned {
			continue
		}
		q := p
		if a.Kind == plan.Change || a.Running {
			q.open = j.shut(q.open)
		}
		cost := j.minutes(a) + j.openFor(a.Inside, &q.open)
		best = min(best, z*cost+j.optimum(j.seen(q, i, 0), o)+j.optimum(j.seen(q, i, 1), o))
	}
	return best
}

// doRepairs does one repair, or several inside a cluster that closes.
func (j *job) doRepairs(p point, repairs []int, o refOptions) (cost float64, next point, ok bool) {
	var ids []string
	inside := ^uint64(0)
	for _, r := range repairs {
		ids = append(ids, j.table.Repairs[r].ID)
		inside &= j.closing(j.table.Repairs[r].Inside)
	}
	if len(repairs) > 1 && inside == 0 {
		return 0, p, false
	}
	q := p
	for _, r := range repairs {
		a := &j.table.Repairs[r]
		if !p.ready(a, ids...) || a.ID == o.banned {
			return 0, p, false
		}
		cost += j.minutes(a) + j.openFor(a.Inside, &q.open)
	}
	q.open = j.shut(q.open)
	return cost, j.repaired(q, repairs), true
}

// hopeless tells that no repair that can still be done can cure any world.
func (j *job) hopeless(p point, o refOptions) bool {
	usable := map[string]bool{}
	for range len(j.cures) + len(j.rows) + 1 {
		for _, list := range [][]plan.Action{j.table.Tests, j.table.Repairs} {
			for _, a := range list {
				ok := a.ID != o.banned
				for _, id := range a.After {
					ok = ok && (p.done[id] || usable[id])
				}
				if ok && !p.done[a.ID] {
					usable[a.ID] = true
				}
			}
		}
	}
	var can uint64
	for r, cures := range j.cures {
		if usable[j.table.Repairs[r].ID] {
			for _, c := range cures {
				can |= 1 << c.Fault
			}
		}
	}
	for f, w := range p.worlds {
		if w > 1e-12 && f&^can == 0 {
			return false
		}
	}
	return true
}

// foreknown is the expected cost when it is known beforehand which repairs will cure the machine: for every world and every way
// for the repairs to turn out, the cheapest set that cures. Worlds that nothing cures cost the last resort, or nothing.
func (j *job) foreknown() float64 {
	sum, z := 0.0, 0.0
	n := len(j.cures)
	cost := make([]float64, 1<<n)
	for set := range cost {
		cost[set] = j.setCost(uint64(set))
	}
	for f, w := range j.worlds {
		z += w
		var rec func(r, k int, w float64, cured []uint64)
		rec = func(r, k int, w float64, cured []uint64) {
			switch {
			case w == 0:
			case r == n:
				sum += w * j.cheapest(f, cured, cost)
			case k == len(j.cures[r]):
				rec(r+1, 0, w, cured)
			default:
				c := j.cures[r][k]
				rec(r, k+1, w*(1-c.Chance), cured)
				with := slices.Clone(cured)
				with[r] |= 1 << c.Fault
				rec(r, k+1, w*c.Chance, with)
			}
		}
		rec(0, 0, w, make([]uint64, n))
	}
	return sum / z
}

// setCost is what a set of repairs costs at least: what they need done before, every cluster opened once.
func (j *job) setCost(set uint64) float64 {
	need := map[string]bool{}
	for _, r := range members(set) {
		need[j.table.Repairs[r].ID] = true
	}
	all := append(slices.Clone(j.table.Tests), j.table.Repairs...)
	for range all {
		for _, a := range all {
			for _, id := range a.After {
				need[id] = need[id] || need[a.ID]
			}
		}
	}
	cost, open := 0.0, j.start().open
	for _, a := range all {
		if need[a.ID] {
			cost += j.minutes(&a) + j.openFor(a.Inside, &open)
		}
	}
	return cost
}

func (j *job) cheapest(faults uint64, cured []uint64, cost []float64) float64 {
	best := math.Inf(1)
	for set, c := range cost {
		var all uint64
		for _, r := range members(uint64(set)) {
			all |= cured[r]
		}
		if faults&^all == 0 {
			best = min(best, c)
		}
	}
	if len(j.table.Last) > 0 {
		return min(best, j.minutes(&j.table.Last[0]))
	}
	if math.IsInf(best, 1) {
		return 0
	}
	return best
}

// follow is the cost of a plan times the weight, from the job's own numbers: of the plan only the steps are used. It fails on a step that
// may not be done.
func (j *job) follow(t *rapid.T, n *plan.Node, p point) float64 {
	z := p.weight()
	if z < 1e-11 {
		return 0
	}
	if n == nil {
		t.Fatalf("the plan has no step for worlds of weight %v: %v", z, p.worlds)
	}
	switch n.Step.Kind {
	case plan.Repair:
		cost, next, ok := j.doRepairs(p, n.Step.Numbers, refOptions{})
		if !ok {
			t.Fatalf("the plan does %v when only %v is done", n.Step.IDs, p.done)
		}
		return z*cost + j.follow(t, after(n, 0), next)
	case plan.Check, plan.Change:
		i := n.Step.Numbers[0]
		a := &j.table.Tests[i]
		if !p.ready(a) {
			t.Fatalf("the plan does %v when only %v is done", n.Step.IDs, p.done)
		}
		if a.Kind == plan.Change || a.Running {
			p.open = j.shut(p.open)
		}
		before := bits.OnesCount64(p.open)
		cost := j.minutes(a) + j.openFor(a.Inside, &p.open)
		if got := bits.OnesCount64(p.open) - before; got != len(n.Step.Opens) {
			t.Fatalf("%v opens %v; %d clusters have to be opened", n.Step.IDs, n.Step.Opens, got)
		}
		return z*cost + j.follow(t, after(n, 0), j.seen(p, i, 0)) + j.follow(t, after(n, 1), j.seen(p, i, 1))
	case plan.HandOver:
		return z * j.minutes(&j.table.Last[0])
	default:
		if !j.hopeless(p, refOptions{}) {
			t.Fatalf("the plan stops where %v can be cured", p.worlds)
		}
		return 0
	}
}
