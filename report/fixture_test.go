package report

import (
	"cmp"
	"os"
	"slices"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// knowledge loads the invented knowledge of testdata.
func knowledge(tb testing.TB) *rules.Set {
	tb.Helper()
	v, err := symptoms.ParseVocabulary("vocabulary.yaml", read(tb, "testdata/vocabulary.yaml"))
	if err != nil {
		tb.Fatal(err)
	}
	k, err := rules.Load(v, []rules.File{{Name: "knowledge.yaml", Data: read(tb, "testdata/knowledge.yaml")}})
	if err != nil {
		tb.Fatal(err)
	}
	return k
}

func read(tb testing.TB, path string) []byte {
	tb.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		tb.Fatal(err)
	}
	return data
}

// maker puts diagnoses together by hand. Its figures are invented: what they must do is look like figures.
type maker struct {
	tb testing.TB
	k  *rules.Set
	d  *engine.Diagnosis
}

func newMaker(tb testing.TB, m symptoms.Machine) *maker {
	return &maker{tb: tb, k: knowledge(tb), d: &engine.Diagnosis{Sheet: &symptoms.Sheet{Path: "testdata/sheets/x.yaml", Machine: m}}}
}

func (m *maker) observation(id string) *symptoms.Observation {
	o, ok := m.k.Vocabulary.Lookup(id)
	if !ok {
		m.tb.Fatalf("no observation %q", id)
	}
	return o
}

func (m *maker) rule(id string) *rules.Rule {
	r, ok := m.k.Rule(id)
	if !ok {
		m.tb.Fatalf("no rule %q", id)
	}
	return r
}

func (m *maker) cause(id string) *rules.Cause {
	c, ok := m.k.Cause(id)
	if !ok {
		m.tb.Fatalf("no cause %q", id)
	}
	return c
}

// heard enters a reading with the state of the rule that reads it.
func (m *maker) heard(observation, place, answer, rule string, s engine.State) engine.Evidence {
	o := m.observation(observation)
	scope := symptoms.At
	if place == "" {
		scope = symptoms.Whole
	}
	reading := symptoms.Reading{Observation: o, Scope: scope, Place: place, Value: symptoms.Value{Text: answer}}
	m.d.Sheet.Readings = append(m.d.Sheet.Readings, reading)
	m.d.Heard = append(m.d.Heard, engine.Heard{Reading: reading, Used: true, Rules: []*rules.Rule{m.rule(rule)}, States: []engine.State{s}})
	level := o.About
	if place == "" {
		level = 0
	}
	return engine.Evidence{Observation: o, Place: engine.Place{Level: level, Name: place}, Answer: answer, Rules: []*rules.Rule{m.rule(rule)}}
}

// rank enters a cause with its probability at each place, in the order of the machine's places.
func (m *maker) rank(id string, anywhere, prior float64, at ...float64) *engine.Ranked {
	c := m.cause(id)
	names := m.d.Sheet.Machine.Places(c.About)
	if names == nil {
		names = []string{""}
	}
	r := &engine.Ranked{Cause: c, Anywhere: anywhere, Prior: prior}
	for i, name := range names {
		x := &engine.Cause{Cause: c, Place: engine.Place{Level: c.About, Name: name}, Probability: at[i], Prior: c.Prior.Base, Anywhere: anywhere}
		r.Places = append(r.Places, x)
		m.d.Causes = append(m.d.Causes, x)
	}
	slices.SortStableFunc(r.Places, func(a, b *engine.Cause) int { return cmp.Compare(b.Probability, a.Probability) })
	for _, repair := range m.k.Repairs {
		if repair.Cures[0].To == id {
			r.Repairs = append(r.Repairs, repair.ID)
		}
	}
	m.d.Ranked = append(m.d.Ranked, r)
	return r
}

func (m *maker) done() *engine.Diagnosis {
	slices.SortStableFunc(m.d.Causes, func(a, b *engine.Cause) int {
		return cmp.Or(cmp.Compare(b.Probability, a.Probability), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Place.Name, b.Place.Name))
	})
	return m.d
}

func (m *maker) question(id, place string, gain float64, answers ...engine.Answer) engine.Question {
	o := m.observation(id)
	return engine.Question{Observation: o, Place: engine.Place{Level: o.About, Name: place}, Gain: gain, Answers: answers}
}

func (m *maker) check(id, place string, gain float64, questions ...engine.Question) {
	c, ok := m.k.Check(id)
	if !ok {
		m.tb.Fatalf("no check %q", id)
	}
	m.d.Checks = append(m.d.Checks, engine.Check{
		Check: c, Place: engine.Place{Level: c.About, Name: place}, Gain: gain, PerMinute: gain / c.Minutes, Questions: questions,
	})
}

func (m *maker) repair(id, place string, p float64, causes ...*engine.Cause) {
	r, ok := m.k.Repair(id)
	if !ok {
		m.tb.Fatalf("no repair %q", id)
	}
	x := engine.Repair{Repair: r, Place: engine.Place{Level: r.About, Name: place}, Probability: p, For: causes}
	for _, id := range r.Parts {
		if part, ok := m.k.Part(id); ok {
			x.Parts = append(x.Parts, part)
		}
	}
	m.d.Repairs = append(m.d.Repairs, x)
}

func (m *maker) effect(id, place string, p float64) {
	e, ok := m.k.Effect(id)
	if !ok {
		m.tb.Fatalf("no effect %q", id)
	}
	m.d.Effects = append(m.d.Effects, engine.Effect{Effect: e, Place: engine.Place{Level: e.About, Name: place}, Probability: p})
}

func (m *maker) stop(id string, because ...string) {
	s, ok := m.k.Stop(id)
	if !ok {
		m.tb.Fatalf("no stop notice %q", id)
	}
	m.d.Stops = append(m.d.Stops, engine.Stop{Stop: s, Because: because})
}

func twin() symptoms.Machine {
	return symptoms.Machine{
		Name: "parallel twin, 360 cm3", Strokes: 4, CarburetorKind: "constant-velocity",
		Carburetors: []string{"left", "right"}, Cylinders: []string{"left", "right"}, Feeds: []int{0, 1},
	}
}

// oneSideFloods is a twin whose left carburetor overflows.
func oneSideFloods(tb testing.TB) *engine.Diagnosis {
	m := newMaker(tb, twin())
	m.d.Sheet.Path, m.d.Sheet.Job = "testdata/sheets/one-side-floods.yaml", "1042"
	m.d.Sheet.History = []string{"after-rebuild"}
	m.d.Sheet.Tried = []symptoms.Tried{{Did: "renew-float", At: "right", After: "no-change"}}
	m.d.Sheet.Notes = []symptoms.Note{{Text: "Stood two winters.\nOwner says *both* taps were left open."}, {Place: "left", Text: "new gasket"}}
	overflow := m.heard("fuel_overflow", "left", "yes", "overflow-runs", engine.Seen)
	dry := m.heard("fuel_overflow", "right", "no", "overflow-runs", engine.NotSeen)
	black := m.heard("plug_look", "left", "black", "plug-black", engine.Seen)
	m.heard("idle", "", "hunts", "idle-hunts", engine.Seen)
	m.d.Heard[3].Used, m.d.Heard[3].Why = false, "no rule that applies to this machine reads it"

	needle := m.rank("needle-leaks", 0.8712, 0.18, 0.86, 0.0312)
	heavy := m.rank("float-heavy", 0.2134, 0.033, 0.21, 0.004)
	jet := m.rank("idle-jet-blocked", 0.1634, 0.16, 0.083, 0.084)
	m.rank("plug-fouled", 0.0781, 0.08, 0.04, 0.04)
	m.rank("air-cleaner-choked", 0.0092, 0.025, 0.0092)
	needle.For = []engine.Weight{
		{Evidence: overflow, Alone: 9.1, Rest: 4.2},
		{Evidence: black, Alone: 3.4, Rest: 1.05, ToldBy: []engine.Evidence{overflow}},
	}
	needle.Against = []engine.Weight{{Evidence: dry, Alone: 0.97, Rest: 0.91}}
	heavy.For = []engine.Weight{{Evidence: overflow, Alone: 7.8, Rest: 1.2, Through: needle.Places[0]}}
	jet.Against = []engine.Weight{{Evidence: black, Alone: 0.4, Rest: 0.6, Through: needle.Places[0]}}
	left := engine.Place{Level: symptoms.Carburetor, Name: "left"}
	level := engine.Node{Kind: "effect", ID: "level-high", Title: "Fuel stands too high", Place: left}
	needleNode := engine.Node{Kind: "cause", ID: "needle-leaks", Title: "Float needle valve does not seal", Place: left}
	cites := []rules.Cite{{Source: "handbook", At: "par. 31g"}}
	needle.Chain = []engine.Step{
		{From: needleNode, To: level, Word: "almost always", Chance: 0.95, Probability: 0.93, Cites: []rules.Cite{{Source: "handbook", At: "p. 12"}}},
		{From: level, To: engine.Node{Kind: "finding", ID: "overflow-runs", Title: "Fuel runs from the overflow", Place: left},
			Word: "usually", Chance: 0.85, State: engine.Seen, Answer: "yes", Cites: cites},
		{From: level, To: engine.Node{Kind: "finding", ID: "level-measured-high", Title: "Fuel level measures too high", Place: left},
			Word: "almost always", Chance: 0.95, Cites: []rules.Cite{{Source: rules.Memory}}},
	}
	m.effect("level-high", "left", 0.93)
	m.effect("mixture-rich", "", 0.71)

	high := engine.Answer{Text: "high", Probability: 0.9, Top: []engine.Likely{{ID: "needle-leaks", Title: "Float needle valve does not seal", Anywhere: 0.9}}}
	right := engine.Answer{Text: "right", Probability: 0.08, Top: []engine.Likely{{ID: "idle-jet-blocked", Title: "Idle jet is blocked", Anywhere: 0.17}}}
	q := m.question("fuel_level", "left", 0.41, high, right)
	m.d.Unasked = []engine.Question{
		q, m.question("plug_look", "right", 0.2), m.question("tap_kind", "", 0.12), m.question("oil_level_risen", "", 0.1),
	}
	m.d.Unasked[2].Circumstance = true
	m.check("measure-level", "left", 0.41, q)
	m.check("read-plug", "right", 0.2, m.d.Unasked[1])
	m.repair("renew-needle", "left", 0.83, needle.Places[0])
	m.repair("renew-float", "left", 0.2, heavy.Places[0])
	m.d.Warnings = []engine.Warning{{
		Kind: engine.NothingSeparates,
		Text: "nothing on the sheet so far separates \"Float needle valve does not seal\" from \"Float has taken up fuel\"", Remedy: "ask: How high does the fuel stand in the bowl?",
		Causes: []*engine.Ranked{needle, heavy},
	}}
	m.d.Effort = engine.Effort{Width: 6, Entries: 3120, Findings: 3, LogEvidence: -9.21}
	return m.done()
}

// nothingObserved is a single with an empty sheet.
func nothingObserved(tb testing.TB) *engine.Diagnosis {
	m := newMaker(tb, symptoms.Machine{Strokes: 4, Carburetors: []string{"1"}, Cylinders: []string{"1"}, Feeds: []int{0}})
	m.rank("idle-jet-blocked", 0.0833, 0.0833, 0.0833)
	m.rank("plug-fouled", 0.04, 0.04, 0.04)
	m.rank("needle-leaks", 0.0333, 0.0333, 0.0333)
	m.rank("air-cleaner-choked", 0.025, 0.025, 0.025)
	m.rank("float-heavy", 0.0099, 0.0099, 0.0099)
	starts := m.question("starts", "", 0.3, engine.Answer{Text: "yes", Probability: 0.8}, engine.Answer{Text: "no", Probability: 0.2})
	m.d.Unasked = []engine.Question{starts, m.question("idle", "", 0.25), m.question("fuel_overflow", "1", 0.2)}
	m.check("read-plug", "1", 0.2, m.question("plug_look", "1", 0.2))
	m.d.Warnings = []engine.Warning{{
		Kind: engine.LittleSaid, Text: "nothing on the sheet bears on any cause; the ranking is how often each is met", Remedy: "begin with: Does the engine start?",
	}}
	return m.done()
}

// fuelInOil is a twin that must not be run.
func fuelInOil(tb testing.TB) *engine.Diagnosis {
	d := oneSideFloods(tb)
	m := &maker{tb: tb, k: knowledge(tb), d: d}
	m.stop("fuel-in-oil", "Has the oil level risen, or does the oil smell of fuel: yes")
	return d
}

// sixCarburetors has every place of six observed, one of them under a wide name.
func sixCarburetors(tb testing.TB) *engine.Diagnosis {
	names := []string{"1", "2", "3", "4", "5", "宮"}
	m := newMaker(tb, symptoms.Machine{Name: "six in line", Strokes: 4, Carburetors: names, Cylinders: names, Feeds: []int{0, 1, 2, 3, 4, 5}})
	m.d.Sheet.Job = "77"
	var wet []engine.Evidence
	for _, n := range names {
		wet = append(wet, m.heard("plug_look", n, "black", "plug-black", engine.Seen))
	}
	level := m.heard("fuel_level", "2", "4.5 mm", "level-measured-high", engine.Doubtful)
	needle := m.rank("needle-leaks", 0.998, 0.35, 0.31, 0.995, 0.29, 0.3, 0.28, 0.27)
	needle.For = []engine.Weight{{Evidence: level, Alone: 18.4, Rest: 22.9}, {Evidence: wet[1], Alone: 2.9, Rest: 2.1}}
	m.rank("float-heavy", 0.41, 0.1, 0.08, 0.19, 0.08, 0.08, 0.08, 0.07).For = []engine.Weight{{Evidence: level, Alone: 12, Rest: 1.4, Through: needle.Places[0]}}
	m.rank("plug-fouled", 0.24, 0.22, 0.042, 0.042, 0.042, 0.042, 0.042, 0.042)
	m.rank("idle-jet-blocked", 0.05, 0.3, 0.009, 0.008, 0.009, 0.008, 0.009, 0.007)
	m.rank("air-cleaner-choked", 0.03, 0.025, 0.03)
	m.check("measure-level", "1", 0.5, m.question("fuel_level", "1", 0.5))
	m.d.Unasked = []engine.Question{m.question("fuel_overflow", "宮", 0.6), m.question("fuel_overflow", "1", 0.5)}
	m.d.Warnings = []engine.Warning{{Kind: engine.SetAside, Text: "2 answers were set aside to keep the computation exact within its limit: plug_look at 3: black, plug_look at 4: black", Remedy: "raise the limit, or leave out answers that say little"}}
	m.d.Effort = engine.Effort{Width: 21, Entries: 2.1e6, Findings: 7, LogEvidence: -31.9, SetAside: wet[2:4]}
	return m.done()
}
