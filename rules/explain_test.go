package rules

import (
	"fmt"
	"strings"
	"testing"

	"diagnose.example/symptoms"
)

// TestExplain prints what is said about one record of each kind.
func TestExplain(t *testing.T) {
	s := flooding(t)
	var b strings.Builder
	for _, id := range []string{
		"float-valve-dirty", "float-valve-worn", "tap-clogged", "fuel-runs-over", "fuel-drips-out", "fuel-in-the-oil", "measure-the-float", "set-the-float",
		"bowl-gasket", "leaflet", "fuel_overflow", "engine_warm", "carburetor_kind", "after-rebuild", "band.float_height", "common-practice",
	} {
		x, err := s.Explain(id)
		if err != nil {
			t.Fatalf("Explain(%s): %v", id, err)
		}
		show(&b, s, x)
	}
	golden(t, "explain.golden", b.String())
}

// show prints an explanation, one filled part after the other.
func show(b *strings.Builder, s *Set, x *Explanation) {
	line := func(label, format string, args ...any) {
		fmt.Fprintf(b, "  %-9s "+format+"\n", append([]any{label}, args...)...)
	}
	fmt.Fprintf(b, "%s %s: %s\n", x.Kind, x.ID, x.Title)
	if x.Text != "" {
		line("text", "%s", x.Text)
	}
	for _, t := range x.Says {
		line("says", "%s", t)
	}
	for _, t := range x.In {
		line("in", "%s %s: %s", t.From.Kind, t.From.ID, t.Sentence)
	}
	for _, t := range x.Out {
		line("out", "%s %s: %s", t.To.Kind, t.To.ID, t.Sentence)
	}
	for _, r := range x.Rivals {
		line("rival", "%s by %v: %s", r.Ref.ID, r.Shared, r.Tell)
	}
	refs := func(label string, list []Ref) {
		for _, r := range list {
			line(label, "%s %s", r.Kind, r.ID)
		}
	}
	refs("cause", x.Causes)
	for _, o := range x.Questions {
		line("question", "%s", o.ID)
	}
	refs("reader", x.Readers)
	refs("check", refsOf(x.Checks))
	refs("repair", refsOf(x.Repairs))
	refs("part", refsOf(x.Parts))
	for _, c := range x.Cautions {
		line("caution", "%s", c)
	}
	for _, c := range x.Cites {
		line("cite", "%s: %s", s.CiteText(c), c.For)
	}
	for _, src := range x.Sources {
		line("source", "%s", src)
	}
}

func refsOf[T record](list []T) []Ref {
	var refs []Ref
	for _, r := range list {
		h := r.head()
		refs = append(refs, Ref{h.kind, h.id, h.title})
	}
	return refs
}

// TestExplainFillsOne checks that exactly one of the record pointers is set, whatever is explained.
func TestExplainFillsOne(t *testing.T) {
	s := flooding(t)
	ids := []string{"memory", "half-remembered"}
	for _, h := range s.heads() {
		ids = append(ids, h.id)
	}
	for _, o := range s.Vocabulary.All() {
		ids = append(ids, o.ID)
	}
	for _, id := range ids {
		x, err := s.Explain(id)
		if err != nil {
			t.Errorf("Explain(%s): %v", id, err)
			continue
		}
		n := 0
		for _, set := range []bool{
			x.Cause != nil, x.Effect != nil, x.Rule != nil, x.Stop != nil, x.Check != nil, x.Repair != nil, x.Part != nil, x.Source != nil,
			x.Observation != nil,
		} {
			if set {
				n++
			}
		}
		if n != 1 || x.Kind == "" || x.ID != id {
			t.Errorf("Explain(%s) = %s %s with %d records; want one", id, x.Kind, x.ID, n)
		}
	}
}

func TestExplainUnknown(t *testing.T) {
	s := flooding(t)
	for id, want := range map[string]string{
		"float-valve-dirt": `unknown id "float-valve-dirt"; write "float-valve-dirty"`,
		"fuel_overfow":     `unknown id "fuel_overfow"; write "fuel_overflow"`,
		"qqqqqqqqqqqq":     `unknown id "qqqqqqqqqqqq"`,
	} {
		if _, err := s.Explain(id); fmt.Sprint(err) != want {
			t.Errorf("Explain(%s): %v; want %s", id, err, want)
		}
	}
}

func TestSentence(t *testing.T) {
	s := flooding(t)
	tests := []struct{ from, to, word, want string }{
		{"float-set-high", "fuel-level-high", "almost always", "when the float is set high, almost always fuel stands too high (0.95)"},
		{"fuel-level-high", "fuel-runs-over", "1 in 40", "when fuel stands too high, 1 time in 40 fuel runs over"},
		{"fuel-level-high", "fuel-runs-over", "certain", "when fuel stands too high, always fuel runs over"},
		{"fuel-pours-out", "fuel-runs-over", "half the time", "when fuel runs over, this is seen half the time (0.5)"},
		{"clean-the-tap", "tap-clogged", "usually", "when the strainer of the tap is clogged, this cures it usually (0.85)"},
	}
	for _, tt := range tests {
		p, err := ParseLikelihood(tt.word)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Sentence(tt.from, Link{To: tt.to, Chance: p, Word: tt.word}); got != tt.want {
			t.Errorf("Sentence(%s, %s) = %q; want %q", tt.from, tt.to, got, tt.want)
		}
	}
}

func TestRuleSentence(t *testing.T) {
	s := flooding(t)
	want := "when fuel runs over, this is seen usually (0.85); when fuel stands too high, this is seen seldom (0.15); with nothing wrong, seldom (0.15)"
	if got := s.RuleSentence(must(s.Rule("fuel-drips-out"))(t)); got != want {
		t.Errorf("RuleSentence = %q; want %q", got, want)
	}
}

func TestPriorSentence(t *testing.T) {
	s := flooding(t)
	tests := []struct {
		about symptoms.Level
		prior Prior
		want  string
	}{
		{symptoms.WholeMachine, Prior{Base: 1.0 / 50}, "present on about 1 in 50 bikes that come in"},
		{symptoms.Carburetor, Prior{Base: 0.005, Odds: []HistoryFactor{{"after-rebuild", 6}, {"in-daily-use", 0.25}}},
			"present in about 1 in 200 carburetors of bikes that come in; 6 times likelier after rebuild; 4 times rarer in daily use"},
		{symptoms.Cylinder, Prior{Base: 0.5, Odds: []HistoryFactor{{"came-on-suddenly", 1.5}}},
			"present in about 1 in 2 cylinders of bikes that come in; 1.5 times likelier when it came on suddenly"},
	}
	for _, tt := range tests {
		if got := s.PriorSentence(&Cause{About: tt.about, Prior: tt.prior}); got != tt.want {
			t.Errorf("PriorSentence(%v) = %q; want %q", tt.prior, got, tt.want)
		}
	}
}

func TestClause(t *testing.T) {
	for title, want := range map[string]string{
		"The float leaks": "the float leaks", "CV slide sticks.": "CV slide sticks", "A leak": "a leak", "O-ring is hard": "O-ring is hard", "": "", "Überlauf leaks": "überlauf leaks",
	} {
		if got := clause(title); got != want {
			t.Errorf("clause(%q) = %q; want %q", title, got, want)
		}
	}
}

func TestBibliography(t *testing.T) {
	s := flooding(t)
	ids := func(list []*Source) string {
		var ids []string
		for _, src := range list {
			ids = append(ids, src.ID)
		}
		return strings.Join(ids, " ")
	}
	tests := []struct {
		name string
		ids  []string
		want string
	}{
		{"all", nil, "handbook-one leaflet"},
		{"one", []string{"float-set-high"}, "leaflet"},
		{"common practice is no publication", []string{"pilot-jet-blocked"}, ""},
		{"each once, sorted", []string{"float-set-high", "tap-clogged", "set-the-float"}, "handbook-one leaflet"},
		{"unknown", []string{"nothing"}, ""},
	}
	for _, tt := range tests {
		if got := ids(s.Bibliography(tt.ids...)); got != tt.want {
			t.Errorf("%s: Bibliography(%v) = %q; want %q", tt.name, tt.ids, got, tt.want)
		}
	}
}

func TestCiteText(t *testing.T) {
	s := flooding(t)
	for _, tt := range []struct {
		cite Cite
		want string
	}{
		{Cite{Source: "handbook-one", At: "par. 3"}, "A. Nobody, An Invented Handbook (1950), par. 3"},
		{Cite{Source: CommonPractice}, "common practice"},
		{Cite{Source: Memory}, ""},
		{Cite{Source: "half-remembered", At: "p. 1"}, ""},
		{Cite{Source: "unknown"}, ""},
	} {
		if got := s.CiteText(tt.cite); got != tt.want {
			t.Errorf("CiteText(%v) = %q; want %q", tt.cite, got, tt.want)
		}
	}
}
