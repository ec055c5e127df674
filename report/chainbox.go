package report

import (
	"cmp"
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// Sizes of letters and what surrounds them, in CSS pixels.
const (
	headSize  = 10.5 // the kind of a box, its place and its sources
	titleSize = 12.5
	saysSize  = 11.0 // what a sheet says of it
	wordSize  = 11.0 // the likelihood at an arrowhead
	leading   = 1.25 // height of a line, in letter sizes

	boxWidth   = 156.0 // five of them fill a page
	slimWidth  = 146.0 // two of them fill a telephone
	boxPad     = 9.0
	eyeRoom    = 12.0 // of a tag, left of its text, for the eye
	markRoom   = 15.0 // left of what a sheet says of a finding
	wordGap    = 5.0  // from an arrow to its word
	wordWidth  = 66.0 // of a word at an arrow, before it is broken
	portRoom   = 14.0 // beside a word, so that the next arrow stays clear of it
	portInset  = 12.0 // from the corner of a box to its first arrow
	arrowSize  = 6.0
	leastSpace = 3.0 // between lines that have nothing to do with each other
)

// advance estimates how far s runs in letters of a size. The figures are those of a wide sans serif, measured on DejaVu Sans,
// so that text set in the reader's own font stays within its box; bold is a seventh wider.
func advance(s string, size float64) float64 {
	sum := 0.0
	for _, r := range s {
		sum += letter(r)
	}
	return sum * size
}

const boldFactor = 1.14

// letter is the width of a letter in letter sizes.
func letter(r rune) float64 {
	classes := [...]struct {
		width   float64
		letters string
	}{
		{0.29, "ijl'"}, {0.35, " \u00a0|/\\:;,.IJ"}, {0.42, "!()[]-frt"}, {0.53, "*_`\"?sz"}, {0.6, "ckvxyFL"}, {0.84, "w#+<=>~^"}, {1, "mMW%@"},
	}
	if r >= 0x7f {
		return max(0.8, 1.05*float64(width(string(r))/2)) * min(1, float64(width(string(r))))
	}
	for _, c := range classes {
		if strings.ContainsRune(c.letters, r) {
			return c.width
		}
	}
	if r >= 'A' && r <= 'Z' {
		return 0.79
	}
	return 0.64
}

// wrap breaks text into lines of at most room; a word that is longer is cut.
func wrap(s string, size, room float64) []string {
	var lines []string
	line, used := "", 0.0
	for word := range strings.SplitSeq(s, " ") {
		if word == "" {
			continue
		}
		n := advance(word, size)
		if line != "" && used+advance(" ", size)+n > room+rounding {
			lines = append(lines, line)
			line, used = "", 0
		}
		for n > room {
			head := fitting(word, size, room)
			lines = append(lines, head)
			word = word[len(head):]
			n = advance(word, size)
		}
		if line != "" {
			line += " "
			used += advance(" ", size)
		}
		line += word
		used += n
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// rounding is what sums of widths may be off by when the same letters are added up in another order.
const rounding = 1e-6

// fitting is the longest beginning of a word that fits, at least one letter.
func fitting(word string, size, room float64) string {
	used, end := 0.0, 0
	for i, r := range word {
		used += letter(r) * size
		if used > room && i > 0 && width(string(r)) > 0 {
			return word[:i]
		}
		end = i + len(string(r))
	}
	return word[:end]
}

// chainBox is a node as it is drawn.
type chainBox struct {
	kind  chainKind
	open  bool // nobody asked about it
	seen  bool // it was observed at one place at least
	head  []string
	title []string
	says  []saysLine
	// words are the likelihoods at its arrows, in the order of the links into it.
	words []arrowWord
	// number is that of the line out of it, when that line runs far; otherwise 0.
	number     int
	x, y, w, h float64 // x is the middle, y the upper edge
}

// saysLine is one line below a title. The first of a remark has its mark before it.
type saysLine struct {
	text   string
	marked bool
	state  engine.State
}

// arrowWord is a likelihood broken into lines, with the number of the line that leads to it, when that comes from far above.
type arrowWord struct {
	lines  []string
	number int
	width  float64
}

func (w arrowWord) height() float64 {
	h := float64(len(w.lines)) * wordSize * leading
	if w.number > 0 {
		h += 2*balloonSize + leastSpace
	}
	return h
}

// boxes measures the nodes of a chain; no box is narrower than least.
func (c *Chain) boxes(cites *citations, least float64) []*chainBox {
	into := upward(len(c.nodes), c.links)
	out := make([]*chainBox, len(c.nodes))
	for i, n := range c.nodes {
		out[i] = c.box(n, into[i], cites, least)
	}
	return out
}

func (c *Chain) box(n chainNode, into []chainLink, cites *citations, least float64) *chainBox {
	b := &chainBox{kind: n.kind, w: least}
	words := 2 * portInset
	for _, l := range into {
		w := wordAt(l.word)
		b.words = append(b.words, w)
		words += w.width + portRoom
	}
	b.w = max(b.w, words)
	room := b.w - b.left() - boxPad
	head := n.kind.String() + drawnMark(cites, n.cites)
	if places := c.places(n); places != "" {
		head = n.kind.String() + ", " + places + drawnMark(cites, n.cites)
	}
	b.head = wrap(head, headSize, room)
	size := titleSize
	if n.kind == causeKind {
		size *= boldFactor
	}
	b.title = wrap(n.title, size, room)
	if says := c.chances(n); says != "" {
		for _, l := range wrap(says, saysSize*boldFactor, room) {
			b.says = append(b.says, saysLine{text: l})
		}
	}
	b.open = n.kind == findingKind && len(n.at) > 0
	for _, r := range c.remarks(n) {
		b.open = b.open && r.state == engine.NotAsked
		b.seen = b.seen || r.state == engine.Seen
		for i, l := range wrap(r.text, saysSize, room-markRoom) {
			b.says = append(b.says, saysLine{l, i == 0, r.state})
		}
	}
	b.h = leading*(headSize*float64(len(b.head))+titleSize*float64(len(b.title))+saysSize*float64(len(b.says))) + 2*boxPad
	return b
}

// left is the room between the left edge of a box and its text.
func (b *chainBox) left() float64 {
	if b.kind == findingKind {
		return boxPad + eyeRoom
	}
	return boxPad
}

func wordAt(word string) arrowWord {
	room := wordWidth
	if parts := strings.Fields(word); len(parts) > 1 {
		room = 0
		for _, p := range parts {
			room = max(room, advance(p, wordSize))
		}
		// "1 in 500" is broken before its last part only.
		room = max(room, advance(strings.Join(parts[:len(parts)-1], " "), wordSize))
		room = min(room, wordWidth)
	}
	w := arrowWord{lines: wrap(word, wordSize, room), width: 2*balloonSize + wordGap}
	for _, l := range w.lines {
		w.width = max(w.width, advance(l, wordSize)+wordGap)
	}
	return w
}

// drawnMark is the mark of sources in a drawing, where there is no room for chapter and verse: " [1, 4]", and letters, told
// below the picture, for what has no published source.
func drawnMark(c *citations, cites []rules.Cite) string {
	var numbers []string
	mark := ""
	for _, x := range cites {
		switch {
		case x.Source == rules.CommonPractice:
			mark = practiceMark
		case c.remembered(x.Source):
			mark = cmp.Or(mark, memoryMark)
		default:
			numbers = appendNew(numbers, c.number(rules.Cite{Source: x.Source}))
		}
	}
	if len(numbers) == 0 {
		return mark
	}
	slices.SortFunc(numbers, func(a, b string) int { return cmp.Or(len(a)-len(b), cmp.Compare(a, b)) })
	return " [" + strings.Join(numbers, ","+nbsp) + "]"
}

// Marks of statements without a published source.
const (
	practiceMark = " [c]"
	memoryMark   = " [m]"
)
