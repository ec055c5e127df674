package rules

import (
	"slices"
	"strings"
	"unicode"

	"diagnose.example/symptoms"
)

// sources finds sources that are never cited, that are there twice, or that are missing, and claims that rest on memory.
func (l *linter) sources() {
	cited := map[string]bool{}
	for _, h := range l.set.heads() {
		for _, c := range h.cites {
			cited[c.Source] = true
		}
		if len(h.cites) > 0 && !slices.ContainsFunc(h.cites, func(c Cite) bool { return !l.remembered(c.Source) }) {
			l.say(h.pos, h.id, "look it up, or cite common-practice if the trade does it so", "rests on memory alone")
		}
	}
	for _, o := range l.set.Vocabulary.All() {
		for _, c := range o.Cites {
			cited[c.Source] = true
			if _, ok := l.set.Source(c.Source); !ok {
				l.say(symptoms.Position{}, o.ID, "add the source to a pack, or correct the vocabulary", "the vocabulary cites the unknown source %q", c.Source)
			}
		}
	}
	spelled := map[string]*Source{}
	for _, s := range l.set.Sources {
		if !cited[s.ID] {
			l.say(s.Pos, s.ID, "cite it or take it out", "this source is never cited")
		}
		for _, key := range []string{"id " + squeeze(s.ID), "title " + squeeze(s.Title) + " " + squeeze(s.By)} {
			if twin, ok := spelled[key]; ok && twin != s {
				l.say(s.Pos, s.ID, "keep one of them, and say in `at` which part is meant", "looks like the source %s, spelled another way", twin.ID)
				break
			}
			spelled[key] = s
		}
	}
}

// remembered is true of memory itself and of publications that were not looked up.
func (l *linter) remembered(source string) bool {
	s, ok := l.set.Source(source)
	return ok && s.Kind == Remembered
}

// squeeze drops what two spellings of one name differ in: case, spaces, punctuation and the article.
func squeeze(s string) string {
	s = strings.TrimPrefix(strings.ToLower(s), "the ")
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, s)
}
