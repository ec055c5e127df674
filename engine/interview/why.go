package interview

import (
	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

// Reasons say why a question is asked.
type Reasons struct {
	// Question is the one that is explained, with what each answer would mean; nil where none of that can be worked out.
	Question *engine.Wanted
	// Reads are the causes or rules that a fact is needed for, as ids of the observation it serves.
	For *symptoms.Observation
	// Stops are the titles of the stop notices that hang on it.
	Stops []string
}

// Why explains the question of Next.
func (t *Talk) Why() (*Reasons, error) {
	q, err := t.Next()
	if err != nil || q == nil {
		return nil, err
	}
	out := &Reasons{For: q.For}
	if q.Observation == nil || q.Observation.Where != symptoms.Observed {
		return out, nil
	}
	for _, s := range t.set.Stops {
		for _, i := range s.When.Reads() {
			if t.set.Symbol(i).Observation == q.Observation {
				out.Stops = append(out.Stops, s.Title)
				break
			}
		}
	}
	asked, err := t.ask(engine.AskOptions{Most: 1, Detail: engine.Everything, Weight: func(o *symptoms.Observation, p engine.Place) float64 {
		if o == q.Observation && (p.Name == q.Place || q.Place == "") {
			return 1
		}
		return 0
	}})
	if err != nil {
		return nil, err
	}
	if len(asked.Questions) > 0 {
		out.Question = &asked.Questions[0]
	}
	return out, nil
}
