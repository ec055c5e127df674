package engine_test

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// nextPack is an invented pack with two causes of flooding and one of missing. Links are certain, so that the reasons for a complaint can be
// written down by hand; %s takes checks, repairs and access.
const nextPack = `
pack: next
text: Invented causes for the tests of the next step.
causes:
  - {id: valve-worn, title: The valve is worn, text: Invented., about: machine, system: float, prior: {base: 1 in 10}, makes: {stands-high: certain}, cites: SURE}
  - {id: float-heavy, title: The float is heavy, text: Invented., about: machine, system: float, prior: {base: 1 in 20}, makes: {stands-high: certain}, cites: SURE}
  - {id: plug-fouled, title: The plug is fouled, text: Invented., about: machine, system: ignition, prior: {base: 1 in 10}, makes: {sparks-badly: certain}, cites: SURE}
effects:
  - {id: stands-high, title: The fuel stands high, about: machine, otherwise: 1 in 1000, cites: SURE}
  - {id: sparks-badly, title: The spark is weak, about: machine, otherwise: 1 in 1000, cites: SURE}
rules:
  - {id: it-floods, title: It floods, about: machine, when: floods, seen_with: {stands-high: certain}, otherwise: 1 in 1000, why: Invented., cites: SURE}
  - {id: it-misses, title: It misses, about: machine, when: misses, seen_with: {sparks-badly: certain}, otherwise: 1 in 1000, why: Invented., cites: SURE}
  - {id: valve-looks-worn, title: The valve looks worn, about: machine, when: valve_look, seen_with: {valve-worn: almost always}, otherwise: 1 in 20, why: Invented., cites: SURE}
  - {id: float-looks-heavy, title: The float looks heavy, about: machine, when: float_look, seen_with: {float-heavy: almost always}, otherwise: 1 in 20, why: Invented., cites: SURE}
`

// sure is the cite that a certain link needs.
const sure = `[{source: common-practice, for: "physical necessity: invented for a test"}]`

func nextSet(t testing.TB, actions string) *rules.Set {
	t.Helper()
	v, err := symptoms.ParseVocabulary("next-vocabulary.yaml", read(t, "testdata/next-vocabulary.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	set, err := rules.Load(v, []rules.File{{Name: "next.yaml", Data: []byte(strings.ReplaceAll(nextPack, "SURE", sure) + actions)}})
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func nextStep(t testing.TB, set *rules.Set, s *symptoms.Sheet, o engine.StepOptions) *engine.Advice {
	t.Helper()
	a, err := engine.NextStep(set, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// what names a proposal: the ids of its actions.
func what(p engine.Proposal) string {
	var out []string
	for _, a := range p.Actions {
		switch {
		case a.Check != nil:
			out = append(out, a.Check.ID)
		case a.Repair != nil:
			out = append(out, a.Repair.ID)
		default:
			out = append(out, string(a.Kind))
		}
	}
	return strings.Join(out, "+")
}

const head = "sheet: 1\nmachine: {cylinders: 1}\n"

const (
	cites      = ", cites: [{source: common-practice, for: invented}]}\n"
	lookValve  = `  - {id: look-at-valve, title: Look, about: machine, observes: [valve_look], how: Look., minutes: %g` + cites
	lookFloat  = `  - {id: look-at-float, title: Look, about: machine, observes: [float_look], how: Look., minutes: %g` + cites
	renewValve = `  - {id: renew-valve, title: Renew, about: machine, cures: {valve-worn: almost always}, minutes: %g, how: Renew.` + cites
	renewFloat = `  - {id: renew-float, title: Renew, about: machine, cures: {float-heavy: almost always}, minutes: %g, how: Renew.` + cites
	cleanPlug  = `  - {id: clean-plug, title: Clean, about: machine, cures: {plug-fouled: almost always}, minutes: %g, how: Clean.` + cites
)

// policy finds the least expected time by trying everything: worlds are sets of causes (1 valve, 2 float, 4 something else) with
// probabilities that need not sum to one.
type policy struct {
	look   [2]float64 // minutes of the checks of valve and float
	repair [2]float64
	cure   float64
	shown  [2]float64 // P(seen | cause not there), P(seen | cause there)
	prior  [2]float64
}

func (p *policy) least(worlds [8]float64, done int) (minutes float64, first string) {
	all := 0.0
	for _, x := range worlds {
		all += x
	}
	best, first := engine.DefaultLastResort*all, "hand over"
	consider := func(minutes float64, name string) {
		if minutes < best {
			best, first = minutes, name
		}
	}
	for i := range 2 {
		if done>>i&1 == 0 && p.look[i] > 0 {
			var yes, no [8]float64
			for w, x := range worlds {
				q := p.shown[w>>i&1]
				if w == 4 { // with something else the reason, valve and float are as on any machine
					q = p.shown[0] + p.prior[i]*(p.shown[1]-p.shown[0])
				}
				yes[w], no[w] = x*q, x*(1-q)
			}
			ifYes, _ := p.least(yes, done|1<<i)
			ifNo, _ := p.least(no, done|1<<i)
			consider(p.look[i]*all+ifYes+ifNo, []string{"look-at-valve", "look-at-float"}[i])
		}
		if done>>(2+i)&1 == 0 {
			var bad [8]float64
			for w, x := range worlds {
				if w>>i&1 == 0 {
					bad[w] += x
					continue
				}
				bad[w] += x * (1 - p.cure)
				bad[w&^(1<<i)] += x * p.cure
			}
			bad[0] = 0 // the machine is good
			still, _ := p.least(bad, done|4<<i)
			consider(p.repair[i]*all+still, []string{"renew-valve", "renew-float"}[i])
		}
	}
	return best, first
}

// TestNextStepAgainstEnumeration compares the expected time, and the first step, with the best of all policies. Causes are 1 in 10 and
// 1 in 20, and flooding has 0.001 of itself and 0.001 from the finding: with x = 1-(1-0.001)² of "anyway", a set of causes is not the
// reason by the part x of its probability.
func TestNextStepAgainstEnumeration(t *testing.T) {
	almost, err := rules.ParseLikelihood("almost always")
	if err != nil {
		t.Fatal(err)
	}
	x := 1 - 0.999*0.999
	base := [8]float64{1: 0.1 * 0.95 * (1 - x), 2: 0.9 * 0.05 * (1 - x), 3: 0.1 * 0.05 * (1 - x)}
	base[4] = 0.9*0.95*x + (0.1*0.95+0.9*0.05+0.1*0.05)*x
	z := 0.0
	for _, b := range base {
		z += b
	}
	for i := range base {
		base[i] /= z
	}
	cases := []struct {
		name         string
		look, repair [2]float64
	}{
		{"checks cheap", [2]float64{2, 2}, [2]float64{40, 60}},
		{"checks dear", [2]float64{60, 60}, [2]float64{20, 30}},
		{"one repair cheap", [2]float64{50, 50}, [2]float64{100, 5}},
		{"float quick to look at", [2]float64{30, 1}, [2]float64{60, 60}},
		{"repairs hopeless", [2]float64{1, 1}, [2]float64{900, 900}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			set := nextSet(t, "checks:\n"+fmt.Sprintf(lookValve, c.look[0])+fmt.Sprintf(lookFloat, c.look[1])+
				"repairs:\n"+fmt.Sprintf(renewValve, c.repair[0])+fmt.Sprintf(renewFloat, c.repair[1]))
			a := nextStep(t, set, sheet(t, set, head+"observed: {floods: yes}"), engine.StepOptions{})
			p := &policy{look: c.look, repair: c.repair, cure: min(almost, 0.95), shown: [2]float64{0.05, 1 - 0.95*(1-almost)}, prior: [2]float64{0.1, 0.05}}
			want, first := p.least(base, 0)
			if !a.Reduced.Exact {
				t.Errorf("Exact = false; want a plan to the end for two checks and two repairs")
			}
			if got := a.Reduced.Expected; math.Abs(got-want) > 1e-9*want {
				t.Errorf("Expected = %.12g; want %.12g", got, want)
			}
			if got := what(a.Proposals[0]); got != first {
				t.Errorf("first step = %s; want %s", got, first)
			}
		})
	}
}

// TestAccessIsPaidOnce: two complaints, each with a certain reason of its own, and both repairs under one access. Done together they take
// the access once; apart, twice.
func TestAccessIsPaidOnce(t *testing.T) {
	opens := func(line string) string { return strings.Replace(line, ", how:", ", opens: lid-off, how:", 1) }
	actions := "repairs:\n" + opens(fmt.Sprintf(renewValve, 30.0)) + opens(fmt.Sprintf(cleanPlug, 25.0))
	access := "access:\n  - {id: lid-off, title: Take the lid off, about: machine, minutes: 20" + cites
	text := head + "observed: {floods: yes, misses: yes, float_look: no}"
	together, apart := nextSet(t, actions+access), nextSet(t, actions)
	a := nextStep(t, together, sheet(t, together, text), engine.StepOptions{})
	p := a.Proposals[0]
	if got := what(p); got != "clean-plug+renew-valve" && got != "renew-valve+clean-plug" {
		t.Fatalf("first step = %s; want both repairs together", got)
	}
	if want := 30.0 + 25 - 20; p.Minutes != want || p.Cost != want {
		t.Errorf("both take %g minutes, cost %g; want %g: the access is in both and paid once", p.Minutes, p.Cost, want)
	}
	if len(p.Opens) != 1 || p.Opens[0].ID != "lid-off" {
		t.Errorf("Opens = %v; want lid-off", p.Opens)
	}
	b := nextStep(t, apart, sheet(t, apart, text), engine.StepOptions{})
	if a.Reduced.Expected >= b.Reduced.Expected {
		t.Errorf("expected %g minutes with a shared access, %g without; want less", a.Reduced.Expected, b.Reduced.Expected)
	}
}

// TestSomethingElseIsNoBackgroundFault: a fault that is there as often as on any machine does not keep the job from ending.
func TestSomethingElseIsNoBackgroundFault(t *testing.T) {
	set := nextSet(t, "repairs:\n"+fmt.Sprintf(renewValve, 30.0)+fmt.Sprintf(cleanPlug, 25.0))
	a := nextStep(t, set, sheet(t, set, head+"observed: {floods: yes, float_look: no}"), engine.StepOptions{})
	if got := what(a.Proposals[0]); got != "renew-valve" {
		t.Errorf("first step = %s; want renew-valve", got)
	}
	for _, p := range a.Proposals {
		if strings.Contains(what(p), "clean-plug") {
			t.Errorf("%s is proposed on a machine that does not miss", what(p))
		}
	}
}

// samples are the sheets of the shop with the embedded knowledge.
func samples(t testing.TB) (*rules.Set, []*symptoms.Sheet) {
	t.Helper()
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	paths, err := filepath.Glob(shopSheets + "*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("Glob(%s) = %v, %v; want sheets", shopSheets, paths, err)
	}
	var out []*symptoms.Sheet
	for _, p := range paths {
		s, err := symptoms.Decode(p, read(t, p), set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, s)
	}
	return set, out
}

const total = 1e-9 // tolerance of sums over outcomes, and of an outcome against a diagnosis with it on the sheet

// TestOutcomesAreExact: over all sheets, outcomes sum to one; what an outcome means is what a diagnosis says with it written on the sheet; and
// over the outcomes the causes have their probability from before (law of total probability). The likeliest cause that a repair cures
// falls when it changed nothing, and none falls to zero. (The others may rise, since they now have more to explain.)
func TestOutcomesAreExact(t *testing.T) {
	set, sheets := samples(t)
	for i, s := range sheets {
		if testing.Short() && i > 2 {
			break
		}
		before, err := engine.Diagnose(set, s, engine.Options{Explain: -1, Questions: -1})
		if err != nil {
			t.Fatal(err)
		}
		a := nextStep(t, set, s, engine.StepOptions{Top: 2})
		for _, p := range a.Proposals {
			if p.Kind() == engine.HandOver {
				continue
			}
			name := filepath.Base(s.Path) + ": " + what(p)
			sum := 0.0
			mean := map[string]float64{}
			for i := range p.Outcomes {
				o := &p.Outcomes[i]
				sum += o.Probability
				if o.Cured {
					continue
				}
				after, err := engine.Diagnose(set, o.WriteOn(s), engine.Options{Explain: -1, Questions: -1})
				if err != nil {
					t.Fatal(err)
				}
				compareTop(t, name, o, after)
				for _, c := range after.Causes {
					mean[c.ID+"@"+c.Place.Name] += o.Probability * c.Probability
				}
				if p.Kind() == engine.DoRepair {
					repairFell(t, name, &p, before, after)
				}
			}
			if math.Abs(sum-1) > total {
				t.Errorf("%s: outcomes sum to %.15g; want 1", name, sum)
			}
			if p.Kind() == engine.DoRepair {
				continue // what a cure means is no entry of a sheet
			}
			for _, c := range before.Causes {
				if got := mean[c.ID+"@"+c.Place.Name]; math.Abs(got-c.Probability) > total {
					t.Errorf("%s: %s %s has %.12g over the outcomes; want %.12g", name, c.ID, c.Place.Name, got, c.Probability)
				}
			}
		}
	}
}

func compareTop(t *testing.T, name string, o *engine.Outcome, after *engine.Diagnosis) {
	t.Helper()
	if len(o.Top) == 0 {
		t.Errorf("%s: an outcome names no cause", name)
	}
	for _, l := range o.Top {
		i := slices.IndexFunc(after.Ranked, func(r *engine.Ranked) bool { return r.ID == l.ID })
		if i < 0 || after.Ranked[i].Exact && math.Abs(after.Ranked[i].Anywhere-l.Anywhere) > total {
			t.Errorf("%s: %s foretold with %.12g; the diagnosis with the outcome says %+v", name, l.ID, l.Anywhere, after.Ranked[max(i, 0)].Anywhere)
		}
	}
}

func repairFell(t *testing.T, name string, p *engine.Proposal, before, after *engine.Diagnosis) {
	t.Helper()
	at := func(d *engine.Diagnosis, id string, place engine.Place) (float64, bool) {
		for _, c := range d.Causes {
			if c.ID == id && c.Place == place {
				return c.Probability, true
			}
		}
		return 0, false
	}
	for _, act := range p.Actions {
		first, was, is := "", 0.0, 0.0
		for _, l := range act.Repair.Cures {
			x, ok := at(before, l.To, act.Place)
			y, _ := at(after, l.To, act.Place)
			if ok && y <= 0 {
				t.Errorf("%s: %s goes to %g when nothing changed; want more than zero", name, l.To, y)
			}
			if x > was {
				first, was, is = l.To, x, y
			}
		}
		if first != "" && is >= was {
			t.Errorf("%s: %s, the likeliest it cures, goes from %g to %g when nothing changed; want less", name, first, was, is)
		}
	}
}

// TestPrerequisitesComeFirst: whatever is proposed, on the sample sheets and down their trees, everything that has to come before it has been
// done by then.
func TestPrerequisitesComeFirst(t *testing.T) {
	if testing.Short() {
		t.Skip("walks a tree of each sheet; the whole run does")
	}
	set, sheets := samples(t)
	waited := 0
	var walk func(s *symptoms.Sheet, n *engine.TreeNode)
	walk = func(s *symptoms.Sheet, n *engine.TreeNode) {
		for _, act := range n.Proposal.Actions {
			for _, id := range afterOf(act) {
				waited++
				if !doneOn(set, s, id) {
					t.Errorf("%s: %s is proposed before %s is done", filepath.Base(s.Path), what(n.Proposal), id)
				}
			}
		}
		for i := range n.Branches {
			if b := &n.Branches[i]; b.Node != nil {
				walk(b.Outcome.WriteOn(s), b.Node)
			}
		}
	}
	for _, s := range sheets {
		o := engine.TreeOptions{StepOptions: engine.StepOptions{Detail: engine.FirstScreen, Ahead: 1}, Depth: 3, Least: 0.1}
		root, _, err := engine.Tree(set, s, o)
		if err != nil {
			t.Fatal(err)
		}
		walk(s, root)
	}
	if waited == 0 {
		t.Error("nothing that was proposed has to come after anything; the test shows nothing")
	}
}

func afterOf(a engine.Action) []string {
	switch {
	case a.Check != nil:
		return a.Check.After
	case a.Repair != nil:
		return a.Repair.After
	}
	return nil
}

// doneOn says whether the sheet names an action as tried, or has an answer of the check.
func doneOn(set *rules.Set, s *symptoms.Sheet, id string) bool {
	if slices.ContainsFunc(s.Tried, func(t symptoms.Tried) bool { return t.Did == id }) {
		return true
	}
	c, ok := set.Check(id)
	return ok && slices.ContainsFunc(s.Readings, func(r symptoms.Reading) bool { return slices.Contains(c.Observes, r.Observation.ID) })
}

// TestPrerequisiteIsPaidFor: a repair that has to come after a dear check is worth no more than both together.
func TestPrerequisiteIsPaidFor(t *testing.T) {
	after := strings.Replace(fmt.Sprintf(renewValve, 30.0), ", cites", ", after: [look-at-float], cites", 1)
	set := nextSet(t, "checks:\n"+fmt.Sprintf(lookFloat, 45.0)+"repairs:\n"+after)
	s := sheet(t, set, head+"observed: {floods: yes}")
	a := nextStep(t, set, s, engine.StepOptions{})
	if got := what(a.Proposals[0]); got != "look-at-float" || !slices.Equal(a.Proposals[0].For, []string{"renew-valve"}) {
		t.Fatalf("first step = %s for %v; want look-at-float for renew-valve", got, a.Proposals[0].For)
	}
	if a.Reduced.Expected < 75 {
		t.Errorf("Expected = %g; want 75 at least, the check and the repair", a.Reduced.Expected)
	}
	for i := range a.Proposals[0].Outcomes {
		next := nextStep(t, set, a.Proposals[0].Outcomes[i].WriteOn(s), engine.StepOptions{})
		if got := what(next.Proposals[0]); got == "look-at-float" {
			t.Errorf("after the check it is proposed again")
		}
	}
}

// TestMoneyCounts: a dear part makes its repair come later, at the shop's rate.
func TestMoneyCounts(t *testing.T) {
	part := strings.Replace(fmt.Sprintf(renewValve, 20.0), ", minutes", ", parts: [valve], minutes", 1)
	set := nextSet(t, "repairs:\n"+part+fmt.Sprintf(renewFloat, 20.0)+"parts:\n  - {id: valve, title: Valve}\n")
	s := sheet(t, set, head+"observed: {floods: yes}")
	price := func(*rules.Part) float64 { return 100 }
	cases := []struct {
		name    string
		options engine.StepOptions
		first   string
		money   float64
	}{
		{"time alone", engine.StepOptions{}, "renew-valve", 0},
		{"a price without a rate", engine.StepOptions{Price: price}, "renew-valve", 0},
		{"price and rate", engine.StepOptions{Price: price, Rate: 60}, "renew-float", 0},
		{"the time dear", engine.StepOptions{Price: price, Rate: 6000}, "renew-valve", 100},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			a := nextStep(t, set, s, c.options)
			if p := a.Proposals[0]; what(p) != c.first || p.Money != c.money {
				t.Errorf("first step = %s for %g; want %s for %g", what(p), p.Money, c.first, c.money)
			}
		})
	}
}

// TestTreeAddsUp: the branches of a node have its chance between them, and every step below is what NextStep says with the outcomes on the
// sheet.
func TestTreeAddsUp(t *testing.T) {
	set, sheets := samples(t)
	s := sheets[slices.IndexFunc(sheets, func(s *symptoms.Sheet) bool { return strings.HasSuffix(s.Path, "one-side-floods.yaml") })]
	root, _, err := engine.Tree(set, s, engine.TreeOptions{Depth: 2, Least: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	sum, followed := 0.0, 0
	for i := range root.Branches {
		b := &root.Branches[i]
		sum += b.Reach
		if b.Node == nil {
			continue
		}
		followed++
		a := nextStep(t, set, b.Outcome.WriteOn(s), engine.StepOptions{Top: 1})
		if got, want := what(b.Node.Proposal), what(a.Proposals[0]); got != want {
			t.Errorf("after outcome %d the tree says %s; want %s", i, got, want)
		}
		below := 0.0
		for _, bb := range b.Node.Branches {
			below += bb.Reach
		}
		if math.Abs(below-b.Reach) > total {
			t.Errorf("below outcome %d the chances sum to %g; want %g", i, below, b.Reach)
		}
	}
	if math.Abs(sum-1) > total || followed == 0 {
		t.Errorf("the first outcomes sum to %g, %d followed; want 1 and some", sum, followed)
	}
}

// TestQuickStepIsTheSameStep: without the exact outcomes the proposals are the same.
func TestQuickStepIsTheSameStep(t *testing.T) {
	set, sheets := samples(t)
	worst := 0.0
	for i, s := range sheets {
		if testing.Short() && i > 2 {
			break
		}
		full := nextStep(t, set, s, engine.StepOptions{})
		quick := nextStep(t, set, s, engine.StepOptions{Detail: engine.FirstScreen})
		for i, p := range full.Proposals {
			q := quick.Proposals[i]
			if what(p) != what(q) || p.Expected != q.Expected {
				t.Errorf("%s: proposal %d is %s %g, quickly %s %g", filepath.Base(s.Path), i, what(p), p.Expected, what(q), q.Expected)
			}
			if p.Kind() == engine.DoRepair || p.Kind() == engine.HandOver {
				continue
			}
			for j := range p.Outcomes {
				worst = max(worst, math.Abs(p.Outcomes[j].Probability-q.Outcomes[j].Probability))
			}
		}
	}
	// The reduced problem is not the whole network: how near it comes is measured, and must not get worse unseen.
	if t.Logf("outcomes of checks: the reduced problem is off by %.3f at most", worst); worst > 0.1 {
		t.Errorf("an outcome of a check is off by %.3f in the reduced problem; want 0.1 at most", worst)
	}
}

// BenchmarkNextStep compares the next step with a first screen of the same sheet.
func BenchmarkNextStep(b *testing.B) {
	set, sheets := samples(b)
	for _, s := range sheets {
		name := strings.TrimSuffix(filepath.Base(s.Path), ".yaml")
		b.Run(name+"/screen", func(b *testing.B) {
			for b.Loop() {
				if _, err := engine.Diagnose(set, s, engine.Options{Detail: engine.FirstScreen, Questions: 3}); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(name+"/next", func(b *testing.B) {
			for b.Loop() {
				nextStep(b, set, s, engine.StepOptions{})
			}
		})
		b.Run(name+"/step only", func(b *testing.B) {
			for b.Loop() {
				nextStep(b, set, s, engine.StepOptions{Detail: engine.FirstScreen, Ahead: 1, Top: 1})
			}
		})
	}
}
