package carburetor

import (
	"bytes"
	"flag"
	"fmt"
	"go/ast"
	"go/doc"
	"go/doc/comment"
	"go/format"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

var update = flag.Bool("update", false, "rewrite golden files")

// plain are exported functions and methods that compute nothing: conversions, names, tables,
// and the sampling of a curve whose formula stands at another function.
var plain = regexp.MustCompile(`^(.*\.)?(In|String|Error|Celsius|Fahrenheit|Holds|Contains|State|Liquid)$` +
	`|^(.*\.)?(Citation|Lambda|\w*Curve)$` +
	`|^(DryAir|Petrol|Ethanol|Methanol|UsualPetrol|Targets|Sources|Formulas|LookupSource|LookupFormula|OxygenByMass)$` +
	`|^(Section\.Float|Air\.Inlet|BoreNumber\.Bore|StandardDay|AirAt|Fuel\.StoichiometricAFR|Blend\.Fuel` +
	`|Composition\.(Ratio|MolarMass)|Bowl\.ClosingMargin|FloatHeight\.UnexplainedLevel)$`)

// packageDocs parses the package's own source.
func packageDocs(t *testing.T) *doc.Package {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	p, err := doc.NewFromFiles(set, files, "diagnose.example/carburetor")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// functionComments returns the comment of every exported function and method.
func functionComments(p *doc.Package) map[string]string {
	all := map[string]string{}
	add := func(funcs []*doc.Func) {
		for _, f := range funcs {
			name := f.Name
			if f.Recv != "" {
				name = f.Recv + "." + f.Name
			}
			all[name] = f.Doc
		}
	}
	add(p.Funcs)
	for _, typ := range p.Types {
		add(typ.Funcs)
		add(typ.Methods)
	}
	return all
}

// readFormula takes a comment apart: first sentence, code blocks, what follows "Source:".
func readFormula(name, text string) Formula {
	f := Formula{Func: name}
	if strings.Contains(text, "MEMORY") {
		f.Standing = Recalled
	}
	var pr comment.Printer
	var p comment.Parser
	for _, block := range p.Parse(text).Content {
		switch b := block.(type) {
		case *comment.Code:
			f.Lines = append(f.Lines, strings.Split(strings.TrimRight(b.Text, "\n"), "\n")...)
		case *comment.Paragraph:
			words := strings.Join(strings.Fields(string(pr.Text(&comment.Doc{Content: []comment.Block{b}}))), " ")
			if f.Title == "" {
				f.Title, _, _ = strings.Cut(words, ". ")
				f.Title = strings.TrimSuffix(f.Title, ".")
			}
			if _, source, found := strings.Cut(words, "Source: "); found {
				f.Source = strings.TrimSpace(f.Source + " " + source)
			}
		}
	}
	return f
}

// readFormulas reads all comments, and finds sources and standing through the functions they
// refer to.
func readFormulas(t *testing.T) []Formula {
	t.Helper()
	byName := map[string]*Formula{}
	for name, text := range functionComments(packageDocs(t)) {
		if f := readFormula(name, text); len(f.Lines) > 0 && !plain.MatchString(name) {
			byName[name] = &f
		}
	}
	var all []Formula
	for _, name := range slices.Sorted(maps.Keys(byName)) {
		f := *byName[name]
		cites := map[string]bool{}
		f.Standing = followSource(byName, name, cites, map[string]bool{})
		f.Cites = slices.Sorted(maps.Keys(cites))
		if f.Standing == Published && len(f.Cites) == 0 {
			f.Standing = Derived
		}
		all = append(all, f)
	}
	return all
}

// followSource gathers the ids that a formula cites, its own and those of functions it names.
func followSource(all map[string]*Formula, name string, cites, seen map[string]bool) Standing {
	if seen[name] {
		return Published
	}
	seen[name] = true
	standing, text := max(all[name].Standing, Published), all[name].Source
	if strings.HasPrefix(text, "own ") {
		standing = max(standing, Derived)
	}
	for _, s := range sourceTable() {
		if regexp.MustCompile(`\b(` + s.mark + `)\b`).MatchString(text) {
			cites[s.ID] = true
			standing = max(standing, s.Standing)
		}
	}
	receiver, _, _ := strings.Cut(name, ".")
	for _, word := range regexp.MustCompile(`[A-Z]\w+(\.[A-Z]\w+)?`).FindAllString(text, -1) {
		for _, other := range []string{word, receiver + "." + word, "Gas." + word} {
			if all[other] != nil && other != name {
				standing = max(standing, followSource(all, other, cites, seen))
				break
			}
		}
	}
	return standing
}

var standingName = map[Standing]string{Published: "Published", Derived: "Derived", Recalled: "Recalled"}

// Every exported function that computes has its formula and its source above it.
func TestFormulaAboveEveryFunction(t *testing.T) {
	for name, text := range functionComments(packageDocs(t)) {
		f := readFormula(name, text)
		switch {
		case text == "":
			t.Errorf("%s has no comment", name)
		case plain.MatchString(name):
		case len(f.Lines) == 0:
			t.Errorf("%s has no formula in its comment", name)
		case f.Source == "":
			t.Errorf("%s has no source in its comment", name)
		}
	}
}

// The table of formulas is what the comments say. Run with -update to rewrite it.
func TestFormulaTableFresh(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("// Code generated by TestFormulaTableFresh from the comments; DO NOT EDIT.\n\npackage carburetor\n\n")
	b.WriteString("// formulaTable holds the formulas that stand above the functions.\n")
	b.WriteString("func formulaTable() []Formula {\n\treturn []Formula{\n")
	for _, f := range readFormulas(t) {
		fmt.Fprintf(&b, "{\nFunc: %q,\nTitle: %q,\nLines: []string{\n", f.Func, f.Title)
		for _, line := range f.Lines {
			fmt.Fprintf(&b, "%q,\n", line)
		}
		fmt.Fprintf(&b, "},\nSource: %q,\nStanding: %s,\n", f.Source, standingName[f.Standing])
		if len(f.Cites) > 0 {
			fmt.Fprintf(&b, "Cites: %#v,\n", f.Cites)
		}
		b.WriteString("},\n")
	}
	b.WriteString("}\n}\n")
	want, err := format.Source(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	compareGolden(t, "formula_table.go", want)
}

// compareGolden compares with a file, or rewrites it.
func compareGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is out of date; run go test -update and look at the difference\n%s", name, firstDifference(got, want))
	}
}

// firstDifference shows the first line that differs.
func firstDifference(got, want []byte) string {
	a, b := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d\n got: %s\nwant: %s", i+1, a[i], b[i])
		}
	}
	return fmt.Sprintf("%d lines; want %d", len(a), len(b))
}

// The sources in code have the standing that testdata/sources.yaml gives them.
func TestSourcesAgree(t *testing.T) {
	data, err := os.ReadFile("testdata/sources.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Sources []struct{ ID, Status string }
	}
	if err := yaml.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	listed := map[string]string{}
	for _, s := range file.Sources {
		listed[s.ID] = s.Status
	}
	want := map[string]Standing{"VERIFIED": Published, "MEMORY": Recalled}
	for _, s := range Sources() {
		if s.Standing != want[listed[s.ID]] {
			t.Errorf("source %s is %s; want %q of sources.yaml", s.ID, s.Standing, listed[s.ID])
		}
	}
	for _, row := range readFigures(t) {
		if listed[row.Source] == "" {
			t.Errorf("row %s: source %q is not in sources.yaml", row.ID, row.Source)
		}
	}
}

// Every source is named by some comment, and bands cite sources that exist.
func TestSourcesUsed(t *testing.T) {
	named := map[string]bool{}
	text := packageText(t)
	for _, s := range Sources() {
		if regexp.MustCompile(`\b(` + s.mark + `)\b`).MatchString(text) {
			named[s.ID] = true
		}
		if !named[s.ID] {
			t.Errorf("no comment names source %s (%q)", s.ID, s.mark)
		}
	}
	for _, b := range Targets() {
		if _, ok := LookupSource(b.Source); !ok && b.Source != "recalled" {
			t.Errorf("band %q cites unknown source %q", b.Name, b.Source)
		}
	}
}

// packageText is the package's comments on one line.
func packageText(t *testing.T) string {
	t.Helper()
	names, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, n := range names {
		isTest, isTable := strings.HasSuffix(n.Name(), "_test.go"), strings.HasSuffix(n.Name(), "_table.go")
		if !strings.HasSuffix(n.Name(), ".go") || isTest || isTable {
			continue
		}
		data, err := os.ReadFile(n.Name())
		if err != nil {
			t.Fatal(err)
		}
		b.Write(data)
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), "//", " ")), " ")
}

func TestLookup(t *testing.T) {
	f, ok := LookupFormula("Bowl.Closing")
	if !ok || f.Standing != Derived || len(f.Lines) != 3 {
		t.Errorf("LookupFormula(Bowl.Closing) = %+v, %v; want a derived formula of three lines", f, ok)
	}
	f, _ = LookupFormula("BoreDischarge")
	if got := f.Citation(); !strings.HasPrefix(got, "from memory; compared with An investigation") {
		t.Errorf("BoreDischarge Citation() = %q; want it to be from memory, compared with Joachim's report", got)
	}
	f, _ = LookupFormula("CleanerMixture")
	if !slices.Contains(f.Cites, "gupta-ice-tbc") || f.Citation() != f.Source {
		t.Errorf("LookupFormula(CleanerMixture) = %+v; want it to cite gupta-ice-tbc and to show its source", f)
	}
	if _, ok := LookupFormula("Nothing"); ok {
		t.Error("LookupFormula(Nothing) found something")
	}
	if s, ok := LookupSource("joachim-tr224"); !ok || s.Authors != "W. F. Joachim" {
		t.Errorf("LookupSource(joachim-tr224) = %+v, %v; want the report by Joachim", s, ok)
	}
}
