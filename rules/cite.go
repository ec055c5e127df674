package rules

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"diagnose.example/symptoms"
)

// Reserved source ids.
const (
	// CommonPractice is the source of what the trade does without anybody having to publish it.
	CommonPractice = "common-practice"
	// Memory is the source of what is believed to be right but was not looked up. It is never shown as a source.
	Memory = "memory"
)

// SourceKind says what a source is worth.
type SourceKind string

// The kinds of source.
const (
	Published  SourceKind = "published"
	Practice   SourceKind = "common practice" // only the reserved source
	Remembered SourceKind = "memory"
)

// Source is something that can be cited.
type Source struct {
	ID, Title, By string
	// Year of publication; 0 for the reserved sources.
	Year int
	Kind SourceKind
	// Seen says what of the source was seen; Section narrows down which part of it is used.
	Seen, Section string
	Pos           symptoms.Position
}

// Cite says where a claim comes from.
type Cite struct {
	// Source is the id of a source.
	Source string
	// At is the paragraph, page or table; empty for the reserved sources.
	At string
	// For is what the source supports.
	For string
}

// String returns the source as a line of a bibliography: author, title, year, section.
func (s *Source) String() string {
	if s.Kind == Practice {
		return s.Title
	}
	parts := []string{}
	for _, p := range []string{s.By, s.Title} {
		if p != "" {
			parts = append(parts, strings.TrimSuffix(p, "."))
		}
	}
	if s.Year != 0 {
		parts = append(parts, strconv.Itoa(s.Year))
	}
	if s.Section != "" {
		parts = append(parts, s.Section)
	}
	return strings.Join(parts, ", ")
}

// CiteText returns a cite as it stands after a statement, "US War Department, Motorcycle, Solo (1943), par. 31g" or "common practice".
// It is empty for what is from memory, which is never shown as a source.
func (s *Set) CiteText(c Cite) string {
	src, ok := s.Source(c.Source)
	if !ok || src.Kind == Remembered {
		return ""
	}
	if src.Kind == Practice {
		return src.Title
	}
	text := src.Title
	if src.By != "" {
		text = src.By + ", " + text
	}
	if src.Year != 0 {
		text += " (" + strconv.Itoa(src.Year) + ")"
	}
	if c.At != "" {
		text += ", " + c.At
	}
	return text
}

// citable leaves out what is from memory.
func (s *Set) citable(cites []Cite) []Cite {
	return filter(cites, func(c Cite) bool { return s.CiteText(c) != "" })
}

// Bibliography returns the published sources that the named records cite, sorted by author, title and year, each once.
// Unknown ids are passed over. Without ids it covers the whole set.
func (s *Set) Bibliography(ids ...string) []*Source {
	var cites []Cite
	for _, id := range ids {
		cites = append(cites, s.head(id).cites...)
	}
	if len(ids) == 0 {
		for _, h := range s.heads() {
			cites = append(cites, h.cites...)
		}
	}
	return s.bibliography(cites)
}

// bibliography leaves out common practice, which is no publication, and whatever is from memory.
func (s *Set) bibliography(cites []Cite) []*Source {
	used := map[string]bool{}
	for _, c := range cites {
		used[c.Source] = true
	}
	list := filter(s.Sources, func(src *Source) bool { return used[src.ID] && src.Kind == Published })
	slices.SortFunc(list, func(a, b *Source) int {
		return cmp.Or(cmp.Compare(a.By, b.By), cmp.Compare(a.Title, b.Title), cmp.Compare(a.Year, b.Year), cmp.Compare(a.ID, b.ID))
	})
	return list
}
