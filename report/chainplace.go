package report

import (
	"math"
	"slices"
)

// place gives every slot its place across: as near to what it is joined to as its neighbours allow.
func (r *chainRows) place() {
	for row := range r.rows {
		r.settle(row, make([]float64, len(r.rows[row])), nil)
	}
	for i := range sweeps {
		if i%2 == 0 {
			for row := 1; row < len(r.rows); row++ {
				r.towards(row, row-1)
			}
		} else {
			for row := len(r.rows) - 2; row >= 0; row-- {
				r.towards(row, row+1)
			}
		}
	}
	for row := 1; row < len(r.rows); row++ {
		r.towards(row, row-1)
		r.clear(row)
	}
}

// number numbers the lines that run past a row, from the top, and sets the number at their arrows: a line that runs far is
// hard to follow.
func (r *chainRows) number() {
	far := func(l chainLink) bool { return r.row[l.to] > r.row[l.from]+1 }
	numbers := 0
	for _, row := range r.rows {
		for _, s := range row {
			if !s.track && slices.ContainsFunc(r.out[s.node], far) {
				numbers++
				r.boxes[s.node].number = numbers
			}
		}
	}
	for n, b := range r.boxes {
		for i, l := range r.into[n] {
			if far(l) {
				b.words[i].number = r.boxes[l.from].number
			}
		}
	}
}

// straight is how much more a track wants to stay in line than a box.
const straight = 4.0

// towards moves the slots of a row towards what they are joined to in another.
func (r *chainRows) towards(row, other int) {
	wish := make([]float64, len(r.rows[row]))
	weight := make([]float64, len(wish))
	for i, s := range r.rows[row] {
		sum, n := 0.0, 0.0
		for _, o := range r.rows[other] {
			if other < row && r.leads(o, s) || other > row && r.leads(s, o) {
				sum += o.x
				n++
			}
		}
		wish[i], weight[i] = s.x, 1
		if n > 0 {
			wish[i] = sum / n
		}
		if s.track {
			weight[i] = straight
		}
	}
	r.settle(row, wish, weight)
}

// settle puts the slots of a row as near to their wishes as possible, in their order, without overlap and within the budget.
func (r *chainRows) settle(row int, wish, weight []float64) {
	slots := r.rows[row]
	apart := make([]float64, len(slots))
	for i := 1; i < len(slots); i++ {
		apart[i] = r.half(slots[i-1]) + r.half(slots[i]) + gapBetween(slots[i-1], slots[i])
	}
	last := len(slots) - 1
	for i, x := range spread(wish, weight, apart, r.half(slots[0]), r.budget-r.half(slots[last])) {
		slots[i].x = x
	}
}

func (r *chainRows) half(s slot) float64 {
	if s.track {
		return trackRoom / 2
	}
	return r.boxes[s.node].w / 2
}

func gapBetween(a, b slot) float64 {
	switch {
	case a.track && b.track:
		return 0
	case a.track || b.track:
		return trackGap
	}
	return boxGap
}

// clear moves each track of a row a little, within its own room, to stay in line with what it comes from, or else clear of the
// other lines that come down to the row: no two lines of different boxes run on top of each other.
func (r *chainRows) clear(row int) {
	for i, s := range r.rows[row] {
		if !s.track {
			continue
		}
		wish := s.x
		var taken []float64
		for _, o := range r.rows[row-1] {
			if o.node == s.node {
				wish = o.x
			} else {
				taken = append(taken, o.x)
			}
		}
		r.rows[row][i].x = clearOf(wish, s.x-leastSpace, s.x+leastSpace, taken)
	}
}

// clearOf returns the place nearest to wish, from lo to hi, that keeps leastSpace from all that is taken. Where there is none it
// returns the best.
func clearOf(wish, lo, hi float64, taken []float64) float64 {
	room := func(x float64) float64 {
		least := math.Inf(1)
		for _, t := range taken {
			least = min(least, math.Abs(x-t))
		}
		return least
	}
	wish = min(max(wish, lo), hi)
	best := wish
	try := []float64{wish, lo, hi}
	for _, t := range taken {
		try = append(try, t-leastSpace, t+leastSpace)
	}
	for _, x := range try {
		if x < lo || x > hi {
			continue
		}
		a, b := min(room(x), leastSpace), min(room(best), leastSpace)
		if a > b || a == b && math.Abs(x-wish) < math.Abs(best-wish) {
			best = x
		}
	}
	return best
}

// spread solves: places x in order, x[i] at least apart[i] after x[i-1], the first not below lo and the last not above hi, with
// the least sum of weight·(x-wish)². Taking the distances off leaves a least-squares fit in ascending order, found by pooling
// neighbours that violate it (Ayer et al., Annals of Mathematical Statistics 26, 1955, p. 641-647); the fit for bounded places is
// that fit cut at the bounds. Where lo and hi leave no room, lo holds. A nil weight counts 1 for each.
func spread(wish, weight, apart []float64, lo, hi float64) []float64 {
	type pool struct {
		sum, weight float64
		size        int
	}
	var pools []pool
	offset := make([]float64, len(wish))
	for i := range wish {
		if i > 0 {
			offset[i] = offset[i-1] + apart[i]
		}
		w := 1.0
		if weight != nil {
			w = weight[i]
		}
		p := pool{w * (wish[i] - offset[i]), w, 1}
		for len(pools) > 0 && pools[len(pools)-1].sum/pools[len(pools)-1].weight >= p.sum/p.weight {
			q := pools[len(pools)-1]
			pools = pools[:len(pools)-1]
			p = pool{p.sum + q.sum, p.weight + q.weight, p.size + q.size}
		}
		pools = append(pools, p)
	}
	if len(offset) > 0 {
		hi -= offset[len(offset)-1]
	}
	out := make([]float64, 0, len(wish))
	for _, p := range pools {
		for range p.size {
			out = append(out, max(lo, min(hi, p.sum/p.weight))+offset[len(out)])
		}
	}
	return out
}
