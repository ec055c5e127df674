package carburetor

import "strings"

// A Standing says how far a source may be relied on.
type Standing int

const (
	// Published: the source was seen, as far as Source.Seen says, and may be cited.
	Published Standing = iota + 1
	// Derived: worked out here from first principles; the derivation is the source.
	Derived
	// Recalled: from memory, wholly or in part. It is named for whoever looks it up, and is not
	// to be shown as a citation.
	Recalled
)

// String names the standing.
func (s Standing) String() string {
	switch s {
	case Published:
		return "published"
	case Derived:
		return "own derivation"
	case Recalled:
		return "from memory"
	}
	return "unknown standing"
}

// A Source is a text that formulas or coefficients come from.
type Source struct {
	// ID is a word, such as "joachim-tr224".
	ID string
	// Authors may be empty.
	Authors, Title string
	// URL is where it was seen; several are separated by " ; ". It may be empty.
	URL string
	// Seen says what of it was read.
	Seen     string
	Standing Standing
	// mark is how comments name the source, alternatives separated by a bar; Formula.Cites is
	// found by it.
	mark string
}

// Sources returns all sources, sorted by id, in a fresh slice.
func Sources() []Source { return sourceTable() }

// LookupSource finds a source by its id.
func LookupSource(id string) (Source, bool) {
	for _, s := range sourceTable() {
		if s.ID == id {
			return s, true
		}
	}
	return Source{}, false
}

// A Formula is a formula as it stands above the function that computes it.
type Formula struct {
	// Func is the function or method, such as "TapFlow" or "Bowl.Closing".
	Func string
	// Title is the first sentence of its comment.
	Title string
	// Lines are the formula, one or more lines.
	Lines []string
	// Source is what the comment says of where it comes from.
	Source string
	// Standing is Recalled as soon as any part is from memory.
	Standing Standing
	// Cites has the ids of the sources that it rests on, its own and those of the functions it
	// uses.
	Cites []string
}

// Formulas returns all formulas, sorted by function, in a fresh slice.
func Formulas() []Formula { return formulaTable() }

// LookupFormula finds the formula of a function or method.
func LookupFormula(name string) (Formula, bool) {
	for _, f := range formulaTable() {
		if f.Func == name {
			return f, true
		}
	}
	return Formula{}, false
}

// Citation returns what may be shown as the source: its text where it was seen; for a formula
// from memory only that, and the titles of the published sources that it was compared with.
func (f Formula) Citation() string {
	if f.Standing != Recalled {
		return f.Source
	}
	var seen []string
	for _, id := range f.Cites {
		if s, ok := LookupSource(id); ok && s.Standing == Published {
			seen = append(seen, s.Title)
		}
	}
	if seen == nil {
		return f.Standing.String()
	}
	return f.Standing.String() + "; compared with " + strings.Join(seen, "; ")
}
