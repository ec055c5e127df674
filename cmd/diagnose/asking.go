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
func (d *dialogue) ask(q *interview.Question) {
	fmt.Fprintln(d.app.out)
	if !d.begun || q.Group != d.group {
		d.begun, d.group = true, q.Group
		d.say("-- ", heading(q.Group))
	}
	if q.For != nil {
		d.say("", "For what comes next:")
	}
	d.say("", d.worded(q))
	if !q.Again {
		d.handOn(q)
		d.choices(q)
	}
	if hint := d.hint(q); hint != "" {
		d.say("  ", hint)
	}
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
	case q.Group == interview.Machine:
		d.say("  ", "It says which carburetors there are to ask about, and which faults this machine can have at all.")
	case q.Group == interview.Complaint:
		d.say("  ", "What it does narrows the causes down before anybody looks. What you do not name is not taken for \"no\".")
	case q.Group == interview.History:
		d.say("  ", "It changes how common each cause is: after a rebuild, mistakes of assembly; after storage, dried fuel.")
	case reasons.Question == nil:
		d.say("  ", "Nothing can be worked out for it yet.")
	default:
		d.foretell(reasons.Question)
	}
	d.handOn(q)
	d.short(q)
	return nil
}

// foretell says what each answer would make of the ranking.
func (d *dialogue) foretell(w *engine.Wanted) {
	if w.Estimated {
		d.say("  ", "How it is read depends on how the machine is built, which is not on the sheet.")
		return
	}
	for _, a := range w.Answers {
		var causes []string
		for _, c := range a.Top {
			causes = append(causes, c.Title+" "+strings.TrimSpace(percent(c.Anywhere)))
		}
		d.say("  ", fmt.Sprintf("%s (%s to be expected): %s", upperFirst(a.Text), strings.TrimSpace(percent(a.Probability)), strings.Join(causes, "; ")))
	}
	d.say("  ", fmt.Sprintf("It is expected to take away %.2f bits of doubt about the causes.", w.Gain))
}
