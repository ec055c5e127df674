package rules

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"diagnose.example/symptoms"
)

// Sentence prints a link as a sentence, from the id of the record that holds it:
//
//	when the float leaks, almost always the float rides low (0.95)         cause or effect
//	when the fuel level is too high, this is seen almost always (0.95)     rule
//	when the float leaks, this cures it almost always (0.95)               repair
func (s *Set) Sentence(from string, l Link) string {
	to := clause(s.title(l.To))
	switch s.index[from].(type) {
	case *Rule:
		return "when " + to + ", this is seen " + howOften(l.Word, l.Chance)
	case *Repair:
		return "when " + to + ", this cures it " + howOften(l.Word, l.Chance)
	}
	return "when " + clause(s.title(from)) + ", " + adverb(l.Word) + " " + to + number(l.Word, l.Chance)
}

// RuleSentence prints a rule's links as one sentence: "when the fuel level is too high, this is seen almost always (0.95); with nothing
// wrong, seldom (0.15)".
func (s *Set) RuleSentence(r *Rule) string {
	var parts []string
	for _, l := range r.SeenWith {
		parts = append(parts, s.Sentence(r.ID, l))
	}
	return strings.Join(append(parts, "with nothing wrong, "+howOften(r.OtherwiseWord, r.Otherwise)), "; ")
}

// OtherwiseSentence prints how often an effect is there all the same: "with nothing that makes it, hardly ever (0.02)".
func (s *Set) OtherwiseSentence(e *Effect) string {
	return "with nothing that makes it, " + howOften(e.OtherwiseWord, e.Otherwise)
}

// PriorSentence prints a prior: "present on about 1 in 50 bikes that come in; 6 times likelier after rebuild".
func (s *Set) PriorSentence(c *Cause) string {
	of := map[symptoms.Level]string{
		symptoms.WholeMachine: "on about %s bikes",
		symptoms.Carburetor:   "in about %s carburetors of bikes",
		symptoms.Cylinder:     "in about %s cylinders of bikes",
	}[c.About]
	share := "1 in " + strconv.FormatFloat(math.Round(1/c.Prior.Base*10)/10, 'f', -1, 64)
	text := "present " + strings.Replace(of, "%s", share, 1) + " that come in"
	for _, o := range c.Prior.Odds {
		times, how := o.Factor, "likelier"
		if times < 1 {
			times, how = 1/times, "rarer"
		}
		text += "; " + strconv.FormatFloat(math.Round(times*100)/100, 'f', -1, 64) + " times " + how + " " + circumstance(o.History)
	}
	return text
}

// circumstance turns a history word into the end of a sentence: "after rebuild", "when it came on suddenly".
func circumstance(history string) string {
	text := strings.ReplaceAll(history, "-", " ")
	switch first, _, _ := strings.Cut(text, " "); first {
	case "after", "in", "on", "since", "before", "with", "without", "during":
		return text
	}
	return "when it " + text
}

// title returns the title of a record, or its id when there is none.
func (s *Set) title(id string) string {
	if ref, ok := s.ref(id); ok && ref.Title != "" {
		return ref.Title
	}
	return id
}

// clause makes a title fit for the inside of a sentence. A first word with a capital further on, or of one letter and
// a hyphen, is a name and stays as it is.
func clause(title string) string {
	title = strings.TrimSuffix(title, ".")
	r, n := utf8.DecodeRuneInString(title)
	next, _ := utf8.DecodeRuneInString(title[n:])
	if r == 'A' && next == ' ' || unicode.IsLower(next) {
		return string(unicode.ToLower(r)) + title[n:]
	}
	return title
}

func howOften(word string, p float64) string { return adverb(word) + number(word, p) }

// adverb makes a likelihood word fit for a sentence.
func adverb(word string) string {
	if n, ok := strings.CutPrefix(word, "1 in "); ok {
		return "1 time in " + n
	}
	if word == certain {
		return "always"
	}
	return word
}

// number is the probability in brackets, for words that do not name it themselves.
func number(word string, p float64) string {
	if strings.HasPrefix(word, "1 in ") || word == certain || word == never {
		return ""
	}
	return " (" + strconv.FormatFloat(p, 'g', 3, 64) + ")"
}
