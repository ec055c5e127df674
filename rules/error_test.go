package rules

import (
	"testing"

	"diagnose.example/symptoms"
)

func TestBadID(t *testing.T) {
	for id, source := range map[string]bool{"float": false, "float-valve-dirty": false, "tm9-879": true, "page-1917": true} {
		if got := badID(id, source); got != "" {
			t.Errorf("badID(%q) = %q; want nothing", id, got)
		}
	}
	for _, id := range []string{"", "-", "a--b", "-a", "a-", "Float", "float_valve", "float valve", "flöat", "p0171", "valve-2"} {
		if got := badID(id, false); got == "" {
			t.Errorf("badID(%q) = nothing; want a hint", id)
		}
	}
}

func TestContiguous(t *testing.T) {
	for m, want := range map[uint64]bool{1: true, 2: true, 3: true, 6: true, 5: false, 0b1011: false, 0b111000: true, 1 << 63: true, 1<<63 | 1: false} {
		if got := contiguous(m); got != want {
			t.Errorf("contiguous(%b) = %v; want %v", m, got, want)
		}
	}
}

func TestErrorText(t *testing.T) {
	at := symptoms.Position{File: "packs/idle.yaml", Line: 14, Column: 9}
	tests := []struct {
		err  Error
		want string
	}{
		{Error{Pos: at, ID: "idle-lean", Message: "unknown x", Hint: "write y"}, "packs/idle.yaml:14:9: idle-lean: unknown x; write y"},
		{Error{Pos: at, Message: "unknown x"}, "packs/idle.yaml:14:9: unknown x"},
	}
	for _, tt := range tests {
		if got := tt.err.Error(); got != tt.want {
			t.Errorf("Error() = %q; want %q", got, tt.want)
		}
	}
	if got, want := (Lint{ID: "idle-lean", Message: "doubtful"}).String(), "idle-lean: doubtful"; got != want {
		t.Errorf("Lint without position = %q; want %q", got, want)
	}
}
