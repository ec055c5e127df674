package report

import (
	"cmp"
	"slices"
)

// chainRows puts the boxes of a chain into rows, each box below everything that leads to it: a layered drawing after Sugiyama,
// Tagawa and Toda (IEEE Trans. Systems, Man and Cybernetics 11, 1981, p. 109-125), with two changes for a page. A row holds no
// more than fits across. And all lines out of one box run as one, which branches where it is needed, as in a wiring diagram, so
// that a row is crossed by one line for each box above that is not done with yet, not by one for each link.
type chainRows struct {
	boxes     []*chainBox
	into, out [][]chainLink
	budget    float64 // room across
	row       []int   // of each node
	rows      [][]slot
}

// slot is a place in a row: of a box, or, as a track, of the line that runs past the row on its way from a box above to one
// below (the dummy node of the literature).
type slot struct {
	node  int
	track bool
	x     float64 // the middle of a box, the line itself of a track
}

const (
	boxGap    = 16.0 // between two boxes
	trackRoom = 12.0 // that a line takes as it passes
	trackGap  = 2.0  // between that and a box
)

func layered(boxes []*chainBox, links []chainLink, budget float64) *chainRows {
	r := &chainRows{boxes: boxes, into: upward(len(boxes), links), out: downward(len(boxes), links), budget: budget}
	r.assign()
	r.fill()
	r.untangle()
	r.place()
	return r
}

// assign gives each box its row: on a wide enough page the longest path from the top, otherwise as soon after that as there is
// room. Boxes that still have a long way below them come first when the rows would not do otherwise; besides them those that
// end the lines which have run longest.
func (r *chainRows) assign() {
	r.row = unnumbered(len(r.boxes))
	below := r.below()
	wanted := r.fewestRows(below)
	for row, left := 0, len(r.boxes); left > 0; row++ {
		ready := r.ready(row)
		slices.SortStableFunc(ready, func(a, b int) int {
			ka, kb := r.urgency(a, row, wanted, below), r.urgency(b, row, wanted, below)
			return cmp.Or(slices.Compare(ka[:], kb[:]), a-b)
		})
		placed := 0
		for _, n := range ready {
			r.row[n] = row
			if placed > 0 && r.across(row) > r.budget {
				r.row[n] = -1
				continue
			}
			placed++
			left--
		}
	}
}

// below is the longest way down from each node, in links. Nodes come before what they lead to.
func (r *chainRows) below() []int {
	below := make([]int, len(r.boxes))
	for n := len(r.boxes) - 1; n >= 0; n-- {
		for _, l := range r.out[n] {
			below[n] = max(below[n], below[l.to]+1)
		}
	}
	return below
}

func (r *chainRows) fewestRows(below []int) int {
	total := 0.0
	for _, b := range r.boxes {
		total += b.w + boxGap
	}
	return max(slices.Max(below)+1, int(total/r.budget)+1)
}

// ready are the nodes without a row whose parents all have one above.
func (r *chainRows) ready(row int) []int {
	var ready []int
	for n := range r.boxes {
		if r.row[n] >= 0 {
			continue
		}
		waits := slices.ContainsFunc(r.into[n], func(l chainLink) bool { return r.row[l.from] < 0 || r.row[l.from] >= row })
		if !waits {
			ready = append(ready, n)
		}
	}
	return ready
}

// urgency orders what could go into a row, least first: what would make the drawing longer if it waited; then ends of chains,
// those whose lines have run longest first; then what begins new lines.
func (r *chainRows) urgency(n, row, wanted int, below []int) [2]int {
	if below[n] > 0 && below[n] >= wanted-row-1 {
		return [2]int{0, -below[n]}
	}
	if below[n] > 0 {
		return [2]int{2, -below[n]}
	}
	oldest := row
	for _, l := range r.into[n] {
		oldest = min(oldest, r.row[l.from])
	}
	return [2]int{1, oldest}
}

// across is the room that a row takes as it stands.
func (r *chainRows) across(row int) float64 {
	sum := -boxGap
	for n, b := range r.boxes {
		switch {
		case r.row[n] == row:
			sum += b.w + boxGap
		case r.passes(n, row):
			sum += trackRoom + 2*trackGap
		}
	}
	return sum
}

// passes says whether the line out of a box runs past a row. A box without a row yet is below it.
func (r *chainRows) passes(n, row int) bool {
	return r.row[n] >= 0 && r.row[n] < row &&
		slices.ContainsFunc(r.out[n], func(l chainLink) bool { return r.row[l.to] < 0 || r.row[l.to] > row })
}

// fill makes the slots of the rows.
func (r *chainRows) fill() {
	r.rows = make([][]slot, slices.Max(r.row)+1)
	for row := range r.rows {
		for n := range r.boxes {
			if r.row[n] == row {
				r.rows[row] = append(r.rows[row], slot{node: n})
			} else if r.passes(n, row) {
				r.rows[row] = append(r.rows[row], slot{node: n, track: true})
			}
		}
	}
}

// leads says whether a line leads from a slot to one in the next row.
func (r *chainRows) leads(a, b slot) bool {
	if b.track {
		return a.node == b.node
	}
	return slices.ContainsFunc(r.into[b.node], func(l chainLink) bool { return l.from == a.node })
}

// sweeps is how often the rows are gone through for their order, and then for their places across.
const sweeps = 12

// untangle orders the slots of each row by the mean place of what they are joined to, going down and up in turns, and keeps
// the order with the fewest crossings.
func (r *chainRows) untangle() {
	best, fewest := r.copyRows(), r.crossings()
	for i := 0; i < sweeps && fewest > 0; i++ {
		if i%2 == 0 {
			for row := 1; row < len(r.rows); row++ {
				r.byMean(row, row-1)
			}
		} else {
			for row := len(r.rows) - 2; row >= 0; row-- {
				r.byMean(row, row+1)
			}
		}
		if n := r.crossings(); n < fewest {
			best, fewest = r.copyRows(), n
		}
	}
	r.rows = best
	r.exchange()
}

func (r *chainRows) copyRows() [][]slot {
	out := make([][]slot, len(r.rows))
	for i, row := range r.rows {
		out[i] = slices.Clone(row)
	}
	return out
}

func (r *chainRows) byMean(row, other int) {
	type placed struct {
		slot
		mean float64
	}
	keyed := make([]placed, len(r.rows[row]))
	for i, s := range r.rows[row] {
		keyed[i].slot = s
		sum, n := 0.0, 0
		for j, o := range r.rows[other] {
			if other < row && r.leads(o, s) || other > row && r.leads(s, o) {
				sum += (float64(j) + 0.5) / float64(len(r.rows[other]))
				n++
			}
		}
		keyed[i].mean = (float64(i) + 0.5) / float64(len(r.rows[row]))
		if n > 0 {
			keyed[i].mean = sum / float64(n)
		}
	}
	slices.SortStableFunc(keyed, func(a, b placed) int { return cmp.Compare(a.mean, b.mean) })
	for i := range keyed {
		r.rows[row][i] = keyed[i].slot
	}
}

func (r *chainRows) crossings() int {
	sum := 0
	for row := 1; row < len(r.rows); row++ {
		sum += r.crossingsAbove(row)
	}
	return sum
}

// crossingsAbove counts the pairs of links between a row and the one above it that cross.
func (r *chainRows) crossingsAbove(row int) int {
	var links [][2]int
	for i, a := range r.rows[row-1] {
		for j, b := range r.rows[row] {
			if r.leads(a, b) {
				links = append(links, [2]int{i, j})
			}
		}
	}
	sum := 0
	for i, a := range links {
		for _, b := range links[:i] {
			if (a[0]-b[0])*(a[1]-b[1]) < 0 {
				sum++
			}
		}
	}
	return sum
}

// exchange swaps neighbours as long as that saves crossings.
func (r *chainRows) exchange() {
	around := func(row int) int {
		sum := 0
		if row > 0 {
			sum += r.crossingsAbove(row)
		}
		if row+1 < len(r.rows) {
			sum += r.crossingsAbove(row + 1)
		}
		return sum
	}
	for better := true; better; {
		better = false
		for row := range r.rows {
			for i := 1; i < len(r.rows[row]); i++ {
				before := around(row)
				s := r.rows[row]
				s[i-1], s[i] = s[i], s[i-1]
				if around(row) < before {
					better = true
					continue
				}
				s[i-1], s[i] = s[i], s[i-1]
			}
		}
	}
}
