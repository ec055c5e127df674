package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// clean makes text of unknown origin harmless for a terminal and for a page: line ends become "\n", a tab a space, and every
// other control character, invisible format character or invalid byte a visible escape such as \x1b or \u202e. What is
// printed is thereby all that is there. The two joiners that some scripts need inside words (U+200C, U+200D) stay.
func clean(s string) string {
	if plainASCII(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case r == '\r' && strings.HasPrefix(s[i+1:], "\n"):
		case r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029':
			b.WriteByte('\n')
		case r == '\t':
			b.WriteByte(' ')
		case r < 0x20 || r >= 0x7f && r <= 0x9f:
			fmt.Fprintf(&b, `\x%02x`, r)
		case unicode.Is(unicode.Cf, r) && r != '\u200c' && r != '\u200d':
			b.WriteString(escape(r))
		default:
			b.WriteRune(r)
		}
		i += n
	}
	return b.String()
}

func plainASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < 0x20 && s[i] != '\n' || s[i] >= 0x7f {
			return false
		}
	}
	return true
}

func escape(r rune) string {
	if r > 0xffff {
		return fmt.Sprintf(`\U%08x`, r)
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// oneLine is clean for text that stands inside a line: line ends become spaces and surrounding space goes.
func oneLine(s string) string {
	return strings.TrimSpace(strings.ReplaceAll(clean(s), "\n", " "))
}
