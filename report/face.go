package report

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// The family of letters that printed pages are set in. It is freely licensed, comes as a Go module, and has the letters of
// Windows Glyph List 4: Latin with the accents of Europe, Greek, Cyrillic, and the signs of most currencies.
const (
	serifless  = "go"
	typewriter = "gomono"
)

// faces are the styles of the family that a printout embeds, as far as it uses them.
func faces() []struct {
	family, style string
	data          []byte
} {
	return []struct {
		family, style string
		data          []byte
	}{
		{serifless, "", goregular.TTF},
		{serifless, "B", gobold.TTF},
		{serifless, "I", goitalic.TTF},
		{typewriter, "", gomono.TTF},
	}
}

// glyphs knows which letters can be printed.
type glyphs struct {
	font   *sfnt.Font
	buffer sfnt.Buffer
}

func newGlyphs() (*glyphs, error) {
	f, err := sfnt.Parse(goregular.TTF)
	return &glyphs{font: f}, err
}

func (g *glyphs) has(r rune) bool {
	if g.font == nil {
		return false
	}
	i, err := g.font.GlyphIndex(&g.buffer, r)
	return err == nil && i != 0
}

// missing is printed for a letter that the family does not have and that has no plain form: a frame, so that nobody takes it
// for nothing.
const missing = '\u25a1'

// printable turns a text into letters that can be printed: accents that follow their letter are joined to it, spaces of any
// width become plain ones, and a letter that the family lacks loses its accents or becomes a frame.
func (g *glyphs) printable(s string) string {
	if plainASCII(s) {
		return s
	}
	var b strings.Builder
	for _, r := range norm.NFC.String(s) {
		switch {
		case r == '\u00a0' || r >= '\u2000' && r <= '\u200a' || r == '\u202f' || r == '\u205f':
			b.WriteByte(' ')
		case r == '\u2010' || r == '\u2011':
			b.WriteByte('-')
		case r == '\u200c' || r == '\u200d':
		case g.has(r):
			b.WriteRune(r)
		default:
			b.WriteRune(g.substitute(r))
		}
	}
	return b.String()
}

func (g *glyphs) substitute(r rune) rune {
	if base, _ := utf8.DecodeRuneInString(norm.NFKD.String(string(r))); base != r && g.has(base) {
		return base
	}
	return missing
}
