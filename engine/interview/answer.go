package interview

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"diagnose.example/symptoms"
)

// Answer reads what was typed as the answer to the question of Next, and writes it on the sheet. It returns the entries as they stand
// there now. An answer that does not fit gives a *Refused, and the question stands.
//
// An empty line, ?, unknown or "don't know" says that nobody knows (an empty line the default, where the question has one); a word may be given by its number or by
// as many letters as make it unmistakable. Where the same is asked at several places, "all tan" answers for each that is still open,
// "right sooty" for that one, and "left tan, right sooty" for both.
func (t *Talk) Answer(text string) ([]symptoms.Entry, error) {
	q, err := t.Next()
	if err != nil {
		return nil, err
	}
	if q == nil {
		return nil, errors.New("there is no question to answer")
	}
	text = strings.TrimSpace(text)
	if text == "" {
		text = q.Default
	}
	if isDontKnow(text) {
		text = ""
	}
	switch q.kind {
	case observation:
		return t.observe(q, text)
	case complaint:
		return t.complain(q, text)
	case history:
		return nil, t.wentBefore(q, text)
	}
	return t.describe(q, text)
}

// step writes entries and moves on; what is unknown is left.
func (t *Talk) step(q *Question, entries []symptoms.Entry, also func(*symptoms.Draft)) ([]symptoms.Entry, error) {
	if err := t.change(func(d *symptoms.Draft) {
		for _, e := range entries {
			d.Set(e)
		}
		if also != nil {
			also(d)
		}
	}); err != nil {
		return nil, err
	}
	t.now.left = cloneLeft(t.now.left)
	for _, e := range entries {
		if e.Answer == unknown {
			t.leave(e.ID, e.Place)
		}
	}
	t.now.inGroup++
	if q.Observation != nil && q.Observation.Where == symptoms.Observed {
		t.now.last = Spot{q.Observation, q.Place}
	}
	return entries, nil
}

const unknown = "unknown"

// isDontKnow reports whether an answer says that nobody knows; unknown is the word for it on the sheet.
func isDontKnow(text string) bool {
	return slices.Contains([]string{"?", unknown, "don't-know", "don’t-know", "dont-know"}, spelled(text))
}

func cloneLeft(left map[string]bool) map[string]bool {
	out := make(map[string]bool, len(left)+1)
	for k, v := range left {
		out[k] = v
	}
	return out
}

// forget moves on without writing anything.
func (t *Talk) forget(q *Question, id string) ([]symptoms.Entry, error) {
	out, err := t.step(q, nil, nil)
	if err == nil {
		t.leave(id, "")
	}
	return out, err
}

// describe takes what is said of the machine: its name, its cylinders, its carburetors.
func (t *Talk) describe(q *Question, text string) ([]symptoms.Entry, error) {
	if text == "" {
		return t.forget(q, map[kind]string{name: "name", cylinders: "cylinders", carburetors: "carburetors"}[q.kind])
	}
	switch q.kind {
	case name:
		return t.step(q, []symptoms.Entry{{Section: "machine", ID: "name", Answer: text}}, nil)
	case cylinders:
		if n, err := strconv.Atoi(text); err != nil || n < 1 || n > symptoms.MaxCylinders {
			return nil, &Refused{fmt.Sprintf("%q is no number of cylinders", text), fmt.Sprintf("write a number from 1 to %d", symptoms.MaxCylinders)}
		}
		return t.step(q, []symptoms.Entry{{Section: "machine", ID: "cylinders", Answer: text}}, nil)
	}
	if _, err := strconv.Atoi(text); err == nil {
		return t.step(q, []symptoms.Entry{{Section: "machine", ID: "carburetors", Answer: text}}, nil)
	}
	var names []string
	for _, n := range strings.Split(text, ",") {
		names = append(names, strings.TrimSpace(n))
	}
	if len(names) == 1 {
		names = strings.Fields(text)
	}
	_, err := t.step(q, nil, func(d *symptoms.Draft) { d.SetNames("carburetors", names) })
	return []symptoms.Entry{{Section: "machine", ID: "carburetors", Answer: strings.Join(names, ", ")}}, err
}

// complain writes each of the complaints that were chosen.
func (t *Talk) complain(q *Question, text string) ([]symptoms.Entry, error) {
	if text == "" {
		return t.forget(q, "complaint")
	}
	chosen, err := pick(q.Choices, text)
	if err != nil {
		return nil, err
	}
	var out []symptoms.Entry
	for _, c := range chosen {
		if i := slices.IndexFunc(out, func(e symptoms.Entry) bool { return e.ID == c.entry.ID }); i >= 0 && out[i].Answer != c.entry.Answer {
			return nil, &Refused{fmt.Sprintf("of %s and %s only one can be so", out[i].Answer, c.entry.Answer), "give the worse of the two"}
		}
		out = append(out, c.entry)
	}
	return t.step(q, out, nil)
}

func (t *Talk) wentBefore(q *Question, text string) error {
	words := []string{}
	switch strings.ToLower(text) {
	case "":
		words = []string{unknown}
	case "no", "none", "nothing":
	default:
		chosen, err := pick(q.Choices, text)
		if err != nil {
			return err
		}
		for _, c := range chosen {
			words = append(words, c.Word)
		}
		if err := excluded(words); err != nil {
			return err
		}
	}
	_, err := t.step(q, nil, func(d *symptoms.Draft) { d.SetHistory(words) })
	return err
}

// pick reads several choices: numbers with blanks or commas between, or words and parts of words with commas.
func pick(choices []Choice, text string) ([]Choice, error) {
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	if !strings.ContainsFunc(text, func(r rune) bool { return r != ' ' && r != ',' && (r < '0' || r > '9') }) {
		parts = strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' })
	}
	var out []Choice
	for _, part := range parts {
		c, err := pickOne(choices, strings.TrimSpace(part))
		if err != nil {
			return nil, err
		}
		if !slices.ContainsFunc(out, func(x Choice) bool { return x.Word == c.Word }) {
			out = append(out, c)
		}
	}
	return out, nil
}

// pickOne finds a choice by its number, its word, the beginning of its word, or words that all occur in it.
func pickOne(choices []Choice, part string) (Choice, error) {
	if n, err := strconv.Atoi(part); err == nil {
		if n < 1 || n > len(choices) {
			return Choice{}, &Refused{fmt.Sprintf("there is no answer %d", n), fmt.Sprintf("write a number from 1 to %d", len(choices))}
		}
		return choices[n-1], nil
	}
	word := spelled(part)
	for _, fits := range []func(Choice) bool{
		func(c Choice) bool { return spelled(c.Word) == word },
		func(c Choice) bool { return strings.HasPrefix(spelled(c.Word), word) },
		func(c Choice) bool { return strings.EqualFold(initials(c.Word), part) },
		func(c Choice) bool { return c.has(part) },
	} {
		var found []string
		var last Choice
		for _, c := range choices {
			if fits(c) {
				found, last = append(found, c.Word), c
			}
		}
		switch {
		case len(found) == 1:
			return last, nil
		case len(found) > 1:
			return Choice{}, &Refused{fmt.Sprintf("%q may be %s", part, quotedList(found)), "write a little more of it, or its number"}
		}
	}
	return Choice{}, unknownWord(choices, part)
}

// initials are the first letters of a word of several parts, as people say CV; "" for one of a single part.
func initials(word string) string {
	parts := strings.FieldsFunc(word, func(r rune) bool { return r == '-' || r == '_' || r == ' ' })
	if len(parts) < 2 {
		return ""
	}
	out := ""
	for _, p := range parts {
		out += p[:1]
	}
	return out
}

// has reports whether each word of a text begins a word of the choice, or of the observation that a complaint is written under.
func (c Choice) has(text string) bool {
	split := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" _-,.;", r) })
	}
	own := split(c.Word + " " + c.entry.ID + " " + c.entry.Answer)
	for _, w := range split(text) {
		if !slices.ContainsFunc(own, func(o string) bool {
			return strings.HasPrefix(o, w) || len(w) > 3 && strings.HasPrefix(w, o) && len(o) > 3
		}) {
			return false
		}
	}
	return true
}

// quotedList joins words with "or", and none of the third and later ones if there are many.
func quotedList(words []string) string {
	const shown = 3
	if len(words) > shown {
		words = append(slices.Clone(words[:shown]), fmt.Sprintf("one of %d more", len(words)-shown))
	}
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = w
		if strings.Contains(w, " ") && !strings.HasPrefix(w, "one of ") {
			out[i] = strconv.Quote(w)
		}
	}
	return strings.Join(out, " or ")
}

func unknownWord(choices []Choice, part string) error {
	var words []string
	for _, c := range choices {
		words = append(words, c.Word)
	}
	hint := fmt.Sprintf("write a number from 1 to %d, or the beginning of an answer; anything else: note TEXT", len(choices))
	if near := symptoms.Nearest(part, words); near != "" {
		hint = fmt.Sprintf("did you mean %s? Otherwise %s", near, hint)
	}
	return &Refused{fmt.Sprintf("%q is none of the answers", part), hint}
}

// spelled drops what does not count in a word: capitals, and what stands between its parts.
func spelled(s string) string {
	return strings.NewReplacer("_", "-", " ", "-").Replace(strings.ToLower(strings.TrimSpace(s)))
}
