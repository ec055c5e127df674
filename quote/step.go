package quote

import (
	"math"
	"slices"

	"github.com/bojanz/currency"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Step is work that is done in one go.
type Step struct {
	Work  []Work
	Lines []Line
	// Sum is the sum of Lines, without the amounts that are missing.
	Sum currency.Amount
	// Needed is the probability that it comes to this step; 1 for the first. Right is the probability that the machine is right
	// after it.
	Needed, Right float64
	// Running is the total of this step and all before it.
	Running Total
}

// Work is a repair with all the places at which it is done in one step.
type Work struct {
	*rules.Repair
	Places []engine.Place
	// For lists the causes that it is for, likeliest first; none when it must only come before another repair.
	For []*engine.Cause
}

// LineKind says what a line charges.
type LineKind string

// The kinds of lines, in the order in which they stand in a step.
const (
	Diagnosis   LineKind = "diagnosis"   // time to find the fault
	Checking    LineKind = "check"       // a check that must come before a repair
	Opening     LineKind = "access"      // a strip-down, both ways
	Labour      LineKind = "labour"      // a repair or adjustment
	PartFitted  LineKind = "part"        // a part that a repair fits
	PartRenewed LineKind = "renewed"     // a gasket or ring that an opening uses up
	Consumed    LineKind = "consumables" // cleaning agents and the like
	Minimum     LineKind = "minimum"     // up to the least charge for a job
)

// Line is one line of work or money.
type Line struct {
	Kind LineKind
	// ID is that of the check, strip-down, repair or part; empty for the others.
	ID, Text string
	Places   []engine.Place
	// Minutes are those of labour, as charged; Number is how many parts.
	Minutes float64
	Number  int
	// Each is the price of an hour or of a part, Amount that of the line, rounded. Both are unset when Missing.
	Each, Amount currency.Amount
	// Missing says that the price of the part is not known.
	Missing bool
}

// step writes down the tasks of one step; the first one has the diagnosis in it.
func (w *work) step(tasks []*task, first bool) Step {
	s := Step{}
	if first && w.prices.DiagnosisMinutes > 0 {
		s.Lines = append(s.Lines, Line{Kind: Diagnosis, Text: "Find the fault", Minutes: w.prices.DiagnosisMinutes})
	}
	s.Lines = append(s.Lines, w.checkLines(tasks)...)
	s.Lines = append(s.Lines, w.openingLines(tasks)...)
	for _, t := range tasks {
		i := slices.IndexFunc(s.Work, func(x Work) bool { return x.Repair == t.repair })
		if i < 0 {
			i = len(s.Work)
			s.Work = append(s.Work, Work{Repair: t.repair})
			s.Lines = append(s.Lines, Line{Kind: Labour, ID: t.repair.ID, Text: t.repair.Title})
		}
		s.Work[i].Places = append(s.Work[i].Places, t.place)
		for _, c := range t.cures {
			s.Work[i].For = append(s.Work[i].For, w.faults.Over[c.fault])
		}
		line := &s.Lines[slices.IndexFunc(s.Lines, func(l Line) bool { return l.Kind == Labour && l.ID == t.repair.ID })]
		line.Places = append(line.Places, t.place)
		line.Minutes += w.own(t)
	}
	s.Lines = append(s.Lines, w.partLines(tasks)...)
	for i := range s.Work {
		s.Work[i].Places = inOrder(w.machine(), s.Work[i].Places)
		slices.SortStableFunc(s.Work[i].For, func(a, b *engine.Cause) int { return engine.Descending(a.Probability, b.Probability) })
	}
	for i := range s.Lines {
		s.Lines[i].Places = inOrder(w.machine(), s.Lines[i].Places)
		if step := float64(w.prices.StepMinutes); step > 0 {
			s.Lines[i].Minutes = math.Ceil(s.Lines[i].Minutes/step-1e-9) * step
		}
	}
	if first && w.prices.ConsumablesPercent == "" && len(tasks) > 0 && w.prices.Consumables.IsPositive() {
		s.Lines = append(s.Lines, Line{Kind: Consumed, Text: consumables, Amount: w.prices.Consumables})
	}
	return s
}

const consumables = "Consumables: cleaning agent, grease, rags, disposal"

// checkLines lists the checks that must come before a repair, unless the sheet has their answers.
func (w *work) checkLines(tasks []*task) []Line {
	var out []Line
	for _, t := range tasks {
		for _, id := range t.repair.After {
			c, ok := w.k.Check(id)
			if !ok {
				continue
			}
			for _, place := range related(w.machine(), c.About, t.place) {
				if at := (checkAt{c, place}); !slices.Contains(w.checked, at) && !w.told(at) {
					w.checked = append(w.checked, at)
					out = collect(out, Line{Kind: Checking, ID: c.ID, Text: c.Title, Minutes: c.Minutes}, place)
				}
			}
		}
	}
	return out
}

// told reports whether the sheet has all that a check would observe.
func (w *work) told(at checkAt) bool {
	for _, id := range at.check.Observes {
		if !slices.ContainsFunc(w.sheet.Readings, func(r symptoms.Reading) bool {
			return r.Observation.ID == id && (r.Scope == symptoms.Whole || r.Scope == symptoms.At && r.Place == at.place.Name)
		}) {
			return false
		}
	}
	return true
}

// openingLines lists every strip-down once.
func (w *work) openingLines(tasks []*task) []Line {
	var out []Line
	opened := map[opening]struct{}{}
	for _, t := range tasks {
		for _, o := range w.openings(t) {
			a, minutes := w.access(o.access), w.strip(o.access)
			if _, ok := opened[o]; ok || minutes == 0 {
				continue
			}
			opened[o] = struct{}{}
			out = collect(out, Line{Kind: Opening, ID: a.ID, Text: a.Title, Minutes: minutes}, o.place)
		}
	}
	return out
}

// collect adds a line at a place to the line of the same thing at other places, where there is one.
func collect(lines []Line, l Line, place engine.Place) []Line {
	i := slices.IndexFunc(lines, func(x Line) bool { return x.Kind == l.Kind && x.ID == l.ID })
	if i < 0 {
		l.Places = []engine.Place{place}
		return append(lines, l)
	}
	lines[i].Minutes += l.Minutes
	lines[i].Number += l.Number
	lines[i].Places = append(lines[i].Places, place)
	return lines
}

// partLines lists the parts: what the repairs fit, once for each place in the whole job, and what the openings use up.
func (w *work) partLines(tasks []*task) []Line {
	var out []Line
	here := map[fitting]struct{}{}
	for _, t := range tasks {
		for _, id := range t.repair.Parts {
			f := fitting{id, t.place}
			if _, ok := w.fitted[f]; ok {
				continue
			}
			w.fitted[f], here[f] = struct{}{}, struct{}{}
			out = collect(out, w.partLine(PartFitted, id), t.place)
		}
	}
	for _, t := range tasks {
		for _, o := range w.openings(t) {
			for _, r := range Renewals() {
				if r.Access != o.access {
					continue
				}
				for _, place := range related(w.machine(), r.At, o.place) {
					if w.covered(here, append([]string{r.Part}, r.Within...), place) {
						continue
					}
					here[fitting{r.Part, place}] = struct{}{}
					out = collect(out, w.partLine(PartRenewed, r.Part), place)
				}
			}
		}
	}
	return out
}

// covered reports whether one of some parts is fitted in this step at a place or one that belongs to it.
func (w *work) covered(here map[fitting]struct{}, parts []string, place engine.Place) bool {
	for f := range here {
		if slices.Contains(parts, f.part) && belong(w.machine(), f.place, place) {
			return true
		}
	}
	return false
}

func (w *work) partLine(kind LineKind, id string) Line {
	l := Line{Kind: kind, ID: id, Text: id, Number: 1}
	if part, ok := w.k.Part(id); ok {
		l.Text = part.Title
	}
	return l
}

// price fills in the amounts of a step.
func (t *till) price(q *Quote, s *Step) {
	labour := t.zero()
	for i := range s.Lines {
		l := &s.Lines[i]
		switch l.Kind {
		case PartFitted, PartRenewed:
			each, ok := q.Prices.Price(l.ID)
			if l.Missing = !ok; l.Missing {
				if !slices.Contains(q.Missing, l.ID) {
					q.Missing = append(q.Missing, l.ID)
				}
				continue
			}
			l.Each, l.Amount = each, t.times(each, float64(l.Number)).Round()
		case Diagnosis, Checking, Opening, Labour:
			l.Each, l.Amount = q.Prices.Rate, t.labour(q.Prices.Rate, l.Minutes)
			labour = t.add(labour, l.Amount)
		}
	}
	if q.Prices.ConsumablesPercent != "" && len(s.Work) > 0 {
		amount := t.percent(labour, q.Prices.ConsumablesPercent).Round()
		s.Lines = append(s.Lines, Line{Kind: Consumed, Text: consumables, Amount: amount})
	}
}

// sum adds the lines up.
func (s *Step) sum(t *till) currency.Amount {
	sum := t.zero()
	for _, l := range s.Lines {
		if !l.Missing {
			sum = t.add(sum, l.Amount)
		}
	}
	return sum
}
