package engine_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
	"go.yaml.in/yaml/v3"
)

const workedFolder = "../testdata/cases/"

// workedSet is a folder of sheets with the file of their truths.
type workedSet struct{ name, folder, truths string }

// workedSets lists the sets; the second was written after the knowledge had been mended on the first, and mended on in its turn.
func workedSets() []workedSet {
	return []workedSet{
		{"sixty", workedFolder, "../testdata/case-truths.yaml"},
		{"fresh", "../testdata/cases-fresh/", "../testdata/case-truths-fresh.yaml"},
	}
}

// workedFault is something that was wrong in the end. Any holds the causes that name it, At its places.
type workedFault struct {
	Any []string
	At  []string
}

// workedCase is one entry of testdata/case-truths.yaml; what its fields mean stands there.
type workedCase struct {
	Case, Subsystem, Difficulty string
	LookAlike                   bool `yaml:"look_alike"`
	Faults                      []workedFault
	Told                        []string
	LeftOut                     string `yaml:"left_out"`
	Story                       string

	sheet *symptoms.Sheet
}

func worked(t testing.TB, set *rules.Set) []*workedCase {
	t.Helper()
	return workedSets()[0].read(t, set)
}

// read reads the truths and decodes the sheet of each case.
func (w workedSet) read(t testing.TB, set *rules.Set) []*workedCase {
	t.Helper()
	var file struct{ Cases []*workedCase }
	dec := yaml.NewDecoder(bytes.NewReader(read(t, w.truths)))
	dec.KnownFields(true)
	if err := dec.Decode(&file); err != nil {
		t.Fatal(err)
	}
	for _, c := range file.Cases {
		path := w.folder + c.Case + ".yaml"
		s, err := symptoms.Decode(path, read(t, path), set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
		if err != nil {
			t.Fatal(err)
		}
		c.sheet = s
	}
	return file.Cases
}

// seen lists the observations of a sheet, each once.
func (c *workedCase) seen() []string {
	var ids []string
	for _, r := range c.sheet.Readings {
		ids = append(ids, r.Observation.ID)
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// TestWorkedCasesAreWhole holds each case to its format: every sheet has its truth, and truth and sheet speak of the same things.
func TestWorkedCasesAreWhole(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range workedSets() {
		t.Run(w.name, func(t *testing.T) { w.check(t, set) })
	}
}

func (w workedSet) check(t *testing.T, set *rules.Set) {
	cases := w.read(t, set)
	entries, err := os.ReadDir(w.folder)
	if err != nil {
		t.Fatal(err)
	}
	var files, named []string
	for _, e := range entries {
		if name := strings.TrimSuffix(e.Name(), ".yaml"); filepath.Ext(e.Name()) == ".yaml" {
			files = append(files, name)
		}
	}
	for _, c := range cases {
		named = append(named, c.Case)
		t.Run(c.Case, func(t *testing.T) { c.check(t, set) })
	}
	if !slices.Equal(files, named) {
		t.Errorf("sheets in the folder = %v; want those of the truths in order, %v", files, named)
	}
}

func (c *workedCase) check(t *testing.T, set *rules.Set) {
	if c.Story == "" || len(c.Faults) == 0 || len(c.Told) < 3 || len(c.sheet.Notes) == 0 {
		t.Errorf("story %q, %d faults, %d observations, %d notes; want each, and three observations", c.Story, len(c.Faults), len(c.Told), len(c.sheet.Notes))
	}
	told := slices.Clone(c.Told)
	slices.Sort(told)
	if seen := c.seen(); !slices.Equal(told, seen) {
		t.Errorf("told %v; want what stands on the sheet, %v", told, seen)
	}
	for _, f := range c.Faults {
		if len(f.Any) == 0 {
			t.Error("a fault names no cause")
		}
		for _, id := range f.Any {
			cause, ok := set.Cause(id)
			if !ok {
				t.Errorf("fault %q is no cause", id)
				continue
			}
			c.checkPlaces(t, cause, f.At)
		}
	}
}

// checkPlaces wants places that the machine has for the cause, and places whenever it has more than one.
func (c *workedCase) checkPlaces(t *testing.T, cause *rules.Cause, at []string) {
	places := c.sheet.Machine.Places(cause.About)
	for _, p := range at {
		if !slices.Contains(places, p) {
			t.Errorf("%s is at %q; want one of %v", cause.ID, p, places)
		}
	}
	if len(at) == 0 && len(places) > 1 {
		t.Errorf("%s is at no place; want some of %v", cause.ID, places)
	}
}

// TestWorkedCasesAreSpread holds the sixty to what makes them worth measuring with: hard and easy, many and few observations,
// every part of the fuel system and its look-alikes, every shape of machine.
func TestWorkedCasesAreSpread(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	have := map[string]int{}
	for _, c := range worked(t, set) {
		for _, k := range c.kinds() {
			have[k]++
		}
	}
	for k, want := range workedDemands {
		if have[k] < want {
			t.Errorf("%s: %d cases; want at least %d", k, have[k], want)
		}
	}
	for k := range have {
		if strings.HasPrefix(k, "subsystem ") && workedDemands[k] == 0 {
			t.Errorf("%s is none of the list", k)
		}
	}
	if have["case"] != 60 {
		t.Errorf("%d cases; want 60", have["case"])
	}
}

var workedDemands = map[string]int{
	"look-alike": 20, "four observations or fewer": 30, "six observations or more": 5,
	"difficulty easy": 12, "difficulty medium": 20, "difficulty hard": 10,
	"subsystem supply": 3, "subsystem fuel-quality": 3, "subsystem float": 3, "subsystem idle": 2, "subsystem transition": 2,
	"subsystem main": 2, "subsystem slide-and-diaphragm": 2, "subsystem throttle-and-linkage": 3, "subsystem choke": 2,
	"subsystem accelerator-pump": 2, "subsystem intake-leak": 2, "subsystem air-cleaner": 3, "subsystem exhaust": 2,
	"subsystem weather": 3, "subsystem rebuild-error": 3, "subsystem ignition": 6, "subsystem mechanical": 5, "subsystem operator": 3,
	"1 carburetor": 15, "2 carburetors": 15, "3 carburetors": 2, "4 carburetors": 10, "6 carburetors": 1,
	"strokes 2": 7, "several cylinders on a carburetor": 2,
	"kind slide": 15, "kind constant-velocity": 15, "kind butterfly": 1,
	"after-rebuild": 5, "after-carburetor-work": 5, "after-storage": 5, "in-daily-use": 5, "came-on-suddenly": 5, "came-on-gradually": 5,
	"something tried": 20, "something found normal": 40, "decisive thing left out": 30, "two faults": 4,
}

// kinds lists what a case counts for.
func (c *workedCase) kinds() []string {
	m := c.sheet.Machine
	n := len(m.Carburetors)
	carburetors := []string{"", "1 carburetor", "2 carburetors", "3 carburetors", "4 carburetors", "5 carburetors", "6 carburetors"}[n]
	kinds := append([]string{"case", "difficulty " + c.Difficulty, "subsystem " + c.Subsystem, carburetors, "kind " + m.CarburetorKind}, c.sheet.History...)
	for name, yes := range map[string]bool{
		"look-alike":                        c.LookAlike,
		"four observations or fewer":        len(c.Told) <= 4,
		"six observations or more":          len(c.Told) >= 6,
		"strokes 2":                         m.Strokes == 2,
		"several cylinders on a carburetor": len(m.Cylinders) > n,
		"something tried":                   len(c.sheet.Tried) > 0,
		"something found normal":            slices.ContainsFunc(c.sheet.Readings, isNormal),
		"decisive thing left out":           c.LeftOut != "",
		"two faults":                        len(c.Faults) > 1,
	} {
		if yes {
			kinds = append(kinds, name)
		}
	}
	return kinds
}

// isNormal is about words and yes-no: whether a number is normal depends on the book value beside it.
func isNormal(r symptoms.Reading) bool {
	switch r.Observation.Kind {
	case symptoms.YesNo:
		return r.Value.Yes == (r.Observation.Normal == "yes")
	case symptoms.Choice:
		return slices.Equal(r.Value.Words, []string{r.Observation.Normal})
	default:
		return false
	}
}
