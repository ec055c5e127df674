package belief

import (
	"encoding/json"
	"math"
	"math/big"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// Source: testdata/noisyor_tables.json. Each row fixes the parents and asks for the finding.
func TestNoisyOrTables(t *testing.T) {
	var file struct {
		Tables []struct {
			Name, Source string
			Links        []any
			Leak         any
			Rows         []struct {
				Parents []int
				P       any
			}
		}
	}
	readJSON(t, "noisyor_tables.json", &file)
	rows := 0
	for _, tab := range file.Tables {
		for _, row := range tab.Rows {
			rows++
			n, e := NewNet(), new(Evidence)
			var cs []Node
			for _, x := range row.Parents {
				c := n.Cause(0.5, 0)
				e.Weigh(c, float64(1-x), float64(x))
				cs = append(cs, c)
			}
			f := n.Finding(number(t, tab.Leak), 0)
			for i, l := range tab.Links {
				n.Link(cs[i], f, number(t, l))
			}
			e.Ask(f)
			_, r := posterior(t, n, e)
			if want := number(t, row.P); math.Abs(r.P[f]-want) > 2e-16 {
				t.Errorf("%s (%s): P(finding | %v) = %v; want %v", tab.Name, tab.Source, row.Parents, r.P[f], want)
			}
		}
	}
	if rows < 16 {
		t.Errorf("%d rows; want at least 16", rows)
	}
}

// number reads a JSON number or a fraction such as "7/10".
func number(t *testing.T, x any) float64 {
	t.Helper()
	switch x := x.(type) {
	case float64:
		return x
	case string:
		if r, ok := new(big.Rat).SetString(x); ok {
			f, _ := r.Float64()
			return f
		}
	}
	t.Fatalf("%v is not a number", x)
	return 0
}

// twoLayer is a network of causes and findings as the fixtures write it.
type twoLayer struct {
	Name string
	Net  struct {
		Causes []struct {
			ID    string
			Prior float64
		}
		Findings []struct {
			ID    string
			Leak  float64
			Links map[string]float64
		}
	}
	Evidence      map[string]bool
	CauseEvidence map[string]bool `json:"cause_evidence"`
	Expected      struct {
		PEvidence float64 `json:"p_evidence"`
		Posterior map[string]float64
	}
	Tolerance                     float64
	Float64AlternatingSumMaxError float64 `json:"float64_alternating_sum_max_error"`
}

func (l *twoLayer) build() (*Net, *Evidence, map[string]Node) {
	n, e, ids := NewNet(), new(Evidence), map[string]Node{}
	for _, c := range l.Net.Causes {
		ids[c.ID] = n.Cause(c.Prior, 0)
		if x, ok := l.CauseEvidence[c.ID]; ok && x {
			e.Seen(ids[c.ID])
		} else if ok {
			e.NotSeen(ids[c.ID])
		}
	}
	for _, f := range l.Net.Findings {
		ids[f.ID] = n.Finding(f.Leak, 0)
		for _, c := range l.Net.Causes {
			if s, ok := f.Links[c.ID]; ok {
				n.Link(ids[c.ID], ids[f.ID], s)
			}
		}
		if x, ok := l.Evidence[f.ID]; ok && x {
			e.Seen(ids[f.ID])
		} else if ok {
			e.NotSeen(ids[f.ID])
		}
	}
	return n, e, ids
}

// check compares with the expected values and returns the largest difference of a posterior.
func (l *twoLayer) check(t *testing.T) float64 {
	t.Helper()
	n, e, ids := l.build()
	_, r := posterior(t, n, e)
	if z := math.Ldexp(r.Z, r.Exp); math.Abs(z/l.Expected.PEvidence-1) > l.Tolerance {
		t.Errorf("P(evidence) = %v; want %v", z, l.Expected.PEvidence)
	}
	largest := 0.0
	for _, c := range l.Net.Causes {
		want, ok := l.Expected.Posterior[c.ID]
		d := math.Abs(r.P[ids[c.ID]] - want)
		largest = max(largest, d)
		if !ok || d > l.Tolerance {
			t.Errorf("P[%s] = %v; want %v", c.ID, r.P[ids[c.ID]], want)
		}
	}
	return largest
}

// Source: testdata/noisyor_bruteforce.json.
func TestBruteForceFixtures(t *testing.T) {
	var file struct {
		Impossible twoLayer
		Cases      []twoLayer
	}
	readJSON(t, "noisyor_bruteforce.json", &file)
	largest := 0.0
	for _, c := range file.Cases {
		t.Run(c.Name, func(t *testing.T) { largest = max(largest, c.check(t)) })
	}
	t.Logf("%d cases, largest difference %.1e", len(file.Cases), largest)
	if len(file.Cases) < 18 {
		t.Errorf("%d cases; want 18", len(file.Cases))
	}
	n, e, _ := file.Impossible.build()
	if got, want := conflictOf(t, n, e), []int{0, 1, 2}; !slices.Equal(got, want) {
		t.Errorf("impossible case: Items = %v; want %v, the two ruled out causes and the finding", got, want)
	}
}

// Source: testdata/noisyor_large_reference.json, 70-digit arithmetic. The same formula summed in float64 is wrong by up to 8e-3 there.
func TestLargeReferences(t *testing.T) {
	var file struct{ Cases []twoLayer }
	readJSON(t, "noisyor_large_reference.json", &file)
	for _, c := range file.Cases {
		t.Run(c.Name, func(t *testing.T) {
			d := c.check(t)
			t.Logf("largest difference %.1e; the alternating sum in float64: %.1e", d, c.Float64AlternatingSumMaxError)
			if d > tolerance {
				t.Errorf("largest difference %g; want at most %g", d, tolerance)
			}
		})
	}
	if len(file.Cases) < 4 {
		t.Errorf("%d cases; want 4", len(file.Cases))
	}
}
