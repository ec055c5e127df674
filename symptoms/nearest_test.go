package symptoms

import (
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	known := []string{"fuel_overflow", "fuel_level", "float_height", "after-storage", "tan", "spec.float_height", "no-change"}
	tests := []struct{ word, want string }{
		{"fuel_overflw", "fuel_overflow"},
		{"fuel-overflow", "fuel_overflow"},
		{"Fuel Overflow", "fuel_overflow"},
		{"flaot_height", "float_height"},
		{"spec_float_height", "spec.float_height"},
		{"after_storage", "after-storage"},
		{"nochange", "no-change"},
		{"tam", "tan"},
		{"xyz", ""},
		{"", ""},
		{"f", ""},
		{"ignition_timing", ""},
	}
	for _, tt := range tests {
		if got := Nearest(tt.word, known); got != tt.want {
			t.Errorf("Nearest(%q) = %q; want %q", tt.word, got, tt.want)
		}
	}
}

func TestSlips(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"a", "", 1}, {"abc", "abc", 0}, {"abc", "abd", 1}, {"abc", "acb", 1}, {"abc", "bc", 1},
		{"kitten", "sitting", 3}, {"abcd", "badc", 2}, {"äb", "ab", 1},
	}
	for _, tt := range tests {
		if got := slips(tt.a, tt.b, 9); got != tt.want {
			t.Errorf("slips(%q, %q) = %d; want %d", tt.a, tt.b, got, tt.want)
		}
		if got := slips(tt.b, tt.a, 9); got != tt.want {
			t.Errorf("slips(%q, %q) = %d; want %d", tt.b, tt.a, got, tt.want)
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

func TestSlipsAgainstTheDefinition(t *testing.T) {
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
