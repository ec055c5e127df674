package rules

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Load reads packs over a vocabulary. The error is an [ErrorList] with every mistake in every pack; the set is nil then.
// A record may refer to records of any pack.
func Load(v *symptoms.Vocabulary, files []File) (*Set, error) {
	s, err := newSet(v)
	if err != nil {
		return nil, err
	}
	return s.add(files)
}

// Overlay reads packs on top of those that come with the program: a shop's own causes, rules, checks or repairs, which may refer to
// any record that [Default] has. They add to the knowledge and cannot change what is there: an id that is taken is an error.
func Overlay(files []File) (*Set, error) {
	s, err := Default()
	if err != nil {
		return nil, err
	}
	return s.add(files)
}

// add reads packs into a set that nobody else has yet.
func (s *Set) add(files []File) (*Set, error) {
	l := &loader{set: s, defined: map[string]symptoms.Position{}}
	for _, h := range s.heads() {
		l.defined[h.id] = h.pos
	}
	for _, src := range s.Sources {
		l.defined[src.ID] = src.Pos
	}
	for _, r := range s.Rules {
		l.findings = append(l.findings, finding{rule: r})
	}
	for _, f := range files {
		p := &packFile{loader: l, name: f.Name, data: f.Data}
		p.read()
	}
	l.resolve()
	l.cycles()
	l.readTwice()
	if err := l.errs.err(files); err != nil {
		return nil, err
	}
	return s, nil
}

// newSet returns a set without records but for the two sources that are always there.
func newSet(v *symptoms.Vocabulary) (*Set, error) {
	if v == nil {
		return nil, errors.New("no vocabulary")
	}
	env, err := BuildEnv(v)
	if err != nil {
		return nil, err
	}
	s := &Set{Vocabulary: v, Env: env, index: map[string]record{
		CommonPractice: &Source{ID: CommonPractice, Title: "common practice", Kind: Practice},
		Memory:         &Source{ID: Memory, Title: "from memory", Kind: Remembered},
	}}
	s.symbols, _ = environment(v)
	if err := s.compileNumbers(); err != nil {
		return nil, err
	}
	return s, nil
}

// loader collects what can only be checked when all packs have been read.
type loader struct {
	set        *Set
	errs       ErrorList
	defined    map[string]symptoms.Position
	references []reference
	findings   []finding
}

// reference is the mention of a record by id.
type reference struct {
	record *mapping
	field  string
	node   *yaml.Node
	want   wanted
}

// finding is a rule with the record that it was read from; nil for a rule that was in the set before.
type finding struct {
	rule   *Rule
	record *mapping
}

// wanted says which kinds of record a reference may lead to.
type wanted struct {
	what string
	ok   func(record) bool
}

var (
	effectsOnly      = wanted{"effect", isA[*Effect]}
	causesOnly       = wanted{"cause", isA[*Cause]}
	partsOnly        = wanted{"part", isA[*Part]}
	accessOnly       = wanted{"access", isA[*Access]}
	sourcesOnly      = wanted{"source", isA[*Source]}
	effectsAndCauses = wanted{"effect or cause", func(r record) bool { return isA[*Effect](r) || isA[*Cause](r) }}
	actions          = wanted{"check or repair", func(r record) bool { return isA[*Check](r) || isA[*Repair](r) }}
)

func isA[T record](r record) bool {
	_, ok := r.(T)
	return ok
}

// define enters a record by its id.
func (r *mapping) define(rec record) {
	n := r.get("id")
	if n == nil || r.id == "" {
		return
	}
	if hint := badID(r.id, isA[*Source](rec)); hint != "" {
		r.fail(n, hint, "id %q", r.id)
	}
	if at, ok := r.defined[r.id]; ok {
		r.fail(n, "every id is used once, in all packs together", "id %q is taken, at %s", r.id, at)
		return
	}
	if _, ok := r.set.index[r.id]; ok {
		r.fail(n, "choose another", "id %q is reserved", r.id)
		return
	}
	if _, ok := r.set.Vocabulary.Lookup(r.id); ok {
		r.fail(n, "choose another", "id %q is an entry of the vocabulary", r.id)
		return
	}
	r.defined[r.id] = r.position(n)
	r.set.index[r.id] = rec
}

// badID says what is wrong with the form of an id. Only sources may have digits, since manuals have numbers.
func badID(id string, source bool) string {
	for _, part := range strings.Split(id, "-") {
		if part == "" || strings.Trim(part, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return "write lower-case words with hyphens"
		}
		if !source && strings.ContainsAny(part, "0123456789") {
			return "write words, without digits"
		}
	}
	return ""
}

// refer notes that the entries of a list are ids.
func (r *mapping) refer(name string, want wanted) {
	for _, n := range r.items(name) {
		if n.Kind == yaml.ScalarNode {
			r.references = append(r.references, reference{record: r, field: name, node: n, want: want})
		}
	}
}

// resolve looks up what the records refer to. A wrong kind of record is told apart from an unknown id: the mistakes differ.
func (l *loader) resolve() {
	for _, ref := range l.references {
		id := ref.node.Value
		rec, ok := l.set.index[id]
		if ok && ref.want.ok(rec) {
			continue
		}
		if ok {
			ref.record.fail(ref.node, "name "+article(ref.want.what), "%q is %s", id, article(rec.head().kind))
			continue
		}
		hint := fmt.Sprintf("write the id of %s that is there, or add one", article(ref.want.what))
		if near := symptoms.Nearest(id, l.ids(ref.want)); near != "" {
			hint = fmt.Sprintf("write %q", near)
		}
		ref.record.fail(ref.node, hint, "unknown %s %q", ref.want.what, id)
	}
}

// ids returns the sorted ids of the wanted kinds.
func (l *loader) ids(want wanted) []string {
	var ids []string
	for id, rec := range l.set.index {
		if want.ok(rec) {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// cycles notes every chain of effects, of steps that must come first, and of accesses inside each other, that leads back to its start.
func (l *loader) cycles() {
	next := map[string][]string{}
	for _, e := range l.set.Effects {
		for _, m := range e.Makes {
			next[e.ID] = append(next[e.ID], m.To)
		}
	}
	for _, c := range l.set.Checks {
		next[c.ID] = c.After
	}
	for _, r := range l.set.Repairs {
		next[r.ID] = r.After
	}
	for _, a := range l.set.Access {
		if a.Inside != "" {
			next[a.ID] = []string{a.Inside}
		}
	}
	state := map[string]int{} // 1 on the path, 2 done
	var path []string
	var visit func(id string)
	visit = func(id string) {
		state[id] = 1
		path = append(path, id)
		for _, to := range next[id] {
			switch state[to] {
			case 0:
				visit(to)
			case 1:
				loop := append(slices.Clone(path[slices.Index(path, to):]), to)
				l.loop(id, to, l.linkField(id), strings.Join(loop, " -> "))
			}
		}
		path = path[:len(path)-1]
		state[id] = 2
	}
	for _, ref := range l.references { // in file order, and only where something is referred to
		if id := ref.record.id; state[id] == 0 {
			visit(id)
		}
	}
}

// linkField is the field in which a record names the next of its chain.
func (l *loader) linkField(id string) string {
	if _, ok := l.set.Effect(id); ok {
		return "makes"
	}
	if _, ok := l.set.AccessTo(id); ok {
		return "inside"
	}
	return "after"
}

// loop notes a cycle at the reference that closes it.
func (l *loader) loop(from, to, name, chain string) {
	for _, ref := range l.references {
		if ref.record.id == from && ref.field == name && ref.node.Value == to {
			ref.record.fail(ref.node, "take one of the links out", "%q leads back to its start: %s", name, chain)
			return
		}
	}
}

// condition compiles the condition in a field and checks what it reads.
func (r *mapping) condition(name string, about symptoms.Level) *condition.Condition {
	n := r.scalar(name)
	if n == nil {
		return nil
	}
	c, err := r.set.Env.Compile(n.Value)
	if err != nil {
		r.conditionError(n, err)
		return nil
	}
	for _, i := range c.Reads() {
		r.reading(n, name, r.set.symbols[i], about)
	}
	return c
}

// conditionError turns the position in a condition into the one in the file.
func (r *mapping) conditionError(n *yaml.Node, err error) {
	var fault *condition.Error
	if !errors.As(err, &fault) {
		r.fail(n, "", "%v", err)
		return
	}
	offset, lines := 0, strings.Split(n.Value, "\n")
	for i := 0; i < fault.Line-1 && i < len(lines); i++ {
		offset += len([]rune(lines[i])) + 1
	}
	r.failIn(n, offset+max(fault.Column-1, 0), fault.Hint, "%s", fault.Message)
}

// reading checks that a condition may read an observation where it does.
func (r *mapping) reading(n *yaml.Node, name string, y Symbol, about symptoms.Level) {
	o := y.Observation
	symbol := o.ID
	if y.Band {
		symbol = bandPrefix + o.ID
	}
	at := strings.Index(n.Value, symbol)
	offset := len([]rune(n.Value[:max(at, 0)]))
	switch {
	case o.About > about:
		r.failIn(n, offset, fmt.Sprintf("make %s about %s, or read something about %s", r.the(), levelName(o.About), levelName(about)),
			"%q is about %s, %s about %s", o.ID, levelName(o.About), r.the(), levelName(about))
	case name == "exists" && o.Where != symptoms.Fact:
		r.failIn(n, offset, "only facts about the machine say whether a cause can be there", "%q is an observation", o.ID)
	case name != "when" || r.what != "a rule" || o.Where != symptoms.Observed:
	case o.About != about:
		r.failIn(n, offset, "put it under given, or make the rule about "+levelName(o.About),
			"%q is about %s and would count once for every %s", o.ID, levelName(o.About), about)
	case len(o.Bands) > 0 && !y.Band:
		r.failIn(n, offset, fmt.Sprintf("write %s%s == %q", bandPrefix, o.ID, o.Words[0].Word),
			"the number %q is evidence and has bands", o.ID)
	}
}

// unknown notes a name that is no observation, fact or spec value.
func (r *mapping) unknown(n *yaml.Node) {
	if _, ok := r.set.Vocabulary.Lookup(n.Value); ok {
		r.fail(n, "history changes priors, it is not observed; leave it out", "%q is a history word", n.Value)
		return
	}
	hint := "write the id of an observation of the vocabulary"
	if near := r.set.Vocabulary.Nearest(n.Value); near != "" {
		hint = fmt.Sprintf("write %q", near)
	}
	r.fail(n, hint, "unknown observation %q", n.Value)
}

// the turns "a rule" into "the rule".
func (r *mapping) the() string {
	_, noun, _ := strings.Cut(r.what, " ")
	return "the " + noun
}

func levelName(l symptoms.Level) string {
	if l == symptoms.WholeMachine {
		return "the machine"
	}
	return "a " + l.String()
}

// history returns the history words of the vocabulary.
func (r *mapping) history() []string {
	var words []string
	for _, o := range r.set.Vocabulary.All() {
		if o.Where == symptoms.History {
			words = append(words, o.ID)
		}
	}
	return words
}
