package simulate

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Machine is the machine that bikes are drawn for.
type Machine struct {
	Name string
	// Text is the beginning of an intake sheet: the lines "sheet: 1" and "machine:" with what belongs to it. It holds neither
	// history nor observations.
	Text string
}

// Network says from which numbers bikes are drawn. The zero value is the knowledge as it is.
type Network struct {
	// Factor above 1 multiplies the odds of every prior, leak and link by a number between 1/Factor and Factor, drawn by lot and
	// evenly on the logarithm. The numbers depend on Seed and on the record only, not on the machine.
	Factor float64
	Seed   uint64
}

// Model is the network of a rule set on one machine. It does not change, and may be used by several goroutines.
type Model struct {
	set     *rules.Set
	machine Machine
	network Network
	places  []place
	facts   map[string]symptoms.Value
	// known is the machine's facts as a case.
	known *condition.Case

	// nodes holds causes, then effects, then findings; parents come before their children.
	nodes []node
	// causes and findings are the positions after the last cause and of the first finding.
	causes, findings int
	// chances is how many chances it takes to draw a bike.
	chances int
	// questions lists every observation at every place of its level, in the order of the vocabulary.
	questions []question
	index     map[key]int
	// circumstances are the observations that some rule's circumstance reads.
	circumstances map[string]bool
}

// node is a cause, an effect or a rule's finding at one place.
type node struct {
	id    string
	place int
	// leak is the chance of being there with no parent; for a cause see prior.
	leak float64
	in   []arc

	cause *rules.Cause
	// built is the chance that the machine is of the construction that a cause needs.
	built float64

	rule *rules.Rule
	// applies says whether the rule's circumstance holds, as far as the facts decide it.
	applies condition.Truth
}

type arc struct {
	from   int
	chance float64
}

type key struct {
	observation string
	place       int
}

// question is an observation at a place, with the findings that read it there in masking order.
type question struct {
	observation *symptoms.Observation
	place       int
	findings    []int
}

// NewModel instantiates a rule set for a machine. The error is that of decoding the machine's text.
func NewModel(set *rules.Set, machine Machine, network Network) (*Model, error) {
	sheet, err := symptoms.Decode(machine.Name, []byte(machine.Text), set.Vocabulary, symptoms.DecodeOptions{})
	if err != nil {
		return nil, err
	}
	if len(sheet.History) > 0 || len(sheet.Readings) > 0 || len(sheet.Tried) > 0 {
		return nil, fmt.Errorf("machine %q: the text holds more than a machine", machine.Name)
	}
	m := &Model{set: set, machine: machine, network: network, places: placesOf(&sheet.Machine), facts: map[string]symptoms.Value{},
		known: set.Env.NewCase(), index: map[key]int{}, circumstances: map[string]bool{}}
	for _, f := range sheet.Machine.Facts {
		m.facts[f.Observation.ID] = f.Value
		set.Known(m.known, f.Observation, f.Value, 0)
	}
	if err := m.addNodes(); err != nil {
		return nil, err
	}
	m.addQuestions()
	return m, nil
}

// instance names a record at a place.
type instance struct {
	id    string
	place int
}

func (m *Model) addNodes() error {
	at := map[instance]int{}
	m.addCauses(at)
	if err := m.addEffects(at); err != nil {
		return err
	}
	m.findings = len(m.nodes)
	for _, r := range m.set.Rules {
		for p := range m.places {
			if m.places[p].level == r.About {
				m.addFinding(at, r, p)
			}
		}
	}
	for _, n := range m.nodes {
		m.chances += 1 + len(n.in)
	}
	return nil
}

func (m *Model) addCauses(at map[instance]int) {
	for _, c := range m.set.Causes {
		built := 1.0
		if c.Exists != nil {
			built = map[condition.Truth]float64{condition.True: 1, condition.Unknown: rules.BuiltSoUntold}[c.Exists.Eval(m.known)]
		}
		for p := range m.places {
			if m.places[p].level == c.About && built > 0 {
				at[instance{c.ID, p}] = len(m.nodes)
				m.nodes = append(m.nodes, node{id: c.ID, place: p, cause: c, built: built})
			}
		}
	}
	m.causes = len(m.nodes)
}

// incoming is a link seen from the effect that it leads to.
type incoming struct {
	from   string
	about  symptoms.Level
	chance float64
}

// addEffects puts each effect after all that make it.
func (m *Model) addEffects(at map[instance]int) error {
	madeBy := map[string][]incoming{}
	waitsFor := map[string]int{}
	for _, c := range m.set.Causes {
		for _, l := range c.Makes {
			madeBy[l.To] = append(madeBy[l.To], incoming{c.ID, c.About, l.Chance})
		}
	}
	for _, e := range m.set.Effects {
		for _, l := range e.Makes {
			madeBy[l.To] = append(madeBy[l.To], incoming{e.ID, e.About, l.Chance})
			waitsFor[l.To]++
		}
	}
	left := slices.Clone(m.set.Effects)
	for len(left) > 0 {
		i := slices.IndexFunc(left, func(e *rules.Effect) bool { return waitsFor[e.ID] == 0 })
		if i < 0 {
			return fmt.Errorf("the effects make one another in a circle")
		}
		e := left[i]
		left = slices.Delete(left, i, i+1)
		for _, l := range e.Makes {
			waitsFor[l.To]--
		}
		for p := range m.places {
			if m.places[p].level == e.About {
				at[instance{e.ID, p}] = len(m.nodes)
				m.nodes = append(m.nodes, node{id: e.ID, place: p, leak: m.shifted(e.Otherwise, "leak "+e.ID), in: m.arcs(at, e.ID, p, madeBy[e.ID])})
			}
		}
	}
	return nil
}

func (m *Model) arcs(at map[instance]int, to string, p int, from []incoming) []arc {
	var out []arc
	for _, in := range from {
		for _, q := range m.belonging(p, in.about) {
			if i, ok := at[instance{in.from, q}]; ok {
				out = append(out, arc{i, m.shifted(in.chance, in.from+" makes "+to)})
			}
		}
	}
	return out
}

func (m *Model) addFinding(at map[instance]int, r *rules.Rule, p int) {
	applies := condition.True
	if r.Given != nil {
		if applies = r.Given.Eval(m.known); applies == condition.False {
			return
		}
		for _, symbol := range r.Given.Reads() {
			m.circumstances[m.set.Symbol(symbol).Observation.ID] = true
		}
	}
	var from []incoming
	for _, l := range r.SeenWith {
		about := symptoms.WholeMachine
		if c, ok := m.set.Cause(l.To); ok {
			about = c.About
		} else if e, ok := m.set.Effect(l.To); ok {
			about = e.About
		}
		from = append(from, incoming{l.To, about, l.Chance})
	}
	in := m.arcs(at, r.ID, p, from)
	if !r.Simple || len(in) == 0 {
		return
	}
	m.nodes = append(m.nodes, node{id: r.ID, place: p, leak: m.shifted(r.Otherwise, "leak "+r.ID), in: in, rule: r, applies: applies})
}

func (m *Model) addQuestions() {
	for _, o := range m.set.Vocabulary.All() {
		if o.Where != symptoms.Observed {
			continue
		}
		for p := range m.places {
			if m.places[p].level == o.About {
				m.index[key{o.ID, p}] = len(m.questions)
				m.questions = append(m.questions, question{observation: o, place: p})
			}
		}
	}
	for i := m.findings; i < len(m.nodes); i++ {
		n := &m.nodes[i]
		o := m.set.Symbol(n.rule.Finding.Symbol).Observation
		q := &m.questions[m.index[key{o.ID, n.place}]]
		q.findings = append(q.findings, i)
	}
	for i := range m.questions {
		slices.SortStableFunc(m.questions[i].findings, func(a, b int) int {
			return cmp.Compare(firstWord(m.nodes[a].rule), firstWord(m.nodes[b].rule))
		})
	}
}

// firstWord is the position of a rule's first word in masking order.
func firstWord(r *rules.Rule) int { return bits.TrailingZeros64(r.Finding.Words) }

// prior returns the chance that a cause is present, with the history told.
func (m *Model) prior(n *node, history []string) float64 {
	return m.shifted(n.cause.Prior.With(history)*n.built, "prior "+n.id)
}

// shifted returns a probability in the network that bikes are drawn from.
func (m *Model) shifted(p float64, what string) float64 {
	if m.network.Factor <= 1 || p <= 0 || p >= 1 {
		return p
	}
	exponent := 2*source(m.network.Seed, what).Float64() - 1
	odds := p / (1 - p) * math.Pow(m.network.Factor, exponent)
	return odds / (1 + odds)
}

// source returns a stream of random numbers that belongs to a seed and a name.
func source(seed uint64, name string) *rand.Rand {
	const offset, prime = 14695981039346656037, 1099511628211 // FNV-1a, 64 bits
	h := uint64(offset)
	for i := range len(name) {
		h = (h ^ uint64(name[i])) * prime
	}
	return rand.New(rand.NewPCG(seed, h))
}
