package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"diagnose.example/symptoms"
)

// observe takes the answer to an observation or a fact.
func (t *Talk) observe(q *Question, text string) ([]symptoms.Entry, error) {
	if q.Observation.Where == symptoms.Fact {
		return t.atOnce(q, "machine", text)
	}
	if len(q.Places) == 0 {
		return t.atOnce(q, "observed", text)
	}
	if q.Pooled {
		if entries, ok, err := t.forAll(q, text); ok || err != nil {
			if err != nil {
				return nil, err
			}
			return t.step(q, entries, nil)
		}
	}
	entries, err := t.atPlaces(q, text)
	if err != nil {
		return nil, err
	}
	return t.step(q, entries, nil)
}

func (t *Talk) atOnce(q *Question, section, text string) ([]symptoms.Entry, error) {
	answer, err := t.value(q.Observation, text)
	if err != nil {
		return nil, err
	}
	return t.step(q, []symptoms.Entry{{Section: section, ID: q.Observation.ID, Answer: answer}}, nil)
}

// forAll reads an answer for all places at once: the normal one holds at each of them, any other somewhere, and the name of a place says
// where a thing is so; ok is false when it is no such answer.
func (t *Talk) forAll(q *Question, text string) (entries []symptoms.Entry, ok bool, err error) {
	id := q.Observation.ID
	if text == "" {
		return []symptoms.Entry{{Section: "somewhere", ID: id, Answer: unknown}}, true, nil
	}
	if q.Observation.Kind == symptoms.YesNo {
		var named []symptoms.Entry
		for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' }) {
			if place, ok := placeOf(q.Places, part); ok {
				named = append(named, symptoms.Entry{Section: "at", Place: place, ID: id, Answer: abnormal(q.Observation)})
			} else {
				named = nil
				break
			}
		}
		if len(named) > 0 {
			return named, true, nil
		}
	}
	if _, _, spread := t.spread(q, text); spread {
		return nil, false, nil
	}
	answer, err := t.value(q.Observation, text)
	var refused *Refused
	if errors.As(err, &refused) && q.Observation.Kind == symptoms.YesNo {
		places := strings.Join(q.Places, " or ")
		return nil, false, &Refused{fmt.Sprintf("%q is neither yes nor no nor a place", text), "write no, or " + places + ", or yes if nobody knows which"}
	}
	if err != nil {
		return nil, false, err
	}
	section := "somewhere"
	if v, err := symptoms.ParseValue(q.Observation, answer); err == nil && isNormal(q.Observation, v) {
		section = "every"
	}
	return []symptoms.Entry{{Section: section, ID: id, Answer: answer}}, true, nil
}

func abnormal(o *symptoms.Observation) string {
	if o.Normal == "yes" {
		return "no"
	}
	return "yes"
}

// atPlaces reads an answer for one place or several: "tan", "all tan", "right sooty", "left tan, right sooty".
func (t *Talk) atPlaces(q *Question, text string) ([]symptoms.Entry, error) {
	places, answers, spread := t.spread(q, text)
	if !spread {
		places, answers = []string{q.Place}, []string{text}
	}
	var out []symptoms.Entry
	for i, place := range places {
		answer, err := t.value(q.Observation, answers[i])
		if err != nil {
			return nil, err
		}
		out = append(out, symptoms.Entry{Section: "at", Place: place, ID: q.Observation.ID, Answer: answer})
	}
	return out, nil
}

// spread takes an answer apart that names its places; false when it names none.
func (t *Talk) spread(q *Question, text string) (places, answers []string, ok bool) {
	first, rest, _ := strings.Cut(text, " ")
	if slices.Contains([]string{"all", "each", "both", "every"}, strings.ToLower(first)) && rest != "" {
		for _, p := range q.Places {
			places, answers = append(places, p), append(answers, strings.TrimSpace(rest))
		}
		return places, answers, true
	}
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		name, answer, found := strings.Cut(strings.TrimSpace(part), " ")
		place, known := placeOf(q.Places, strings.TrimSuffix(name, ":"))
		if !found || !known || slices.Contains(places, place) {
			return nil, nil, false
		}
		places, answers = append(places, place), append(answers, strings.TrimSpace(answer))
	}
	return places, answers, len(places) > 0
}

// placeOf finds a place by its name or an unmistakable beginning of it. A number is a place only when it is the whole name.
func placeOf(places []string, word string) (string, bool) {
	var found []string
	for _, p := range places {
		if strings.EqualFold(p, word) {
			return p, true
		}
		if word != "" && strings.HasPrefix(strings.ToLower(p), strings.ToLower(word)) && !strings.ContainsAny(word, "0123456789") {
			found = append(found, p)
		}
	}
	if len(found) == 1 {
		return found[0], true
	}
	return "", false
}

// value reads one answer and returns it as it is written on the sheet: words in full, numbers as given.
func (t *Talk) value(o *symptoms.Observation, text string) (string, error) {
	text = strings.TrimSpace(text)
	if text == "" || isDontKnow(text) {
		return unknown, nil
	}
	answer := text
	switch o.Kind {
	case symptoms.YesNo:
		answer = yesOrNo(text)
	case symptoms.Choice:
		if yesOrNo(text) == "no" && answeredByNo(o) {
			return o.Normal, nil
		}
		// Either may be the beginning of a word, as of none, but is hardly meant so.
		switch hint := fmt.Sprintf("write a number from 1 to %d, or the beginning of an answer", len(o.Words)); yesOrNo(text) {
		case "yes":
			return "", &Refused{fmt.Sprintf("%q does not say which", text), hint}
		case "no":
			return "", &Refused{fmt.Sprintf("%q is none of the answers", text), hint + "; nobody looked: an empty line"}
		}
		chosen, err := pick(choicesOf(o), text)
		if err != nil {
			return "", err
		}
		if len(chosen) > 1 && !o.Several {
			return "", &Refused{"this is answered by one word", "of several, write the one that stands first in the list"}
		}
		answer = wordsOf(chosen)
	case symptoms.Number:
		answer = t.number(o, text)
	}
	_, err := symptoms.ParseValue(o, answer)
	if errors.Is(err, symptoms.ErrUnknown) {
		return unknown, nil
	}
	if err != nil {
		return "", refusedValue(o, err)
	}
	return answer, nil
}

// refusedValue is the vocabulary's refusal in the words of a talk, where the observation's id means nothing.
func refusedValue(o *symptoms.Observation, err error) error {
	var refused *symptoms.ValueError
	if !errors.As(err, &refused) {
		return err
	}
	message := refused.Message
	if rest, ok := strings.CutPrefix(message, o.ID+": "); ok {
		message = rest
	} else if rest, ok := strings.CutPrefix(message, o.ID+" "); ok {
		message = "this " + rest
	}
	return &Refused{message, refused.Hint}
}

// answeredByNo reports whether the question to a choice can be answered by a plain no, as in "Is there fuel under it?".
func answeredByNo(o *symptoms.Observation) bool {
	first, _, _ := strings.Cut(o.Question, " ")
	return o.Normal != "" && slices.Contains([]string{"Is", "Are", "Can", "Does", "Do", "Has", "Have"}, first)
}

func choicesOf(o *symptoms.Observation) []Choice {
	var out []Choice
	for _, w := range o.Words {
		out = append(out, Choice{Word: w.Word, Means: w.Means})
	}
	return out
}

func wordsOf(chosen []Choice) string {
	var words []string
	for _, c := range chosen {
		words = append(words, c.Word)
	}
	return strings.Join(words, ", ")
}

func yesOrNo(text string) string {
	switch strings.ToLower(text) {
	case "y", "ye", "yes":
		return "yes"
	case "n", "no":
		return "no"
	}
	return text
}

// number completes the beginning of a band's word, and puts the unit that was shown behind a bare number.
func (t *Talk) number(o *symptoms.Observation, text string) string {
	if !strings.ContainsAny(text, "0123456789") {
		if c, err := pickOne(choicesOf(o), text); err == nil {
			return c.Word
		}
		return text
	}
	shown := o.In(t.options.Units)
	if shown.Unit != o.Unit && !strings.ContainsFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.,-/ ", r) }) {
		return text + " " + shown.Unit
	}
	return text
}
