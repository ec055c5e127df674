package rules

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"diagnose.example/symptoms"
)

// scalar returns the node of a field that must hold one value.
func (r *mapping) scalar(name string) *yaml.Node {
	n := r.get(name)
	if n != nil && n.Kind != yaml.ScalarNode {
		r.fail(n, "write one text", "field %q of %s is %s", name, r.what, describe(n))
		return nil
	}
	return n
}

// text returns a text without the line end that a block brings along.
func (r *mapping) text(name string) string {
	n := r.scalar(name)
	if n == nil {
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// line is a text without line breaks.
func (r *mapping) line(name string) string {
	s := r.text(name)
	if strings.Contains(s, "\n") {
		r.fail(r.get(name), "write it on one line", "field %q of %s has several lines", name, r.what)
	}
	return s
}

// oneOf returns a word of a closed list, or "" after noting that it is none.
func (r *mapping) oneOf(name string, words []string) string {
	n := r.scalar(name)
	if n == nil {
		return ""
	}
	for _, w := range words {
		if n.Value == w {
			return w
		}
	}
	r.fail(n, suggestion(n.Value, words), "unknown %s %q", name, n.Value)
	return ""
}

// about returns the machine for a wrong word: everything may read what is about the machine, so no further errors follow.
func (r *mapping) about() symptoms.Level {
	levels := []symptoms.Level{symptoms.WholeMachine, symptoms.Carburetor, symptoms.Cylinder}
	var words []string
	for _, l := range levels {
		words = append(words, l.String())
	}
	if i := slices.Index(words, r.oneOf("about", words)); i >= 0 {
		return levels[i]
	}
	return symptoms.WholeMachine
}

// items returns the entries of a list; nil when the field is absent or no list.
func (r *mapping) items(name string) []*yaml.Node {
	n := r.get(name)
	if n == nil {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		r.complain(n, "write a list", "field %q of %s is %s, not a list", name, r.what, describe(n))
		return nil
	}
	return n.Content
}

// complain is fail, once only per node: several readers look at the same list.
func (r *mapping) complain(n *yaml.Node, hint, format string, args ...any) {
	if n.Tag != nothing {
		r.fail(n, hint, format, args...)
		n.Tag = nothing
	}
}

// texts returns a list of texts.
func (r *mapping) texts(name string) []string {
	var list []string
	for _, n := range r.items(name) {
		if n.Kind != yaml.ScalarNode || empty(n) {
			r.fail(n, "write one text an entry", "an entry of %q is %s", name, describe(n))
			continue
		}
		if slices.Contains(list, n.Value) {
			r.fail(n, "keep one of them", "%q stands twice in %q", n.Value, name)
			continue
		}
		list = append(list, n.Value)
	}
	return list
}

// minutes refuses nought, which would make a check look free to whoever weighs it by its time, and more than a week of work.
func (r *mapping) minutes(name string) float64 {
	n := r.scalar(name)
	if n == nil {
		return 0
	}
	m, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || !(m > 0 && m <= 10000) {
		r.fail(n, "write the minutes as a number, for example 20", "%s %q", name, n.Value)
		return 0
	}
	return m
}

// pairs calls visit for each entry of a mapping of names to single values, each name once.
func (r *mapping) pairs(name string, visit func(key, val *yaml.Node)) {
	n := r.get(name)
	if n == nil {
		return
	}
	if n.Kind != yaml.MappingNode {
		r.fail(n, "write {name: value}", "field %q of %s is %s, not a mapping", name, r.what, describe(n))
		return
	}
	r.entries(n, name, func(key, val *yaml.Node) {
		if val.Kind != yaml.ScalarNode || empty(val) {
			r.fail(val, "write one value", "%q in %q is %s", key.Value, name, describe(val))
			return
		}
		visit(key, val)
	})
}

// entries calls visit for each entry of a mapping node, each key once.
func (r *mapping) entries(n *yaml.Node, name string, visit func(key, val *yaml.Node)) {
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		if seen[key.Value] {
			r.fail(key, "keep one of them", "%q stands twice in %q", key.Value, name)
			continue
		}
		seen[key.Value] = true
		visit(key, val)
	}
}

// prior reads the base and the history factors; the base may stand anywhere among them.
func (r *mapping) prior() Prior {
	var p Prior
	base := false
	r.pairs("prior", func(key, val *yaml.Node) {
		if key.Value == "base" {
			base = true
			b, err := ParseBase(val.Value)
			if err != nil {
				r.fail(val, "write for example 1 in 50", "base: %v", err)
			}
			p.Base = b
			return
		}
		o, ok := r.set.Vocabulary.Lookup(key.Value)
		if !ok || o.Where != symptoms.History {
			r.fail(key, suggestion(key.Value, append(r.history(), "base")), "unknown history word %q", key.Value)
			return
		}
		f, err := ParseFactor(val.Value)
		if err != nil {
			r.fail(val, "write x6 for six times the odds, x1/4 for a quarter", "%s: %v", key.Value, err)
			return
		}
		p.Odds = append(p.Odds, HistoryFactor{History: key.Value, Factor: f})
	})
	if n := r.get("prior"); n != nil && n.Kind == yaml.MappingNode && !base {
		r.fail(n, "write base: 1 in 50, say, as its first entry", "prior without base")
	}
	return p
}

// links keeps the order in which the links are written; the other ends are looked up when all packs have been read.
func (r *mapping) links(name string, want wanted) []Link {
	var ls []Link
	r.pairs(name, func(key, val *yaml.Node) {
		r.references = append(r.references, reference{record: r, field: name, node: key, want: want})
		l := Link{To: key.Value, Word: val.Value}
		l.Chance = r.likelihood(val)
		if l.Word == never {
			r.fail(val, "leave the link out", "a link that never acts")
		}
		ls = append(ls, l)
	})
	return ls
}

// likelihood reads a likelihood word and says what would have been one.
func (r *mapping) likelihood(n *yaml.Node) float64 {
	p, err := ParseLikelihood(n.Value)
	if err != nil {
		var words []string
		for _, l := range likelihoods {
			words = append(words, l.Word)
		}
		hint := "write for example 1 in 50"
		if !strings.HasPrefix(n.Value, "1 in") {
			hint = suggestion(n.Value, words) + " or 1 in N"
		}
		r.fail(n, hint, "%v", err)
	}
	return p
}

// otherwise reads a leak. For a rule it is never nought: then no set of answers, however odd, can contradict all causes.
func (r *mapping) otherwise() (float64, string) {
	n := r.scalar("otherwise")
	if n == nil {
		return 0, ""
	}
	p := r.likelihood(n)
	switch {
	case n.Value == certain:
		r.fail(n, "write how often it is there with nothing wrong", "otherwise: certain")
	case n.Value == never && r.what == "a rule":
		r.fail(n, "write how often it is seen all the same, for example 1 in 500", "otherwise: never")
	}
	return p, n.Value
}

// cites reads where the record's claims come from. What the trade does, and what somebody remembers, has no page.
func (r *mapping) cites() []Cite {
	var cs []Cite
	for _, n := range r.items("cites") {
		c := r.mapping(n, "a cite", r.id, citeFields)
		if c == nil {
			continue
		}
		cite := Cite{Source: c.text("source"), At: c.text("at"), For: c.text("for")}
		at := c.values["at"]
		switch {
		case cite.Source == "":
		case cite.Source == CommonPractice || cite.Source == Memory:
			if at != nil {
				c.fail(at, "leave `at` out", "%q has no place to point at", cite.Source)
			}
		default:
			r.references = append(r.references, reference{record: r, field: "source", node: c.get("source"), want: sourcesOnly})
			if at == nil {
				c.fail(n, "write `at` with the paragraph, page or table", "the cite does not say where in %q", cite.Source)
			}
		}
		cs = append(cs, cite)
	}
	return cs
}

// necessityPrefix opens the `for` of a cite that justifies the words certain and never.
const necessityPrefix = "physical necessity:"

// necessity checks that the words certain and never, which no later evidence can overrule, rest on a stated physical
// necessity.
func (r *mapping) necessity(cites []Cite) {
	for _, c := range cites {
		if strings.HasPrefix(c.For, necessityPrefix) && c.Source != Memory {
			return
		}
	}
	say := func(n *yaml.Node, word string) {
		if n.Value == word {
			r.fail(n, fmt.Sprintf("cite it with a `for` that begins with %q, or write a weaker word", necessityPrefix),
				"%q without a citation of a physical necessity", n.Value)
		}
	}
	for _, name := range []string{"makes", "seen_with", "cures"} {
		if n := r.get(name); n != nil && n.Kind == yaml.MappingNode {
			for i := 1; i < len(n.Content); i += 2 {
				say(n.Content[i], certain)
			}
		}
	}
	if n := r.get("otherwise"); n != nil && r.what != "a rule" {
		say(n, never)
	}
}

// examples reads cases. Whether they fire is asked later, by RunExamples; here their names and values must be good.
func (r *mapping) examples(name string, about symptoms.Level) []Example {
	var list []Example
	for _, n := range r.items(name) {
		if n.Kind != yaml.MappingNode || len(n.Content) == 0 {
			r.fail(n, "write {observation: value, ...}", "a case of %q is %s", name, describe(n))
			continue
		}
		e := Example{Pos: r.position(n)}
		r.entries(n, name, func(key, val *yaml.Node) {
			if v, ok := r.exampleValue(key, val, about); ok {
				e.Values = append(e.Values, v)
			}
		})
		list = append(list, e)
	}
	return list
}

// exampleValue checks a value against the vocabulary, as the decoder of an intake sheet would.
func (r *mapping) exampleValue(key, val *yaml.Node, about symptoms.Level) (ExampleValue, bool) {
	v := ExampleValue{Name: key.Value, Pos: r.position(val)}
	i, ok := r.set.Env.Index(key.Value)
	if !ok {
		r.unknown(key)
		return v, false
	}
	if o := r.set.symbols[i].Observation; o.About > about {
		r.fail(key, "leave it out", "%q is about %s, %s about %s", o.ID, levelName(o.About), r.the(), levelName(about))
		return v, false
	}
	parts := []*yaml.Node{val}
	if val.Kind == yaml.SequenceNode {
		parts = val.Content
	}
	for _, p := range parts {
		if p.Kind != yaml.ScalarNode || empty(p) {
			r.fail(p, "write a value as on a sheet", "the value of %q is %s", key.Value, describe(p))
			return v, false
		}
		v.Words = append(v.Words, p.Value)
	}
	if _, err := r.set.symbols[i].parse(v.Words); err != nil {
		var fault *symptoms.ValueError
		if errors.As(err, &fault) {
			r.fail(val, fault.Hint, "%s", fault.Message)
		} else {
			r.fail(val, "leave it out", "%s: %v", key.Value, err)
		}
		return v, false
	}
	return v, true
}
