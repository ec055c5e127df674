package engine

import (
	"slices"

	"diagnose.example/engine/plan"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// makeTable lists all options with their costs for the plan.
func (pl *planning) makeTable() {
	pl.table = plan.Table{Last: []plan.Action{{ID: "hand-over", Cost: plan.Cost{Minutes: pl.o.LastResort}}}, Rate: pl.o.Rate / 60}
	for _, op := range pl.tests {
		a := pl.action(op)
		if a.Kind = plan.Check; op.kind() == DoSwap {
			a.Kind = plan.Change
		}
		a.Running = slices.ContainsFunc(op.looks, func(l look) bool { return l.at.observation.Who == symptoms.Running })
		if a.Running && op.inside != "" { // its own minutes hold opening, closing and trying: nothing stays open after it
			a.Cost.Minutes, a.Inside = op.own+op.access, ""
		}
		pl.table.Tests = append(pl.table.Tests, a)
	}
	for _, op := range pl.repairs {
		pl.table.Repairs = append(pl.table.Repairs, pl.action(op))
	}
	for _, op := range slices.Concat(pl.tests, pl.repairs) {
		if op.inside != "" {
			pl.addCluster(op.opens(), op.place)
		}
	}
}

func (op *option) opens() string {
	if op.repair != nil {
		return op.repair.Opens
	}
	return op.check.Opens
}

func (pl *planning) action(op *option) plan.Action {
	return plan.Action{ID: op.id, Kind: plan.Repair, Cost: plan.Cost{Minutes: op.own, Money: op.money}, Inside: op.inside, After: op.after}
}

// addCluster adds an access, and what it lies inside, if it is not there yet. Every access has to be closed before the machine is tried.
func (pl *planning) addCluster(id string, place int) {
	access, ok := pl.know.set.AccessTo(id)
	if !ok {
		return
	}
	c := plan.Cluster{ID: pl.accessID(access, place), Cost: plan.Cost{Minutes: pl.accessMinutes(access)}, Closes: true}
	if slices.ContainsFunc(pl.table.Clusters, func(other plan.Cluster) bool { return other.ID == c.ID }) {
		return
	}
	if outer, ok := pl.know.set.Around(access, pl.cases[machinePlace]); ok {
		c.Inside = pl.accessID(outer, place)
		pl.addCluster(outer.ID, place)
	}
	pl.table.Clusters = append(pl.table.Clusters, c)
}

// opened finds the access records of clusters.
func (pl *planning) opened(clusters []string) []*rules.Access {
	var out []*rules.Access
	for _, id := range clusters {
		for _, a := range pl.know.set.Access {
			for p := range pl.places {
				if pl.places[p].Level == a.About && pl.optionID(a.ID, p) == id && !slices.Contains(out, a) {
					out = append(out, a)
				}
			}
		}
	}
	return out
}

// model is the reduced problem as a table over its reasons.
func (pl *planning) model() plan.TableModel {
	m := plan.TableModel{}
	index := map[uint64]int{}
	for i, r := range pl.reasons {
		index[r.faults] = i
		m.Worlds = append(m.Worlds, plan.World{Faults: r.faults, P: r.p})
	}
	for _, op := range pl.tests {
		m.Tests = append(m.Tests, func(faults uint64) []float64 { return op.given[index[faults]] })
	}
	for _, op := range pl.repairs {
		m.Repairs = append(m.Repairs, op.cures)
	}
	return m
}
