package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// likelihoods are words as they stand at arrows, short and long.
var likelihoodWords = []string{
	"certain", "almost always", "usually", "often", "half the time", "sometimes", "seldom", "hardly ever", "1 in 12", "1 in 1000", "under\u00a01\u00a0%",
}

// chain draws a chain of any shape with up to most nodes, of a cause or of a sheet.
func (d draw) chain(most int) *Chain {
	c := &Chain{title: d.words("chain title", 1, 5), subtitle: "What it leads to", left: d.n("left out", 0, 2)}
	sheet := d.n("of a sheet", 0, 1) == 1
	if sheet {
		x := &engine.Diagnosis{Sheet: &symptoms.Sheet{Job: "7", Machine: d.machine()}}
		if d.n("stopped", 0, 4) == 0 {
			x.Stops = []engine.Stop{{Stop: &rules.Stop{ID: "stop", Title: d.words("stop", 1, 8), Do: d.words("do", 1, 20), Caution: d.words("stop caution", 0, 9)}}}
		}
		c.view = newView(x, nil, Style{})
	}
	for i := range d.n("nodes", 1, most) {
		n := chainNode{kind: causeKind, id: fmt.Sprint("node-", i), title: d.words("node title", 1, 9)}
		if i > 0 {
			n.kind = chainKind(d.n("node kind", 0, 2))
			for range d.n("parents", 0, 4) {
				d.parent(c, i)
			}
		}
		if d.n("cited", 0, 1) == 1 {
			n.cites = []rules.Cite{{Source: fmt.Sprint("source-", d.n("source", 0, 12)), At: "p. 1"}, {Source: rules.CommonPractice}}
		}
		if sheet {
			d.told(c, &n)
		}
		c.nodes = append(c.nodes, n)
	}
	return c.ordered()
}

// parent links a node from one before it that is no finding: most often from a near one, as in the knowledge.
func (d draw) parent(c *Chain, to int) {
	from := max(0, to-1-d.n("how far back", 0, 8))
	if d.n("anywhere", 0, 5) == 0 {
		from = d.n("parent", 0, to-1)
	}
	if c.nodes[from].kind == findingKind {
		return
	}
	for _, l := range c.links {
		if l.from == from && l.to == to {
			return
		}
	}
	c.links = append(c.links, chainLink{from, to, rapid.SampledFrom(likelihoodWords).Draw(d.t, "likelihood")})
}

// told says what a sheet says of a node at one or all of its places.
func (d draw) told(c *Chain, n *chainNode) {
	places := d.places(&c.view.d.Sheet.Machine, symptoms.Level(d.n("node about", 0, 2)))
	if d.n("everywhere", 0, 2) > 0 {
		places = places[:1]
	}
	for _, p := range places {
		at := chainPlace{place: p, probability: d.p("node probability"), state: engine.State(d.n("state", -1, 2))}
		if at.state != engine.NotAsked {
			at.answer = d.words("node answer", 1, 2)
		}
		n.at = append(n.at, at)
	}
}

// rect is a piece of the picture with a name for messages.
type rect struct {
	name           string
	x0, y0, x1, y1 float64
}

func (r rect) meets(o rect, apart float64) bool {
	return r.x0 < o.x1+apart && o.x0 < r.x1+apart && r.y0 < o.y1+apart && o.y0 < r.y1+apart
}

func boxRect(i int, b *chainBox) rect {
	return rect{fmt.Sprintf("box %d %q", i, b.title), b.x - b.w/2, b.y, b.x + b.w/2, b.y + b.h}
}

func wordRect(w wordPlace) rect {
	return rect{fmt.Sprintf("word %q at box %d", w.lines, w.node), w.x, w.y, w.x + w.width, w.y + w.height()}
}

// wireRect has no name: there are too many to write them all.
func wireRect(w wire) rect {
	return rect{"", min(w.from.x, w.to.x), min(w.from.y, w.to.y), max(w.from.x, w.to.x), max(w.from.y, w.to.y)}
}

func (w wire) String() string {
	return fmt.Sprintf("line out of %d from %v to %v", w.node, w.from, w.to)
}

func (w wire) level() bool { return w.from.y == w.to.y }

// slack is what rounding may take from a distance.
const slack = 1e-6

// checkDrawing wants nothing to lie on anything else.
func checkDrawing(t rapid.TB, d *chainDrawing) {
	t.Helper()
	var boxes, words []rect
	for i, b := range d.boxes {
		boxes = append(boxes, boxRect(i, b))
	}
	for _, w := range d.words {
		words = append(words, wordRect(w))
	}
	for i, a := range boxes {
		if a.x0 < -slack || a.x1 > d.width+slack || a.y0 < -slack || a.y1 > d.height+slack {
			t.Errorf("%s is not within the picture of %v by %v", a.name, d.width, d.height)
		}
		for _, b := range boxes[:i] {
			if a.meets(b, 6) {
				t.Errorf("%s and %s overlap or are less than 6 apart", a.name, b.name)
			}
		}
		for _, w := range words {
			if a.meets(w, -slack) {
				t.Errorf("%s lies on %s", w.name, a.name)
			}
		}
	}
	for i, a := range words {
		for _, b := range words[:i] {
			if a.meets(b, 1) {
				t.Errorf("%s lies on %s", a.name, b.name)
			}
		}
	}
	for _, w := range d.wires {
		r := wireRect(w)
		if w.from.x != w.to.x && w.from.y != w.to.y {
			t.Errorf("%v is neither level nor upright", w)
		}
		for _, b := range boxes {
			if r.meets(b, -slack) {
				t.Errorf("%v runs through %s", w, b.name)
			}
		}
		for n, b := range d.boxes {
			p := b.balloon()
			circle := rect{"", p.x - balloonSize, p.y - balloonSize, p.x + balloonSize, p.y + balloonSize}
			if b.number > 0 && r.meets(circle, 0) {
				t.Errorf("%v runs through number %d of box %d", w, b.number, n)
			}
		}
		for _, o := range words {
			if r.meets(o, -slack) {
				t.Errorf("%v runs through %s", w, o.name)
			}
		}
	}
	checkApart(t, d)
}

// checkApart wants lines out of different boxes to cross at most, never to run on top of each other.
func checkApart(t rapid.TB, d *chainDrawing) {
	t.Helper()
	const apart = leastSpace - 0.5
	for i, a := range d.wires {
		for _, b := range d.wires[:i] {
			if a.node == b.node || a.level() != b.level() {
				continue
			}
			ra, rb := wireRect(a), wireRect(b)
			if a.level() {
				ra.y0, ra.y1 = ra.y0-apart/2, ra.y1+apart/2
				rb.y0, rb.y1 = rb.y0-apart/2, rb.y1+apart/2
			} else {
				ra.x0, ra.x1 = ra.x0-apart/2, ra.x1+apart/2
				rb.x0, rb.x1 = rb.x0-apart/2, rb.x1+apart/2
			}
			if ra.meets(rb, -slack) {
				t.Errorf("%v and %v run on top of each other", a, b)
			}
		}
	}
}

// checkJoined follows the lines: from each box they lead to exactly the boxes that the chain says.
func checkJoined(t rapid.TB, d *chainDrawing, links []chainLink) {
	t.Helper()
	want := map[[2]int]bool{}
	for _, l := range links {
		want[[2]int{l.from, l.to}] = true
	}
	got := map[[2]int]bool{}
	for from := range d.boxes {
		for _, to := range d.leadsTo(from) {
			got[[2]int{from, to}] = true
		}
	}
	for l := range want {
		if !got[l] {
			t.Errorf("no line from box %d to box %d", l[0], l[1])
		}
	}
	for l := range got {
		if !want[l] {
			t.Errorf("a line from box %d to box %d; want none", l[0], l[1])
		}
	}
	if len(d.arrows) != len(links) || len(d.words) != len(links) {
		t.Errorf("%d arrows and %d words; want %d", len(d.arrows), len(d.words), len(links))
	}
}

// leadsTo follows the pieces of the line out of a box from its lower edge, as the eye does, and returns the boxes it ends on.
func (d *chainDrawing) leadsTo(from int) []int {
	var own []wire
	for _, w := range d.wires {
		if w.node == from {
			own = append(own, w)
		}
	}
	b := d.boxes[from]
	reached := []point{{b.x, b.y + b.h}}
	used := make([]bool, len(own))
	for i := 0; i < len(reached); i++ {
		for k, w := range own {
			if used[k] || !on(reached[i], w) {
				continue
			}
			used[k] = true
			reached = append(reached, w.from, w.to)
			for _, o := range own { // what starts in the middle of it
				if on(o.from, w) {
					reached = append(reached, o.from)
				}
			}
		}
	}
	var boxes []int
	for _, p := range reached {
		for n, end := range d.boxes {
			if math.Abs(p.y-(end.y-arrowSize/2)) < slack && p.x > end.x-end.w/2 && p.x < end.x+end.w/2 {
				boxes = append(boxes, n)
			}
		}
	}
	return boxes
}

func on(p point, w wire) bool {
	r := wireRect(w)
	return p.x > r.x0-slack && p.x < r.x1+slack && p.y > r.y0-slack && p.y < r.y1+slack
}

// TestChainDrawing draws chains of any shape and looks for what lies on something else.
func TestChainDrawing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := draw{rt}
		c := d.chain(40)
		width := rapid.SampledFrom([]int{PageWidth, PhoneWidth, 560, 2000}).Draw(rt, "width")
		least := boxWidth
		if width < 2*PhoneWidth {
			least = slimWidth
		}
		drawing := layOut(c.boxes(&citations{}, least), c.links, float64(width)-2*margin)
		checkDrawing(rt, drawing)
		checkJoined(rt, drawing, c.links)
	})
}

// TestChainLayering wants every box below what leads to it, and on an endless page as high up as that allows.
func TestChainLayering(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := draw{rt}.chain(40)
		boxes := c.boxes(&citations{}, boxWidth)
		narrow, wide := layered(boxes, c.links, 400), layered(boxes, c.links, 1e6)
		for n := range boxes {
			longest := 0
			for _, l := range wide.into[n] {
				longest = max(longest, wide.row[l.from]+1)
				if narrow.row[l.from] >= narrow.row[n] {
					rt.Errorf("box %d in row %d, below it %d in row %d", l.from, narrow.row[l.from], n, narrow.row[n])
				}
			}
			if wide.row[n] != longest {
				rt.Errorf("box %d in row %d of an endless page; want %d", n, wide.row[n], longest)
			}
		}
	})
}

// TestChainSVGParses wants well-formed XML whatever the texts hold, with nothing that runs or is fetched, and the same twice.
func TestChainSVGParses(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := draw{rt}.chain(20)
		hostile := rapid.SampledFrom([]string{
			"<script>alert(1)</script>", "]]>", "&amp; & &#x1b;", "a\"b'c", "-->", "\x1b[31m", "\u202eabc", "\ufffe\uffff", "é宮\u0301", "",
		})
		c.title = oneLine(hostile.Draw(rt, "hostile title"))
		for i := range c.nodes {
			c.nodes[i].title = nodeTitle(c.nodes[i].title+" "+hostile.Draw(rt, "hostile"), "id")
		}
		p := Picture{Width: rapid.SampledFrom([]int{0, PhoneWidth}).Draw(rt, "width")}
		first := written(rt, func(w io.Writer) error { return ChainSVG(w, c, p) })
		if again := written(rt, func(w io.Writer) error { return ChainSVG(w, c, p) }); !bytes.Equal(first, again) {
			rt.Fatal("two drawings of one chain differ")
		}
		checkSVG(rt, first)
	})
}

// checkSVG parses a drawing and looks at its elements, attributes and alternative text.
func checkSVG(t rapid.TB, data []byte) {
	t.Helper()
	known := map[string]bool{"svg": true, "title": true, "desc": true, "g": true, "path": true, "rect": true, "text": true}
	texts := map[string]string{}
	var open []string
	var labelled string
	dec := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("no XML: %v", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if !known[e.Name.Local] {
				t.Errorf("element <%s>", e.Name.Local)
			}
			id := ""
			for _, a := range e.Attr {
				v := strings.ToLower(a.Value)
				if a.Name.Local == "href" || strings.HasPrefix(a.Name.Local, "on") || strings.Contains(v, "url(") || strings.Contains(v, "nan") || strings.Contains(v, "inf") {
					t.Errorf("<%s %s=%q>", e.Name.Local, a.Name.Local, a.Value)
				}
				switch {
				case a.Name.Local == "id":
					id = a.Value
				case e.Name.Local == "svg" && a.Name.Local == "role" && a.Value != "img":
					t.Errorf("role=%q; want img", a.Value)
				case e.Name.Local == "svg" && a.Name.Local == "aria-labelledby":
					labelled = a.Value
				}
			}
			open = append(open, id)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 && open[len(open)-1] != "" {
				texts[open[len(open)-1]] += string(e)
			}
		}
	}
	ids := strings.Fields(labelled)
	if len(ids) != 2 || texts[ids[0]] == "" || texts[ids[1]] == "" {
		t.Errorf("aria-labelledby=%q names texts %q", labelled, texts)
	}
}

// TestSpread compares with what the conditions for the least squares demand.
func TestSpread(t *testing.T) {
	tests := []struct {
		name              string
		wish, apart, want []float64
		lo, hi            float64
	}{
		{"room for all", []float64{0, 10, 20}, []float64{0, 5, 5}, []float64{0, 10, 20}, -100, 100},
		{"two too near share the way", []float64{10, 10}, []float64{0, 4}, []float64{8, 12}, -100, 100},
		{"wrong order", []float64{20, 0}, []float64{0, 4}, []float64{8, 12}, -100, 100},
		{"left edge", []float64{-50, 0}, []float64{0, 4}, []float64{0, 4}, 0, 100},
		{"right edge", []float64{90, 99}, []float64{0, 20}, []float64{80, 100}, 0, 100},
		{"no room: the left edge holds", []float64{0, 0}, []float64{0, 20}, []float64{0, 20}, 0, 10},
		{"nothing", nil, nil, nil, 0, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := spread(tt.wish, nil, tt.apart, tt.lo, tt.hi)
			if fmt.Sprint(got) != fmt.Sprint(tt.want) && len(got)+len(tt.want) > 0 {
				t.Errorf("spread(%v) = %v; want %v", tt.wish, got, tt.want)
			}
		})
	}
}

// TestWrapChain wants every line within the room and every letter kept.
func TestWrapChain(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := draw{rt}.words("text", 0, 12)
		room := rapid.Float64Range(30, 300).Draw(rt, "room")
		var kept strings.Builder
		for _, l := range wrap(s, titleSize, room) {
			if n := advance(l, titleSize); n > room+rounding {
				rt.Errorf("wrap(%q): %q is %v wide; want at most %v", s, l, n, room)
			}
			kept.WriteString(l)
		}
		if got, want := strings.ReplaceAll(kept.String(), " ", ""), strings.ReplaceAll(s, " ", ""); got != want {
			rt.Errorf("wrap(%q) keeps %q", s, got)
		}
	})
}
