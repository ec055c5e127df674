package symptoms

import "testing"

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
		if got := nearest(tt.word, known); got != tt.want {
			t.Errorf("nearest(%q) = %q; want %q", tt.word, got, tt.want)
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
