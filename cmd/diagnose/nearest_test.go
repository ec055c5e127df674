package main

import "testing"

func TestNearest(t *testing.T) {
	known := []string{"triage", "blank", "explain", "observations", "lint", "float-leaks", "float-height-wrong"}
	tests := []struct{ name, word, want string }{
		{"the word itself", "triage", "triage"},
		{"letters swapped", "traige", "triage"},
		{"letter missing", "blnk", "blank"},
		{"letter too many", "explainn", "explain"},
		{"capitals", "LINT", "lint"},
		{"spaces for hyphens", "float leaks", "float-leaks"},
		{"underscores for hyphens", "float_leaks", "float-leaks"},
		{"beginning of one", "obs", "observations"},
		{"beginning of two", "float", ""},
		{"nothing like it", "carburetor", ""},
		{"empty", "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := nearest(tt.word, known); got != tt.want {
				t.Errorf("nearest(%q) = %q; want %q", tt.word, got, tt.want)
			}
		})
	}
}
