package rules

import "go.yaml.in/yaml/v3"

// locate returns the line and column in the file of a rune of a scalar's value. The value is matched with the file rune
// by rune from the scalar's start; what stands in the file but not in the value (quotes, escapes, the indent and line
// ends of a block) is stepped over, white space counts as one whatever its kind. So every style of scalar is covered
// without knowing its rules.
func locate(lines []string, n *yaml.Node, offset int) (line, column int) {
	line, column = n.Line, n.Column
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		line, column = line+1, 1
	}
	cursor := &cursor{lines: lines, line: line, column: column}
	for i, want := range []rune(n.Value) {
		if isSpace(want) && i < offset {
			continue
		}
		for !isSpace(want) && cursor.rune() != want {
			if !cursor.next() {
				return n.Line, n.Column
			}
		}
		if i >= offset {
			break
		}
		cursor.next()
	}
	return cursor.line, cursor.column
}

func isSpace(r rune) bool { return r == ' ' || r == '\t' || r == '\n' }

// cursor walks the runes of a file; line and column count from 1.
type cursor struct {
	lines        []string
	line, column int
	runes        []rune // of the line
	at           int    // line that runes belong to
}

// rune returns the rune under the cursor, a line end behind the last one of a line.
func (c *cursor) rune() rune {
	if c.at != c.line {
		c.runes, c.at = nil, c.line
		if c.line <= len(c.lines) {
			c.runes = []rune(c.lines[c.line-1])
		}
	}
	if c.column > len(c.runes) {
		return '\n'
	}
	return c.runes[c.column-1]
}

// next moves on by one rune and reports whether there is still file left.
func (c *cursor) next() bool {
	if c.rune() == '\n' && c.column > len(c.runes) {
		c.line, c.column = c.line+1, 1
	} else {
		c.column++
	}
	return c.line <= len(c.lines)
}
