package report

import (
	"fmt"

	"pgregory.net/rapid"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// draw makes diagnoses of every shape: any number of places, causes, notices and questions, short and endless texts.
type draw struct{ t *rapid.T }

var sampleWords = []string{
	"fuel", "stands", "too", "high", "in", "the", "bowl", "carburetor", "Vergaserschwimmernadelventil", "宮", "côté", "22.5 mm", "*", "a|b",
	"supercalifragilisticexpialidocious-and-then-some-more-letters-without-any-space-at-all-whatsoever-indeed",
}

// words draws a text of up to most words.
func (d draw) words(label string, least, most int) string {
	s := ""
	for i, w := range rapid.SliceOfN(rapid.SampledFrom(sampleWords), least, most).Draw(d.t, label) {
		if i > 0 {
			s += " "
		}
		s += w
	}
	return s
}

func (d draw) n(label string, least, most int) int {
	return rapid.IntRange(least, most).Draw(d.t, label)
}

func (d draw) p(label string) float64 { return rapid.Float64Range(0, 1).Draw(d.t, label) }

func (d draw) observation(i int) *symptoms.Observation {
	o := &symptoms.Observation{
		ID: fmt.Sprintf("observation_%d", i), Question: d.words("question", 1, 20), Where: symptoms.Observed,
		About: symptoms.Level(d.n("about", 0, 2)), Kind: symptoms.Kind(d.n("kind", 0, 2)), Unit: "mm",
	}
	for j := range d.n("words", 0, 6) {
		o.Words = append(o.Words, symptoms.Word{Word: fmt.Sprintf("word-%d", j), Means: "a meaning"})
	}
	return o
}

func (d draw) machine() symptoms.Machine {
	m := symptoms.Machine{Name: d.words("name", 0, 12), Strokes: 4}
	for i := range d.n("carburetors", 1, 6) {
		name := fmt.Sprint(i + 1)
		if d.n("named", 0, 1) == 1 {
			name = fmt.Sprint(d.words("place", 1, 3), i)
		}
		m.Carburetors = append(m.Carburetors, name)
	}
	m.Cylinders = m.Carburetors
	return m
}

// places draws places for a level, one for the machine.
func (d draw) places(m *symptoms.Machine, l symptoms.Level) []engine.Place {
	var out []engine.Place
	for _, name := range m.Places(l) {
		out = append(out, engine.Place{Level: l, Name: name})
	}
	if out == nil {
		out = []engine.Place{{}}
	}
	return out
}

func (d draw) diagnosis() *engine.Diagnosis {
	sheet := &symptoms.Sheet{Path: d.words("path", 0, 2), Job: d.words("job", 0, 3), Machine: d.machine()}
	x := &engine.Diagnosis{Sheet: sheet}
	if d.n("read", 0, 1) == 1 {
		sheet.Readings = []symptoms.Reading{{Observation: d.observation(0)}}
	}
	for i := range d.n("causes", 0, 12) {
		x.Ranked = append(x.Ranked, d.ranked(&sheet.Machine, i))
	}
	for i := range d.n("stops", 0, 3) {
		for _, pl := range d.places(&sheet.Machine, symptoms.Level(d.n("stop about", 0, 1))) {
			x.Stops = append(x.Stops, engine.Stop{Place: pl, Because: []string{d.words("because", 1, 10)}, Stop: &rules.Stop{
				ID: fmt.Sprint("stop-", i), Title: d.words("stop", 1, 14), Do: d.words("do", 1, 30), Caution: d.words("caution", 0, 30),
			}})
		}
	}
	for i := range d.n("unasked", 0, 6) {
		o := d.observation(i)
		for _, pl := range d.places(&sheet.Machine, o.About) {
			x.Unasked = append(x.Unasked, engine.Question{Observation: o, Place: pl})
		}
	}
	for range d.n("warnings", 0, 4) {
		x.Warnings = append(x.Warnings, engine.Warning{Kind: engine.LittleSaid, Text: d.words("warning", 1, 25), Remedy: d.words("remedy", 1, 15)})
	}
	d.work(x)
	return x
}

func (d draw) work(x *engine.Diagnosis) {
	m := &x.Sheet.Machine
	for range d.n("checks", 0, 2) {
		c := engine.Check{Place: d.places(m, symptoms.Carburetor)[0], Check: &rules.Check{
			ID: "check", Title: d.words("check", 1, 15), How: d.words("how", 1, 60), Minutes: float64(d.n("minutes", 1, 90)),
			Tools: []string{d.words("tool", 1, 6)}, Caution: d.words("check caution", 0, 60),
		}}
		if len(x.Unasked) > 0 {
			c.Questions = x.Unasked[:1]
		}
		x.Checks = append(x.Checks, c)
	}
	for range d.n("repairs", 0, 2) {
		x.Repairs = append(x.Repairs, engine.Repair{For: d.causes(x), Place: d.places(m, symptoms.Carburetor)[0], Probability: d.p("cures"), Repair: &rules.Repair{
			ID: "repair", Title: d.words("repair", 1, 15), How: d.words("repair how", 1, 30), Minutes: 30, Caution: d.words("repair caution", 0, 60),
		}})
	}
}

// causes draws what a repair is for: now and then the first cause.
func (d draw) causes(x *engine.Diagnosis) []*engine.Cause {
	if len(x.Ranked) == 0 || d.n("for the first", 0, 1) == 0 {
		return nil
	}
	return x.Ranked[0].Places[:1]
}

func (d draw) ranked(m *symptoms.Machine, i int) *engine.Ranked {
	c := &rules.Cause{ID: fmt.Sprint("cause-", i), Title: d.words("title", 1, 16), About: symptoms.Level(d.n("cause about", 0, 2)), System: "float"}
	r := &engine.Ranked{Cause: c, Anywhere: d.p("anywhere"), Prior: d.p("prior")}
	if d.n("sure", 0, 1) == 1 {
		r.Anywhere = 0.95
	}
	for _, pl := range d.places(m, c.About) {
		r.Places = append(r.Places, &engine.Cause{Cause: c, Place: pl, Probability: d.p("probability"), Anywhere: r.Anywhere})
	}
	if d.n("reasoned", 0, 1) == 1 {
		w := engine.Weight{Alone: 40 * d.p("alone"), Rest: 40 * d.p("rest")}
		w.Evidence = engine.Evidence{Observation: d.observation(i), Place: r.Places[0].Place, Answer: d.words("answer", 1, 4)}
		r.For = []engine.Weight{w}
	}
	return r
}
