package symptoms

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// ErrUnknown is returned by ParseValue for the answer "unknown": nobody looked.
var ErrUnknown = errors.New("unknown: nobody looked")

// A ValueError says why an answer does not fit its question.
type ValueError struct {
	// Message says what is wrong, Hint what to write instead.
	Message, Hint string
}

// Error returns the message and the hint.
func (e *ValueError) Error() string {
	if e.Hint == "" {
		return e.Message
	}
	return e.Message + "; " + e.Hint
}

func refuse(hint, format string, args ...any) error {
	return &ValueError{Message: fmt.Sprintf(format, args...), Hint: hint}
}

// ParseValue reads one answer to an observation: yes or no; a word, or several with
// commas between where several can hold; a number with unit, uncertainty or bounds; or
// the word of a band in place of a number. An answer that does not fit gives a
// *ValueError, "unknown" gives ErrUnknown.
//
// A number with ± keeps the figure behind it as its standard uncertainty. That is the
// cautious reading: as the limits of a flat distribution it would give only 0.58 of it
// (JCGM 100:2008, 4.3.7, cited from memory).
func ParseValue(o *Observation, text string) (Value, error) {
	text = strings.TrimSpace(text)
	switch strings.ToLower(text) {
	case "":
		return Value{}, refuse("write unknown where nobody looked", "there is no answer to %s", o.ID)
	case "unknown":
		return Value{}, ErrUnknown
	}
	switch o.Kind {
	case YesNo:
		return parseYesNo(o, text)
	case Choice:
		return parseWords(o, text)
	}
	return parseNumber(o, text)
}

func parseYesNo(o *Observation, text string) (Value, error) {
	yes, ok := readBool(text)
	if !ok {
		return Value{}, refuse("write yes or no", "%s is answered by yes or no, not %q", o.ID, short(text))
	}
	return Value{Yes: yes, Text: text}, nil
}

// readBool takes what YAML 1.1 reads as a truth value: people write on and off, and
// other YAML programs may have read and rewritten the file.
func readBool(text string) (yes, ok bool) {
	switch strings.ToLower(text) {
	case "yes", "true", "y", "on":
		return true, true
	case "no", "false", "n", "off":
		return false, true
	}
	return false, false
}

func parseWords(o *Observation, text string) (Value, error) {
	list := []string{text}
	if o.Several {
		list = strings.Split(text, ",")
	}
	v, err := wordsValue(o, list)
	v.Text = text
	return v, err
}

// wordsValue checks the words of a choice and puts them into the vocabulary's order.
func wordsValue(o *Observation, list []string) (Value, error) {
	held := make([]bool, len(o.Words))
	for _, w := range list {
		i, err := findWord(o, w)
		if err != nil {
			return Value{}, err
		}
		if held[i] {
			return Value{}, refuse("write it once", "%q is given twice", o.Words[i].Word)
		}
		held[i] = true
	}
	var words []string
	for i, h := range held {
		if h {
			words = append(words, o.Words[i].Word)
		}
	}
	switch {
	case len(words) == 0:
		return Value{}, refuse(allowed(o), "the list is empty")
	case len(words) > 1 && !o.Several:
		return Value{}, refuse(fmt.Sprintf("of several, write the one that stands first here: %s", listed(wordList(o), "or")),
			"%s takes one word", o.ID)
	case len(words) > 1 && o.Normal != "" && slices.Contains(words, o.Normal):
		return Value{}, refuse(fmt.Sprintf("leave out %s or the others", o.Normal), "%s cannot hold together with other words", o.Normal)
	}
	return Value{Words: words, Text: strings.Join(words, ", ")}, nil
}

// findWord returns the index of a word; capitals, blanks and underscores do not count.
func findWord(o *Observation, word string) (int, error) {
	plain := plainSpelling(word)
	for i, w := range o.Words {
		if plainSpelling(w.Word) == plain {
			return i, nil
		}
	}
	hint := allowed(o)
	if near := Nearest(word, wordList(o)); near != "" {
		hint = fmt.Sprintf("did you mean %s? %s", near, hint)
	}
	if yes, ok := readBool(plain); ok && !yes && o.Normal != "" {
		hint = fmt.Sprintf("if nothing is wrong, write %s; %s", o.Normal, hint)
	}
	return 0, refuse(hint, "%s does not know the word %q", o.ID, short(strings.TrimSpace(word)))
}

func wordList(o *Observation) []string {
	words := make([]string, len(o.Words))
	for i, w := range o.Words {
		words[i] = w.Word
	}
	return words
}

// allowed tells in a few words what an observation takes.
func allowed(o *Observation) string {
	switch {
	case o.Kind == YesNo:
		return "write yes or no"
	case o.Kind == Choice && o.Several:
		return "write one or several of " + listed(wordList(o), "and")
	case o.Kind == Choice:
		return "write " + listed(wordList(o), "or")
	}
	return "write a number " + span(o)
}

// span prints the plausible range: "from 3 to 45 mm".
func span(o *Observation) string {
	s := "from " + decimalText(o.Range[0]) + " to " + decimalText(o.Range[1])
	if o.Unit != "" {
		s += " " + o.Unit
	}
	return s
}

func decimalText(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
