package quote

import (
	"cmp"
	"slices"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// comingBack is what a second visit costs besides the work itself, in minutes: the machine is got in, got out again, warmed up and
// tried. It decides what is done in the same go and is not charged. The figure is this project's own.
const comingBack = 30.0

// tie is the difference below which two probabilities count as equal, so that the order in which terms were added does not decide.
const tie = 1e-12

// worthDoing is the chance of being needed below which nothing is done in the same go, however short it is.
const worthDoing = 0.1

// task is a repair at a place.
type task struct {
	repair *rules.Repair
	place  engine.Place
	cures  []cure
}

// work chooses the repairs, step by step.
type work struct {
	*chances
	k      *rules.Set
	sheet  *symptoms.Sheet
	prices *Prices
	// around finds the opening that another lies inside of on this machine.
	around func(*rules.Access) (*rules.Access, bool)
	faults *engine.FaultSets
	tasks  []*task
	done   []*task
	// checked are the checks that stand in some step already, fitted the parts.
	checked []checkAt
	fitted  map[fitting]struct{}
}

type checkAt struct {
	check *rules.Check
	place engine.Place
}

// fitting is a part at a place.
type fitting struct {
	part  string
	place engine.Place
}

func newWork(k *rules.Set, d *engine.Diagnosis, p *Prices, f *engine.FaultSets) *work {
	w := &work{chances: newChances(f), k: k, sheet: d.Sheet, prices: p, faults: f, fitted: map[fitting]struct{}{}}
	machine := k.MachineCase(d.Sheet)
	w.around = func(a *rules.Access) (*rules.Access, bool) { return k.Around(a, machine) }
	for _, r := range k.Repairs {
		for _, place := range placesAt(w.machine(), r.About) {
			t := &task{repair: r, place: place, cures: w.curesOf(r, place)}
			if len(t.cures) > 0 && !w.failed(t) {
				w.tasks = append(w.tasks, t)
			}
		}
	}
	slices.SortStableFunc(w.tasks, func(a, b *task) int {
		return cmp.Or(cmp.Compare(a.repair.Minutes, b.repair.Minutes), cmp.Compare(a.repair.ID, b.repair.ID))
	})
	return w
}

func (w *work) machine() *symptoms.Machine { return &w.sheet.Machine }

// curesOf lists the faults that a repair at a place cures.
func (w *work) curesOf(r *rules.Repair, place engine.Place) []cure {
	var out []cure
	for i, c := range w.faults.Over {
		for _, l := range r.Cures {
			if l.To == c.ID && belong(w.machine(), place, c.Place) {
				out = append(out, cure{i, l.Chance})
			}
		}
	}
	return out
}

// failed reports whether the sheet says that a repair was tried there and did no good: it is not offered once more.
func (w *work) failed(t *task) bool {
	return slices.ContainsFunc(w.sheet.Tried, func(x symptoms.Tried) bool {
		return x.Did == t.repair.ID && (x.At == "" || x.At == t.place.Name) && (x.After == "no-change" || x.After == "worse")
	})
}

// next chooses the tasks of the next step and counts them as done; nil when no repair would cure as much as least.
func (w *work) next(least float64) []*task {
	lead, most := (*task)(nil), least
	for _, t := range w.open() {
		if s := w.share(t.cures); s > most+tie {
			lead, most = t, s
		}
	}
	if lead == nil {
		return nil
	}
	opened, notRight := map[opening]struct{}{}, 1-w.right()
	tasks := w.take(nil, lead, opened)
	for {
		t := w.companion(opened, notRight)
		if t == nil {
			return tasks
		}
		tasks = w.take(tasks, t, opened)
	}
}

// open lists the tasks that are not done yet.
func (w *work) open() []*task {
	return slices.DeleteFunc(slices.Clone(w.tasks), func(t *task) bool { return w.isDone(t.repair, t.place) })
}

func (w *work) isDone(r *rules.Repair, place engine.Place) bool {
	return slices.ContainsFunc(w.done, func(t *task) bool { return t.repair == r && t.place == place })
}

// companion returns the task that most wants to be done in the same go: doing it now takes no more minutes than coming back for it
// times the chance that it is needed.
func (w *work) companion(opened map[opening]struct{}, notRight float64) *task {
	best, most := (*task)(nil), worthDoing
	for _, t := range w.open() {
		need := w.needed(t.cures, notRight)
		now, later := w.minutes(t, opened), w.minutes(t, nil)+comingBack
		if need > most+tie && now <= need*later+tie {
			best, most = t, need
		}
	}
	return best
}

// take adds a task with the repairs that must come before it, and does them.
func (w *work) take(tasks []*task, t *task, opened map[opening]struct{}) []*task {
	w.done = append(w.done, t)
	for _, id := range t.repair.After {
		r, ok := w.k.Repair(id)
		if !ok {
			continue
		}
		for _, place := range related(w.machine(), r.About, t.place) {
			if !w.isDone(r, place) {
				tasks = w.take(tasks, &task{r, place, w.curesOf(r, place)}, opened)
			}
		}
	}
	w.do(t.cures)
	for _, o := range w.openings(t) {
		opened[o] = struct{}{}
	}
	return append(tasks, t)
}

// opening is a strip-down at the place that it reaches.
type opening struct {
	access string
	place  engine.Place
}

// openings lists the strip-downs that a task needs, outermost first.
func (w *work) openings(t *task) []opening {
	var out []opening
	for _, p := range w.opened(t) {
		out = w.way(out, w.access(t.repair.Opens), p)
	}
	return out
}

// opened lists the places that a task opens itself.
func (w *work) opened(t *task) []engine.Place {
	if t.repair.Opens == "" {
		return nil
	}
	return related(w.machine(), w.access(t.repair.Opens).About, t.place)
}

// way adds a strip-down after those that it lies inside of on this machine, each once. The outer ones are no part of the minutes of
// the repair.
func (w *work) way(out []opening, a *rules.Access, p engine.Place) []opening {
	chain := []*rules.Access{a}
	for outer, ok := w.around(a); ok; outer, ok = w.around(outer) {
		chain = append(chain, outer)
	}
	for _, access := range slices.Backward(chain) {
		for _, q := range related(w.machine(), access.About, p) {
			if o := (opening{access.ID, q}); !slices.Contains(out, o) {
				out = append(out, o)
			}
		}
	}
	return out
}

// own is how long a task takes once everything is open.
func (w *work) own(t *task) float64 { return w.beyond(t.repair, len(w.opened(t))) }

// minutes is how long a task takes when some things are open already.
func (w *work) minutes(t *task, opened map[opening]struct{}) float64 {
	m := w.own(t)
	for _, o := range w.openings(t) {
		if _, ok := opened[o]; !ok {
			m += w.strip(o.access)
		}
	}
	return m
}
