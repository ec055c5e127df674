package rules

import (
	"strconv"

	"go.yaml.in/yaml/v3"

	"diagnose.example/symptoms"
)

// The fields of a pack and of its records, in their order.
var (
	packFields   = fields("pack text sources? causes? effects? rules? stops? checks? repairs? parts? access?")
	sourceFields = fields("id title by year? kind seen? section?")
	causeFields  = fields("id title text about system exists? prior makes? tell? cites")
	effectFields = fields("id title text? about makes? otherwise cites")
	ruleFields   = fields("id title about given? when seen_with otherwise why cites fires? silent?")
	stopFields   = fields("id title about when do caution? cites")
	checkFields  = fields("id title about observes how minutes tools? opens? swaps? caution? after? cites")
	repairFields = fields("id title about cures? parts? minutes opens? how caution? after? cites")
	partFields   = fields("id title text?")
	accessFields = fields("id title about minutes each? inside? when? cites")
	citeFields   = fields("source at? for")
)

// systems is the closed list of what a cause can belong to.
var systems = []string{
	"fuel-supply", "float", "idle", "main", "air", "starting-aid", "ignition", "mechanical", "exhaust", "operator",
}

// Systems returns the systems that a cause can belong to, in the order in which they are listed.
func Systems() []string { return append([]string(nil), systems...) }

// read adds the records of one pack to the set.
func (f *packFile) read() {
	top := f.parse()
	if top == nil {
		return
	}
	p := f.mapping(top, "the pack", "", packFields)
	if p == nil {
		return
	}
	pack := Pack{Name: p.text("pack"), Text: p.text("text"), Pos: f.position(top)}
	for _, other := range f.set.Packs {
		if pack.Name != "" && other.Name == pack.Name {
			p.fail(p.get("pack"), "give the pack a name of its own", "pack %q was read before, at %s", pack.Name, other.Pos)
		}
	}
	f.set.Packs = append(f.set.Packs, pack)
	s := f.set
	s.Sources = append(s.Sources, all(p, "sources", "a source", sourceFields, (*mapping).source)...)
	s.Causes = append(s.Causes, all(p, "causes", "a cause", causeFields, (*mapping).cause)...)
	s.Effects = append(s.Effects, all(p, "effects", "an effect", effectFields, (*mapping).effect)...)
	s.Rules = append(s.Rules, all(p, "rules", "a rule", ruleFields, (*mapping).rule)...)
	s.Stops = append(s.Stops, all(p, "stops", "a stop notice", stopFields, (*mapping).stop)...)
	s.Checks = append(s.Checks, all(p, "checks", "a check", checkFields, (*mapping).check)...)
	s.Repairs = append(s.Repairs, all(p, "repairs", "a repair", repairFields, (*mapping).repair)...)
	s.Parts = append(s.Parts, all(p, "parts", "a part", partFields, (*mapping).part)...)
	s.Access = append(s.Access, all(p, "access", "an access", accessFields, (*mapping).access)...)
}

// all reads the records in one list of a pack and enters each by its id.
func all[T record](p *mapping, name, what string, fs []field, read func(*mapping) T) []T {
	var list []T
	for _, n := range p.items(name) {
		r := p.mapping(n, what, "", fs)
		if r == nil {
			continue
		}
		t := read(r)
		list = append(list, t)
		r.define(t)
	}
	return list
}

// source wants to know of a publication what was seen of it: a citation is worth no more than that.
func (r *mapping) source() *Source {
	s := &Source{
		ID: r.text("id"), Title: r.line("title"), By: r.line("by"), Year: r.year(),
		Kind: SourceKind(r.oneOf("kind", []string{string(Published), string(Remembered)})),
		Seen: r.text("seen"), Section: r.text("section"), Pos: r.position(r.node),
	}
	if s.Kind == Published && s.Seen == "" {
		r.fail(r.node, "say in `seen` what of it was seen, or write kind: memory", "a published source without what was seen of it")
	}
	return s
}

// year may be left out, since many manuals do not state one and none is to be made up.
func (r *mapping) year() int {
	n := r.scalar("year")
	if n == nil {
		return 0
	}
	y, err := strconv.Atoi(n.Value)
	if err != nil || y < 1400 || y > 2200 {
		r.fail(n, "write the year of publication as a number", "year %q", n.Value)
	}
	return y
}

func (r *mapping) cause() *Cause {
	c := &Cause{
		ID: r.text("id"), Title: r.line("title"), Text: r.text("text"), About: r.about(),
		System: r.oneOf("system", systems), Pos: r.position(r.node),
	}
	c.Exists = r.condition("exists", c.About)
	c.Prior = r.prior()
	c.Makes = r.links("makes", effectsOnly)
	c.Tell = r.text("tell")
	c.Cites = r.cites()
	r.necessity(c.Cites)
	return c
}

func (r *mapping) effect() *Effect {
	e := &Effect{
		ID: r.text("id"), Title: r.line("title"), Text: r.text("text"), About: r.about(),
		Makes: r.links("makes", effectsOnly), Pos: r.position(r.node),
	}
	e.Otherwise, e.OtherwiseWord = r.otherwise()
	e.Cites = r.cites()
	r.necessity(e.Cites)
	return e
}

// rule works out the finding before the cases, so that what is wrong with it is noted even when they fail.
func (r *mapping) rule() *Rule {
	u := &Rule{ID: r.text("id"), Title: r.line("title"), About: r.about(), Pos: r.position(r.node)}
	u.Given = r.condition("given", u.About)
	u.When = r.condition("when", u.About)
	u.settle(r.set)
	u.SeenWith = r.links("seen_with", effectsAndCauses)
	u.Otherwise, u.OtherwiseWord = r.otherwise()
	u.Why = r.text("why")
	u.Cites = r.cites()
	u.Fires = r.examples("fires", u.About)
	u.Silent = r.examples("silent", u.About)
	r.necessity(u.Cites)
	r.finding(u)
	r.findings = append(r.findings, finding{rule: u, record: r})
	return u
}

func (r *mapping) stop() *Stop {
	s := &Stop{ID: r.text("id"), Title: r.line("title"), About: r.about(), Pos: r.position(r.node)}
	s.When = r.condition("when", s.About)
	s.Do, s.Caution, s.Cites = r.text("do"), r.text("caution"), r.cites()
	return s
}

// check may observe facts too: somebody may have to measure what the sheet does not say.
func (r *mapping) check() *Check {
	c := &Check{
		ID: r.text("id"), Title: r.line("title"), About: r.about(), Observes: r.texts("observes"), How: r.text("how"),
		Minutes: r.minutes("minutes"), Tools: r.texts("tools"), Opens: r.line("opens"), Swaps: r.line("swaps"), Caution: r.text("caution"), After: r.texts("after"), Pos: r.position(r.node),
	}
	for _, n := range r.items("observes") {
		if o, ok := r.set.Vocabulary.Lookup(n.Value); n.Kind == yaml.ScalarNode && (!ok || o.Where == symptoms.History) {
			r.unknown(n)
		}
	}
	r.refer("after", actions)
	c.Cites = r.cites()
	return c
}

func (r *mapping) repair() *Repair {
	p := &Repair{
		ID: r.text("id"), Title: r.line("title"), About: r.about(), Cures: r.links("cures", causesOnly),
		Parts: r.texts("parts"), Minutes: r.minutes("minutes"), Opens: r.line("opens"), How: r.text("how"),
		Caution: r.text("caution"), After: r.texts("after"), Pos: r.position(r.node),
	}
	r.refer("parts", partsOnly)
	r.refer("after", actions)
	p.Cites = r.cites()
	r.necessity(p.Cites)
	return p
}

func (r *mapping) part() *Part {
	return &Part{ID: r.text("id"), Title: r.line("title"), Text: r.text("text"), Pos: r.position(r.node)}
}

// access may stand inside another: a cylinder head is reached under the valve cover. When says on which machines it does; left
// out, on all.
func (r *mapping) access() *Access {
	a := &Access{
		ID: r.text("id"), Title: r.line("title"), About: r.about(), Minutes: r.minutes("minutes"), Each: r.minutes("each"),
		Inside: r.text("inside"), Pos: r.position(r.node),
	}
	if n := r.get("inside"); n != nil {
		r.references = append(r.references, reference{record: r, field: "inside", node: n, want: accessOnly})
	}
	a.When = r.condition("when", symptoms.WholeMachine)
	a.Cites = r.cites()
	return a
}
