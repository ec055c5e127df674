package main

import (
	"io"
	"path/filepath"
	"testing"
)

// BenchmarkTriage measures whole command lines in one process: flags, configuration, knowledge, sheet, inference and text.
// The start of the process itself is not in it.
func BenchmarkTriage(b *testing.B) {
	b.Setenv("XDG_CONFIG_HOME", b.TempDir())
	two := filepath.Join(root, "testdata", "sheets", "one-side-floods.yaml")
	four := filepath.Join(root, "testdata", "sheets", "four-intake-leak.yaml")
	for _, bm := range []struct {
		name string
		args []string
	}{
		{"nothing but the knowledge", []string{"version"}},
		{"two carburetors, first screen", []string{"triage", two}},
		{"two carburetors, details", []string{"triage", two, "--details"}},
		{"two carburetors, json", []string{"triage", two, "--format", "json"}},
		{"four carburetors, first screen", []string{"triage", four}},
	} {
		b.Run(bm.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if status := run(bm.args, nil, io.Discard, io.Discard); status != statusDone {
					b.Fatalf("exit status %d", status)
				}
			}
		})
	}
}
