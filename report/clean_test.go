package report

import (
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestClean(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"plain", "float height 22.5 mm", "float height 22.5 mm"},
		{"accents and wide letters", "côté 宮", "côté 宮"},
		{"colour sequence", "\x1b[31mred", `\x1b[31mred`},
		{"title sequence", "\x1b]0;x\x07", `\x1b]0;x\x07`},
		{"eight-bit control", "\u009b31m", `\x9b31m`},
		{"delete", "a\x7fb", `a\x7fb`},
		{"backspace", "a\bb", `a\x08b`},
		{"line ends", "a\r\nb\rc\u2028d", "a\nb\nc\nd"},
		{"tab", "a\tb", "a b"},
		{"right-to-left override", "a\u202eb", `a\u202eb`},
		{"byte order mark", "\ufeffa", `\ufeffa`},
		{"tag letter", "\U000e0041", `\U000e0041`},
		{"joiner", "न\u200dम", "न\u200dम"},
		{"invalid byte", "caf\xe9", `caf\xe9`},
		{"cut short", "\xe5\xae", `\xe5\xae`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := clean(c.in); got != c.want {
				t.Errorf("clean(%q) = %q; want %q", c.in, got, c.want)
			}
		})
	}
}

// control finds the first control character other than a line end, or an invalid byte.
func control(s string) (at int, found bool) {
	for i, r := range s {
		if r < 0x20 && r != '\n' || r >= 0x7f && r <= 0x9f || r == utf8.RuneError && s[i] != 0xef {
			return i, true
		}
	}
	return 0, false
}

func TestCleanIsHarmlessAndStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))
		got := clean(in)
		if i, found := control(got); found {
			t.Fatalf("clean(%q) = %q: control character at %d; want none", in, got, i)
		}
		if again := clean(got); again != got {
			t.Fatalf("clean(%q) = %q, and again %q; want no change", in, got, again)
		}
	})
}
