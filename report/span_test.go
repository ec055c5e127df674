package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func joinedLines(lines [][]span) string {
	var out []string
	for _, l := range lines {
		var b strings.Builder
		for _, s := range l {
			b.WriteString(s.text)
		}
		out = append(out, b.String())
	}
	return spaced(strings.Join(out, "/"))
}

func TestFill(t *testing.T) {
	cases := []struct {
		name        string
		spans       []span
		first, rest int
		want        string
	}{
		{"empty", nil, 10, 10, ""},
		{"only spaces", one(text("   ")), 10, 10, ""},
		{"fits", one(text("fuel level")), 10, 10, "fuel level"},
		{"breaks at a space", one(text("fuel level high")), 10, 10, "fuel level/high"},
		{"spans join without a space", one(text("level"), text(": high")), 20, 20, "level: high"},
		{"a span begins with a space", one(text("level"), text(" "), text("high")), 20, 20, "level high"},
		{"first line narrower", one(text("fuel level high")), 4, 20, "fuel/level high"},
		{"figure and unit stay together", one(text("stands at 86" + nbsp + "%")), 12, 12, "stands at/86 %"},
		{"long word is cut", one(text("abcdefghij")), 4, 4, "abcd/efgh/ij"},
		{"long word after a short one", one(text("a bcdefgh")), 4, 4, "a/bcde/fgh"},
		{"wide letters are cut by columns", one(text("宮宮宮")), 5, 5, "宮宮/宮"},
		{"combining mark stays with its letter", one(text("abcde\u0301f")), 5, 5, "abcde\u0301/f"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := joinedLines(fill(c.spans, c.first, c.rest)); got != c.want {
				t.Errorf("fill(%q, %d, %d) = %q; want %q", c.spans, c.first, c.rest, got, c.want)
			}
		})
	}
}

func TestShortenLines(t *testing.T) {
	cases := []struct {
		name string
		k    int
		want string
	}{
		{"all of it", 3, "one two/three four/five"},
		{"two lines", 2, "one two/three ..."},
		{"one line", 1, "one ..."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := joinedLines(shortenLines(one(text("one two three four five")), 10, 10, c.k)); got != c.want {
				t.Errorf("shortenLines(…, 10, 10, %d) = %q; want %q", c.k, got, c.want)
			}
		})
	}
}

// TestFillLosesNothing: whatever is filled comes out in the same order, and no line is too wide.
func TestFillLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := rapid.IntRange(2, 40).Draw(t, "room")
		var spans []span
		var in strings.Builder
		for _, s := range rapid.SliceOf(rapid.String()).Draw(t, "texts") {
			spans = append(spans, text(s))
			in.WriteString(text(s).text)
		}
		var out strings.Builder
		for _, l := range fill(spans, room, room) {
			if n := word(l).width(); n > room {
				t.Fatalf("fill(%q, %d): line %q has %d columns; want at most %d", spans, room, l, n, room)
			}
			for _, s := range l {
				out.WriteString(s.text)
			}
		}
		bare := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if bare(out.String()) != bare(in.String()) {
			t.Fatalf("fill(%q, %d) = %q; want the same letters", spans, room, out.String())
		}
	})
}

func TestOfKind(t *testing.T) {
	for _, c := range []struct{ kind, names, want string }{
		{"", "1 carburetor", "1 carburetor"},
		{"slide", "1 carburetor", "1 slide carburetor"},
		{"constant-velocity", "carburetors left and right", "constant-velocity carburetors left and right"},
	} {
		if got := ofKind(c.kind, c.names); got != c.want {
			t.Errorf("ofKind(%q, %q) = %q; want %q", c.kind, c.names, got, c.want)
		}
	}
}
