package report

import (
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// parts is a chain in short form: "id kind title" lines of nodes, then "from to word" lines of links. Kinds are c, e and f.
func parts(tb testing.TB, nodes, links string) ([]chainNode, []chainLink) {
	tb.Helper()
	number := map[string]int{}
	var ns []chainNode
	for line := range strings.Lines(nodes) {
		id, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		kind, title, ok := strings.Cut(rest, " ")
		if !ok {
			tb.Fatalf("node %q", line)
		}
		number[id] = len(ns)
		ns = append(ns, chainNode{kind: chainKind(strings.Index("cef", kind)), id: id, title: title})
	}
	var ls []chainLink
	for line := range strings.Lines(links) {
		f := strings.SplitN(strings.TrimSpace(line), " ", 3)
		from, known := number[f[0]]
		to, alsoKnown := number[f[1]]
		if !known || !alsoKnown || len(f) != 3 {
			tb.Fatalf("link %q", line)
		}
		ls = append(ls, chainLink{from, to, f[2]})
	}
	return ns, ls
}

// forty is a chain of 40 nodes with 60 links, as tangled as the largest of real knowledge. All of it is invented.
func forty(tb testing.TB) *Chain {
	data := string(read(tb, "testdata/chain-forty.txt"))
	nodes, links, ok := strings.Cut(data, "\n\n")
	if !ok {
		tb.Fatal("testdata/chain-forty.txt: no empty line between nodes and links")
	}
	ns, ls := parts(tb, nodes, strings.TrimSpace(links))
	for i := range ns {
		ns[i].cites = []rules.Cite{{Source: []string{"handbook", "second", rules.CommonPractice, rules.Memory}[i%4], At: fmt.Sprint("p. ", i)}}
	}
	c := &Chain{title: ns[0].title, subtitle: "What it leads to, and by what that is seen", k: knowledge(tb), nodes: ns, links: ls}
	return c.ordered()
}

// chokedTwin is a diagnosis whose first cause is about the machine and shows itself at both carburetors, in part differently, and
// whose second cause is at one of them.
func chokedTwin(tb testing.TB) *engine.Diagnosis {
	m := newMaker(tb, twin())
	m.d.Sheet.Job = "1071"
	m.rank("air-cleaner-choked", 0.81, 0.025, 0.81)
	m.rank("needle-leaks", 0.34, 0.18, 0.31, 0.02)
	m.stop("fuel-in-oil", "Has the oil level risen: yes")
	place := func(l symptoms.Level, name string) engine.Place { return engine.Place{Level: l, Name: name} }
	cause := engine.Node{Kind: "cause", ID: "air-cleaner-choked", Title: "Air cleaner is choked", Place: engine.Place{}}
	effect := func(id, title, at string) engine.Node {
		return engine.Node{Kind: "effect", ID: id, Title: title, Place: place(1, at)}
	}
	finding := func(id, title string, l symptoms.Level, at string) engine.Node {
		return engine.Node{Kind: "finding", ID: id, Title: title, Place: place(l, at)}
	}
	runsRich := engine.Node{Kind: "effect", ID: "mixture-rich", Title: "Engine runs rich"}
	handbook := []rules.Cite{{Source: "handbook", At: "p. 40"}}
	practice := []rules.Cite{{Source: rules.CommonPractice}}
	var steps []engine.Step
	for _, at := range []string{"left", "right"} {
		rich := effect("mixture-rich-here", "Mixture is too rich", at)
		black := engine.Step{From: rich, To: finding("plug-black", "Plug is black with dry soot", symptoms.Cylinder, at), Word: "usually", Chance: 0.85,
			Cites: []rules.Cite{{Source: "second", At: "p. 31"}}, State: engine.Seen, Answer: "black"}
		if at == "right" {
			black.State, black.Answer = engine.NotSeen, "tan"
		}
		steps = append(steps,
			engine.Step{From: cause, To: rich, Word: "often", Chance: 0.75, Cites: handbook, Probability: 0.9},
			black,
			engine.Step{From: rich, To: runsRich, Word: "half the time", Chance: 0.5, Cites: handbook, Probability: 0.7})
	}
	steps = append(steps,
		engine.Step{From: runsRich, To: finding("smoke", "It smokes black", 0, ""), Word: "half the time", Chance: 0.5, Cites: practice, State: engine.Doubtful, Answer: "a little"},
		engine.Step{From: runsRich, To: finding("hunts", "It hunts", 0, ""), Word: "seldom", Chance: 0.15, Cites: practice})
	for i := range mostOpen {
		steps = append(steps, engine.Step{From: cause, To: finding(fmt.Sprint("look-", i), fmt.Sprint("Look number ", i), 0, ""), Word: "often", Chance: 0.75, Cites: practice})
	}
	m.d.Ranked[0].Chain = steps
	high := effect("level-high", "Fuel stands too high", "left")
	m.d.Ranked[1].Chain = []engine.Step{
		{From: engine.Node{Kind: "cause", ID: "needle-leaks", Title: "Float needle valve does not seal", Place: place(1, "left")}, To: high,
			Word: "almost always", Chance: 0.95, Cites: handbook, Probability: math.NaN()},
		{From: high, To: finding("overflow-runs", "Fuel runs from the overflow", 1, "left"), Word: "usually", Chance: 0.85, State: engine.NotSeen, Answer: "no"},
	}
	m.d.Unasked = []engine.Question{m.question("idle", "", 0.2)}
	return m.done()
}

// chains are those of the golden files.
var chains = []struct {
	name string
	make func(testing.TB) (*Chain, error)
}{
	{"chain-needle-leaks", func(tb testing.TB) (*Chain, error) { return ChainOfCause(knowledge(tb), "needle-leaks") }},
	{"chain-forty", func(tb testing.TB) (*Chain, error) { return forty(tb), nil }},
	{"chain-one-side-floods", func(tb testing.TB) (*Chain, error) { return ChainOfDiagnosis(oneSideFloods(tb), knowledge(tb), 1) }},
	{"chain-choked-twin", func(tb testing.TB) (*Chain, error) { return ChainOfDiagnosis(chokedTwin(tb), knowledge(tb), 2) }},
	// A chain of nothing but the cause.
	{"chain-nothing-observed", func(tb testing.TB) (*Chain, error) { return ChainOfDiagnosis(nothingObserved(tb), nil, 1) }},
}

func TestChainGolden(t *testing.T) {
	for _, x := range chains {
		t.Run(x.name, func(t *testing.T) {
			c, err := x.make(t)
			if err != nil {
				t.Fatal(err)
			}
			golden(t, x.name+".80", written(t, func(w io.Writer) error { return ChainText(w, c, Style{}) }))
			golden(t, x.name+".60", written(t, func(w io.Writer) error { return ChainText(w, c, Style{Width: 60}) }))
			golden(t, x.name+".md", written(t, func(w io.Writer) error { return ChainMarkdown(w, c) }))
			page := written(t, func(w io.Writer) error { return ChainSVG(w, c, Picture{}) })
			phone := written(t, func(w io.Writer) error { return ChainSVG(w, c, Picture{Width: PhoneWidth}) })
			checkSVG(t, page)
			checkSVG(t, phone)
			golden(t, x.name+".svg", page)
			golden(t, x.name+".phone.svg", phone)
		})
	}
}

// TestChainFits holds the chain of forty to the width of the page; on the telephone one box with four arrows may need more.
func TestChainFits(t *testing.T) {
	c := forty(t)
	for _, tt := range []struct {
		room, least, most float64
	}{{PageWidth - 2*margin, boxWidth, PageWidth - 2*margin}, {PhoneWidth - 2*margin, slimWidth, 1.15 * PhoneWidth}} {
		d := layOut(c.boxes(&citations{}, tt.least), c.links, tt.room)
		checkDrawing(t, d)
		checkJoined(t, d, c.links)
		if d.width > tt.most {
			t.Errorf("a room of %v: the drawing is %v wide; want at most %v", tt.room, d.width, tt.most)
		}
	}
}

// TestChainOfCauseHoldsAll compares the chain with the knowledge: every record that can be reached, and every link.
func TestChainOfCauseHoldsAll(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, cause := range k.Causes {
		c, err := ChainOfCause(k, cause.ID)
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]bool{}
		reached := map[string]bool{}
		var visit func(id string)
		visit = func(id string) {
			if reached[id] {
				return
			}
			reached[id] = true
			x, err := k.Explain(id)
			if err != nil {
				t.Fatal(err)
			}
			if x.Rule != nil {
				return
			}
			for _, s := range x.Out {
				want[s.From.ID+" "+s.Link.Word+" "+s.To.ID] = true
				visit(s.To.ID)
			}
		}
		visit(cause.ID)
		got := map[string]bool{}
		for _, l := range c.links {
			got[c.nodes[l.from].id+" "+l.word+" "+c.nodes[l.to].id] = true
		}
		if fmt.Sprint(got) != fmt.Sprint(want) || len(c.links) != len(want) {
			t.Errorf("%s: links %v; want %v", cause.ID, got, want)
		}
		if len(c.nodes) != len(reached) {
			t.Errorf("%s: %d nodes; want %d", cause.ID, len(c.nodes), len(reached))
		}
	}
}

// TestChainsOfKnowledge draws every chain of the knowledge that comes with the program, on page and telephone.
func TestChainsOfKnowledge(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, cause := range k.Causes {
		c, err := ChainOfCause(k, cause.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, room := range []float64{PageWidth, PhoneWidth} {
			d := layOut(c.boxes(&citations{k: k}, slimWidth), c.links, room-2*margin)
			checkDrawing(t, d)
			checkJoined(t, d, c.links)
			if t.Failed() {
				t.Fatalf("%s at %v", cause.ID, room)
			}
		}
	}
}

// TestChainOfDiagnosis runs the engine, whose whole chains hold what nobody asked about.
func TestChainOfDiagnosis(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	const path = "../testdata/sheets/one-side-floods.yaml"
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := symptoms.Decode(path, data, k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
	if err != nil {
		t.Fatal(err)
	}
	d, err := engine.Diagnose(k, sheet, engine.Options{Explain: 2, WholeChain: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{0, 1, 2} {
		c, err := ChainOfDiagnosis(d, k, n)
		if err != nil {
			t.Fatal(err)
		}
		checkAgainst(t, c, d, max(n, 1))
	}
}

// checkAgainst wants every finding that was looked for on the first n chains, and the probabilities of the diagnosis.
func checkAgainst(t *testing.T, c *Chain, d *engine.Diagnosis, n int) {
	t.Helper()
	find := func(x engine.Node) *chainPlace {
		for _, node := range c.nodes {
			for i, at := range node.at {
				if node.id == x.ID && at.place == x.Place {
					return &node.at[i]
				}
			}
		}
		return nil
	}
	open := map[string]bool{}
	for _, r := range d.Ranked[:n] {
		at := find(engine.Node{ID: r.ID, Place: r.Places[0].Place})
		if at == nil || at.probability != r.Places[0].Probability {
			t.Errorf("%d causes: %s = %v; want %v", n, r.ID, at, r.Places[0].Probability)
		}
		for _, s := range r.Chain {
			at := find(s.To)
			switch {
			case s.To.Kind == "finding" && s.State != engine.NotAsked && (at == nil || at.state != s.State):
				t.Errorf("%d causes: finding %s = %v; want state %v", n, s.To.ID, at, s.State)
			case s.To.Kind == "effect" && at != nil && at.probability != s.Probability:
				t.Errorf("%d causes: effect %s = %v; want %v", n, s.To.ID, at.probability, s.Probability)
			case s.To.Kind == "finding" && s.State == engine.NotAsked:
				open[s.To.ID] = true
			}
		}
	}
	shown := 0
	for id := range open {
		if slices.ContainsFunc(c.nodes, func(n chainNode) bool { return n.id == id }) {
			shown++
		}
	}
	if shown != min(mostOpen, len(open)) || shown+c.left != len(open) {
		t.Errorf("%d causes: %d findings not asked are shown and %d left out; there are %d", n, shown, c.left, len(open))
	}
}

func TestChainErrors(t *testing.T) {
	k := knowledge(t)
	for _, id := range []string{"", "level-high", "no-such"} {
		if c, err := ChainOfCause(k, id); err == nil {
			t.Errorf("ChainOfCause(%q) = %v, nil; want an error", id, c)
		}
	}
	if c, err := ChainOfDiagnosis(&engine.Diagnosis{Sheet: &symptoms.Sheet{}}, k, 1); err == nil {
		t.Errorf("ChainOfDiagnosis(nothing) = %v, nil; want an error", c)
	}
}

// TestMerged joins what is at several places for the same reason and keeps apart what has another.
func TestMerged(t *testing.T) {
	at := func(n chainNode, name string) chainNode {
		n.at = []chainPlace{{place: engine.Place{Level: symptoms.Carburetor, Name: name}}}
		return n
	}
	nodes, _ := parts(t, "air c Air\nneedle c Needle\nrich e Rich\nrich e Rich\nsoot f Soot\nsoot f Soot", "air rich often")
	nodes[1], nodes[2], nodes[3] = at(nodes[1], "right"), at(nodes[2], "left"), at(nodes[3], "right")
	nodes[4], nodes[5] = at(nodes[4], "left"), at(nodes[5], "right")
	links := []chainLink{{0, 2, "often"}, {0, 3, "often"}, {2, 4, "usually"}, {3, 5, "usually"}}
	gotNodes, gotLinks := merged(nodes, links)
	if got := summary(gotNodes, gotLinks); got != "air needle rich(left right) soot(left right); air>rich rich>soot" {
		t.Errorf("merged = %s", got)
	}
	gotNodes, gotLinks = merged(nodes, append(links, chainLink{1, 3, "often"}))
	if got := summary(gotNodes, gotLinks); got != "air needle rich(left) rich(right) soot(left) soot(right); air>rich air>rich rich>soot rich>soot needle>rich" {
		t.Errorf("merged with a second reason = %s", got)
	}
}

func summary(nodes []chainNode, links []chainLink) string {
	var ns, ls []string
	for _, n := range nodes {
		name := n.id
		var places []string
		for _, at := range n.at {
			places = append(places, at.place.Name)
		}
		if n.kind != causeKind {
			name += "(" + strings.Join(places, " ") + ")"
		}
		ns = append(ns, name)
	}
	for _, l := range links {
		ls = append(ls, nodes[l.from].id+">"+nodes[l.to].id)
	}
	return strings.Join(ns, " ") + "; " + strings.Join(ls, " ")
}

// TestChainTextSaysOnce wants every node told in full once, and every link named.
func TestChainTextSaysOnce(t *testing.T) {
	c := forty(t)
	tree := string(written(t, func(w io.Writer) error { return ChainText(w, c, Style{Width: 200}) }))
	tree, _, _ = strings.Cut(tree, "\"Almost always\"")
	for _, n := range c.nodes {
		title := lowerFirst(n.title)
		if n.kind == causeKind {
			title = n.title
		}
		full := 0
		for line := range strings.Lines(tree) {
			if strings.Contains(line, title) && !strings.Contains(line, "told above") && strings.HasPrefix(strings.TrimSpace(line), "- ") {
				full++
			}
		}
		if full != 1 {
			t.Errorf("%q is told %d times; want once", n.title, full)
		}
	}
	if got, want := strings.Count(tree, "- "), 1+len(c.links); got < want {
		t.Errorf("%d items; want %d", got, want)
	}
}

func BenchmarkChainSVG40(b *testing.B) {
	for _, width := range []int{PageWidth, PhoneWidth} {
		b.Run(fmt.Sprint(width), func(b *testing.B) {
			c := forty(b)
			b.ReportAllocs()
			for b.Loop() {
				if err := ChainSVG(io.Discard, c, Picture{Width: width}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkChainText40(b *testing.B) {
	c := forty(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := ChainText(io.Discard, c, Style{}); err != nil {
			b.Fatal(err)
		}
	}
}
