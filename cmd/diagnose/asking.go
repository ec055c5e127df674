package main

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"diagnose.example/engine"
	"diagnose.example/engine/interview"
	"diagnose.example/symptoms"
)

// heading says where the technician stands in a group of questions.
func heading(g interview.Group) string {
	return map[interview.Group]string{
		interview.Machine:   "The machine",
		interview.Complaint: "The complaint",
		interview.History:   "What went before",
		interview.Rider:     "To the rider",
		interview.LookOver:  "At the machine, engine off: fresh air, no flame, no spark",
		interview.Running:   "Engine running, outdoors: carbon monoxide kills indoors",
		interview.Bench:     "On the bench, tap shut: catch the petrol, eyes and skin covered",
	}[g]
}

// ask prints a question with all that belongs to it.
func (d *dialogue) ask(q *interview.Question) error {
	fmt.Fprintln(d.app.out)
	if !d.begun || q.Group != d.group {
		if err := d.enter(q.Group); err != nil {
			return err
		}
	}
	if q.For != nil {
		d.say("", first(q.Observation))
	}
	d.say("", d.worded(q))
	if !q.Again {
		d.handOn(q)
		d.choices(q)
	}
	if hint := d.hint(q); hint != "" {
		d.say("  ", hint)
	}
	return nil
}

// enter says where the technician goes now, and what is thought so far.
func (d *dialogue) enter(g interview.Group) error {
	before, begun := d.group, d.begun
	d.begun, d.group = true, g
	d.say("-- ", heading(g))
	if !begun || g <= interview.Rider {
		return nil
	}
	if g == interview.Bench && before < interview.Running && len(d.shown) > 0 {
		d.say("", "A stop notice stands, so nothing is asked of the running engine.")
	}
	diagnosis, err := d.talk.Standing()
	if err != nil {
		return err
	}
	const leading = 3
	d.say("", "So far:")
	d.rank(diagnosis, leading)
	fmt.Fprintln(d.app.out)
	return nil
}

// first says why a fact is asked in between.
func first(fact *symptoms.Observation) string {
	if strings.HasPrefix(fact.ID, "spec.") {
		return "First, to compare with:"
	}
	return "First, how it is built:"
}

// short prints only what is asked, once more.
func (d *dialogue) short(q *interview.Question) { d.say("", d.worded(q)) }

// worded is the question with its place.
func (d *dialogue) worded(q *interview.Question) string {
	switch {
	case q.Pooled:
		return strings.NewReplacer("this carburetor", "a carburetor", "this cylinder", "a cylinder").Replace(q.Text) + " Which one?"
	case q.Place != "" && q.Again:
		return placeName(q) + "?"
	case q.Place != "":
		if strings.Contains(q.Text, ":") {
			return placeName(q) + ". " + q.Text
		}
		return placeName(q) + ": " + lowerFirst(q.Text)
	}
	return q.Text
}

// placeName calls a place by its name, and says what it is where the name is a number.
func placeName(q *interview.Question) string {
	if _, err := strconv.Atoi(q.Place); err == nil {
		return upperFirst(q.Observation.About.String()) + " " + q.Place
	}
	return upperFirst(q.Place)
}

// inOrder lists the places of a question as they stand on the machine.
func inOrder(sheet *symptoms.Sheet, q *interview.Question) []string {
	var out []string
	for _, p := range sheet.Machine.Places(q.Observation.About) {
		for _, open := range q.Places {
			if p == open {
				out = append(out, p)
			}
		}
	}
	return out
}

// handOn says how to look and what can hurt, where a hand is needed.
func (d *dialogue) handOn(q *interview.Question) {
	if q.Observation == nil || q.Observation.Where != symptoms.Observed {
		return
	}
	if q.Observation.Who != symptoms.Rider || q.How != "" {
		if q.How != "" {
			d.say("  ", q.How)
		}
		var facts []string
		if q.Observation.Who != symptoms.Rider && q.Minutes > 1 {
			facts = append(facts, fmt.Sprintf("%g minutes", q.Minutes))
		}
		facts = append(facts, q.Tools...)
		if len(facts) > 0 {
			d.say("  ", "("+strings.Join(facts, "; ")+")")
		}
	}
	if q.Caution != "" {
		d.say("  ! ", "Caution: "+q.Caution)
	}
}

// choices prints the answers with their numbers.
func (d *dialogue) choices(q *interview.Question) {
	widest := 0
	for _, c := range q.Choices {
		if c.Means != "" {
			widest = max(widest, utf8.RuneCountInString(c.Word))
		}
	}
	for i, c := range q.Choices {
		lead := fmt.Sprintf("%3d ", i+1)
		if c.Means == "" {
			d.say(lead, c.Word)
			continue
		}
		d.say(lead+c.Word+strings.Repeat(" ", widest-utf8.RuneCountInString(c.Word)+2), c.Means)
	}
}

// hint says what can be typed, where the question does not.
func (d *dialogue) hint(q *interview.Question) string {
	switch {
	case q.Default != "":
		return "[" + q.Default + "]"
	case q.Observation == nil && q.Several:
		return "Numbers, such as 1 4, or words; nothing of it: none."
	case q.Observation == nil:
		return ""
	case q.Again:
		return ""
	case q.Observation.Kind == symptoms.Number:
		o := q.Observation.In(d.settings.units)
		limits := " from " + number(o.Range[0]) + " to " + number(o.Range[1])
		return "(" + strings.TrimSpace(o.Unit+limits) + ")"
	case q.Pooled:
		return "(no; " + strings.Join(inOrder(d.talk.Sheet(), q), "; ") + "; yes, if nobody knows which)"
	case q.Observation.Kind == symptoms.YesNo:
		return "(yes, no)"
	}
	return ""
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); next >= 'A' && next <= 'Z' {
		return s // an abbreviation
	}
	return strings.ToLower(string(r)) + s[n:]
}

// why explains the question: what each answer would mean for the causes.
func (d *dialogue) why(q *interview.Question) error {
	reasons, err := d.talk.Why()
	if err != nil {
		return err
	}
	for _, s := range reasons.Stops {
		d.say("  ", "A stop notice hangs on it: "+s+".")
	}
	switch {
	case q.For != nil:
		d.say("  ", "The next question says nothing without it: "+q.For.Question)
	case q.Build:
		d.say("  ", "One of the likely causes is possible only on one of these constructions: see so far.")
	case q.Group == interview.Machine:
		d.say("  ", "It says which carburetors there are to ask about, and which faults this machine can have at all.")
	case q.Group == interview.Complaint:
		d.say("  ", "What it does narrows the causes down before anybody looks. What you do not name is not taken for \"no\".")
	case q.Group == interview.History:
		d.say("  ", "It changes how common each cause is: after a rebuild, mistakes of assembly; after storage, dried fuel.")
	case reasons.Question == nil:
		d.say("  ", "Nothing can be worked out for it yet.")
	default:
		d.foretell(q, reasons.Question)
	}
	d.handOn(q)
	d.short(q)
	return nil
}

// foretell says what each answer would make of the ranking.
func (d *dialogue) foretell(q *interview.Question, w *engine.Wanted) {
	if w.Estimated {
		d.say("  ", "How it is read depends on how the machine is built, which is not on the sheet.")
		return
	}
	for _, a := range w.Answers {
		d.say("  ", fmt.Sprintf("If %s (%s to be expected):", a.Text, percent(a.Probability)))
		for _, c := range a.Top {
			d.say(fmt.Sprintf("  %9s ", percent(c.Anywhere)), c.Title)
		}
	}
	gain := fmt.Sprintf("%.2f bits of doubt about the causes less", w.Gain)
	if q.Safety || q.Again {
		d.say("  ", upperFirst(gain)+".")
		return
	}
	d.say("  ", "Of all that can be asked here it tells most for its time: "+gain+".")
}
