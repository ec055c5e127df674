package simulate

import (
	"fmt"
	"slices"
	"strings"

	"diagnose.example/symptoms"
)

// Told is one thing that goes on a sheet. Place is empty for the whole machine.
type Told struct {
	Observation, Place string
	// Somewhere says that the place is not told: the word that stands first in masking order at any place is told as seen
	// somewhere, and where all places are normal that is told of every one.
	Somewhere bool
}

// Sheet writes an intake sheet: the machine, the history, and the answers to what is told. What has no answer is left out, and
// what is told twice stands once.
func (b *Bike) Sheet(told []Told) []byte {
	var s strings.Builder
	s.WriteString(strings.TrimRight(b.model.machine.Text, "\n") + "\n")
	if len(b.History) > 0 {
		fmt.Fprintf(&s, "history: [%s]\n", strings.Join(b.History, ", "))
	}
	l := &lines{at: map[string][]string{}, seen: map[string]bool{}}
	for _, t := range told {
		b.write(l, t)
	}
	l.print(&s, "observed", l.observed)
	l.print(&s, "every", l.every)
	l.print(&s, "somewhere", l.somewhere)
	b.printPlaces(&s, l)
	return []byte(s.String())
}

// lines collects what goes below each heading of a sheet.
type lines struct {
	observed, every, somewhere []string
	at                         map[string][]string
	seen                       map[string]bool
}

func (l *lines) print(s *strings.Builder, heading string, entries []string) {
	if len(entries) == 0 {
		return
	}
	fmt.Fprintf(s, "%s:\n", heading)
	for _, e := range entries {
		fmt.Fprintf(s, "  %s\n", e)
	}
}

func (b *Bike) printPlaces(s *strings.Builder, l *lines) {
	heading := "at:\n"
	for _, p := range b.model.places[1:] {
		if len(l.at[p.name]) == 0 {
			continue
		}
		fmt.Fprintf(s, "%s  %q:\n", heading, p.name)
		heading = ""
		for _, e := range l.at[p.name] {
			fmt.Fprintf(s, "    %s\n", e)
		}
		delete(l.at, p.name) // a carburetor and its cylinder may have one name
	}
}

func (b *Bike) write(l *lines, t Told) {
	o, ok := b.model.set.Vocabulary.Lookup(t.Observation)
	if !ok {
		return
	}
	if t.Somewhere && len(b.model.placesAt(o.About)) > 1 {
		b.writeSomewhere(l, o)
		return
	}
	i, ok := b.question(t.Observation, t.Place)
	if !ok || !b.answered()[i].ok {
		return
	}
	name := b.model.places[b.model.questions[i].place].name
	if l.seen[o.ID+" "+name] || l.seen[o.ID] {
		return
	}
	l.seen[o.ID+" "+name] = true
	entry := entryOf(o, b.answered()[i].text)
	if o.About == symptoms.WholeMachine {
		l.observed = append(l.observed, entry)
		return
	}
	l.at[name] = append(l.at[name], entry)
}

// writeSomewhere says of an observation what can be said without knowing the place.
func (b *Bike) writeSomewhere(l *lines, o *symptoms.Observation) {
	if l.seen[o.ID] {
		return
	}
	first := answer{}
	for _, p := range b.model.placesAt(o.About) {
		a := b.answered()[b.model.index[key{o.ID, p}]]
		if l.seen[o.ID+" "+b.model.places[p].name] {
			return
		}
		if a.ok && a.abnormal && (!first.ok || a.shown < first.shown) {
			first = a
		}
	}
	l.seen[o.ID] = true
	switch {
	case first.ok && o.Kind == symptoms.YesNo:
		l.somewhere = append(l.somewhere, o.ID+": "+first.text)
	case first.ok:
		l.somewhere = append(l.somewhere, o.ID+": "+o.Words[first.shown].Word)
	case o.Normal != "" && b.answered()[b.model.index[key{o.ID, b.model.placesAt(o.About)[0]}]].ok:
		l.every = append(l.every, o.ID+": "+o.Normal)
	}
}

func (m *Model) placesAt(level symptoms.Level) []int {
	var out []int
	for p := range m.places {
		if m.places[p].level == level {
			out = append(out, p)
		}
	}
	return out
}

func entryOf(o *symptoms.Observation, text string) string {
	if o.Several && strings.Contains(text, ",") {
		text = "[" + text + "]"
	}
	return o.ID + ": " + text
}

// Tell lists everything that these people can answer, in the order of the vocabulary; without any, everything.
func (b *Bike) Tell(who ...symptoms.Who) []Told {
	var out []Told
	for i, a := range b.answered() {
		if q := &b.model.questions[i]; a.ok && (len(who) == 0 || slices.Contains(who, q.observation.Who)) {
			out = append(out, b.told(i))
		}
	}
	return out
}

func (b *Bike) told(i int) Told {
	q := &b.model.questions[i]
	return Told{Observation: q.observation.ID, Place: b.model.places[q.place].name}
}

// ByLot lists n of the observations that these people can answer, drawn by lot without regard to the answers. What is about
// carburetors or cylinders is told without the place by a rider, and of all of them by everybody else.
func (b *Bike) ByLot(n int, who ...symptoms.Who) []Told {
	lot := source(b.Seed, "by lot")
	var ids []string
	for _, t := range b.Tell(who...) {
		if !slices.Contains(ids, t.Observation) {
			ids = append(ids, t.Observation)
		}
	}
	lot.Shuffle(len(ids), func(i, j int) { ids[i], ids[j] = ids[j], ids[i] })
	var out []Told
	for _, id := range ids[:min(n, len(ids))] {
		out = append(out, b.everywhere(id)...)
	}
	return out
}

func (b *Bike) everywhere(id string) []Told {
	o, _ := b.model.set.Vocabulary.Lookup(id)
	if o.Who == symptoms.Rider && o.About != symptoms.WholeMachine && o.Kind != symptoms.Number {
		return []Told{{Observation: id, Somewhere: true}}
	}
	var out []Told
	for _, p := range b.model.placesAt(o.About) {
		out = append(out, Told{Observation: id, Place: b.model.places[p].name})
	}
	return out
}

// Rider lists what a rider tells: three to five answers, what is wrong first and in any order, without the place where it is
// about carburetors or cylinders, and then some things that he found normal.
//
// What is told depends on the answers here. The diagnosis takes what is not told as not asked, and so finds a bike with a short
// list of complaints a little worse than it is. (That reports favour what is wrong is an observation of Q. Morris 2001,
// arXiv:1301.2295; abstract seen.)
func (b *Bike) Rider() []Told {
	lot := source(b.Seed, "rider")
	answers := 3 + lot.IntN(3)
	var wrong, fine []Told
	for _, t := range b.Tell(symptoms.Rider) {
		o, _ := b.model.set.Vocabulary.Lookup(t.Observation)
		abnormal := b.Abnormal(t.Observation, t.Place)
		if o.About != symptoms.WholeMachine {
			t = Told{Observation: t.Observation, Somewhere: true}
		}
		if abnormal && !slices.Contains(wrong, t) {
			wrong = append(wrong, t)
		}
		if !abnormal && o.Common {
			fine = append(fine, t)
		}
	}
	fine = slices.DeleteFunc(fine, func(t Told) bool { return slices.Contains(wrong, t) })
	lot.Shuffle(len(wrong), func(i, j int) { wrong[i], wrong[j] = wrong[j], wrong[i] })
	lot.Shuffle(len(fine), func(i, j int) { fine[i], fine[j] = fine[j], fine[i] })
	out := append(wrong, fine...)
	return out[:min(answers, len(out))]
}

// LookOver lists what the rider tells and what is seen on a walk round the bike: what is abnormal catches the eye more often than
// not, and six more questions are looked into whatever they show.
func (b *Bike) LookOver() []Told {
	lot := source(b.Seed, "look-over")
	out := b.Rider()
	for _, t := range b.Tell(symptoms.LookOver) {
		if catches := lot.Float64() < 0.7; catches && b.Abnormal(t.Observation, t.Place) {
			out = append(out, t)
		}
	}
	return append(out, b.ByLot(6, symptoms.LookOver)...)
}
