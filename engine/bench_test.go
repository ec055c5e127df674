package engine_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// BenchmarkDiagnose measures a whole diagnosis of the sample sheets with the embedded knowledge: ranking only, and with
// everything a first screen shows.
func BenchmarkDiagnose(b *testing.B) {
	set, err := rules.Default()
	if err != nil {
		b.Fatal(err)
	}
	for _, name := range []string{"one-side-floods", "four-intake-leak"} {
		path := filepath.Join("..", "testdata", "sheets", name+".yaml")
		data, err := os.ReadFile(path)
		if err != nil {
			b.Fatal(err)
		}
		s, err := symptoms.Decode(path, data, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()})
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range []struct {
			name    string
			options engine.Options
		}{{"ranking", engine.Options{Explain: -1, Questions: -1}}, {"first screen", engine.Options{Detail: engine.FirstScreen, Questions: 3}},
			{"everything", engine.Options{}}} {
			b.Run(name+"/"+o.name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := engine.Diagnose(set, s, o.options); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// BenchmarkLookAhead measures the choice of the next question on the worked cases and the sample sheets, by the number of carburetors: the
// twelve best by the estimate worked out exactly, as the interview does it, and every observation that nobody made. One operation is one
// sheet; the median and the longest of all sheets stand beside it.
func BenchmarkLookAhead(b *testing.B) {
	set, err := rules.Default()
	if err != nil {
		b.Fatal(err)
	}
	_, samples := samples(b)
	for _, carburetors := range []int{1, 2, 4, 6} {
		var sheets []*symptoms.Sheet
		for _, c := range worked(b, set) {
			sheets = append(sheets, c.sheet)
		}
		sheets = append(sheets, samples...)
		sheets = slices.DeleteFunc(sheets, func(s *symptoms.Sheet) bool { return len(s.Machine.Carburetors) != carburetors })
		for _, most := range []int{12, math.MaxInt} {
			name := "twelve"
			if most > 12 {
				name = "all"
			}
			b.Run(fmt.Sprintf("%d/%s", carburetors, name), func(b *testing.B) {
				took, i := make([]time.Duration, len(sheets)), 0
				for b.Loop() {
					begun := time.Now()
					if _, err := engine.Ask(set, sheets[i], engine.AskOptions{Most: most, Detail: engine.FirstScreen}); err != nil {
						b.Fatal(err)
					}
					took[i] = time.Since(begun)
					i = (i + 1) % len(sheets)
				}
				took = slices.DeleteFunc(took, func(d time.Duration) bool { return d == 0 })
				slices.Sort(took)
				b.ReportMetric(float64(took[len(took)/2])/1e6, "ms-median")
				b.ReportMetric(float64(took[len(took)-1])/1e6, "ms-longest")
				b.ReportMetric(float64(len(took)), "sheets")
			})
		}
	}
}
