package engine_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"go.yaml.in/yaml/v3"
)

// chartFile is testdata/charts.yaml or more-charts.yaml: rows of published troubleshooting charts, mapped to observations and causes.
type chartFile struct {
	Classes    map[string][]string
	Rows       []chartRow
	Unmapped   []chartLeftOut
	OutOfScope []chartLeftOut `yaml:"out_of_scope"`
	// KnownNow maps items that the first file left out as beyond the knowledge of its time.
	KnownNow []knownNow `yaml:"known_now"`
}

type knownNow struct {
	Row, Says string
	Is        []string
}

type chartRow struct {
	Row, Case, Source, Trouble string
	Sheet                      map[string]yaml.Node
	Items                      []chartItem
}

// chartItem is one probable cause of a row: causes, a class of them, or beyond what the knowledge has.
type chartItem struct {
	Says   string
	Is     []string
	Class  string
	Beyond string
}

type chartLeftOut struct{ Row, Why string }

func (r chartRow) name() string { return strings.TrimSpace(r.Row + " " + r.Case) }

// text is the row's trouble as an intake sheet of a parallel twin.
func (r chartRow) text(t *testing.T) string {
	t.Helper()
	doc := map[string]any{"sheet": 1, "machine": map[string]any{"cylinders": 2, "carburetors": 2}}
	for key, node := range r.Sheet {
		var value any
		if err := node.Decode(&value); err != nil {
			t.Fatal(err)
		}
		if key == "machine" {
			for k, v := range value.(map[string]any) {
				doc["machine"].(map[string]any)[k] = v
			}
			continue
		}
		doc[key] = value
	}
	data, err := yaml.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// charts joins the two files of rows.
func charts(t *testing.T) chartFile {
	t.Helper()
	all := chartFile{Classes: map[string][]string{}}
	for _, name := range []string{"testdata/charts.yaml", "testdata/more-charts.yaml"} {
		var f chartFile
		d := yaml.NewDecoder(bytes.NewReader(read(t, name)))
		d.KnownFields(true)
		if err := d.Decode(&f); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for class, ids := range f.Classes {
			if _, twice := all.Classes[class]; twice {
				t.Fatalf("%s: the class %q is there twice", name, class)
			}
			all.Classes[class] = ids
		}
		all.Rows = append(all.Rows, f.Rows...)
		all.Unmapped = append(all.Unmapped, f.Unmapped...)
		all.OutOfScope = append(all.OutOfScope, f.OutOfScope...)
		all.KnownNow = append(all.KnownNow, f.KnownNow...)
	}
	for _, k := range all.KnownNow {
		it := all.item(k.Row, k.Says)
		if it == nil || it.Beyond == "" {
			t.Fatalf("more-charts.yaml: known_now: %s has no item %q beyond the knowledge", k.Row, k.Says)
		}
		it.Is, it.Beyond = k.Is, ""
	}
	return all
}

// item finds an item of a row by what it says, or returns nil.
func (f chartFile) item(row, says string) *chartItem {
	for i := range f.Rows {
		if f.Rows[i].Row != row {
			continue
		}
		for j := range f.Rows[i].Items {
			if f.Rows[i].Items[j].Says == says {
				return &f.Rows[i].Items[j]
			}
		}
	}
	return nil
}

// members returns the causes an item stands for, or fails.
func (f chartFile) members(t *testing.T, set *rules.Set, it chartItem) []string {
	t.Helper()
	ids := slices.Clone(it.Is)
	if it.Class != "" {
		ids = append(ids, f.Classes[it.Class]...)
	}
	for _, id := range ids {
		if _, ok := set.Cause(id); !ok {
			t.Fatalf("charts: %q is mapped to %q, which is no cause", it.Says, id)
		}
	}
	if (len(ids) == 0) == (it.Beyond == "") {
		t.Fatalf("charts: %q is mapped to %d causes and beyond %q; want one of the two", it.Says, len(ids), it.Beyond)
	}
	return ids
}

// chance sums over some causes the probability of being somewhere, before and after; best is the best rank among them.
func chance(d *engine.Diagnosis, ids []string) (before, after float64, best int) {
	best = len(d.Ranked)
	for i, r := range d.Ranked {
		if slices.Contains(ids, r.ID) {
			before, after, best = before+r.Prior, after+r.Anywhere, min(best, i)
		}
	}
	return before, after, best
}

// TestCharts enters the trouble of each published row, and nothing else. Every item must become likelier than it was, and two
// thirds of the items must be among the first causes: as many as the row has items, and three.
func TestCharts(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	f := charts(t)
	items, beyond, among := 0, 0, 0
	rows := map[string]bool{}
	for _, row := range f.Rows {
		rows[row.Row] = true
		t.Run(row.name(), func(t *testing.T) {
			if row.Source == "" || row.Trouble == "" || len(row.Items) == 0 {
				t.Fatalf("charts: %s has no source, trouble or items", row.name())
			}
			d, err := engine.Diagnose(set, sheet(t, set, row.text(t)), engine.Options{Explain: -1, Questions: -1})
			if err != nil {
				t.Fatal(err)
			}
			for _, h := range d.Heard {
				if !h.Used {
					t.Errorf("%s is not used: %s", h.Reading.Observation.ID, h.Why)
				}
			}
			for _, it := range row.Items {
				ids := f.members(t, set, it)
				if len(ids) == 0 {
					beyond++
					continue
				}
				before, after, best := chance(d, ids)
				if after <= before*(1+tolerance) {
					t.Errorf("%q: P%v = %.4f; want above its prior %.4f", it.Says, ids, after, before)
				}
				items++
				if best < len(row.Items)+3 {
					among++
				} else {
					t.Logf("%q: best of %v is number %d of the ranking, the row has %d items", it.Says, ids, best+1, len(row.Items))
				}
			}
		})
	}
	t.Logf("%d rows mapped (%d cases), %d items, of them %d beyond the knowledge; %d of %d items among the first", len(rows), len(f.Rows),
		items+beyond, beyond, among, items)
	if 3*among < 2*items {
		t.Errorf("%d of %d mapped items are among the first causes of their row; want two thirds", among, items)
	}
}

// TestChartsAreAccountedFor keeps the mapping honest: no row twice, a reason for each that is left out, and few of them.
func TestChartsAreAccountedFor(t *testing.T) {
	f := charts(t)
	mapped, once := map[string]bool{}, map[string]bool{}
	for _, r := range f.Rows {
		if once[r.name()] {
			t.Errorf("charts: %s is there twice", r.name())
		}
		once[r.name()], mapped[r.Row] = true, true
	}
	seen := map[string]bool{}
	leftOut := func(row, why string) {
		if why == "" || mapped[row] || seen[row] {
			t.Errorf("charts: %s is left out with reason %q, and is mapped: %t, left out twice: %t", row, why, mapped[row], seen[row])
		}
		seen[row] = true
	}
	for _, l := range append(slices.Clone(f.Unmapped), f.OutOfScope...) {
		leftOut(l.Row, l.Why)
	}
	if n := len(f.Unmapped); 10*n > n+len(mapped) {
		t.Errorf("%d of %d rows are not mapped; want a tenth at most", n, n+len(mapped))
	}
}
