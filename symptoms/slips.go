package symptoms

import (
	"regexp"
	"strings"
)

// The finders of syntaxSlips: each looks for one slip on one line and returns its
// column and the offending text, or 0.

func tabIndent(line string) (int, string) {
	i := strings.IndexFunc(line, notBlank)
	if i < 0 {
		i = len(line)
	}
	if t := strings.IndexByte(line[:i], '\t'); t >= 0 {
		return column(line, t), "\t"
	}
	return 0, ""
}

func greaterSign(line string) (int, string) {
	bound := regexp.MustCompile(`(?:^|: |- |[\[{,] *)\s*(>=? *[-+.,]?[\d½¼¾][^,}\]#]*)`)
	m := bound.FindStringSubmatchIndex(line)
	if m == nil {
		return 0, ""
	}
	return column(line, m[2]), strings.TrimSpace(line[m[2]:m[3]])
}

func innerColon(line string) (int, string) {
	first := colonAfter(line, 0)
	if first < 0 {
		return 0, ""
	}
	second := colonAfter(line, first+1)
	if second < 0 {
		return 0, ""
	}
	return column(line, second), ":"
}

// colonAfter finds the next colon that YAML takes for the end of a key.
func colonAfter(line string, from int) int {
	for i := from; i < len(line); i++ {
		if line[i] == ':' && (i+1 == len(line) || line[i+1] == ' ' || line[i+1] == '\t') {
			return i
		}
		if line[i] == '#' && i > 0 && line[i-1] == ' ' {
			return -1
		}
	}
	return -1
}

func firstText(line string) (int, string) {
	i := strings.IndexFunc(line, notBlank)
	if i < 0 {
		return 1, ""
	}
	return column(line, i), withoutComment(line[i:])
}

func dashAfterColon(line string) (int, string) {
	if i := strings.Index(line, ": - "); i >= 0 {
		return column(line, i+2), withoutComment(line[i+2:])
	}
	return 0, ""
}

func questionMark(line string) (int, string) {
	if i := valueStart(line); i >= 0 && line[i] == '?' {
		return column(line, i), "?"
	}
	return 0, ""
}

func strangeStart(line string) (int, string) {
	const reserved = "@`%>|\t"
	if i := valueStart(line); i >= 0 && strings.ContainsRune(reserved, rune(line[i])) {
		return column(line, i), line[i : i+1]
	}
	if i := strings.IndexAny(line, reserved); i >= 0 {
		return column(line, i), line[i : i+1]
	}
	return 0, ""
}

func starOrAmpersand(line string) (int, string) { return startOf(line, "*&") }

func closeBracket(line string) (int, string) { return startOf(line, "]},") }

func exclamation(line string) (int, string) { return startOf(line, "!") }

// startOf finds a value, an entry of a list or of a map in braces that begins with
// one of the characters.
func startOf(line, chars string) (int, string) {
	if i := valueStart(line); i >= 0 && strings.ContainsRune(chars, rune(line[i])) {
		return column(line, i), withoutComment(line[i:])
	}
	for i := 1; i < len(line); i++ {
		if strings.ContainsRune(chars, rune(line[i])) && strings.ContainsRune(" [{,", rune(line[i-1])) {
			return column(line, i), line[i : i+1]
		}
	}
	return 0, ""
}

func backslash(line string) (int, string) {
	known := regexp.MustCompile(`\\(?:[0abt\tnvfre "/\\N_LP']|x[0-9a-fA-F]{2}|u[0-9a-fA-F]{4}|U[0-9a-fA-F]{8})`)
	for i := 0; i < len(line); i++ {
		if line[i] != '\\' {
			continue
		}
		m := known.FindStringIndex(line[i:])
		if m == nil || m[0] != 0 {
			return column(line, i), line[i:min(i+2, len(line))]
		}
		i += m[1] - 1
	}
	return 0, ""
}

// openQuote finds the quote after which no other follows on the line.
func openQuote(line string) (int, string) {
	for i := 0; i < len(line); i++ {
		q := line[i]
		starts := i == 0 || strings.ContainsRune(" [{,:", rune(line[i-1]))
		if (q != '"' && q != '\'') || !starts {
			continue
		}
		end := strings.IndexByte(line[i+1:], q)
		if end < 0 {
			return column(line, i), line[i : i+1]
		}
		i += end + 1
	}
	return 0, ""
}

// openBracket finds the innermost bracket that is not closed on the line.
func openBracket(line string) (int, string) {
	var open []int
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '{', '[':
			open = append(open, i)
		case '}', ']':
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
	}
	if len(open) > 0 {
		i := open[len(open)-1]
		return column(line, i), line[i : i+1]
	}
	if i := strings.IndexAny(line, "{["); i >= 0 {
		return column(line, i), line[i : i+1]
	}
	return 0, ""
}

// afterBracket finds what follows when all brackets of a line are closed.
func afterBracket(line string) (int, string) {
	depth := 0
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '{', '[':
			depth++
			continue
		case '}', ']':
			depth--
		default:
			continue
		}
		rest := withoutComment(line[i+1:])
		if depth <= 0 && rest != "" {
			return column(line, i+1+strings.Index(line[i+1:], rest)), rest
		}
	}
	return 0, ""
}

func afterQuote(line string) (int, string) {
	tail := regexp.MustCompile(`(?:^|[:-] +)(?:"[^"]*"|'[^']*')\s*([^\s#:,\]}][^#]*)`)
	m := tail.FindStringSubmatchIndex(line)
	if m == nil {
		return 0, ""
	}
	return column(line, m[2]), strings.TrimSpace(line[m[2]:m[3]])
}

func missingSpace(line string) (int, string) {
	m := regexp.MustCompile(`^\s*(?:- )?[a-z][a-z_.]*(:)\S`).FindStringSubmatchIndex(line)
	if m == nil {
		return 0, ""
	}
	return column(line, m[2]), ":"
}

func noColon(line string) (int, string) {
	if colonAfter(line, 0) >= 0 {
		return 0, ""
	}
	return firstText(line)
}
