package belief

import (
	"math/rand/v2"
	"slices"
)

// invented is knowledge of the size and shape the packs are meant to have, for K carburetors: 72 causes and 36 effects each, 50 + 20
// shared, 200 findings each and 150 about the whole machine; five trunk effects reach every carburetor, what is reported about the
// machine hangs on six summaries. All numbers are invented.
type invented struct {
	*model
	local   [][]int    // findings of each carburetor
	numbers [][][4]int // measurements of each carburetor: much too high, too high, too low, much too low
	machine []int
}

func invent(rng *rand.Rand, carburetors, numbers int) *invented {
	const subsystems, causesEach, effectsEach, hubs, trunk = 6, 12, 5, 6, 5
	const sharedCauses, sharedEffects, localFindings, machineFindings = 50, 20, 200, 150
	const localCauses, localEffects = subsystems * causesEach, subsystems * effectsEach
	in := &invented{model: new(model)}
	sc, se := make([]int, sharedCauses), make([]int, sharedEffects)
	for i := range sc {
		sc[i] = in.add(cause, 0.01, -1)
	}
	c := make([][]int, carburetors)
	for k := range c {
		for range localCauses {
			c[k] = append(c[k], in.add(cause, 0.01, k))
		}
	}
	for j := range se {
		se[j] = in.add(effect, 0.001, -1)
		for _, i := range rng.Perm(sharedCauses)[:1+rng.IntN(4)] {
			in.link(sc[i], se[j], 0.8)
		}
	}
	// The wiring is the same in every carburetor.
	causeMakes := make([][]int, localCauses)
	for i := range causeMakes {
		s := i / causesEach
		es := []int{s*effectsEach + max(0, rng.IntN(7)-2)}
		if rng.Float64() < 0.25 {
			es = append(es, s*effectsEach+rng.IntN(effectsEach))
		}
		if rng.Float64() < 0.05 {
			es = append(es, rng.IntN(localEffects))
		}
		slices.Sort(es)
		causeMakes[i] = slices.Compact(es)
	}
	hubFrom, hubTrunk := make([][]int, hubs), make([][]int, hubs)
	for h := range hubs {
		from := []int{rng.IntN(localEffects)}
		for _, s := range rng.Perm(subsystems)[:2] {
			from = append(from, s*effectsEach)
		}
		slices.Sort(from)
		hubFrom[h] = slices.Compact(from)
		hubTrunk[h] = rng.Perm(trunk)[:1+rng.IntN(2)]
	}
	e := make([][]int, carburetors)
	for k := range e {
		for range localEffects {
			e[k] = append(e[k], in.add(effect, 0.001, k))
		}
		for i, es := range causeMakes {
			for _, j := range es {
				in.link(c[k][i], e[k][j], 0.8)
			}
		}
		for h := range hubs {
			v := in.add(effect, 0.001, k)
			for _, j := range hubFrom[h] {
				in.link(e[k][j], v, 0.7)
			}
			for _, j := range hubTrunk[h] {
				in.link(se[j], v, 0.7)
			}
			e[k] = append(e[k], v)
		}
	}
	summary := make([]int, hubs)
	for h := range summary {
		summary[h] = in.add(effect, 0.001, carburetors)
		for k := range e {
			in.link(e[k][localEffects+h], summary[h], 0.95)
		}
	}
	in.addFindings(rng, c, e, localFindings, localEffects, effectsEach, subsystems)
	in.addNumbers(rng, e, numbers, effectsEach, subsystems)
	for range machineFindings {
		f := in.add(finding, 0.02, carburetors)
		in.machine = append(in.machine, f)
		switch r := rng.Float64(); {
		case r < 0.4:
			in.link(sc[rng.IntN(sharedCauses)], f, 0.8)
		case r < 0.6:
			in.link(se[rng.IntN(sharedEffects)], f, 0.8)
		default:
			in.link(summary[rng.IntN(hubs)], f, 0.6)
		}
	}
	return in
}

func (in *invented) addFindings(rng *rand.Rand, c, e [][]int, findings, localEffects, effectsEach, subsystems int) {
	in.local = make([][]int, len(c))
	for range findings {
		var from [][]int
		switch r := rng.Float64(); {
		case r < 0.4:
			i := rng.IntN(len(c[0]))
			for k := range c {
				from = append(from, []int{c[k][i]})
			}
		case r < 0.92:
			j := rng.IntN(len(e[0]))
			for k := range e {
				from = append(from, []int{e[k][j]})
			}
		default:
			s := rng.IntN(subsystems) * effectsEach
			d := 1 + rng.IntN(effectsEach-1)
			for k := range e {
				from = append(from, []int{e[k][s], e[k][s+d]})
			}
		}
		for k := range from {
			f := in.add(finding, 0.02, k)
			for _, u := range from[k] {
				in.link(u, f, 0.75)
			}
			in.local[k] = append(in.local[k], f)
		}
	}
}

// addNumbers adds measurements cut into bands: two effects of one subsystem make them too high or too low.
func (in *invented) addNumbers(rng *rand.Rand, e [][]int, numbers, effectsEach, subsystems int) {
	in.numbers = make([][][4]int, len(e))
	for range numbers {
		s := rng.IntN(subsystems) * effectsEach
		d := rng.Perm(effectsEach)
		for k := range e {
			var bands [4]int
			for i, l := range []float64{0.4, 0.8, 0.8, 0.4} {
				bands[i] = in.add(finding, 0.02, k)
				in.link(e[k][s+d[i/2]], bands[i], l)
			}
			in.numbers[k] = append(in.numbers[k], bands)
		}
	}
}

// reading reports a measurement with some doubt: half of the weight on a neighbouring band, one blunder in fifty. Masking order: much
// too high, much too low, too high, too low, right.
func (in *invented) reading(x []bool, b [4]int) fact {
	band := func(high2, high, low, low2 bool) int {
		switch {
		case high2:
			return 0
		case low2:
			return 4
		case high:
			return 1
		case low:
			return 3
		}
		return 2
	}
	shown := band(x[b[0]], x[b[1]], x[b[2]], x[b[3]])
	w := make([]float64, 16)
	for p := range w {
		d := band(p&1 != 0, p&2 != 0, p&4 != 0, p&8 != 0) - shown
		w[p] = 0.02 / 5
		if d == 0 {
			w[p] += 0.98 * 0.8
		} else if d*d == 1 {
			w[p] += 0.98 * 0.1
		}
	}
	return fact{nodes: b[:], w: w}
}

// sheet draws a few faults, lets the findings follow, and records what is seen of nm machine findings and nl at each carburetor.
func (in *invented) sheet(rng *rand.Rand, nm, nl, nn int) []fact {
	x := make([]bool, len(in.kind))
	cs := in.nodes(cause)
	for range 1 + rng.IntN(3) {
		x[cs[rng.IntN(len(cs))]] = true
	}
	for v, k := range in.kind {
		if k == cause {
			continue
		}
		q := 1 - in.p[v]
		for _, l := range in.links[v] {
			if x[l.from] {
				q *= 1 - l.l
			}
		}
		x[v] = rng.Float64() > q
	}
	var facts []fact
	look := func(from []int, n int) {
		for _, i := range rng.Perm(len(from))[:n] {
			if f := from[i]; x[f] {
				facts = append(facts, seen(f))
			} else {
				facts = append(facts, notSeen(f))
			}
		}
	}
	look(in.machine, nm)
	for k := range in.local {
		look(in.local[k], nl)
		for _, i := range rng.Perm(len(in.numbers[k]))[:nn] {
			facts = append(facts, in.reading(x, in.numbers[k][i]))
		}
	}
	return facts
}

var sheets = []struct {
	name                    string
	machine, local, numbers int
}{{"rider", 15, 0, 0}, {"intake", 15, 6, 0}, {"bench", 60, 40, 0}, {"all", 150, 200, 0}, {"measured", 150, 200, 12}}
