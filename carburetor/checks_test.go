package carburetor

import (
	"errors"
	"math"
	"os"
	"testing"

	"go.yaml.in/yaml/v3"
)

// How many figures there are of each kind. A row that is dropped from the file, or that changes
// its status, fails the test.
const (
	verifiedRows  = 159 // the expected number was seen in the source
	convertedRows = 14  // the inputs were seen, the number is their conversion
	derivedRows   = 31  // closed form, no printed source
	recalledRows  = 13  // from memory
	unusableRows  = 2   // do not agree with their own formula
)

// A figure is one row of testdata/checks.yaml.
type figure struct {
	ID        string
	Topic     string
	Formula   string
	Inputs    map[string]any
	Expected  float64
	Unit      string
	Tolerance float64
	Source    string `yaml:"source_id"`
	Where     string
	Status    string
	Kind      string
	Note      string
	Use       bool
	// An independent calculation of the same formula.
	Recomputed, Difference float64
	Agrees                 bool
}

// A read gives the number of an input of the row.
type read func(name string) float64

// A calculation does with the package what the row's formula says, in the row's unit.
type calculation func(in read) (float64, error)

// beyond are rows whose expected value lies outside the range in which the model answers; it
// must refuse them with a RangeError, whose Value (in SI units, as these rows are) must be the
// expected one.
var beyond = map[string]string{
	"sae-850":       "power factor above 1.07",
	"din-900-30":    "power factor above 1.07",
	"iso1585-95-35": "power factor above 1.07",
	"hose-hp":       "the hose is turbulent: Re far above 2000",
	"cipm-30-80":    "CIPM-2007 is given for 15 to 27 °C",
}

// recomputedTolerance is how far the model may be from the independent calculation of the row,
// relatively: what gravity of 9.81 and rounded gas constants make. It is often sharper than the
// row's own tolerance.
const recomputedTolerance = 1e-3

// looser are rows where the independent calculation took another coefficient.
var looser = map[string]string{
	"ice-eth": "another specific heat of liquid ethanol: 1.8 %",
}

// exceptions are rows that the model does not meet, with the reason. Keep it empty.
var exceptions = map[string]string{}

func readFigures(t *testing.T) []figure {
	t.Helper()
	data, err := os.ReadFile("testdata/checks.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Checks []figure }
	if err := yaml.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	return file.Checks
}

// calculations gathers the calculations of all topics.
func calculations(t *testing.T) map[string]calculation {
	t.Helper()
	all := map[string]calculation{}
	for _, topic := range []map[string]calculation{
		bowlChecks(), jetChecks(), venturiChecks(), mixtureChecks(), leakChecks(), atmosphereChecks(),
		humidityChecks(), fuelChecks(), exhaustChecks(), heatChecks(), gaugeChecks(), supplyChecks(),
	} {
		for id, f := range topic {
			if all[id] != nil {
				t.Fatalf("two calculations for %s", id)
			}
			all[id] = f
		}
	}
	return all
}

func TestPublishedFigures(t *testing.T) {
	all, count := calculations(t), map[string]int{}
	seen := map[string]bool{}
	for _, row := range readFigures(t) {
		if seen[row.ID] {
			t.Errorf("row %s stands twice", row.ID)
		}
		seen[row.ID] = true
		t.Run(row.ID, func(t *testing.T) {
			if !row.Use {
				count["unusable"]++
				t.Skipf("not used: %s", row.Note)
			}
			if all[row.ID] == nil {
				t.Fatalf("no calculation for %s (%s)", row.ID, row.Formula)
			}
			if row.check(t, all[row.ID]) {
				count[row.standing()]++
			}
		})
	}
	for id := range all {
		if !seen[id] {
			t.Errorf("calculation %s has no row", id)
		}
	}
	t.Logf("figures met: %d verified, %d converted, %d derived, %d recalled; %d unusable skipped, %d exceptions",
		count["verified"], count["converted"], count["derived"], count["recalled"], count["unusable"], len(exceptions))
	if !t.Failed() {
		checkCounts(t, count)
	}
}

func checkCounts(t *testing.T, count map[string]int) {
	t.Helper()
	want := map[string]int{
		"verified": verifiedRows, "converted": convertedRows, "derived": derivedRows,
		"recalled": recalledRows, "unusable": unusableRows,
	}
	for _, kind := range []string{"verified", "converted", "derived", "recalled", "unusable"} {
		if count[kind] != want[kind] {
			t.Errorf("%s rows = %d; want %d", kind, count[kind], want[kind])
		}
	}
}

// standing says what an agreement with the row is worth.
func (r figure) standing() string {
	switch {
	case r.Kind != "":
		return r.Kind
	case r.Status == "VERIFIED":
		return "verified"
	}
	return "recalled"
}

func (r figure) check(t *testing.T, f calculation) bool {
	t.Helper()
	used := map[string]bool{}
	got, err := f(func(name string) float64 {
		used[name] = true
		return r.input(t, name)
	})
	if beyond[r.ID] != "" {
		var out *RangeError
		if !errors.As(err, &out) {
			t.Fatalf("%s = %v, %v; want a RangeError (%s)", r.Formula, got, err, beyond[r.ID])
		}
		got, err = out.Value, nil
	}
	if err != nil {
		t.Fatalf("%s: %v", r.Formula, err)
	}
	if why := exceptions[r.ID]; why != "" {
		t.Skipf("exception: %s", why)
	}
	if !(math.Abs(got-r.Expected) <= r.Tolerance) {
		t.Errorf("%s = %.8g %s; want %.8g ± %.2g (%s, %s)", r.Formula, got, r.Unit, r.Expected, r.Tolerance, r.Source, r.Where)
	}
	if !(math.Abs(got-r.Recomputed) <= recomputedTolerance*math.Abs(r.Recomputed)) && looser[r.ID] == "" {
		t.Errorf("%s = %.8g; want %.8g, the independent calculation", r.Formula, got, r.Recomputed)
	}
	for name := range r.Inputs {
		// The model has standard gravity; texts round it to 9.81 or 32.2.
		if !used[name] && name != "g" {
			t.Errorf("input %s of the row is not used", name)
		}
	}
	return !t.Failed()
}

// input reads a number of the row; textual inputs are read with the function that uses them.
func (r figure) input(t *testing.T, name string) float64 {
	t.Helper()
	switch v := r.Inputs[name].(type) {
	case int:
		return float64(v)
	case float64:
		return v
	case string:
		return 0
	}
	t.Fatalf("row %s has no input %q", r.ID, name)
	return 0
}
