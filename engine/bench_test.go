package engine_test

import (
	"os"
	"path/filepath"
	"testing"

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
