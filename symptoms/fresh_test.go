package symptoms

import (
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

var update = flag.Bool("update", false, "rewrite golden files")

// readFiles reads the files that match a pattern.
func readFiles(t testing.TB, pattern string) []File {
	t.Helper()
	names, err := filepath.Glob(pattern)
	if err != nil || len(names) == 0 {
		t.Fatalf("no files match %s: %v", pattern, err)
	}
	files := make([]File, len(names))
	for i, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		files[i] = File{Name: filepath.ToSlash(n), Data: data}
	}
	return files
}

// TestVocabularyFresh checks the YAML files of the vocabulary and that the embedded form
// says the same. With -update it rewrites the embedded form.
func TestVocabularyFresh(t *testing.T) {
	v, err := LoadVocabulary(readFiles(t, "vocabulary/*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	want := writeLines(v.all)
	if *update {
		if err := os.WriteFile("vocabulary.lines", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if embedded != want {
		t.Fatal("vocabulary.lines is not what vocabulary/*.yaml give: run go test ./symptoms -run TestVocabularyFresh -update")
	}
	read, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(read.all, v.all) {
		t.Error("Default() differs from the YAML files that it was made of")
	}
}
