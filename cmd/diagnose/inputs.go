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

// inputs yields the sheets named by the arguments in order; a folder stands for the sheets in it, by name.
func inputs(args []string) iter.Seq[input] {
	return func(yield func(input) bool) {
		for _, arg := range args {
			if !isFolder(arg) {
				if !yield(input{path: arg}) {
					return
				}
				continue
			}
			for in := range folder(arg) {
				if !yield(in) {
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

// folder yields the sheets of one folder, not those of folders in it, and no hidden files.
func folder(dir string) iter.Seq[input] {
	return func(yield func(input) bool) {
		entries, err := os.ReadDir(dir)
		if err != nil {
			yield(input{path: dir, err: pathError(err)})
			return
		}
		found := false
		for _, entry := range entries {
			if entry.IsDir() || !isSheetName(entry.Name()) {
				continue
			}
			found = true
			if !yield(input{path: filepath.Join(dir, entry.Name())}) {
				return
			}
		}
		if !found {
			yield(input{path: dir, err: trouble(
				fmt.Errorf("%s: no sheets in this folder (files ending in .yaml, .yml or .json)", dir),
				"write one with: diagnose blank --cylinders 2 > "+filepath.Join(dir, "sheet.yaml"))})
		}
	}
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

// readFile reads a whole file of sensible size.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, missing(path, err)
	}
	defer f.Close()
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
