package rules

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"diagnose.example/symptoms"
)

// Ref names a record or an entry of the vocabulary.
type Ref struct {
	// Kind is "cause", "effect", "rule", "stop notice", "check", "repair", "part", "access", "source", "observation", "fact" or "history".
	Kind, ID, Title string
}

// Step is one causal link, seen from the record that is explained.
type Step struct {
	From, To Ref
	Link     Link
	// Sentence says it in words.
	Sentence string
	// Cites are those of the record that states the link, but for what is from memory.
	Cites []Cite
}

// Rival is another cause that makes the same effects.
type Rival struct {
	Ref    Ref
	Shared []Ref
	// Tell says how to tell that cause from its rivals.
	Tell string
}

// Explanation describes one record with everything it is linked to, as data. Which parts are filled depends on the kind; order is
// that of the packs unless said.
type Explanation struct {
	Ref
	Text string
	// Exactly one of these is set.
	Cause       *Cause
	Effect      *Effect
	Rule        *Rule
	Stop        *Stop
	Check       *Check
	Repair      *Repair
	Part        *Part
	Access      *Access
	Source      *Source
	Observation *symptoms.Observation

	// Says holds what the record says of itself in numbers, as sentences: its prior, or how often it is there all the same.
	Says []string
	// In holds the links that lead to it in the causal direction, Out those that lead on; a repair's Out are its cures.
	In, Out []Step
	// Rivals are the causes that share an effect with a cause.
	Rivals []Rival
	// Causes are those that a check helps to tell, or whose prior a history word changes.
	Causes []Ref
	// Questions are the observations that a rule or stop notice reads, that a check takes, or that bear on a cause or effect, the
	// most telling first.
	Questions []*symptoms.Observation
	// Models are the functions of the physical model behind it, each with a worked example.
	Models []ModelUse
	// Readers are the rules and stop notices that read an observation without having it as evidence, or the records that cite a source.
	Readers []Ref
	// Checks take observations that bear on it; Repairs cure it. For an action, those that must come first.
	Checks  []*Check
	Repairs []*Repair
	Parts   []*Part
	// Cautions are those of the record, and of its checks and repairs, each once.
	Cautions []string
	// Cites are the record's, but for what is from memory.
	Cites []Cite
	// Sources are the published sources of Cites and of the links, sorted as in a bibliography.
	Sources []*Source
}

// Explain describes the record, observation, fact or history word with the given id. The error names the nearest known id.
func (s *Set) Explain(id string) (*Explanation, error) {
	ref, ok := s.ref(id)
	if !ok {
		if ref, ok = s.ref(strings.TrimPrefix(id, bandPrefix)); !ok {
			return nil, s.unknown(id)
		}
	}
	x := &explainer{set: s, graph: s.graph(), Explanation: &Explanation{Ref: ref, Cites: s.citable(s.head(ref.ID).cites)}}
	x.In, x.Out = x.steps(x.graph.in[ref.ID]), x.steps(x.graph.out[ref.ID])
	x.record()
	x.gather()
	return x.Explanation, nil
}

// unknown is the error for an id that nothing has. Someone asking from memory may mix up the kinds, so all are searched.
func (s *Set) unknown(id string) error {
	var known []string
	for k := range s.index {
		known = append(known, k)
	}
	for _, o := range s.Vocabulary.All() {
		known = append(known, o.ID)
	}
	slices.Sort(known)
	if near := symptoms.Nearest(id, known); near != "" {
		return fmt.Errorf("unknown id %q; write %q", id, near)
	}
	return fmt.Errorf("unknown id %q", id)
}

// ref finds a record first and then an entry of the vocabulary; an id is never both.
func (s *Set) ref(id string) (Ref, bool) {
	if h := s.head(id); h.id != "" {
		return Ref{Kind: h.kind, ID: id, Title: h.title}, true
	}
	o, ok := s.Vocabulary.Lookup(id)
	if !ok {
		return Ref{}, false
	}
	kind := map[symptoms.Where]string{symptoms.Fact: "fact", symptoms.History: "history", symptoms.Observed: "observation"}[o.Where]
	return Ref{Kind: kind, ID: id, Title: o.Question}, true
}

type explainer struct {
	*Explanation
	set   *Set
	graph *graph
}

// steps cites the record that states the link, which is the rule for a finding and the upper end for all else.
func (x *explainer) steps(edges []edge) []Step {
	var steps []Step
	for _, e := range edges {
		from, _ := x.set.ref(e.from)
		to, _ := x.set.ref(e.to)
		steps = append(steps, Step{
			From: from, To: to, Link: e.link, Sentence: x.set.Sentence(e.holder, e.link), Cites: x.set.citable(x.set.head(e.holder).cites),
		})
	}
	return steps
}

// record fills in what depends on the kind.
func (x *explainer) record() {
	switch r := x.set.index[x.ID].(type) {
	case *Cause:
		x.Cause, x.Text = r, r.Text
		x.Says = []string{x.set.PriorSentence(r)}
		x.rivals(r)
		x.help(r.ID)
	case *Effect:
		x.Effect, x.Text = r, r.Text
		x.Says = []string{x.set.OtherwiseSentence(r)}
		x.help(r.ID)
	case *Rule:
		x.Rule, x.Text = r, r.Why
		x.Says = []string{x.set.RuleSentence(r)}
		x.reads(r.evidence)
		x.ruleModels(r)
	case *Stop:
		x.Stop, x.Text = r, r.Do
		x.reads(x.set.observations(r.When.Reads()))
	case *Check:
		x.Check, x.Text = r, r.How
		x.reads(r.Observes)
		x.tells(r)
		x.first(r.After)
	case *Repair:
		x.Repair, x.Text = r, r.How
		x.cures(r)
		x.first(r.After)
	case *Part:
		x.Part, x.Text = r, r.Text
		x.Repairs = filter(x.set.Repairs, func(p *Repair) bool { return slices.Contains(p.Parts, r.ID) })
	case *Access:
		x.Access = r
		x.Checks = filter(x.set.Checks, func(c *Check) bool { return c.Opens == r.ID })
		x.Repairs = filter(x.set.Repairs, func(p *Repair) bool { return p.Opens == r.ID })
	case *Source:
		x.Source, x.Text = r, r.Seen
		x.citedBy(r.ID)
	default:
		x.observation()
	}
}

func filter[T any](list []T, keep func(T) bool) []T {
	var kept []T
	for _, t := range list {
		if keep(t) {
			kept = append(kept, t)
		}
	}
	return kept
}

// observations returns the ids that the symbols stand for, each once.
func (s *Set) observations(symbols []int) []string {
	var ids []string
	for _, i := range symbols {
		if id := s.symbols[i].Observation.ID; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// reads lists what is read, and for all but checks themselves the checks that take it.
func (x *explainer) reads(observations []string) {
	for _, id := range observations {
		if o, ok := x.set.Vocabulary.Lookup(id); ok {
			x.Questions = append(x.Questions, o)
		}
	}
	if x.Check == nil {
		x.Checks = filter(x.set.Checks, func(c *Check) bool { return meets(c.Observes, observations) })
	}
}

// meets reports whether two lists have an entry in common.
func meets(a, b []string) bool {
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}

// rivals lists the causes that make one of the same effects, those that share most first.
func (x *explainer) rivals(c *Cause) {
	for _, other := range x.set.Causes {
		var shared []Ref
		for _, l := range other.Makes {
			if slices.ContainsFunc(c.Makes, func(m Link) bool { return m.To == l.To }) {
				ref, _ := x.set.ref(l.To)
				shared = append(shared, ref)
			}
		}
		if other != c && len(shared) > 0 {
			ref, _ := x.set.ref(other.ID)
			x.Rivals = append(x.Rivals, Rival{Ref: ref, Shared: shared, Tell: other.Tell})
		}
	}
	slices.SortStableFunc(x.Rivals, func(a, b Rival) int { return len(b.Shared) - len(a.Shared) })
}

// help lists what can be asked and done about a cause or effect: questions by the strongest chain that leads to a
// finding about them, checks by the best of their questions.
func (x *explainer) help(id string) {
	reach := x.graph.reach(id)
	strength := map[string]float64{}
	for _, r := range x.set.Rules {
		for _, o := range r.evidence {
			strength[o] = max(strength[o], reach[r.ID])
		}
	}
	strongest := func(ids []string) float64 {
		best := 0.0
		for _, o := range ids {
			best = max(best, strength[o])
		}
		return best
	}
	x.Questions = filter(x.set.Vocabulary.All(), func(o *symptoms.Observation) bool { return strength[o.ID] > 0 })
	slices.SortStableFunc(x.Questions, func(a, b *symptoms.Observation) int { return cmp.Compare(strength[b.ID], strength[a.ID]) })
	x.Checks = filter(x.set.Checks, func(c *Check) bool { return strongest(c.Observes) > 0 })
	slices.SortStableFunc(x.Checks, func(a, b *Check) int { return cmp.Compare(strongest(b.Observes), strongest(a.Observes)) })
	x.Repairs = filter(x.set.Repairs, func(r *Repair) bool { return cureOf(r, id) > 0 })
	slices.SortStableFunc(x.Repairs, func(a, b *Repair) int { return cmp.Compare(cureOf(b, id), cureOf(a, id)) })
}

// cureOf returns how reliably a repair cures a cause, 0 when it does not.
func cureOf(r *Repair, cause string) float64 {
	for _, l := range r.Cures {
		if l.To == cause {
			return l.Chance
		}
	}
	return 0
}

// tells lists the causes that have a chain to a finding which reads what the check takes.
func (x *explainer) tells(c *Check) {
	for _, cause := range x.set.Causes {
		reach := x.graph.reach(cause.ID)
		if slices.ContainsFunc(x.set.Rules, func(r *Rule) bool { return reach[r.ID] > 0 && meets(c.Observes, r.evidence) }) {
			x.cause(cause)
		}
	}
}

func (x *explainer) cause(c *Cause) {
	ref, _ := x.set.ref(c.ID)
	x.Causes = append(x.Causes, ref)
}

// first lists the checks and repairs that must come before an action.
func (x *explainer) first(ids []string) {
	for _, id := range ids {
		if c, ok := x.set.Check(id); ok {
			x.Checks = append(x.Checks, c)
		}
		if r, ok := x.set.Repair(id); ok {
			x.Repairs = append(x.Repairs, r)
		}
	}
}

// cures turns the cures of a repair into steps, although they are no causal links: a reader looks for them there.
func (x *explainer) cures(r *Repair) {
	for _, l := range r.Cures {
		to, _ := x.set.ref(l.To)
		x.Out = append(x.Out, Step{From: x.Ref, To: to, Link: l, Sentence: x.set.Sentence(r.ID, l), Cites: x.Cites})
	}
	for _, id := range r.Parts {
		if p, ok := x.set.Part(id); ok {
			x.Parts = append(x.Parts, p)
		}
	}
}

// citedBy lists the records that cite a source, so that a correction of the source finds what hangs on it.
func (x *explainer) citedBy(source string) {
	for _, h := range x.set.heads() {
		if slices.ContainsFunc(h.cites, func(c Cite) bool { return c.Source == source }) {
			x.Readers = append(x.Readers, Ref{h.kind, h.id, h.title})
		}
	}
}

// observation explains an entry of the vocabulary: the findings about it come out of it, other readers are listed.
func (x *explainer) observation() {
	o, _ := x.set.Vocabulary.Lookup(x.ID)
	x.Observation, x.Text = o, o.How
	x.models(slices.Concat(x.set.quantities([]string{o.ID}), x.set.Tells(o)), nil, nil)
	for _, r := range x.set.Evidence(o.ID) {
		x.Out = append(x.Out, x.steps(x.graph.in[r.ID])...)
	}
	for _, h := range x.set.heads() {
		if r, ok := x.set.Rule(h.id); ok && slices.Contains(r.evidence, o.ID) {
			continue
		}
		if slices.Contains(x.set.observations(conditionsOf(x.set.index[h.id])), o.ID) {
			x.Readers = append(x.Readers, Ref{h.kind, h.id, h.title})
		}
	}
	x.Checks = filter(x.set.Checks, func(c *Check) bool { return slices.Contains(c.Observes, o.ID) })
	for _, c := range x.set.Causes {
		if slices.ContainsFunc(c.Prior.Odds, func(h HistoryFactor) bool { return h.History == o.ID }) {
			x.cause(c)
		}
	}
	for _, c := range o.Cites {
		x.Cites = append(x.Cites, x.set.citable([]Cite{Cite(c)})...)
	}
}

// conditionsOf returns the symbols that the conditions of a record read.
func conditionsOf(rec record) []int {
	var reads []int
	switch r := rec.(type) {
	case *Cause:
		if r.Exists != nil {
			reads = append(reads, r.Exists.Reads()...)
		}
	case *Rule:
		if r.Given != nil {
			reads = append(reads, r.Given.Reads()...)
		}
		reads = append(reads, r.When.Reads()...)
	case *Stop:
		reads = append(reads, r.When.Reads()...)
	}
	return reads
}

// gather collects cautions and sources.
func (x *explainer) gather() {
	caution := func(text string) {
		if text != "" && !slices.Contains(x.Cautions, text) {
			x.Cautions = append(x.Cautions, text)
		}
	}
	switch {
	case x.Stop != nil:
		caution(x.Stop.Caution)
	case x.Check != nil:
		caution(x.Check.Caution)
	case x.Repair != nil:
		caution(x.Repair.Caution)
	case x.Observation != nil:
		caution(x.Observation.Caution)
	}
	for _, c := range x.Checks {
		caution(c.Caution)
	}
	for _, r := range x.Repairs {
		caution(r.Caution)
	}
	cited := slices.Clone(x.Cites)
	for _, step := range slices.Concat(x.In, x.Out) {
		cited = append(cited, step.Cites...)
	}
	x.Sources = x.set.bibliography(cited)
}
