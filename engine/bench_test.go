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

// sheetsOf are the worked cases and the sample sheets with so many carburetors.
func sheetsOf(b *testing.B, set *rules.Set, carburetors int) []*symptoms.Sheet {
	b.Helper()
	var sheets []*symptoms.Sheet
	for _, c := range worked(b, set) {
		sheets = append(sheets, c.sheet)
	}
	_, samples := samples(b)
	return slices.DeleteFunc(append(sheets, samples...), func(s *symptoms.Sheet) bool { return len(s.Machine.Carburetors) != carburetors })
}

// timeEach does one of n things an operation, in turn; the median and the longest of their shortest times stand beside it.
func timeEach(b *testing.B, n int, do func(i int) error) {
	b.Helper()
	took, i := make([]time.Duration, n), 0
	for b.Loop() {
		begun := time.Now()
		if err := do(i); err != nil {
			b.Fatal(err)
		}
		if d := time.Since(begun); took[i] == 0 || d < took[i] {
			took[i] = d
		}
		i = (i + 1) % n
	}
	took = slices.DeleteFunc(took, func(d time.Duration) bool { return d == 0 })
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2])/1e6, "ms-median")
	b.ReportMetric(float64(took[len(took)-1])/1e6, "ms-longest")
	b.ReportMetric(float64(len(took)), "sheets")
}

// BenchmarkInference is one inference with its planning on the worked cases and the sample sheets, by the number of carburetors. One
// operation is one sheet.
func BenchmarkInference(b *testing.B) {
	set, err := rules.Default()
	if err != nil {
		b.Fatal(err)
	}
	for _, carburetors := range []int{1, 2, 4, 6} {
		var infer []func() error
		for _, s := range sheetsOf(b, set, carburetors) {
			f, err := engine.Inference(set, s)
			if err != nil {
				b.Fatal(err)
			}
			infer = append(infer, f)
		}
		b.Run(fmt.Sprint(carburetors), func(b *testing.B) {
			timeEach(b, len(infer), func(i int) error { return infer[i]() })
		})
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
	for _, carburetors := range []int{1, 2, 4, 6} {
		sheets := sheetsOf(b, set, carburetors)
		for _, most := range []int{12, math.MaxInt} {
			name := "twelve"
			if most > 12 {
				name = "all"
			}
			b.Run(fmt.Sprintf("%d/%s", carburetors, name), func(b *testing.B) {
				timeEach(b, len(sheets), func(i int) error {
					_, err := engine.Ask(set, sheets[i], engine.AskOptions{Most: most, Detail: engine.FirstScreen})
					return err
				})
			})
		}
	}
}
