package plan_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"diagnose.example/engine/belief"
	"diagnose.example/engine/plan"
	"pgregory.net/rapid"
)

// small is a network small enough to go through everything that chance can decide.
type small struct {
	nodes     []smallNode
	own       [][2]float64
	joint     []belief.Node
	jointW    []float64
	complaint []belief.Node
	tests     []smallTest
	repairs   [][]plan.Cure
}

type smallNode struct {
	kind int // 0 cause, 1 effect, 2 finding
	p    float64
	up   []smallLink
}

type smallLink struct {
	from     belief.Node
	strength float64
}

type smallTest struct {
	findings []belief.Node
	outcomes [][]float64
}

// network describes it to the package.
func (s *small) network() *plan.Network {
	n := plan.NewNetwork()
	for v, x := range s.nodes {
		block := v % 2
		switch x.kind {
		case 0:
			n.Cause(x.p, block)
		case 1:
			n.Effect(x.p, block)
		default:
			n.Finding(x.p, block)
		}
		for _, l := range x.up {
			n.Link(l.from, belief.Node(v), l.strength)
		}
	}
	for v, w := range s.own {
		if w != [2]float64{1, 1} {
			n.Weigh(belief.Node(v), w[0], w[1])
		}
	}
	if len(s.joint) > 0 {
		n.Joint(s.joint, s.jointW)
	}
	n.Complaint(s.complaint...)
	for _, t := range s.tests {
		n.Test(t.findings, t.outcomes...)
	}
	for _, r := range s.repairs {
		n.Repair(r...)
	}
	return n
}

// chances lists the probabilities of everything that chance decides: node by node cause or leak and links, then cures.
func (s *small) chances() []float64 {
	var p []float64
	for _, x := range s.nodes {
		p = append(p, x.p)
		for _, l := range x.up {
			p = append(p, l.strength)
		}
	}
	for _, r := range s.repairs {
		for _, c := range r {
			p = append(p, c.Chance)
		}
	}
	return p
}

// machine is one way for chance to decide everything.
type machine struct {
	s       *small
	decided []bool
	weight  float64
}

// machines calls f with every machine of probability above zero.
func (s *small) machines(f func(*machine)) {
	p := s.chances()
	m := &machine{s, make([]bool, len(p)), 1}
	var rec func(i int, w float64)
	rec = func(i int, w float64) {
		if w == 0 {
			return
		}
		if i == len(p) {
			m.weight = w
			f(m)
			return
		}
		for k, x := range [2]float64{1 - p[i], p[i]} {
			m.decided[i] = k == 1
			rec(i+1, w*x)
		}
	}
	rec(0, 1)
}

// values says which nodes are present after some repairs.
func (m *machine) values(repaired uint64) []bool {
	cured := make([]bool, len(m.s.nodes))
	i := len(m.decided)
	for r := len(m.s.repairs) - 1; r >= 0; r-- {
		for k := len(m.s.repairs[r]) - 1; k >= 0; k-- {
			i--
			if m.decided[i] && repaired>>r&1 == 1 {
				cured[m.s.repairs[r][k].Fault] = true
			}
		}
	}
	out := make([]bool, len(m.s.nodes))
	i = 0
	for v, x := range m.s.nodes {
		out[v] = m.decided[i] && !cured[v]
		i++
		for _, l := range x.up {
			out[v] = out[v] || m.decided[i] && out[l.from]
			i++
		}
	}
	return out
}

func pattern(values []bool, nodes []belief.Node) int {
	b := 0
	for i, v := range nodes {
		if values[v] {
			b |= 1 << i
		}
	}
	return b
}

// deed is a step of a history: a test with its outcome, or a failed repair.
type deed struct {
	test, outcome int // -1 for a repair
	repair        int
}

// after weighs what a machine has to be like after a history, zero if it cannot be this one, and returns the repairs done.
func (m *machine) after(history []deed) (weight float64, repaired uint64) {
	first := m.values(0)
	w := m.weight
	for v, x := range m.s.own {
		w *= x[b2i(first[v])]
	}
	if len(m.s.joint) > 0 {
		w *= m.s.jointW[pattern(first, m.s.joint)]
	}
	bad := func() bool { return pattern(m.values(repaired), m.s.complaint) != 0 }
	if w == 0 || !bad() {
		return 0, 0
	}
	for _, d := range history {
		if d.test >= 0 {
			t := m.s.tests[d.test]
			w *= t.outcomes[d.outcome][pattern(m.values(repaired), t.findings)]
			continue
		}
		repaired |= 1 << d.repair
		if !bad() {
			return 0, 0
		}
	}
	return w, repaired
}

// turns tells whether a repair can decide, after some of the others, that the machine is good.
func (m *machine) turns(repaired uint64, repair int) bool {
	for set := uint64(0); set < 1<<len(m.s.repairs); set++ {
		bad := pattern(m.values(repaired|set), m.s.complaint) != 0
		if bad && pattern(m.values(repaired|set|1<<repair), m.s.complaint) == 0 {
			return true
		}
	}
	return false
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// drawSmall draws a network; what chance decides is kept to a few bits.
func drawSmall(t *rapid.T) *small {
	s := &small{}
	chance := rapid.SampledFrom([]float64{0, 0.1, 0.3, 0.5, 0.8, 1})
	bits := 0
	draw := func(label string) float64 {
		p := chance.Draw(t, label)
		if p > 0 && p < 1 {
			if bits++; bits > 13 {
				return math.Round(p)
			}
		}
		return p
	}
	causes, effects, findings := rapid.IntRange(2, 3).Draw(t, "causes"), rapid.IntRange(0, 3).Draw(t, "effects"), rapid.IntRange(2, 4).Draw(t, "findings")
	for v := range causes + effects + findings {
		x := smallNode{}
		switch {
		case v < causes:
			x.p = rapid.SampledFrom([]float64{0.1, 0.3, 0.5}).Draw(t, "prior")
			bits++
		case v < causes+effects:
			x.kind = 1
		default:
			x.kind = 2
		}
		if x.kind > 0 {
			x.p = draw("leak")
			if x.p == 1 {
				x.p = 0
			}
			for from := range min(v, causes+effects) {
				if rapid.Bool().Draw(t, "link") {
					x.up = append(x.up, smallLink{belief.Node(from), draw("strength")})
				}
			}
		}
		s.nodes = append(s.nodes, x)
		s.own = append(s.own, [2]float64{1, 1})
	}
	s.drawEvidence(t, causes, causes+effects)
	for range rapid.IntRange(1, 3).Draw(t, "repairs") {
		var cures []plan.Cure
		for c := range causes {
			if rapid.Bool().Draw(t, "cures") {
				cures = append(cures, plan.Cure{Fault: c, Chance: draw("chance")})
			}
		}
		s.repairs = append(s.repairs, cures)
	}
	return s
}

// drawEvidence shares the findings out: complaint, evidence, tests.
func (s *small) drawEvidence(t *rapid.T, causes, firstFinding int) {
	weight := rapid.SampledFrom([]float64{0, 0.2, 1, 1.5})
	weights := func(n int) []float64 {
		w := make([]float64, n)
		for i := range w {
			w[i] = weight.Draw(t, "weight")
		}
		return w
	}
	complaint := rapid.IntRange(causes, len(s.nodes)-1).Draw(t, "complaint")
	s.complaint = []belief.Node{belief.Node(complaint)}
	var free []belief.Node
	for v := firstFinding; v < len(s.nodes); v++ {
		if v != complaint {
			free = append(free, belief.Node(v))
		}
	}
	for v := range s.nodes {
		if v < firstFinding && rapid.IntRange(0, 3).Draw(t, "own") == 0 || v == complaint && rapid.Bool().Draw(t, "own") {
			s.own[v] = [2]float64(weights(2))
		}
	}
	if len(free) > 1 && rapid.Bool().Draw(t, "joint") { // with the complaint in it, if that is a finding
		s.joint = []belief.Node{free[0]}
		if complaint >= firstFinding {
			s.joint = append(s.joint, belief.Node(complaint))
		}
		s.jointW = weights(1 << len(s.joint))
		free = free[1:]
	}
	if len(free) > 2 { // a test that shows two findings
		s.tests = append(s.tests, smallTest{free[:2], [][]float64{{1, 0, 0, 0.5}, {0, 1, 0, 0.25}, {0, 0, 1, 0.25}}})
		free = free[2:]
	}
	for _, f := range free {
		s.tests = append(s.tests, smallTest{[]belief.Node{f}, [][]float64{{1, 0}, {0, 1}}})
	}
	if len(s.complaint) == 1 && firstFinding > causes && rapid.Bool().Draw(t, "second complaint") && complaint != causes {
		s.complaint = append(s.complaint, belief.Node(causes))
	}
}

// exactNetwork is the absolute difference allowed between the layered inference and going through all machines.
const exactNetwork = 1e-10

// TestNetworkAgainstEnumeration compares all answers along random histories of tests and failed repairs with a sum over all that
// chance can decide.
func TestNetworkAgainstEnumeration(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawSmall(t)
		nb, err := s.network().Belief(plan.NetworkOptions{})
		if s.total(nil) < 1e-9 {
			if err == nil && s.total(nil) == 0 {
				t.Fatalf("Belief() accepts a machine that cannot misbehave so")
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		var b plan.Belief = nb
		var history []deed
		for step := 0; ; step++ {
			s.compare(t, b, history)
			compared++
			var todo []deed
			for i := range s.tests {
				if !slices.ContainsFunc(history, func(d deed) bool { return d.test == i }) {
					for o := range s.tests[i].outcomes {
						todo = append(todo, deed{i, o, -1})
					}
				}
			}
			for i := range s.repairs {
				if !slices.Contains(history, deed{-1, -1, i}) {
					todo = append(todo, deed{-1, -1, i})
				}
			}
			todo = slices.DeleteFunc(todo, func(d deed) bool { return s.total(append(slices.Clone(history), d)) < 1e-6 })
			if len(todo) == 0 || step == 4 {
				return
			}
			d := rapid.SampledFrom(todo).Draw(t, "deed")
			history = append(history, d)
			if d.test >= 0 {
				b, err = b.Observe(d.test, d.outcome)
			} else {
				b, err = b.Fail([]int{d.repair})
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	})
	least := 100
	if testing.Short() { // a fifth of the machines are drawn
		least = 20
	}
	if compared < least {
		t.Errorf("%d beliefs were compared; want %d at least", compared, least)
	}
}

func (s *small) total(history []deed) float64 {
	sum := 0.0
	s.machines(func(m *machine) {
		w, _ := m.after(history)
		sum += w
	})
	return sum
}

func (s *small) compare(t *rapid.T, b plan.Belief, history []deed) {
	all := uint64(1)<<len(s.repairs) - 1
	good := make([]float64, all+1)
	outcomes := make([][]float64, len(s.tests))
	for i, x := range s.tests {
		outcomes[i] = make([]float64, len(x.outcomes))
	}
	causes := make([]float64, len(s.nodes))
	changed := make([]float64, len(s.repairs))
	sum := 0.0
	s.machines(func(m *machine) {
		w, repaired := m.after(history)
		if w == 0 {
			return
		}
		sum += w
		now := m.values(repaired)
		for set := range good {
			if pattern(m.values(repaired|uint64(set)), s.complaint) == 0 {
				good[set] += w
			}
		}
		for i, x := range s.tests {
			for o, ws := range x.outcomes {
				outcomes[i][o] += w * ws[pattern(now, x.findings)]
			}
		}
		for v := range causes {
			causes[v] += w * float64(b2i(now[v]))
		}
		for r := range changed {
			changed[r] += w * float64(b2i(m.turns(repaired, r)))
		}
	})
	want := func(what string, got, x float64, err error) {
		if err != nil || !(math.Abs(got-x/sum) <= exactNetwork) {
			t.Fatalf("after %v: %s = %v, %v; want %v", history, what, got, err, x/sum)
		}
	}
	for set := range good {
		got, err := b.Good(members(uint64(set)))
		want("Good", got, good[set], err)
	}
	for i := range s.tests {
		got, err := b.Outcomes(i)
		for o := range got {
			want("Outcomes", got[o], outcomes[i][o], err)
		}
	}
	got, err := b.(*plan.NetworkBelief).Causes()
	for v, x := range s.nodes {
		if x.kind == 0 {
			want("Causes", got[v], causes[v], err)
		}
	}
	for r := range s.repairs {
		c, err := b.Chance(r)
		if err != nil || c < changed[r]/sum-exactNetwork {
			t.Fatalf("after %v: Chance(%d) = %v, %v; want at least %v", history, r, c, err, changed[r]/sum)
		}
	}
}

func members(set uint64) []int {
	var out []int
	for i := 0; set>>i != 0; i++ {
		if set>>i&1 == 1 {
			out = append(out, i)
		}
	}
	return out
}

// TestNetworkKey checks that the key forgets the order of steps where it makes no difference, and only there.
func TestNetworkKey(t *testing.T) {
	n := plan.NewNetwork()
	a, c := n.Cause(0.2, 0), n.Cause(0.3, 0)
	bad, fa, fc := n.Finding(0.01, 0), n.Finding(0.1, 0), n.Finding(0.1, 0)
	n.Link(a, bad, 0.9)
	n.Link(c, bad, 0.8)
	n.Link(a, fa, 0.7)
	n.Link(c, fc, 0.7)
	n.Seen(bad)
	n.Complaint(bad)
	showsA, showsC := n.YesNo(fa), n.YesNo(fc)
	ra := n.Repair(plan.Cure{Fault: int(a), Chance: 0.9})
	first, err := n.Belief(plan.NetworkOptions{})
	if err != nil {
		t.Fatal(err)
	}
	key := func(deeds ...deed) string {
		var b plan.Belief = first
		for _, d := range deeds {
			if d.test >= 0 {
				b, _ = b.Observe(d.test, d.outcome)
			} else {
				b, _ = b.Fail([]int{d.repair})
			}
		}
		return b.Key()
	}
	repair, seeA, seeC := deed{-1, -1, ra}, deed{showsA, 1, -1}, deed{showsC, 1, -1}
	for _, c := range []struct {
		name string
		a, b []deed
		same bool
	}{
		{"two tests", []deed{seeA, seeC}, []deed{seeC, seeA}, true},
		{"a test and a repair of something else", []deed{seeC, repair}, []deed{repair, seeC}, true},
		{"a test and a repair of what it shows", []deed{seeA, repair}, []deed{repair, seeA}, false},
		{"another outcome", []deed{seeA}, []deed{{showsA, 0, -1}}, false},
	} {
		if same := key(c.a...) == key(c.b...); same != c.same {
			t.Errorf("%s: same key %v; want %v", c.name, same, c.same)
		}
	}
}

func TestNetworkErrors(t *testing.T) {
	for _, c := range []struct {
		name, want string
		build      func(n *plan.Network)
	}{
		{"no complaint", "plan: the network has no complaint; name the nodes that have to go away", func(n *plan.Network) {}},
		{"cause as complaint", "plan: complaint: node 0 is not an effect or a finding", func(n *plan.Network) { n.Complaint(0) }},
		{"repair of a finding", "plan: repair 0: cures node 1 with chance 1; name a cause and a number from 0 to 1",
			func(n *plan.Network) { n.Repair(plan.Cure{Fault: 1, Chance: 1}) }},
		{"outcomes that do not sum to one", "plan: test 0: the outcomes have probabilities with sum 0.5 when the findings are in pattern 1; they must sum to 1",
			func(n *plan.Network) { n.Test([]belief.Node{2}, []float64{1, 0}, []float64{0, 0.5}) }},
		{"a finding in two tests", "plan: finding 2 stands in test 0 and in test 1",
			func(n *plan.Network) { n.Complaint(1); n.YesNo(2); n.YesNo(2) }},
		{"a test of what was seen", "plan: test 0: finding 2 has evidence already or is a complaint",
			func(n *plan.Network) { n.Complaint(1); n.Seen(2); n.YesNo(2) }},
		{"first error counts", "plan: node 3: 2 is not a probability; write a number from 0 to 1",
			func(n *plan.Network) { n.Cause(2, 0); n.Link(7, 1, 1) }},
		{"link to a cause", "plan: link 0 to 3: a link goes from a cause or an effect to an effect or a finding",
			func(n *plan.Network) { n.Link(0, n.Cause(0.1, 0), 1) }},
		{"joint of a cause", "plan: joint 0: node 0 is not a finding or is named twice",
			func(n *plan.Network) { n.Joint([]belief.Node{0}, []float64{1, 1}) }},
	} {
		n := plan.NewNetwork()
		cause := n.Cause(0.1, 0)
		for range 2 {
			n.Link(cause, n.Finding(0.01, 0), 0.5)
		}
		c.build(n)
		if _, err := n.Belief(plan.NetworkOptions{}); err == nil || err.Error() != c.want {
			t.Errorf("%s: Belief() = %v; want %s", c.name, err, c.want)
		}
	}
}

// TestNetworkNoWay checks evidence that contradicts the complaint.
func TestNetworkNoWay(t *testing.T) {
	n := plan.NewNetwork()
	cause, bad := n.Cause(0.1, 0), n.Finding(0, 0)
	n.Link(cause, bad, 0.5)
	n.NotSeen(bad)
	n.Complaint(bad)
	if _, err := n.Belief(plan.NetworkOptions{}); !errors.Is(err, plan.ErrNoWay) {
		t.Errorf("Belief() = %v; want ErrNoWay", err)
	}
}

// TestNetworkAgainstTable: where every fault produces the complaint for certain, and nothing else does, a network is a table of independent
// faults; plans are the same.
func TestNetworkAgainstTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		faults := rapid.IntRange(1, 3).Draw(t, "faults")
		tenth := func(label string, least, most int) float64 {
			return float64(rapid.IntRange(least, most).Draw(t, label)) / 10
		}
		n, m, table := plan.NewNetwork(), plan.TableModel{}, &plan.Table{}
		var p []float64
		for range faults {
			p = append(p, tenth("p", 1, 9))
			n.Cause(p[len(p)-1], 0)
		}
		bad := n.Finding(0, 0)
		for f := range faults {
			n.Link(belief.Node(f), bad, 1)
		}
		n.Seen(bad)
		n.Complaint(bad)
		m.Worlds = plan.IndependentFaults(p)
		for i := range rapid.IntRange(0, 2).Draw(t, "tests") {
			row := []float64{tenth("leak", 0, 9)}
			finding := n.Finding(row[0], 0)
			for f := range faults {
				row = append(row, tenth("shows", 0, 10))
				n.Link(belief.Node(f), finding, row[1+f])
			}
			n.YesNo(finding)
			j := &job{faults: faults, rows: [][]float64{row}}
			m.Tests = append(m.Tests, func(f uint64) []float64 { return []float64{1 - j.shows(0, f), j.shows(0, f)} })
			table.Tests = append(table.Tests, action(string(rune('a'+i)), float64(rapid.IntRange(1, 20).Draw(t, "cost"))))
		}
		for i := range rapid.IntRange(1, 3).Draw(t, "repairs") {
			var cures []plan.Cure
			for f := range faults {
				if c := tenth("cures", 0, 10); c > 0.4 {
					cures = append(cures, plan.Cure{Fault: f, Chance: c})
				}
			}
			n.Repair(cures...)
			m.Repairs = append(m.Repairs, cures)
			table.Repairs = append(table.Repairs, action(string(rune('p'+i)), float64(rapid.IntRange(1, 60).Draw(t, "cost"))))
		}
		if rapid.Bool().Draw(t, "last") {
			table.Last = []plan.Action{action("last", 100)}
		}
		nb, err := n.Belief(plan.NetworkOptions{})
		if err != nil {
			t.Fatal(err)
		}
		tb, err := plan.NewTabular(m)
		if err != nil {
			t.Fatal(err)
		}
		o := plan.Options{Budget: 1_000_000}
		a, b := mustNext(t, nb, table, o), mustNext(t, tb, table, o)
		for _, x := range [][2]float64{{a.Next.Expected, b.Next.Expected}, {a.Bound, b.Bound}, {a.Left, b.Left}} {
			if !(math.Abs(x[0]-x[1]) <= 1e-9*max(1, x[1])) {
				t.Fatalf("network: expected %v, bound %v, left %v; table: %v, %v, %v",
					a.Next.Expected, a.Bound, a.Left, b.Next.Expected, b.Bound, b.Left)
			}
		}
		if !a.Exact || !b.Exact {
			t.Fatalf("exact: network %v, table %v; want both", a.Exact, b.Exact)
		}
	})
}

// TestNetworkSayings: a pool is a finding with the links of its members, two links are two chances, and a likelihood is a weight.
func TestNetworkSayings(t *testing.T) {
	build := func(say func(n *plan.Network, cause, x, y belief.Node)) []float64 {
		t.Helper()
		n := plan.NewNetwork()
		cause, bad := n.Cause(0.1, 0), n.Finding(0.05, 0)
		n.Link(cause, bad, 0.6)
		x, y := n.Finding(0.1, 0), n.Finding(0.2, 1)
		n.Complaint(bad)
		say(n, cause, x, y)
		b, err := n.Belief(plan.NetworkOptions{})
		if err != nil {
			t.Fatal(err)
		}
		p, err := b.Causes()
		if err != nil {
			t.Fatal(err)
		}
		return p[:1]
	}
	pooled := build(func(n *plan.Network, cause, x, y belief.Node) {
		n.Link(cause, x, 0.5)
		n.Link(cause, y, 0.4)
		n.Seen(n.Pool([]belief.Node{x, y}))
	})
	plain := build(func(n *plan.Network, cause, x, y belief.Node) {
		one := n.Finding(1-0.9*0.8, 1)
		n.Link(cause, one, 0.5)
		n.Link(cause, one, 0.4)
		n.Likelihood(one, 0, 3)
	})
	if !near(pooled[0], plain[0]) {
		t.Errorf("pool: %v, written out: %v; want the same", pooled, plain)
	}
	// By hand: complaint, then the pool, given the cause and not.
	with, without := 0.1*(1-0.95*0.4)*(1-0.9*0.8*0.5*0.6), 0.9*0.05*(1-0.9*0.8)
	if want := with / (with + without); !near(plain[0], want) {
		t.Errorf("cause %v; want %v", plain[0], want)
	}
}

// TestNetworkTooLarge: nothing is set aside in silence.
func TestNetworkTooLarge(t *testing.T) {
	n := plan.NewNetwork()
	a, b := n.Cause(0.1, 0), n.Cause(0.1, 0)
	var effects []belief.Node
	for range 2 {
		e := n.Effect(0.01, 0)
		n.Link(a, e, 0.5)
		n.Link(b, e, 0.5)
		effects = append(effects, e)
	}
	bad := n.Finding(0.01, 0)
	for _, e := range effects {
		n.Link(e, bad, 0.5)
	}
	n.Seen(bad)
	n.Complaint(bad)
	if _, err := n.Belief(plan.NetworkOptions{Limit: 1}); !errors.Is(err, plan.ErrTooLarge) {
		t.Errorf("Belief() with room for one entry = %v; want ErrTooLarge", err)
	}
	if _, err := n.Belief(plan.NetworkOptions{}); err != nil {
		t.Errorf("Belief() = %v", err)
	}
}
