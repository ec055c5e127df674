package report

import "diagnose.example/symptoms"

// Style says how a text is laid out. The zero value gives the first screen at 80 columns and 24 lines without colour.
type Style struct {
	// Width is the number of columns; 0 means 80. Less than 40 is taken as 40. Markdown has no columns and ignores it.
	Width int
	// Height is the number of lines the first screen must fit into; 0 means 24. Less than 12 is taken as 12.
	Height int
	// Colour says whether letters may be set bold, faint or in the one accent colour.
	Colour ColourMode
	// Top is how many causes are listed; 0 means 5 on the first screen and every cause worth a line in the details. A longer
	// list than 5 was asked for by somebody who wants it, so it may grow past Height.
	Top int
	// Details says how much is told.
	Details DetailMode
	// Units are the units in which numbers are asked for and limits shown, each for its dimension; where none fits it is the
	// unit of the vocabulary. What somebody wrote is shown as written.
	Units []symptoms.Unit
}

// of returns an observation as it is shown in the style's units.
func (s Style) of(o *symptoms.Observation) *symptoms.Observation { return o.In(s.Units) }

// ColourMode says whether escape sequences for bold, faint and accented letters are written.
type ColourMode uint8

// The colour modes.
const (
	None ColourMode = iota // plain letters only
	ANSI                   // select graphic rendition of ECMA-48, as terminals understand it
)

// DetailMode says how much of a diagnosis is told.
type DetailMode uint8

// The detail modes.
const (
	Brief DetailMode = iota // the first screen, or the hand-out
	Full                    // everything the diagnosis holds
)

const (
	defaultWidth  = 80
	defaultHeight = 24
	defaultTop    = 5
	leastWidth    = 40
	leastHeight   = 12
)

// filled returns s with its zero values replaced by the defaults; Top stays as asked.
func (s Style) filled() Style {
	if s.Width == 0 {
		s.Width = defaultWidth
	}
	if s.Height == 0 {
		s.Height = defaultHeight
	}
	s.Width = max(s.Width, leastWidth)
	s.Height = max(s.Height, leastHeight)
	return s
}
