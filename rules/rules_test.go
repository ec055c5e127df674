package rules

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"diagnose.example/symptoms"
)

var update = flag.Bool("update", false, "rewrite golden files and the embedded form of the packs")

func readFile(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// small returns the vocabulary of the tests.
func small(t testing.TB) *symptoms.Vocabulary {
	t.Helper()
	v, err := symptoms.ParseVocabulary("vocabulary.yaml", readFile(t, "testdata/vocabulary.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// flooding returns the invented pack of the tests.
func flooding(t testing.TB) *Set {
	t.Helper()
	s, err := Load(small(t), []File{{Name: "flooding.yaml", Data: readFile(t, "testdata/flooding.yaml")}})
	if err != nil {
		t.Fatalf("Load(flooding.yaml):\n%v", err)
	}
	return s
}

// packFiles returns the packs of the program, in the order in which they are loaded.
func packFiles(t testing.TB) []File {
	t.Helper()
	paths, err := filepath.Glob("packs/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var files []File
	for _, p := range paths {
		files = append(files, File{Name: filepath.ToSlash(p), Data: readFile(t, p)})
	}
	return files
}

// golden compares a text with a file in testdata, or rewrites the file.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want := string(readFile(t, path)); got != want {
		t.Errorf("%s differs (-want +got):\n%s", name, diff(want, got))
	}
}

// diff shows the lines that only one of two texts has.
func diff(want, got string) string {
	count := map[string]int{}
	for _, l := range strings.Split(want, "\n") {
		count[l]++
	}
	var b strings.Builder
	for _, l := range strings.Split(got, "\n") {
		if count[l]--; count[l] < 0 {
			b.WriteString("+ " + l + "\n")
		}
	}
	for _, l := range strings.Split(want, "\n") {
		if count[l] > 0 {
			count[l]--
			b.WriteString("- " + l + "\n")
		}
	}
	return b.String()
}
