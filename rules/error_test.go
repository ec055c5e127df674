package rules

import (
	"testing"

	"pgregory.net/rapid"

	"diagnose.example/symptoms"
)

func TestNearest(t *testing.T) {
	known := []string{"float-valve-dirty", "float-valve-worn", "fuel-runs-over", "often", "one", "two"}
	tests := []struct{ name, want string }{
		{"float-valve-dirt", "float-valve-dirty"}, // a letter left out
		{"float-vavle-worn", "float-valve-worn"},  // neighbours swapped
		{"fuel-run-over", "fuel-runs-over"},
		{"offten", "often"},
		{"oen", "one"},
		{"tow", "two"},
		{"ten", ""}, // two slips from a short word
		{"pilot-jet-blocked", ""},
		{"", ""},
	}
	for _, tt := range tests {
		if got := nearest(tt.name, known); got != tt.want {
			t.Errorf("nearest(%q) = %q; want %q", tt.name, got, tt.want)
		}
	}
}

// slipsSlowly is the definition, without a table and without a bound.
func slipsSlowly(a, b string) int {
	if a == "" || b == "" {
		return len(a) + len(b)
	}
	change := 1
	if a[0] == b[0] {
		change = 0
	}
	best := min(slipsSlowly(a[1:], b)+1, slipsSlowly(a, b[1:])+1, slipsSlowly(a[1:], b[1:])+change)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		best = min(best, slipsSlowly(a[2:], b[2:])+1)
	}
	return best
}

func TestSlips(t *testing.T) {
	word := rapid.StringMatching(`[ab-]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		const bound = 100
		if got, want := slips(a, b, bound), slipsSlowly(a, b); got != want {
			t.Fatalf("slips(%q, %q) = %d; want %d", a, b, got, want)
		}
		if got := slips(a, b, 2); slipsSlowly(a, b) >= 2 && got < 2 {
			t.Fatalf("slips(%q, %q, 2) = %d; want 2 at least", a, b, got)
		}
	})
}

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
