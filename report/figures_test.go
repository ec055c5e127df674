package report

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// spaced turns no-break spaces into plain ones, so that the tables below can be read.
func spaced(s string) string { return strings.ReplaceAll(s, nbsp, " ") }

func TestPercent(t *testing.T) {
	cases := []struct {
		p    float64
		want string
	}{
		{0, "under 1 %"}, {1e-70, "under 1 %"}, {0.0099, "under 1 %"}, {0.01, "1 %"}, {0.0149, "1 %"}, {0.015, "2 %"},
		{0.5, "50 %"}, {0.985, "99 %"}, {0.99, "99 %"}, {0.9901, "over 99 %"}, {1, "over 99 %"}, {math.NaN(), "unknown"},
	}
	for _, c := range cases {
		if got := spaced(percent(c.p)); got != c.want {
			t.Errorf("percent(%v) = %q; want %q", c.p, got, c.want)
		}
	}
}

// TestPercentNeverCertain holds for every number there is.
func TestPercentNeverCertain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0, 1).Draw(t, "p")
		if got := spaced(percent(p)); got == "0 %" || got == "100 %" {
			t.Fatalf("percent(%v) = %q; want neither 0 %% nor 100 %%", p, got)
		}
	})
}

func TestBar(t *testing.T) {
	cases := []struct {
		p    float64
		want string
	}{
		{0, "........"}, {0.009, "........"}, {0.01, "#......."}, {0.25, "##......"}, {0.5, "####...."}, {1, "########"},
		{2, "########"}, {math.NaN(), "........"},
	}
	for _, c := range cases {
		if got := bar(c.p, 8); got != c.want {
			t.Errorf("bar(%v, 8) = %q; want %q", c.p, got, c.want)
		}
	}
}

func TestLikelier(t *testing.T) {
	cases := []struct {
		factor float64
		want   string
	}{
		{1, "hardly matters"}, {1.09, "hardly matters"}, {0.95, "hardly matters"}, {1.5, "about 1.5 times likelier"},
		{1.96, "about 2 times likelier"}, {9.1, "about 9 times likelier"}, {12.4, "about 10 times likelier"}, {23, "about 25 times likelier"},
		{212, "about 200 times likelier"}, {5000, "more than 1000 times likelier"}, {math.Inf(1), "more than 1000 times likelier"},
		{0.25, "about 4 times less likely"}, {0, "more than 1000 times less likely"}, {math.NaN(), "weight unknown"},
	}
	for _, c := range cases {
		if got := spaced(likelier(c.factor)); got != c.want {
			t.Errorf("likelier(%v) = %q; want %q", c.factor, got, c.want)
		}
	}
}

func TestSigned(t *testing.T) {
	cases := []struct {
		factor float64
		want   string
	}{
		{1, "0.0 dB"}, {0.9999, "0.0 dB"}, {10, "+10.0 dB"}, {0.1, "-10.0 dB"}, {2, "+3.0 dB"}, {math.NaN(), "unknown"},
	}
	for _, c := range cases {
		if got := spaced(signed(decibans(c.factor))); got != c.want {
			t.Errorf("signed(decibans(%v)) = %q; want %q", c.factor, got, c.want)
		}
	}
}

func TestNumber(t *testing.T) {
	cases := []struct {
		v    float64
		want string
	}{
		{0, "0"}, {12, "12"}, {1.5, "1.5"}, {0.25, "0.25"}, {12.345, "12.35"}, {1234.6, "1235"}, {0.000123456, "0.0001235"},
		{2.1e6, "2.1e+06"}, {1e-9, "1e-09"}, {-22.5, "-22.5"}, {20, "20"}, {100, "100"},
	}
	for _, c := range cases {
		if got := number(c.v); got != c.want {
			t.Errorf("number(%v) = %q; want %q", c.v, got, c.want)
		}
	}
}

func TestMinutes(t *testing.T) {
	for m, want := range map[float64]string{1: "1 minute", 2: "2 minutes", 1.5: "1.5 minutes"} {
		if got := spaced(minutes(m)); got != want {
			t.Errorf("minutes(%v) = %q; want %q", m, got, want)
		}
	}
}
