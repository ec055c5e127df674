package report

import (
	"diagnose.example/engine"
	"diagnose.example/rules"
)

// Chain is a picture of cause and effect: boxes for causes, effects and findings, and links between them that say how often
// one makes the other happen. It is built by [ChainOfCause] or [ChainOfDiagnosis], is not changed afterwards, and is written by
// [ChainText], [ChainMarkdown] and [ChainSVG].
type Chain struct {
	title, subtitle string
	k               *rules.Set
	// view tells places and the words of a sheet; nil in the chain of a cause, which knows of no machine.
	view  *view
	nodes []chainNode // parents before children
	links []chainLink // by the node they come from
	// left is how many findings were left out that nobody asked about.
	left int
}

// chainKind says what a box stands for.
type chainKind uint8

const (
	causeKind chainKind = iota
	effectKind
	findingKind
)

func (k chainKind) String() string { return [...]string{"Cause", "Effect", "Finding"}[k] }

// chainNode is a cause, effect or finding. One that is at several places for the same reason is one node.
type chainNode struct {
	kind      chainKind
	id, title string // title is one clean line
	cites     []rules.Cite
	at        []chainPlace // empty in the chain of a cause
}

// chainPlace is what a diagnosis says of a node at one place.
type chainPlace struct {
	place       engine.Place
	probability float64 // of a cause or effect; NaN when it was not inferred
	state       engine.State
	answer      string // clean
}

// chainLink leads from one node to another, both by number.
type chainLink struct {
	from, to int
	word     string // "almost always"
}

// Picture says how a drawing is laid out.
type Picture struct {
	// Width is the room across in CSS pixels; 0 means PageWidth, and less than PhoneWidth is taken as PhoneWidth. A small chain takes
	// less.
	Width int
}

// Widths of pictures in CSS pixels.
const (
	PageWidth  = 880 // an upright sheet of A4 or letter paper
	PhoneWidth = 390 // a telephone held upright
)
