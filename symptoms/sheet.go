package symptoms

import "strconv"

// A Position is a place in a file. Line and column count from one, columns in
// characters.
type Position struct {
	File         string
	Line, Column int
}

// String returns file:line:column, the file alone if there is no line.
func (p Position) String() string {
	if p.Line == 0 {
		return p.File
	}
	return p.File + ":" + strconv.Itoa(p.Line) + ":" + strconv.Itoa(p.Column)
}

// Scope says for which places a reading holds.
type Scope uint8

const (
	// Whole is a reading about the whole machine.
	Whole Scope = iota
	// At is a reading at one named place.
	At
	// Somewhere is a reading that holds at one place at least, not known which.
	Somewhere
)

// String returns "whole", "at" or "somewhere".
func (s Scope) String() string { return name(scopeNames, int(s)) }

var scopeNames = []string{"whole", "at", "somewhere"}

// A Value is one answer.
type Value struct {
	// Yes is the answer to a yes-no question.
	Yes bool
	// Words are the words of a choice (one, or several where the observation allows
	// it), or the word of a band given in place of a number.
	Words []string
	// Lo and Hi bound a number, in SI base units: equal for a point, infinite at
	// an open end. A band's word in place of a number has both ends open.
	Lo, Hi float64
	// U is the standard uncertainty of a point in SI base units; 0 for ranges and bounds.
	U float64
	// Text is the answer as written.
	Text string
}

// A Reading is one observation made at one place.
type Reading struct {
	Observation *Observation
	Scope       Scope
	// Place is the name of the carburetor or cylinder, "" for Whole and Somewhere.
	Place string
	Value Value
	Pos   Position
}

// A Machine is what the sheet says about the motorcycle.
type Machine struct {
	Name string
	// Strokes is 2 or 4.
	Strokes int
	// Carburetors and Cylinders are the names of the places, in order.
	Carburetors, Cylinders []string
	// CarburetorKind is slide, constant-velocity or butterfly; "" if not told.
	CarburetorKind string
	// Feeds holds for each cylinder the index of the carburetor it hangs on.
	Feeds []int
	// Facts are all facts and spec values that are told or follow (strokes, and the
	// numbers of cylinders and carburetors, always), in the vocabulary's order.
	Facts []Reading
}

// A Tried is something done already, and how the bike was after it.
type Tried struct {
	// Did is the id of a repair or check.
	Did string
	// At is the name of a carburetor or cylinder, "" if the sheet names none.
	At string
	// After is no-change, better, worse or cured-for-a-while.
	After string
	Pos   Position
}

// A Note is free text about the machine or about one place.
type Note struct {
	// Place is the name of a carburetor or cylinder, "" for the machine.
	Place, Text string
}

// A Sheet is a decoded intake sheet.
type Sheet struct {
	Path, Job string
	Machine   Machine
	// History holds the ids of the history words that apply.
	History  []string
	Readings []Reading
	Tried    []Tried
	Notes    []Note
}

// Places returns the names of the places at a level; nil for the whole machine.
func (m *Machine) Places(l Level) []string {
	switch l {
	case Carburetor:
		return m.Carburetors
	case Cylinder:
		return m.Cylinders
	}
	return nil
}
