package interview

import (
	"diagnose.example/symptoms"
)

// Question is what is asked next.
type Question struct {
	Group Group
	// First says that the group begins with it.
	First bool
	// Text is the question in plain words.
	Text string
	// Observation is nil for the machine's name, the complaint and the history.
	Observation *symptoms.Observation
	// Place is where it is asked, Places all the places where the same is still open, Place first. Both empty: about the machine.
	Place  string
	Places []string
	// Pooled asks for all places at once, since the rider may not know which it is.
	Pooled bool
	// Choices are the answers by number; Several says that more than one can be given.
	Choices []Choice
	Several bool
	// Default is the answer of an empty line; "" means that an empty line is "don't know".
	Default string
	// Again says that the same was asked just before at another place, so that how to do it need not be repeated.
	Again bool
	// For is set when it is asked only so that another question means something; Build when it says whether the machine can have one
	// of the likely causes.
	For   *symptoms.Observation
	Build bool
	// Safety says that it decides a stop notice, and is asked whatever else it tells.
	Safety bool
	// Gain is in bits, Minutes what it takes.
	Gain, Minutes float64
	// How and Caution are for questions that need a hand on the bike.
	How, Caution string
	Tools        []string

	kind kind
}

// Choice is an answer that can be given by its number.
type Choice struct {
	// Word is what stands on the sheet, Means what a person sees who should choose it.
	Word, Means string

	// entry is what a complaint writes.
	entry symptoms.Entry
}

// kind says how an answer is read.
type kind uint8

const (
	observation kind = iota // also a fact of the machine
	name
	cylinders
	carburetors
	complaint
	history
)

// Next returns the question to ask, the same until it is answered; nil when the talk is at its end.
func (t *Talk) Next() (*Question, error) {
	if t.asked {
		return t.next, nil
	}
	for t.now.group < Done {
		q, err := t.inGroup()
		if err != nil {
			return nil, err
		}
		if q != nil {
			q.Group, q.First = t.now.group, t.now.inGroup == 0
			t.next, t.asked = q, true
			return q, nil
		}
		t.enter(t.now.group + 1)
	}
	t.next, t.asked = nil, true
	return nil, nil
}

func (t *Talk) inGroup() (*Question, error) {
	switch t.now.group {
	case Machine:
		return t.aboutMachine()
	case Complaint:
		return t.aboutComplaint(), nil
	case History:
		return t.aboutHistory()
	}
	return t.telling()
}

// about makes the question for an observation or fact.
func (t *Talk) about(o *symptoms.Observation, place string) *Question {
	q := &Question{Text: o.Question, Observation: o, Place: place, Minutes: o.Minutes, How: o.How, Caution: o.Caution, Tools: o.Tools}
	if o.Kind == symptoms.Choice {
		q.Several = o.Several
		for _, w := range o.Words {
			q.Choices = append(q.Choices, Choice{Word: w.Word, Means: w.Means})
		}
	}
	if q.How == "" || q.Caution == "" {
		t.fromCheck(q)
	}
	return q
}

// fromCheck fills in how, caution and tools from a check that takes the observation, where the vocabulary has none.
func (t *Talk) fromCheck(q *Question) {
	if q.Observation.Where != symptoms.Observed || q.Observation.Who == symptoms.Rider {
		return
	}
	for _, c := range t.set.Checks {
		for _, id := range c.Observes {
			if id != q.Observation.ID {
				continue
			}
			if q.How == "" {
				q.How = c.How
			}
			if q.Caution == "" {
				q.Caution = c.Caution
			}
			if len(q.Tools) == 0 {
				q.Tools = c.Tools
			}
			return
		}
	}
}
