package report

import "strings"

// Paper is a size of paper, upright, in millimetres.
type Paper struct {
	Name          string
	Width, Height float64
}

// A4 is the size of ISO 216, Letter that of ANSI/ASME Y14.1 (8.5 by 11 inches); both figures are from memory.
var (
	A4     = Paper{"a4", 210, 297}
	Letter = Paper{"letter", 215.9, 279.4}
)

// PaperNamed returns the paper with a name, in whatever case it is written.
func PaperNamed(name string) (Paper, bool) {
	for _, p := range []Paper{A4, Letter} {
		if strings.EqualFold(p.Name, name) {
			return p, true
		}
	}
	return Paper{}, false
}
