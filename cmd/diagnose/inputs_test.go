package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestInputs(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"b.yaml", "a.yml", "c.JSON", "notes.txt", ".hidden.yaml"} {
		writeFile(t, filepath.Join(dir, name), "")
	}
	if err := os.MkdirAll(filepath.Join(dir, "deeper.yaml"), 0o777); err != nil {
		t.Fatal(err)
	}
	in := func(name string) string { return filepath.Join(dir, name) }
	tests := []struct {
		name string
		args []string
		want []string
	}{
		{"files as given", []string{"z.yaml", "-", "a.yaml"}, []string{"z.yaml", "-", "a.yaml"}},
		{"folder by name, sheets only", []string{dir}, []string{in("a.yml"), in("b.yaml"), in("c.JSON")}},
		{"folder among files", []string{"-", dir}, []string{"-", in("a.yml"), in("b.yaml"), in("c.JSON")}},
		{"missing file stays", []string{in("none.yaml")}, []string{in("none.yaml")}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			list := argumentsOf(tt.args)
			for in := range inputs(list) {
				if in.err != nil {
					t.Errorf("inputs(%q): %s: %v", tt.args, in.path, in.err)
				}
				got = append(got, in.path)
			}
			if count(list) != len(tt.want) {
				t.Errorf("count(%q) = %d; want %d", tt.args, count(list), len(tt.want))
			}
			if !slices.Equal(got, tt.want) {
				t.Errorf("inputs(%q) = %q; want %q", tt.args, got, tt.want)
			}
		})
	}
}

func TestInputsEmptyFolder(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "readme.txt"), "no sheet")
	ins := slices.Collect(inputs(argumentsOf([]string{dir})))
	if len(ins) != 1 || ins[0].path != dir || ins[0].err == nil {
		t.Fatalf("inputs of a folder without sheets = %+v; want one with an error", ins)
	}
}

func TestReadErrors(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "big.yaml"), strings.Repeat("# nothing\n", maxInput/10+1))
	writeFile(t, filepath.Join(dir, "one-side.yaml"), "sheet: 1\n")
	a := &app{stdin: strings.NewReader(strings.Repeat("x", maxInput+1))}
	tests := []struct{ name, path, want, hint string }{
		{"too big", filepath.Join(dir, "big.yaml"), "more than 1048576 bytes", ""},
		{"standard input too big", "-", "-: more than 1048576 bytes", ""},
		{"missing, one like it", filepath.Join(dir, "one-sied.yaml"), "no such file", "did you mean " + filepath.Join(dir, "one-side.yaml")},
		{"a folder", dir, dir + ": is a folder", "name a file in it"},
		{"missing, none like it", filepath.Join(dir, "other-machine.yaml"), "no such file", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := a.read(input{path: tt.path})
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Fatalf("read(%q) error = %v; want %q in it", tt.path, err, tt.want)
			}
			hint := ""
			if f := (*failure)(nil); errors.As(err, &f) && len(f.hints) > 0 {
				hint = f.hints[0]
			}
			if hint != tt.hint {
				t.Errorf("read(%q) hint = %q; want %q", tt.path, hint, tt.hint)
			}
		})
	}
}

func TestMissingStaysMissing(t *testing.T) {
	_, err := readFile(filepath.Join(t.TempDir(), "none"))
	if !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("readFile of a missing file = %v; want it to be fs.ErrNotExist", err)
	}
}

func writeFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}
