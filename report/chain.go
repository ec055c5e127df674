package report

import (
	"fmt"
	"io"

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

// ChainOfCause builds the chain of everything that the knowledge says a cause leads to: effects, their effects, and the
// findings by which they are seen.
func ChainOfCause(k *rules.Set, id string) (*Chain, error) {
	return nil, fmt.Errorf("not there yet: %s", id)
}

// ChainOfDiagnosis builds the chain from the n likeliest causes of a sheet, each at its likeliest place, down to the findings.
// n below 1 is taken as 1. A finding somebody looked for is always in it; of those nobody asked about it has the few that would
// tell most. The engine gives those only when its option WholeChain is set. It is an error when the diagnosis has no causes.
func ChainOfDiagnosis(d *engine.Diagnosis, k *rules.Set, n int) (*Chain, error) {
	return nil, fmt.Errorf("not there yet: %d", n)
}

// ChainText writes a chain as an indented tree. What can be reached on several paths is told on the first and named on the
// others. Height, Top and Details of the style have no meaning here.
func ChainText(w io.Writer, c *Chain, s Style) error { return nil }

// ChainMarkdown is ChainText as GitHub-flavoured Markdown.
func ChainMarkdown(w io.Writer, c *Chain) error { return nil }

// Picture says how a drawing is laid out.
type Picture struct {
	// Width is the room across in CSS pixels; 0 means PageWidth, and less than PhoneWidth is taken as PhoneWidth. A small chain takes
	// less.
	Width int
}

// Widths of pictures in CSS pixels.
const (
	PageWidth  = 940 // an upright sheet of A4 or letter paper
	PhoneWidth = 390 // a telephone held upright
)

// ChainSVG writes a chain as a drawing in SVG 1.1: one document without scripts, styles or anything from outside, that says
// the same in its description, in black and grey as well as on a screen. Rows run from causes at the top to findings.
func ChainSVG(w io.Writer, c *Chain, p Picture) error { return nil }
