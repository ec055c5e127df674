package main

import (
	"cmp"
	"encoding/json"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// These tests hold what other programs rely on: the JSON of the commands and the exit status.

// command runs one command line in this process and wants an exit status.
func command(t *testing.T, status int, stdin string, args ...string) (stdout, stderr string) {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	var out, errs strings.Builder
	if got := run(args, strings.NewReader(stdin), &out, &errs); got != status {
		t.Fatalf("diagnose %s: exit status %d; want %d\n%s", strings.Join(args, " "), got, status, errs.String())
	}
	if status == statusDone && errs.Len() > 0 {
		t.Errorf("diagnose %s: standard error %q; want nothing", strings.Join(args, " "), errs.String())
	}
	return out.String(), errs.String()
}

func decode[T any](t *testing.T, text string) T {
	t.Helper()
	var value T
	if err := json.Unmarshal([]byte(text), &value); err != nil {
		t.Fatalf("output is no JSON of the wanted form: %v\n%.300s", err, text)
	}
	return value
}

// ranking is what triage promises about a sheet.
type ranking struct {
	Sheet  *string          `json:"sheet"`
	Job    *string          `json:"job"`
	Causes []rankedCause    `json:"causes"`
	Stop   []map[string]any `json:"stop"`
	Error  *string          `json:"error"`
}

type rankedCause struct {
	Cause       string   `json:"cause"`
	At          *string  `json:"at"`
	About       string   `json:"about"`
	Title       string   `json:"title"`
	System      string   `json:"system"`
	Probability *float64 `json:"probability"`
	Anywhere    *float64 `json:"anywhere"`
	Prior       *float64 `json:"prior"`
}

func sheets(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(root, "testdata", "sheets", "*.yaml"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("%d sheets in testdata/sheets, %v", len(paths), err)
	}
	return paths
}

func notShort(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("ranks many sheets with every detail")
	}
}

func TestTriageJSON(t *testing.T) {
	notShort(t)
	for _, path := range sheets(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			out, _ := command(t, statusDone, "", "triage", path, "--format", "json")
			r := decode[ranking](t, out)
			if r.Sheet == nil || *r.Sheet != path || r.Job == nil || r.Stop == nil || r.Error != nil {
				t.Errorf("sheet, job, stop or error not as promised: %.200s", out)
			}
			if len(r.Causes) == 0 {
				t.Fatal("no causes")
			}
			for _, c := range r.Causes {
				c.check(t)
			}
			if !slices.IsSortedFunc(r.Causes, byRank) {
				t.Error("causes are not sorted by probability, then id, then place")
			}
		})
	}
}

// byRank is the promised order.
func byRank(a, b rankedCause) int {
	return cmp.Or(cmp.Compare(*b.Probability, *a.Probability), cmp.Compare(a.Cause, b.Cause), cmp.Compare(*a.At, *b.At))
}

func (c *rankedCause) check(t *testing.T) {
	t.Helper()
	if c.Cause == "" || c.At == nil || c.Title == "" || c.Probability == nil || c.Anywhere == nil || c.Prior == nil {
		t.Fatalf("cause %+v lacks something", *c)
	}
	if (c.About == symptoms.WholeMachine.String()) != (*c.At == "") {
		t.Errorf("%s: about %q at %q", c.Cause, c.About, *c.At)
	}
	if !slices.Contains(rules.Systems(), c.System) {
		t.Errorf("%s: system %q", c.Cause, c.System)
	}
	// A probability of exactly 0 or 1 would be a claim that no observation can make.
	for _, p := range []float64{*c.Probability, *c.Anywhere, *c.Prior} {
		if !(p > 0 && p < 1) {
			t.Errorf("%s at %q: probability %v, anywhere %v, prior %v; want them between 0 and 1", c.Cause, *c.At, *c.Probability, *c.Anywhere, *c.Prior)
		}
	}
	const rounding = 1e-12
	if *c.Anywhere < *c.Probability-rounding {
		t.Errorf("%s at %q: anywhere %v is less than probability %v", c.Cause, *c.At, *c.Anywhere, *c.Probability)
	}
}

func TestTriageEveryCause(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	out, _ := command(t, statusDone, "sheet: 1\nmachine: {cylinders: 2, carburetors: [left, right]}\n", "triage", "-", "--format", "json")
	r := decode[ranking](t, out)
	if *r.Sheet != "-" {
		t.Errorf("sheet %q; want -", *r.Sheet)
	}
	got := map[string]int{}
	for _, c := range r.Causes {
		got[c.Cause]++
	}
	for _, c := range k.Causes {
		want := 1
		if c.About != symptoms.WholeMachine {
			want = 2
		}
		// Whether a cause with a condition exists on a machine of which nothing is told is the engine's business.
		if c.Exists == nil && got[c.ID] != want {
			t.Errorf("%s is there %d times; want %d", c.ID, got[c.ID], want)
		}
	}
}

func TestTriageSeveral(t *testing.T) {
	notShort(t)
	paths := sheets(t)
	folder, _ := command(t, statusDone, "", "triage", filepath.Join(root, "testdata", "sheets"), "--format", "json")
	var got []string
	for _, r := range decode[[]ranking](t, folder) {
		got = append(got, *r.Sheet)
	}
	if !slices.Equal(got, paths) {
		t.Errorf("triage of a folder: sheets %q; want %q", got, paths)
	}
	// The same sheet gives the same answer alone, and among others.
	alone, _ := command(t, statusDone, "", "triage", paths[0], "--format", "json")
	among := decode[[]json.RawMessage](t, folder)
	if a, b := compact(t, []byte(alone)), compact(t, among[0]); a != b {
		t.Errorf("%s alone and among others differ", paths[0])
	}
}

func compact(t *testing.T, data []byte) string {
	t.Helper()
	var value any
	if err := json.Unmarshal(data, &value); err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestTriageBadSheetInPlace(t *testing.T) {
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.yaml")
	writeFile(t, bad, "sheet: 1\nobserved: {no_such_thing: yes}\n")
	missing := filepath.Join(dir, "none.yaml")
	good := sheets(t)[0]
	out, errs := command(t, statusError, "", "triage", bad, good, missing, "--format", "json")
	list := decode[[]map[string]any](t, out)
	if len(list) != 3 {
		t.Fatalf("%d results; want 3", len(list))
	}
	for i, path := range map[int]string{0: bad, 2: missing} {
		keys := slices.Sorted(maps.Keys(list[i]))
		if !slices.Equal(keys, []string{"error", "sheet"}) || list[i]["sheet"] != path || list[i]["error"] == "" {
			t.Errorf("result %d = %v; want sheet %q and an error", i, list[i], path)
		}
		if !strings.Contains(errs, path) {
			t.Errorf("standard error does not name %s: %s", path, errs)
		}
	}
	if list[1]["sheet"] != good || list[1]["causes"] == nil {
		t.Errorf("result 1 = %v; want the ranking of %s", list[1], good)
	}
	// One bad sheet alone is an object, too.
	out, _ = command(t, statusError, "", "triage", bad, "--format", "json")
	if one := decode[map[string]any](t, out); one["sheet"] != bad || one["error"] == "" {
		t.Errorf("bad sheet alone = %v; want sheet %q and an error", one, bad)
	}
}

// TestTriageKeepsOrder sends many more sheets than processors, the slow ones first.
func TestTriageKeepsOrder(t *testing.T) {
	dir := t.TempDir()
	var want []string
	for i := range 24 {
		path := filepath.Join(dir, "sheet-"+string(rune('a'+i/26))+string(rune('a'+i%26))+".yaml")
		text := "sheet: 1\n"
		if i < 4 {
			text = "sheet: 1\nmachine: {cylinders: 4, carburetors: 4}\nobserved: {idle_report: uneven}\n"
		}
		writeFile(t, path, text)
		want = append(want, path)
	}
	out, _ := command(t, statusDone, "", "triage", dir, "--format", "json")
	var got []string
	for _, r := range decode[[]ranking](t, out) {
		got = append(got, *r.Sheet)
	}
	if !slices.Equal(got, want) {
		t.Errorf("order of results %q; want %q", got, want)
	}
}

func TestObservationsJSON(t *testing.T) {
	out, _ := command(t, statusDone, "", "observations", "--format", "json")
	type observation struct {
		ID       string             `json:"id"`
		Question string             `json:"question"`
		Where    string             `json:"where"`
		About    string             `json:"about"`
		Kind     string             `json:"kind"`
		Words    *map[string]string `json:"words"`
		Normal   *string            `json:"normal"`
		Several  *bool              `json:"several"`
		Unit     *string            `json:"unit"`
		Range    *[]float64         `json:"range"`
		Who      string             `json:"who"`
	}
	where := map[string]int{}
	for _, o := range decode[[]observation](t, out) {
		where[o.Where]++
		choice := o.Kind == "choice"
		switch {
		case o.ID == "" || o.Question == "" || o.Words == nil || o.Normal == nil || o.Several == nil || o.Unit == nil:
			t.Errorf("%+v lacks something", o)
		case !slices.Contains([]string{"machine", "carburetor", "cylinder"}, o.About):
			t.Errorf("%s: about %q", o.ID, o.About)
		case !slices.Contains([]string{"rider", "look-over", "bench", "running"}, o.Who):
			t.Errorf("%s: who %q", o.ID, o.Who)
		case !slices.Contains([]string{"yes-no", "choice", "number"}, o.Kind):
			t.Errorf("%s: kind %q", o.ID, o.Kind)
		case choice && len(*o.Words) < 2:
			t.Errorf("%s: a choice of %d words", o.ID, len(*o.Words))
		case o.Kind == "number" && (o.Range == nil || len(*o.Range) != 2):
			t.Errorf("%s: a number without range", o.ID)
		}
	}
	for _, part := range []string{"machine", "history", "observed"} {
		if where[part] == 0 {
			t.Errorf("no entry where %q", part)
		}
	}
	if len(where) != 3 {
		t.Errorf("where = %v; want machine, history and observed only", where)
	}
}

func TestListsJSON(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	out, _ := command(t, statusDone, "", "causes", "--format", "json")
	causes := decode[[]struct {
		ID, Title, About, System string
		Prior                    float64
	}](t, out)
	if len(causes) != len(k.Causes) {
		t.Errorf("%d causes; want %d", len(causes), len(k.Causes))
	}
	for i, c := range causes {
		if w := k.Causes[i]; c.ID != w.ID || c.Title != w.Title || c.About != w.About.String() || c.System != w.System || c.Prior != w.Prior.Base {
			t.Errorf("cause %d = %+v; want %s", i, c, w.ID)
		}
	}
	out, _ = command(t, statusDone, "", "repairs", "--format", "json")
	repairs := decode[[]struct {
		ID, Title string
		Cures     []string
	}](t, out)
	if len(repairs) != len(k.Repairs) {
		t.Errorf("%d repairs; want %d", len(repairs), len(k.Repairs))
	}
	for i, r := range repairs {
		if w := k.Repairs[i]; r.ID != w.ID || r.Title != w.Title || len(r.Cures) != len(w.Cures) {
			t.Errorf("repair %d = %+v; want %s", i, r, w.ID)
		}
	}
}

// TestFilters compares each filter with the whole list.
func TestFilters(t *testing.T) {
	tests := []struct{ list, filter, value, key string }{
		{"observations", "who", "rider", "who"},
		{"observations", "about", "carburetor", "about"},
		{"observations", "where", "history", "where"},
		{"causes", "system", "float", "system"},
		{"causes", "about", "machine", "about"},
		{"repairs", "about", "carburetor", "about"},
	}
	for _, tt := range tests {
		t.Run(tt.list+" "+tt.filter, func(t *testing.T) {
			all, _ := command(t, statusDone, "", tt.list, "--format", "json")
			out, _ := command(t, statusDone, "", tt.list, "--format", "json", "--"+tt.filter, tt.value)
			want := slices.DeleteFunc(decode[[]map[string]any](t, all), func(o map[string]any) bool { return o[tt.key] != tt.value })
			got := decode[[]map[string]any](t, out)
			if len(got) != len(want) || len(got) == 0 {
				t.Fatalf("%s --%s %s lists %d; want %d, and some", tt.list, tt.filter, tt.value, len(got), len(want))
			}
			for i := range got {
				if got[i]["id"] != want[i]["id"] {
					t.Errorf("entry %d is %v; want %v", i, got[i]["id"], want[i]["id"])
				}
			}
		})
	}
}
