package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"
)

// root is the top of the repository, seen from this package.
const root = "../.."

const module = "diagnose.example"

// importTable says which packages of ours a package may import. Packages that do not exist yet have their row already, so
// that the first file of one is held to it. DEVELOPERS.md shows the same table with reasons, and a test compares the two.
func importTable() map[string][]string {
	return map[string][]string{
		"symptoms":         {},
		"rules/condition":  {},
		"rules":            {"symptoms", "rules/condition", "carburetor"},
		"carburetor":       {},
		"engine/belief":    {},
		"engine/plan":      {"engine/belief"},
		"engine":           {"symptoms", "rules", "rules/condition", "carburetor", "engine/belief", "engine/plan"},
		"engine/simulate":  {"symptoms", "rules", "rules/condition"},
		"engine/interview": {"symptoms", "rules", "rules/condition", "engine"},
		"quote":            {"symptoms", "rules", "engine"},
		"joblog":           {"symptoms", "rules", "engine"},
		"practice":         {"symptoms", "rules", "carburetor", "engine", "engine/simulate"},
		"report":           {"symptoms", "rules", "rules/condition", "carburetor", "engine", "quote", "joblog", "practice"},
		"web":              {"symptoms", "rules", "rules/condition", "carburetor", "engine", "quote", "joblog", "practice", "report"},
		"cmd/diagnose":     {"symptoms", "rules", "carburetor", "engine", "engine/interview", "engine/simulate", "quote", "joblog", "practice", "report", "web"},
	}
}

// reserved says which packages may import a standard package; one that is not listed is free for all.
func reserved() map[string][]string {
	return map[string][]string{
		"net/http":     {"web", "cmd/diagnose"},
		"os":           {"joblog", "cmd/diagnose"},
		"os/exec":      {},
		"os/signal":    {"cmd/diagnose"},
		"math/rand":    {},
		"math/rand/v2": {"engine/simulate", "practice"},
		"log":          {},
		"log/slog":     {},
	}
}

// source is one parsed Go file of the module.
type source struct {
	dir  string // of the package, from the root, with slashes
	name string // path of the file from the root
	file *ast.File
	fset *token.FileSet
	test bool
}

func (s *source) at(pos token.Pos) string {
	return fmt.Sprintf("%s:%d", s.name, s.fset.Position(pos).Line)
}

// sources returns every Go file of the module, parsed once for all tests.
func sources(t *testing.T) []*source {
	t.Helper()
	all, err := parsed()
	if err != nil || len(all) == 0 {
		t.Fatalf("%d Go files, %v", len(all), err)
	}
	return all
}

// Folders named testdata hold other modules and data.
var parsed = sync.OnceValues(func() ([]*source, error) {
	var all []*source
	err := walk(func(name string) error {
		if path.Ext(name) != ".go" || slices.Contains(strings.Split(name, "/"), "testdata") {
			return nil
		}
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, filepath.Join(root, name), nil, parser.ParseComments)
		all = append(all, &source{path.Dir(name), name, file, fset, strings.HasSuffix(name, "_test.go")})
		return err
	})
	return all, err
})

// walk calls f with every file of the repository, as a path with slashes from the root.
func walk(f func(name string) error) error {
	return fs.WalkDir(os.DirFS(root), ".", func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && name == ".git":
			return fs.SkipDir
		case entry.Type().IsRegular():
			return f(name)
		}
		return nil
	})
}

func TestImportTable(t *testing.T) {
	table, standard := importTable(), reserved()
	for _, s := range sources(t) {
		if s.test {
			continue
		}
		row, ok := table[s.dir]
		if !ok {
			t.Errorf("%s: package %s has no row in the import table", s.name, s.dir)
			continue
		}
		for _, spec := range s.file.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if ours, ok := strings.CutPrefix(name, module+"/"); ok && !slices.Contains(row, ours) {
				t.Errorf("%s: %s may not import %s", s.at(spec.Pos()), s.dir, ours)
			}
			if users, ok := standard[name]; ok && !slices.Contains(users, s.dir) {
				t.Errorf("%s: %s may not import %q; packages that may: %v", s.at(spec.Pos()), s.dir, name, users)
			}
		}
	}
}

// TestImportTableHasNoCycle keeps the table itself honest: arrows go one way.
func TestImportTableHasNoCycle(t *testing.T) {
	table := importTable()
	var visit func(name string, trail []string)
	visit = func(name string, trail []string) {
		if slices.Contains(trail, name) {
			t.Fatalf("cycle: %v -> %s", trail, name)
		}
		for _, next := range table[name] {
			if _, ok := table[next]; !ok {
				t.Errorf("row %s names %s, which has no row", name, next)
			}
			visit(next, append(slices.Clone(trail), name))
		}
	}
	for name := range table {
		visit(name, nil)
	}
}

// TestImportTableInDevelopers compares the table with the one that people read.
func TestImportTableInDevelopers(t *testing.T) {
	text := readText(t, "DEVELOPERS.md")
	row := regexp.MustCompile("(?m)^\\| `([a-z/]+)/` \\|.*\\| ([^|]*) \\|$")
	shown := map[string]string{}
	for _, m := range row.FindAllStringSubmatch(text, -1) {
		shown[m[1]] = m[2]
	}
	for name, imports := range importTable() {
		want := strings.Join(imports, ", ")
		if want == "" {
			want = "–"
		}
		if got := shown[name]; got != want {
			t.Errorf("DEVELOPERS.md: row of %s: may import %q; want %q", name, got, want)
		}
		delete(shown, name)
	}
	for name := range shown {
		t.Errorf("DEVELOPERS.md: row of %s, which the import table does not have", name)
	}
}

// TestDevelopersNamesTests wants every test that DEVELOPERS.md speaks of to exist.
func TestDevelopersNamesTests(t *testing.T) {
	known := map[string]bool{}
	for _, s := range sources(t) {
		for _, decl := range s.file.Decls {
			if f, ok := decl.(*ast.FuncDecl); ok && s.test {
				known[f.Name.Name] = true
			}
		}
	}
	named := regexp.MustCompile(`\b(Test|Fuzz|Benchmark)[A-Z][A-Za-z]*\b`).FindAllString(readText(t, "DEVELOPERS.md"), -1)
	if len(named) == 0 {
		t.Fatal("DEVELOPERS.md names no tests")
	}
	for _, name := range named {
		if !known[name] {
			t.Errorf("DEVELOPERS.md names %s, which does not exist", name)
		}
	}
}

func TestClockOnlyInCommand(t *testing.T) {
	clocks := []string{"Now", "Since", "Until", "Sleep", "After", "Tick", "NewTimer", "NewTicker", "AfterFunc"}
	for _, s := range sources(t) {
		if s.test || strings.HasPrefix(s.dir, "cmd/") {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if pkg, ok := sel.X.(*ast.Ident); ok && pkg.Name == "time" && slices.Contains(clocks, sel.Sel.Name) {
				t.Errorf("%s: time.%s: take a time or a clock function instead", s.at(n.Pos()), sel.Sel.Name)
			}
			return true
		})
	}
}

func TestNoInitFunctions(t *testing.T) {
	for _, s := range sources(t) {
		for _, decl := range s.file.Decls {
			if f, ok := decl.(*ast.FuncDecl); ok && f.Recv == nil && f.Name.Name == "init" {
				t.Errorf("%s: init function: build the value where it is used", s.at(f.Pos()))
			}
		}
	}
}

func TestPackagesDocumented(t *testing.T) {
	documented := map[string]bool{}
	for _, s := range sources(t) {
		if !s.test {
			documented[s.dir] = documented[s.dir] || s.file.Doc != nil
		}
	}
	for dir, ok := range documented {
		if !ok {
			t.Errorf("%s: no package comment", dir)
		}
	}
}

// TestExportedDocumented wants a comment that starts with the name on every exported declaration outside tests. In a group of
// constants or variables the comment of the group does, and the methods of the error interface say all by their name.
func TestExportedDocumented(t *testing.T) {
	for _, s := range sources(t) {
		if s.test {
			continue
		}
		for _, decl := range s.file.Decls {
			switch d := decl.(type) {
			case *ast.FuncDecl:
				if d.Name.IsExported() && exportedReceiver(d) && !ofErrors(d) {
					wantComment(t, s, d.Name, d.Doc)
				}
			case *ast.GenDecl:
				documentedGroup(t, s, d)
			}
		}
	}
}

func ofErrors(f *ast.FuncDecl) bool {
	return f.Recv != nil && (f.Name.Name == "Error" || f.Name.Name == "Unwrap")
}

func exportedReceiver(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	base := f.Recv.List[0].Type
	for {
		switch t := base.(type) {
		case *ast.StarExpr:
			base = t.X
		case *ast.IndexExpr:
			base = t.X
		case *ast.Ident:
			return t.IsExported()
		default:
			return true
		}
	}
}

func documentedGroup(t *testing.T, s *source, d *ast.GenDecl) {
	t.Helper()
	for _, spec := range d.Specs {
		switch sp := spec.(type) {
		case *ast.TypeSpec:
			doc := sp.Doc
			if doc == nil {
				doc = d.Doc
			}
			if sp.Name.IsExported() {
				wantComment(t, s, sp.Name, doc)
			}
		case *ast.ValueSpec:
			for _, name := range sp.Names {
				if name.IsExported() && sp.Doc == nil && sp.Comment == nil && d.Doc == nil {
					t.Errorf("%s: %s is exported and has no comment", s.at(name.Pos()), name.Name)
				}
			}
		}
	}
}

func wantComment(t *testing.T, s *source, name *ast.Ident, doc *ast.CommentGroup) {
	t.Helper()
	text := doc.Text()
	for _, article := range []string{"A ", "An ", "The "} {
		text = strings.TrimPrefix(text, article)
	}
	if !strings.HasPrefix(text, name.Name) {
		t.Errorf("%s: the comment of %s must start with its name", s.at(name.Pos()), name.Name)
	}
}

// TestNoBoolParameters keeps calls readable: f(x, true) says nothing. A method that sets a value of that kind is named for it.
func TestNoBoolParameters(t *testing.T) {
	for _, s := range sources(t) {
		if s.test {
			continue
		}
		for _, decl := range s.file.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok || !f.Name.IsExported() || !exportedReceiver(f) || f.Name.Name == "SetYesNo" {
				continue
			}
			for _, field := range f.Type.Params.List {
				if kind, ok := field.Type.(*ast.Ident); ok && kind.Name == "bool" {
					t.Errorf("%s: %s has a bool parameter: use an option struct or a named type", s.at(f.Pos()), f.Name.Name)
				}
			}
		}
	}
}

// TestTreeIsItself looks for what must not be in any file: paths of one machine, and documents that are not in the repository.
func TestTreeIsItself(t *testing.T) {
	// Written in pieces, so that this file passes too.
	unwanted := regexp.MustCompile(`(?i)/wo` + `rk/|/ro` + `ot/|/home/[a-z]|/Us` + `ers/[a-z]|/tm` + `p/|C:\\Us` + `ers|\bdes` + `ign\.md|\bsha` + `red/|\btrans` + `cript\b|\bseed doc` + `ument`)
	files := 0
	err := walk(func(name string) error {
		data, err := os.ReadFile(filepath.Join(root, name))
		if err != nil || !utf8.Valid(data) || ignored(name) {
			return err
		}
		files++
		for i, line := range bytes.Split(data, []byte("\n")) {
			if found := unwanted.Find(line); found != nil {
				t.Errorf("%s:%d: %q does not belong into the repository", name, i+1, found)
			}
		}
		return nil
	})
	if err != nil || files < 20 {
		t.Errorf("%d files looked at, %v", files, err)
	}
}

// ignored tells the files that .gitignore keeps out.
func ignored(name string) bool {
	return slices.Contains([]string{".test", ".out", ".actual"}, path.Ext(name)) || name == "diagnose"
}

func readText(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
