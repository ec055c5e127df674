package interview

import (
	"fmt"
	"slices"
	"strconv"

	"diagnose.example/symptoms"
)

// machineFacts are asked before anything else, since they say which places and which causes there are. All other facts
// are asked when a question needs them.
func machineFacts() []string {
	return []string{"name", "strokes", "cylinders", "carburetors", "carburetor_kind", "tap_kind"}
}

// aboutMachine asks for the first of the facts that is not on the sheet.
func (t *Talk) aboutMachine() (*Question, error) {
	d, err := t.draft()
	if err != nil {
		return nil, err
	}
	entries := d.Entries()
	for _, id := range machineFacts() {
		told := slices.ContainsFunc(entries, func(e symptoms.Entry) bool { return e.Section == "machine" && e.ID == id })
		if told || t.isLeft(id, "") || id == "carburetors" && (len(t.sheet.Machine.Cylinders) == 1 || t.named()) {
			continue
		}
		switch id {
		case "name":
			return &Question{Text: "What machine is it? In your own words, such as: parallel twin, 360 cm3", kind: name}, nil
		case "cylinders", "carburetors":
			return t.aboutNumber(id), nil
		}
		o, ok := t.set.Vocabulary.Lookup(id)
		if !ok {
			continue
		}
		q := t.about(o, "")
		if id == "strokes" {
			q.Default = "4"
		}
		return q, nil
	}
	return nil, nil
}

// named reports whether the sheet says what the carburetors are called.
func (t *Talk) named() bool {
	m := &t.sheet.Machine
	return len(m.Carburetors) > 1 || slices.ContainsFunc(m.Facts, func(r symptoms.Reading) bool {
		return r.Observation.ID == "carburetors" && r.Pos.Line > 0
	})
}

func (t *Talk) aboutNumber(id string) *Question {
	o, _ := t.set.Vocabulary.Lookup(id)
	if id == "cylinders" {
		return &Question{Text: "How many cylinders?", Observation: o, Default: "1", kind: cylinders}
	}
	n := len(t.sheet.Machine.Cylinders)
	q := &Question{Text: "How many carburetors, or what are they called, in order from the left?", Observation: o, Default: strconv.Itoa(n), kind: carburetors}
	if n == 2 {
		q.Default = "left, right"
	}
	return q
}

// aboutComplaint is the opening question: what does it do?
func (t *Talk) aboutComplaint() *Question {
	choices := t.complaints()
	for _, c := range choices {
		if t.sheet.Says(is(c.entry.ID)) {
			return nil // somebody told already
		}
	}
	if t.isLeft("complaint", "") || len(choices) == 0 {
		return nil
	}
	return &Question{Text: "What does it do? Give all that fit, the worst first.", Choices: choices, Several: true, kind: complaint}
}

// complaints are the commonest of what riders say, in the words of the rules that hear it: what is wrong with the whole machine and on
// the blank sheet too. That it runs badly comes last, for those who cannot say more.
func (t *Talk) complaints() []Choice {
	var out, last []Choice
	for _, o := range t.set.Vocabulary.All() {
		if o.Where != symptoms.Observed || o.Who != symptoms.Rider || o.About != symptoms.WholeMachine || !o.Common {
			continue
		}
		for _, c := range t.complaintsOf(o) {
			if o.ID == "runs_badly" {
				last = append(last, c)
				continue
			}
			out = append(out, c)
		}
	}
	return append(out, last...)
}

// complaintsOf returns the abnormal answers to an observation, each with the title of the rule that reads it as evidence.
func (t *Talk) complaintsOf(o *symptoms.Observation) []Choice {
	words := []string{"yes", "no"}
	if o.Kind == symptoms.Choice {
		words = nil
		for _, w := range o.Words {
			words = append(words, w.Word)
		}
	}
	var out []Choice
	for i, word := range words {
		for _, r := range t.set.Evidence(o.ID) {
			bit := i
			if o.Kind == symptoms.YesNo {
				bit = 1 - i
			}
			if word != o.Normal && r.Simple && r.Finding.Words>>bit&1 == 1 {
				out = append(out, Choice{Word: shorten(r.Title), entry: symptoms.Entry{Section: "observed", ID: o.ID, Answer: word}})
				break
			}
		}
	}
	return out
}

// aboutHistory asks for all history words at once.
func (t *Talk) aboutHistory() (*Question, error) {
	d, err := t.draft()
	if err != nil || d.HasHistory() || t.isLeft("history", "") {
		return nil, err
	}
	q := &Question{Text: "What went before, and how did it come? Give all that are so.", Several: true, kind: history}
	for _, o := range t.set.Vocabulary.All() {
		if o.Where == symptoms.History {
			q.Choices = append(q.Choices, Choice{Word: o.ID, Means: o.Question})
		}
	}
	return q, nil
}

// shorten takes the words off a title that a rider need not be told.
func shorten(title string) string {
	for _, tail := range []string{", the rider says"} {
		if n := len(title) - len(tail); n > 0 && title[n:] == tail {
			return title[:n]
		}
	}
	return title
}

// excluded lists pairs of history words that cannot both be so.
func excluded(words []string) error {
	for _, pair := range [][2]string{{"came-on-suddenly", "came-on-gradually"}} {
		if slices.Contains(words, pair[0]) && slices.Contains(words, pair[1]) {
			return &Refused{fmt.Sprintf("%s and %s exclude each other", pair[0], pair[1]), "give one of the two"}
		}
	}
	return nil
}
