package report

import (
	"cmp"
	"math"
	"slices"
)

// chainDrawing is a chain laid out: where its boxes are, and the lines, arrows, dots and words between them.
type chainDrawing struct {
	boxes         []*chainBox
	wires         []wire
	arrows, dots  []point
	words         []wordPlace
	width, height float64
}

type point struct{ x, y float64 }

// wire is a straight piece of the line out of a node, level or upright.
type wire struct {
	node     int
	from, to point
	open     bool // leads to a finding nobody asked about
}

// wordPlace is the likelihood at an arrow: x and y are the upper left corner.
type wordPlace struct {
	arrowWord
	node int // that the arrow leads to
	x, y float64
}

const (
	laneGap = 8.0  // between level lines
	rowGap  = 10.0 // between the boxes of a row and the first level line below
)

// layOut draws a chain in a room across; the result may be narrower, and is wider when a box needs it.
func layOut(boxes []*chainBox, links []chainLink, room float64) *chainDrawing {
	r := layered(boxes, links, room)
	r.number()
	d := &chainDrawing{boxes: boxes}
	bottom := 0.0
	for row := range r.rows {
		var nets []*net
		if row > 0 {
			nets = r.nets(row)
		}
		lanes := assignLanes(nets)
		words := 0.0
		for _, n := range nets {
			for _, e := range n.ends {
				if e.box >= 0 {
					words = max(words, boxes[e.box].words[e.word].height())
				}
			}
		}
		top := bottom
		if row > 0 {
			top += rowGap + laneGap*float64(lanes) + words + arrowSize/2
		}
		height := 0.0
		for _, s := range r.rows[row] {
			if !s.track {
				b := boxes[s.node]
				b.x, b.y = s.x, top
				height = max(height, b.h)
			}
		}
		d.connect(nets, bottom, top, top+height)
		bottom = top + height
	}
	d.height = bottom
	d.crop()
	return d
}

// net is what a line does between two rows.
type net struct {
	node   int
	top    float64 // where it comes down
	passed bool    // past the row above, not from a box in it
	ends   []netEnd
	// lane is the number of the level line, from the top; below 0 when it only runs straight down.
	lane int
}

// netEnd is where a line goes on: to a box, as the arrow with the word of that number, or past the row.
type netEnd struct {
	x    float64
	box  int // -1 past the row
	word int
}

func (n *net) span() (lo, hi float64) {
	lo, hi = n.top, n.top
	for _, e := range n.ends {
		lo, hi = min(lo, e.x), max(hi, e.x)
	}
	return lo, hi
}

// nets works out how the lines run from the row above to a row.
func (r *chainRows) nets(row int) []*net {
	var nets []*net
	of := map[int]*net{}
	for _, s := range r.rows[row-1] {
		n := &net{node: s.node, top: s.x, passed: s.track}
		of[s.node] = n
		nets = append(nets, n)
	}
	for _, s := range r.rows[row] {
		if s.track {
			of[s.node].ends = append(of[s.node].ends, netEnd{s.x, -1, 0})
			continue
		}
		r.ports(s, of, nets)
	}
	return slices.DeleteFunc(nets, func(n *net) bool { return len(n.ends) == 0 })
}

// ports places the arrows that come down on a box along its upper edge, in the order in which their lines come, each as near
// below its line as the words between them allow.
func (r *chainRows) ports(s slot, of map[int]*net, nets []*net) {
	b := r.boxes[s.node]
	order := make([]int, len(r.into[s.node]))
	for i := range order {
		order[i] = i
	}
	from := func(i int) *net { return of[r.into[s.node][i].from] }
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(from(i).top, from(j).top) })
	wish, apart := make([]float64, len(order)), make([]float64, len(order))
	for k, i := range order {
		wish[k] = from(i).top
		if k > 0 {
			apart[k] = b.words[order[k-1]].width + portRoom
		}
	}
	lo, hi := s.x-b.w/2+portInset, s.x+b.w/2-leastSpace
	if len(order) > 0 {
		hi -= b.words[order[len(order)-1]].width
	}
	for k, x := range spread(wish, nil, apart, lo+leastSpace, hi-leastSpace) {
		n := from(order[k])
		var taken []float64
		for _, o := range nets {
			if o != n {
				taken = append(taken, o.top)
			}
		}
		goal := x
		if math.Abs(n.top-x) <= leastSpace {
			goal = n.top
		}
		n.ends = append(n.ends, netEnd{clearOf(goal, x-leastSpace, x+leastSpace, taken), s.node, order[k]})
	}
}

// assignLanes gives each line that does not run straight down a level line of its own, in an order that saves crossings, and
// packs those that do not meet. It returns how many level lines there are.
func assignLanes(nets []*net) int {
	var level []*net
	for _, n := range nets {
		n.lane = -1
		if lo, hi := n.span(); hi > lo {
			level = append(level, n)
		}
	}
	for better := true; better; {
		better = false
		for i := 1; i < len(level); i++ {
			a, b := level[i-1], level[i]
			if crossed(b, a) < crossed(a, b) {
				level[i-1], level[i], better = b, a, true
			}
		}
	}
	lanes := 0
	for i, n := range level {
		n.lane = 0
		for _, above := range level[:i] {
			if meet(n, above) {
				n.lane = max(n.lane, above.lane+1)
			}
		}
		lanes = max(lanes, n.lane+1)
	}
	return lanes
}

func meet(a, b *net) bool {
	alo, ahi := a.span()
	blo, bhi := b.span()
	return alo < bhi+laneGap && blo < ahi+laneGap
}

// crossed counts the crossings of two lines when the level part of a is above that of b.
func crossed(a, b *net) int {
	alo, ahi := a.span()
	blo, bhi := b.span()
	sum := 0
	for _, e := range a.ends {
		if blo < e.x && e.x < bhi {
			sum++
		}
	}
	if alo < b.top && b.top < ahi {
		sum++
	}
	return sum
}

// connect draws the lines between two rows. The upper row ends at bottom, the lower one begins at top and ends at end.
func (d *chainDrawing) connect(nets []*net, bottom, top, end float64) {
	for _, n := range nets {
		start, lane := bottom, bottom
		if !n.passed {
			start = d.boxes[n.node].y + d.boxes[n.node].h
		}
		if n.lane >= 0 {
			lane = bottom + rowGap + laneGap*float64(n.lane)
			lo, hi := n.span()
			d.wire(n.node, point{lo, lane}, point{hi, lane}, false)
			d.dot(n, lane)
		}
		d.wire(n.node, point{n.top, start}, point{n.top, lane}, false)
		for _, e := range n.ends {
			d.end(n.node, e, lane, top, end)
		}
	}
}

// end draws a line from its level part on: to a box with arrow and word, or past the row.
func (d *chainDrawing) end(node int, e netEnd, lane, top, end float64) {
	if e.box < 0 {
		d.wire(node, point{e.x, lane}, point{e.x, end}, false)
		return
	}
	b := d.boxes[e.box]
	d.wire(node, point{e.x, lane}, point{e.x, top - arrowSize/2}, b.open)
	d.arrows = append(d.arrows, point{e.x, top})
	w := wordPlace{arrowWord: b.words[e.word], node: e.box, x: e.x + wordGap}
	w.width -= wordGap
	w.y = top - arrowSize/2 - w.height()
	d.words = append(d.words, w)
}

func (d *chainDrawing) wire(node int, from, to point, open bool) {
	if from != to {
		d.wires = append(d.wires, wire{node, from, to, open})
	}
}

// dot marks where three or four pieces of a line meet, so that lines which only cross can be told from those which join.
func (d *chainDrawing) dot(n *net, lane float64) {
	lo, hi := n.span()
	var seen []float64
	for _, e := range append(n.ends, netEnd{x: n.top}) {
		if slices.Contains(seen, e.x) {
			continue
		}
		seen = append(seen, e.x)
		pieces := 0
		for _, there := range []bool{
			e.x == n.top, e.x > lo, e.x < hi, slices.ContainsFunc(n.ends, func(f netEnd) bool { return f.x == e.x }),
		} {
			if there {
				pieces++
			}
		}
		if pieces > 2 {
			d.dots = append(d.dots, point{e.x, lane})
		}
	}
}

// crop moves everything to the left edge and takes the width.
func (d *chainDrawing) crop() {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, b := range d.boxes {
		lo, hi = min(lo, b.x-b.w/2), max(hi, b.x+b.w/2)
	}
	for _, w := range d.wires {
		lo, hi = min(lo, w.from.x, w.to.x), max(hi, w.from.x, w.to.x)
	}
	d.move(-lo, 0)
	d.width = hi - lo
}

// move shifts the whole drawing.
func (d *chainDrawing) move(dx, dy float64) {
	shift := func(p *point) { p.x, p.y = p.x+dx, p.y+dy }
	for _, b := range d.boxes {
		b.x, b.y = b.x+dx, b.y+dy
	}
	for i := range d.wires {
		shift(&d.wires[i].from)
		shift(&d.wires[i].to)
	}
	for _, list := range [][]point{d.arrows, d.dots} {
		for i := range list {
			shift(&list[i])
		}
	}
	for i := range d.words {
		d.words[i].x += dx
		d.words[i].y += dy
	}
}
