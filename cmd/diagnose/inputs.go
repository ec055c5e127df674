package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// maxInput is the largest file read, in bytes. An intake sheet with everything answered has a few kilobytes; more than
// this is some other file, given by mistake.
const maxInput = 1 << 20

// input is one sheet to read: a path, or "-" for standard input. A folder that cannot be read, or has no sheet in it, is
// an input too, so that its error stands in its place.
type input struct {
	path string
	err  error
}

// argument is what one argument of the command stands for: itself, or the sheets in a folder. Of a folder the names are kept and nothing else; they
// have to be put in order, and they tell how many sheets there are.
type argument struct {
	path  string
	names []string
	err   error
}

// argumentsOf lists what the arguments stand for, in order.
func argumentsOf(args []string) []argument {
	out := make([]argument, len(args))
	for i, arg := range args {
		out[i].path = arg
		if isFolder(arg) {
			out[i] = folder(arg)
		}
	}
	return out
}

// count is the number of inputs.
func count(list []argument) int {
	n := 0
	for _, s := range list {
		n += max(1, len(s.names))
	}
	return n
}

// inputs yields the sheets one by one; those of a folder by name.
func inputs(list []argument) iter.Seq[input] {
	return func(yield func(input) bool) {
		for _, s := range list {
			if len(s.names) == 0 && !yield(input{s.path, s.err}) {
				return
			}
			for _, name := range s.names {
				if !yield(input{path: filepath.Join(s.path, name)}) {
					return
				}
			}
		}
	}
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// folder lists the sheets of one folder, not those of folders in it, and no hidden files.
func folder(dir string) argument {
	s := argument{path: dir}
	f, err := os.Open(dir)
	if err != nil {
		s.err = pathError(err)
		return s
	}
	defer f.Close()
	for {
		const some = 256 // so that no more than these are in memory with all that goes with a name
		entries, err := f.ReadDir(some)
		for _, entry := range entries {
			if !entry.IsDir() && isSheetName(entry.Name()) {
				s.names = append(s.names, entry.Name())
			}
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			s.names, s.err = nil, pathError(err)
			return s
		}
	}
	slices.Sort(s.names)
	if len(s.names) == 0 {
		s.err = trouble(fmt.Errorf("%s: no sheets in this folder (files ending in .yaml, .yml or .json)", dir),
			"write one with: diagnose blank --cylinders 2 > "+filepath.Join(dir, "sheet.yaml"))
	}
	return s
}

func isSheetName(name string) bool {
	extensions := []string{".yaml", ".yml", ".json"}
	return !strings.HasPrefix(name, ".") && slices.Contains(extensions, strings.ToLower(filepath.Ext(name)))
}

// read returns the bytes of the input.
func (a *app) read(in input) ([]byte, error) {
	if in.err != nil {
		return nil, in.err
	}
	if in.path == "-" {
		return readLimited("-", a.stdin)
	}
	return readFile(in.path)
}

// sheet reads and decodes the sheet of an input.
func (a *app) sheet(k *rules.Set, in input) (*symptoms.Sheet, error) {
	data, err := a.read(in)
	if err != nil {
		return nil, err
	}
	return symptoms.Decode(in.path, data, k.Vocabulary, symptoms.DecodeOptions{Actions: k.Actions()})
}

// diagnosis diagnoses the sheet of an input.
func (a *app) diagnosis(k *rules.Set, in input, o engine.Options) (*engine.Diagnosis, error) {
	sheet, err := a.sheet(k, in)
	if err != nil {
		return nil, err
	}
	d, err := engine.Diagnose(k, sheet, o)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", in.path, err)
	}
	return d, nil
}

// readFile reads a whole file of sensible size.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, missing(path, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, trouble(fmt.Errorf("%s: is a folder", path), "name a file in it")
	}
	return readLimited(path, f)
}

func readLimited(path string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxInput+1))
	if err != nil {
		return nil, pathError(err)
	}
	if len(data) > maxInput {
		return nil, fmt.Errorf("%s: more than %d bytes, which is no file of this kind", path, maxInput)
	}
	return data, nil
}

// missing says that a file cannot be opened, and names the file beside it that was probably meant.
func missing(path string, err error) error {
	if !errors.Is(err, fs.ErrNotExist) {
		return pathError(err)
	}
	hint := ""
	if meant := nearestFile(path); meant != "" {
		hint = "did you mean " + meant
	}
	return trouble(pathError(err), hint)
}

// nearestFile returns the file in the same folder with the most similar name, or "".
func nearestFile(path string) string {
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return ""
	}
	var names []string
	for _, entry := range entries {
		names = append(names, entry.Name())
	}
	name := nearest(filepath.Base(path), names)
	if name == "" {
		return ""
	}
	return filepath.Join(filepath.Dir(path), name)
}

// pathError turns "open x: reason" into "x: reason": the position comes first, and what we did to it says nothing.
func pathError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", p.Path, p.Err)
	}
	return err
}
