package simulate

import "diagnose.example/symptoms"

// place is where a record is instantiated; the first place is the whole machine.
type place struct {
	level symptoms.Level
	name  string
	// up is the place it hangs on: a cylinder on a carburetor, a carburetor on the machine, the machine on itself.
	up int
}

func placesOf(m *symptoms.Machine) []place {
	places := []place{{level: symptoms.WholeMachine}}
	for _, name := range m.Carburetors {
		places = append(places, place{symptoms.Carburetor, name, 0})
	}
	for i, name := range m.Cylinders {
		places = append(places, place{symptoms.Cylinder, name, 1 + m.Feeds[i]})
	}
	return places
}

// holds reports whether place p is at, or hangs on it.
func (m *Model) holds(at, p int) bool {
	for p != at && p != 0 {
		p = m.places[p].up
	}
	return p == at
}

// belonging lists the places of a level that belong to p: p itself, the one it hangs on, or those that hang on it.
func (m *Model) belonging(p int, level symptoms.Level) []int {
	var out []int
	for q := range m.places {
		if m.places[q].level == level && (m.holds(p, q) || m.holds(q, p)) {
			out = append(out, q)
		}
	}
	return out
}

// placeNamed finds a place by level and name; at the level of the machine the name does not matter, and neither does the empty
// name where there is only one place.
func (m *Model) placeNamed(level symptoms.Level, name string) (int, bool) {
	found, count := -1, 0
	for q, p := range m.places {
		if p.level != level {
			continue
		}
		if p.name == name || level == symptoms.WholeMachine {
			return q, true
		}
		found, count = q, count+1
	}
	return found, name == "" && count == 1
}
