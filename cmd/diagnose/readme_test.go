package main

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// counts is the sentence of the README about the size of the knowledge.
func counts(k *rules.Set) string {
	observed, published := 0, 0
	for _, o := range k.Vocabulary.All() {
		if o.Where == symptoms.Observed {
			observed++
		}
	}
	for _, s := range k.Sources {
		if s.Kind == rules.Published {
			published++
		}
	}
	return fmt.Sprintf("%d causes, %d effects and %d rules over %d observations, with %d checks, %d repairs, %d stop notices and %d published sources",
		len(k.Causes), len(k.Effects), len(k.Rules), observed, len(k.Checks), len(k.Repairs), len(k.Stops), published)
}

// parts is the sentence about the causes of each part of the machine.
func parts(k *rules.Set) string {
	number := map[string]int{}
	for _, c := range k.Causes {
		number[c.System]++
	}
	var list []string
	for _, system := range rules.Systems() {
		if number[system] > 0 {
			list = append(list, fmt.Sprintf("%s %d", strings.ReplaceAll(system, "-", " "), number[system]))
		}
	}
	return "Causes by part of the machine: " + strings.Join(list, ", ") + "."
}

// TestReadmeCounts holds the README to the knowledge as it is; -update puts the numbers in.
func TestReadmeCounts(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name     string
		sentence *regexp.Regexp
		want     string
	}{
		{"size", regexp.MustCompile(`\d+ causes,[^.]*published\s+sources`), counts(k)},
		{"parts", regexp.MustCompile(`Causes by part of the machine:[^.]*\.`), parts(k)},
	}
	for _, tt := range tests {
		text := readText(t, "README.md")
		got := strings.Join(strings.Fields(tt.sentence.FindString(text)), " ")
		switch {
		case got == tt.want:
		case *update && got != "":
			write(t, "README.md", tt.sentence.ReplaceAllLiteralString(text, fold(tt.want, 120)))
		default:
			t.Errorf("README.md, %s: %q; want %q", tt.name, got, tt.want)
		}
	}
}

// TestReadmeSheet decodes the example sheet of the README, which must be right as it stands.
func TestReadmeSheet(t *testing.T) {
	k, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	sheet := yamlBlock(t, "README.md", "sheet: 1")
	if n := strings.Count(sheet, "\n"); n > 10 {
		t.Errorf("README.md: the sheet in ten lines has %d", n)
	}
	if _, err := symptoms.Decode("README.md", []byte(sheet), k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()}); err != nil {
		t.Errorf("README.md: example sheet: %v", err)
	}
}

// TestReadmeRule compares the rule shown in the README with the packs, where it stands word for word; -update copies it.
func TestReadmeRule(t *testing.T) {
	const beginning = "  - id: smells-of-fuel\n"
	var packs strings.Builder
	for _, f := range files(t, "rules/packs") {
		packs.Write(f.Data)
	}
	_, rest, ok := strings.Cut(packs.String(), "\n"+beginning)
	if !ok {
		t.Fatalf("no rule smells-of-fuel in the packs")
	}
	want, _, _ := strings.Cut(rest, "\n\n")
	want = beginning + want + "\n"
	got := yamlBlock(t, "README.md", beginning)
	if got == want {
		return
	}
	if !*update {
		t.Fatalf("README.md shows\n%s\nwant\n%s", got, want)
	}
	write(t, "README.md", strings.Replace(readText(t, "README.md"), got, want, 1))
}

// TestReadmePack loads the pack of a shop over the built-in knowledge.
func TestReadmePack(t *testing.T) {
	pack := rules.File{Name: "README.md", Data: []byte(yamlBlock(t, "README.md", "pack: our-shop"))}
	k, err := rules.Overlay([]rules.File{pack})
	if err != nil {
		t.Fatalf("README.md: example pack: %v", err)
	}
	wantClean(t, k, pack.Name)
}

// TestDevelopersExample adds the worked example to the vocabulary and the packs, as somebody who follows it would, and
// looks for what lint says of it.
func TestDevelopersExample(t *testing.T) {
	const name = "DEVELOPERS.md"
	var words []symptoms.File
	for _, f := range files(t, "symptoms/vocabulary") {
		words = append(words, symptoms.File{Name: f.Name, Data: f.Data})
	}
	v, err := symptoms.LoadVocabulary(append(words, symptoms.File{Name: name, Data: []byte(yamlBlock(t, name, "vocabulary: 1"))}))
	if err != nil {
		t.Fatalf("example observation: %v", err)
	}
	k, err := rules.Load(v, append(files(t, "rules/packs"), rules.File{Name: name, Data: []byte(yamlBlock(t, name, "pack: air-box"))}))
	if err != nil {
		t.Fatalf("example pack: %v", err)
	}
	wantClean(t, k, name)
	rule, ok := k.Rule("air-box-holds-something")
	if !ok {
		t.Fatal("example pack: the rule is missing")
	}
	if err := k.RunExamples(rule); err != nil {
		t.Errorf("example rule: %v", err)
	}
}

// wantClean wants lint to have nothing to say about a file.
func wantClean(t *testing.T, k *rules.Set, file string) {
	t.Helper()
	for _, finding := range k.Lint() {
		if finding.Pos.File == file {
			t.Errorf("lint: %v", finding)
		}
	}
}

// files reads the YAML files of a folder, by name.
func files(t *testing.T, dir string) []rules.File {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(root, dir, "*.yaml"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("%s: %d files, %v", dir, len(paths), err)
	}
	list, err := packFiles(paths)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// yamlBlock returns the code block of a document that begins with the given text.
func yamlBlock(t *testing.T, name, beginning string) string {
	t.Helper()
	_, rest, ok := strings.Cut(readText(t, name), "```yaml\n"+beginning)
	block, _, closed := strings.Cut(rest, "```")
	if !ok || !closed {
		t.Fatalf("%s: no yaml block that begins with %q", name, beginning)
	}
	return beginning + block
}

// TestReadmeConfiguration reads the example configuration of the README, which must be right and hold every setting.
func TestReadmeConfiguration(t *testing.T) {
	text := yamlBlock(t, "README.md", "pack: [")
	got, err := settingsOf(t, text, nil)
	if err != nil {
		t.Fatalf("README.md: example configuration: %v", err)
	}
	if got.colour != "auto" || got.top != 5 || got.format != "text" || len(got.packs) != 1 {
		t.Errorf("README.md: example configuration gives %+v; want the defaults and one pack", *got)
	}
	for _, key := range settingKeys() {
		for _, want := range []string{"\n" + key + ":", envName(key), "--" + key} {
			if !strings.Contains("\n"+text, want) {
				t.Errorf("README.md: example configuration: no %q", strings.TrimSpace(want))
			}
		}
	}
}

// TestDocumentsPlain keeps the documents free of what does not belong: a reader has nothing but the repository.
func TestDocumentsPlain(t *testing.T) {
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		for i, line := range strings.Split(readText(t, name), "\n") {
			if strings.TrimRight(line, " \t") != line {
				t.Errorf("%s:%d: space at the end of the line", name, i+1)
			}
			if strings.Contains(line, "TODO") || strings.Contains(line, "to be filled in") {
				t.Errorf("%s:%d: %q", name, i+1, line)
			}
		}
	}
}
