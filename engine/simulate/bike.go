package simulate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Fault is a cause at a place; Place is empty for the whole machine.
type Fault struct {
	Cause, Place string
}

// Bike is one machine with what is wrong with it. It is for one goroutine at a time.
type Bike struct {
	model *Model
	// Seed is what it was drawn with.
	Seed uint64
	// History is what was told of it; the causes were drawn with it.
	History []string
	// chance holds the number thrown for every prior, leak and link.
	chance  []float64
	present []bool
	cured   []bool
	// repaired counts how often each repair was done at each place.
	repaired map[instance]int
	// answers holds the answer to each of the model's questions; nil when they have to be worked out anew.
	answers []answer
}

// Draw draws a bike. The history words multiply the prior odds of the causes, as on a sheet.
func (m *Model) Draw(seed uint64, history ...string) *Bike {
	b := &Bike{model: m, Seed: seed, History: history, chance: make([]float64, m.chances), present: make([]bool, len(m.nodes)),
		cured: make([]bool, m.causes), repaired: map[instance]int{}}
	thrown := source(seed, "bike")
	for i := range b.chance {
		b.chance[i] = thrown.Float64()
	}
	b.happen()
	return b
}

// DrawComplaining draws bikes until one complains ([Bike.Complains]) and returns it with the number of bikes drawn, which is at
// most 1000; the last one is returned as it is.
func (m *Model) DrawComplaining(seed uint64, history ...string) (*Bike, int) {
	return m.drawUntil(seed, history, (*Bike).Complains)
}

// DrawFaulty draws bikes until one has a fault that the rider notices ([Bike.Culprits]) and returns it with the number of bikes
// drawn, as DrawComplaining does. It looks at what is true, not only at what is told: probabilities given a sheet are not those of
// such bikes.
func (m *Model) DrawFaulty(seed uint64, history ...string) (*Bike, int) {
	return m.drawUntil(seed, history, func(b *Bike) bool { return len(b.Culprits()) > 0 })
}

func (m *Model) drawUntil(seed uint64, history []string, good func(*Bike) bool) (*Bike, int) {
	seeds := source(seed, "until")
	const most = 1000
	for n := 1; ; n++ {
		b := m.Draw(seeds.Uint64(), history...)
		if n == most || good(b) {
			return b, n
		}
	}
}

// History draws history words by lot, for bikes of mixed history: half of them without any, the others with one or two that go
// together.
func (m *Model) History(seed uint64) []string {
	var all []string
	for _, o := range m.set.Vocabulary.All() {
		if o.Where == symptoms.History {
			all = append(all, o.ID)
		}
	}
	lot := source(seed, "history")
	if len(all) < 2 || lot.IntN(2) == 0 {
		return nil
	}
	told := []string{all[lot.IntN(len(all))]}
	if other := all[lot.IntN(len(all))]; lot.IntN(2) == 0 && !exclude(told[0], other) {
		told = append(told, other)
	}
	return told
}

// exclude reports whether two history words are the same, or hardly both true of one bike: those that speak of the same thing begin
// alike up to the second hyphen.
func exclude(a, b string) bool {
	stem := func(s string) string {
		parts := strings.SplitN(s, "-", 3)
		return strings.Join(parts[:min(2, len(parts))], "-")
	}
	return stem(a) == stem(b)
}

// happen works out what is present, from the chances thrown and what has been cured.
func (b *Bike) happen() {
	b.answers = nil
	b.fill(b.present, func(i int) bool { return b.cured[i] })
}

// fill works out what is present when some of the causes are not.
func (b *Bike) fill(present []bool, gone func(cause int) bool) {
	next := 0
	for i := range b.model.nodes {
		n := &b.model.nodes[i]
		leak := n.leak
		if n.cause != nil {
			leak = b.model.prior(n, b.History)
		}
		is := b.chance[next] < leak
		for k, a := range n.in {
			is = is || present[a.from] && b.chance[next+1+k] < a.chance
		}
		next += 1 + len(n.in)
		present[i] = is && (n.cause == nil || !gone(i))
	}
}

// Faults lists the causes that are present now, in the order of the knowledge.
func (b *Bike) Faults() []Fault {
	var out []Fault
	for i := range b.model.causes {
		if b.present[i] {
			out = append(out, b.fault(i))
		}
	}
	return out
}

// Faults lists every cause at every place where this machine can have it, in the order of the knowledge.
func (m *Model) Faults() []Fault {
	var out []Fault
	for _, n := range m.nodes[:m.causes] {
		out = append(out, Fault{n.id, m.places[n.place].name})
	}
	return out
}

// PlaceNames lists the places of a level; the whole machine is one place without a name.
func (m *Model) PlaceNames(level symptoms.Level) []string {
	var out []string
	for _, p := range m.placesAt(level) {
		out = append(out, m.places[p].name)
	}
	return out
}

func (b *Bike) fault(i int) Fault {
	n := &b.model.nodes[i]
	return Fault{n.id, b.model.places[n.place].name}
}

// Has reports whether a cause is present now, at one place at least.
func (b *Bike) Has(cause string) bool {
	for i := range b.model.causes {
		if b.present[i] && b.model.nodes[i].id == cause {
			return true
		}
	}
	return false
}

// Effects lists the ids of the effects that are present now, each once for every place.
func (b *Bike) Effects() []Fault {
	var out []Fault
	for i := b.model.causes; i < b.model.findings; i++ {
		if b.present[i] {
			out = append(out, b.fault(i))
		}
	}
	return out
}

// Apply does a repair at a place and returns what it cured. The place is that of the repair's own level; empty for the machine,
// or where there is only one. Each cause that it cures and that is present there goes with the repair's reliability; a repair
// done again has a new chance. What the cause alone had made goes with it, and nothing else changes.
func (b *Bike) Apply(repair, place string) ([]Fault, error) {
	r, ok := b.model.set.Repair(repair)
	if !ok {
		return nil, fmt.Errorf("unknown repair %q", repair)
	}
	p, ok := b.model.placeNamed(r.About, place)
	if !ok {
		return nil, fmt.Errorf("repair %q: no %s is called %q", repair, r.About, place)
	}
	done := instance{r.ID, p}
	b.repaired[done]++
	var cured []Fault
	for i := range b.model.causes {
		if chance, ok := b.model.curedBy(r, p, i); ok && b.present[i] {
			n := &b.model.nodes[i]
			key := fmt.Sprint("repair ", r.ID, p, n.id, n.place, " time ", b.repaired[done])
			if source(b.Seed, key).Float64() < chance {
				b.cured[i] = true
				cured = append(cured, b.fault(i))
			}
		}
	}
	b.happen()
	return cured, nil
}

// curedBy reports whether a repair at a place is one for cause i, and how reliably it cures it.
func (m *Model) curedBy(r *rules.Repair, p, i int) (float64, bool) {
	n := &m.nodes[i]
	for _, l := range r.Cures {
		if l.To == n.id && (m.holds(p, n.place) || m.holds(n.place, p)) {
			return l.Chance, true
		}
	}
	return 0, false
}

// Complains reports whether the rider has something to complain about: at least one question that he can answer has an abnormal
// answer.
func (b *Bike) Complains() bool { return len(b.Complaints()) > 0 }

// Complaints lists what the rider finds abnormal now.
func (b *Bike) Complaints() []Told {
	var out []Told
	for i, a := range b.answered() {
		if q := &b.model.questions[i]; a.ok && a.abnormal && q.observation.Who == symptoms.Rider {
			out = append(out, b.told(i))
		}
	}
	return out
}

// Culprits lists the faults present that are enough, alone, for some complaint of the rider that would not be there without any
// fault. Every complaint that comes of a fault has such a culprit.
func (b *Bike) Culprits() []Fault {
	complaints := b.complaintFindings()
	with, none := make([]bool, len(b.present)), make([]bool, len(b.present))
	b.fill(none, func(int) bool { return true })
	var out []Fault
	for i := range b.model.causes {
		if !b.present[i] {
			continue
		}
		b.fill(with, func(other int) bool { return other != i })
		if slices.ContainsFunc(complaints, func(f int) bool { return with[f] && !none[f] }) {
			out = append(out, b.fault(i))
		}
	}
	return out
}

// complaintFindings lists the findings behind what the rider finds abnormal now.
func (b *Bike) complaintFindings() []int {
	var out []int
	for i, a := range b.answered() {
		if q := &b.model.questions[i]; a.ok && a.abnormal && q.observation.Who == symptoms.Rider {
			for _, f := range q.findings {
				if b.present[f] {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

// Machine returns the machine the bike was drawn for.
func (b *Bike) Machine() Machine { return b.model.machine }

// String names the seed and the faults.
func (b *Bike) String() string {
	s := "bike " + strconv.FormatUint(b.Seed, 10) + ":"
	for _, f := range b.Faults() {
		s += " " + f.Cause
		if f.Place != "" {
			s += " (" + f.Place + ")"
		}
	}
	return s
}
