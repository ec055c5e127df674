package engine

import "diagnose.example/symptoms"

// layout holds the places of one machine: the machine itself, its carburetors in order, its cylinders in order.
type layout struct {
	places []Place
	// up is the index of the place that a place hangs on: a cylinder on a carburetor, a carburetor on the machine. The
	// machine hangs on itself.
	up []int
	// at lists the places of each level.
	at [3][]int
	// carburetors is their number; the block after the last one holds what sums up over all places.
	carburetors int
}

// machinePlace is the index of the whole machine in every layout.
const machinePlace = 0

func layoutOf(m *symptoms.Machine) *layout {
	l := &layout{carburetors: len(m.Carburetors)}
	l.add(Place{Level: symptoms.WholeMachine}, machinePlace)
	for _, name := range m.Carburetors {
		l.add(Place{symptoms.Carburetor, name}, machinePlace)
	}
	for i, name := range m.Cylinders {
		l.add(Place{symptoms.Cylinder, name}, 1+m.Feeds[i])
	}
	return l
}

func (l *layout) add(p Place, up int) {
	l.at[p.Level] = append(l.at[p.Level], len(l.places))
	l.places = append(l.places, p)
	l.up = append(l.up, up)
}

// block returns the block in which a place's causes and effects are summed out: 0 for the machine, then one for each
// carburetor together with its cylinders.
func (l *layout) block(p int) int {
	if l.places[p].Level == symptoms.Cylinder {
		p = l.up[p]
	}
	return p
}

// summaryBlock is the block of machine effects that something in a carburetor or cylinder makes.
func (l *layout) summaryBlock() int { return l.carburetors + 1 }

// reach returns the places of a level that belong to place p: p itself, the place that holds it, or all places it holds.
func (l *layout) reach(p int, level symptoms.Level) []int {
	own := l.places[p].Level
	if level <= own {
		for l.places[p].Level > level {
			p = l.up[p]
		}
		return []int{p}
	}
	var held []int
	for _, q := range l.at[level] {
		for r := q; ; r = l.up[r] {
			if r == p {
				held = append(held, q)
			}
			if r == p || r == machinePlace {
				break
			}
		}
	}
	return held
}

// find returns the place of a level with a name.
func (l *layout) find(level symptoms.Level, name string) (int, bool) {
	for _, p := range l.at[level] {
		if l.places[p].Name == name {
			return p, true
		}
	}
	return 0, false
}
