package symptoms

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// errSecondDocument tells of a second YAML document and where it begins.
type errSecondDocument struct{ line int }

func (e errSecondDocument) Error() string { return fmt.Sprintf("line %d: second document", e.line) }

// readYAML returns the root of the only document, nil if there is none.
func readYAML(data []byte) (root *yaml.Node, err error) {
	// The library reports by panic internally; should one escape it, it is a fault of
	// the file and not of the program.
	defer func() {
		if r := recover(); r != nil {
			root, err = nil, fmt.Errorf("yaml: %v", r)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc, next yaml.Node
	if err := dec.Decode(&doc); errors.Is(err, io.EOF) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	if err := dec.Decode(&next); err == nil {
		return nil, errSecondDocument{next.Line}
	} else if !errors.Is(err, io.EOF) {
		return nil, err
	}
	if doc.Kind != yaml.DocumentNode || len(doc.Content) != 1 || isNull(doc.Content[0]) {
		return nil, nil
	}
	return doc.Content[0], nil
}

// maxRepairs bounds how many syntax faults of a file are found in one go.
const maxRepairs = 20

// parseBudget bounds the bytes read again in the search for syntax faults, half a
// second's work.
const parseBudget = 4 << 20

// parse reads the text. A syntax fault that can be told apart with certainty is
// recorded and painted over, so that the faults after it are found as well; at any
// other the reading ends.
func (s *source) parse(data []byte) *yaml.Node {
	data = bytes.Clone(data)
	for range maxRepairs {
		root, err := readYAML(data)
		if err == nil {
			return root
		}
		f, isJSON := explainJSON(data)
		if !isJSON {
			f = explain(splitLines(string(data)), s.firstBadLine(data, err), err)
		}
		s.fault(f.line, f.column, f.offending, f.message, f.hint)
		if f.paint == 0 || !paintOver(data, f) {
			return nil
		}
	}
	return nil
}

// explainJSON finds the fault of a text that is meant to be JSON: it begins with {".
func explainJSON(data []byte) (f syntaxFault, isJSON bool) {
	rest, isMap := bytes.CutPrefix(bytes.TrimSpace(data), []byte("{"))
	if !isMap || !bytes.HasPrefix(bytes.TrimSpace(rest), []byte(`"`)) {
		return f, false
	}
	var syntax *json.SyntaxError
	var any json.RawMessage
	if err := json.Unmarshal(data, &any); !errors.As(err, &syntax) {
		return f, false
	}
	before := splitLines(string(data[:max(0, syntax.Offset-1)]))
	last := before[len(before)-1]
	return syntaxFault{line: len(before), column: column(last, len(last)),
		message: "this is not JSON: " + syntax.Error(), hint: "check commas, quotes and brackets just before"}, true
}

// paintOver replaces the character at the fault by a blank of the same length.
func paintOver(data []byte, f syntaxFault) bool {
	i := offset(data, f.line, f.paint)
	if i < 0 || data[i] >= utf8.RuneSelf || data[i] == ' ' {
		return false
	}
	data[i] = ' '
	return true
}

// offset returns the index of a position in the data, -1 if there is none.
func offset(data []byte, line, column int) int {
	ends := lineEnds(data)
	if line < 1 || line > len(ends) {
		return -1
	}
	at := 0
	if line > 1 {
		at = ends[line-2]
	}
	for range column - 1 {
		_, n := utf8.DecodeRune(data[at:])
		at += n
	}
	if at >= ends[line-1] {
		return -1
	}
	return at
}

// firstBadLine returns the line at which the text stops being YAML. The library's own
// line is that of the construct it was in, often an earlier one and sometimes off by
// one. Instead the shortest run of lines that fails in the same way is looked for, and
// from there back the longest that can be read.
func (s *source) firstBadLine(data []byte, err error) int {
	ends := lineEnds(data)
	reads := func(k int) error { // the first k lines
		s.budget -= ends[k-1]
		_, err := readYAML(data[:ends[k-1]])
		return err
	}
	if s.budget < 12*len(data) {
		return min(max(1, libraryLine(err)), len(ends))
	}
	bad := 1 + sort.Search(len(ends)-1, func(i int) bool {
		e := reads(i + 1)
		return e != nil && e.Error() == err.Error()
	})
	const back = 8 // lines that a construct may span; beyond that the first guess stands
	for k := bad - 1; k > 0 && k > bad-back; k-- {
		if reads(k) == nil {
			return k + 1
		}
	}
	if bad <= back {
		return 1
	}
	return bad
}

// lineEnds returns the index after each line and its break.
func lineEnds(data []byte) []int {
	var ends []int
	at := 0
	for _, l := range splitLines(string(data)) {
		at += len(l)
		if at < len(data) {
			r, n := utf8.DecodeRune(data[at:])
			at += n
			if r == '\r' && at < len(data) && data[at] == '\n' {
				at++
			}
		}
		ends = append(ends, at)
	}
	return ends
}

// libraryLine reads the line number out of an error of the YAML library.
func libraryLine(err error) int {
	var second errSecondDocument
	if errors.As(err, &second) {
		return second.line
	}
	_, rest, ok := strings.Cut(err.Error(), "line ")
	if !ok {
		return 1
	}
	digits, _, _ := strings.Cut(rest, ":")
	n, _ := strconv.Atoi(digits)
	return n
}

// plainEscapes makes JSON readable as YAML, which does not know two of its escapes: a
// character beyond U+FFFF as two \u (RFC 8259, section 7, from memory), and \/. The directive of YAML
// 1.2, which the library does not know either, becomes a comment.
func plainEscapes(data []byte) []byte {
	if bytes.HasPrefix(data, []byte("%YAML 1.2")) {
		return append([]byte("#"), data[1:]...)
	}
	if !bytes.HasPrefix(bytes.TrimLeft(data, " \t\r\n"), []byte("{")) || !bytes.ContainsRune(data, '\\') || !json.Valid(data) {
		return data
	}
	out := make([]byte, 0, len(data))
	for i := 0; i < len(data); {
		r, n := escapedRune(data[i:])
		if n == 0 {
			out = append(out, data[i])
			i++
			continue
		}
		if r >= 0 {
			out = utf8.AppendRune(out, r)
		} else {
			out = append(out, data[i:i+n]...)
		}
		i += n
	}
	return out
}

// escapedRune reads the JSON escape at the start of b: its length, 0 if there is none, and
// the character it stands for if YAML would not know it, else -1. A surrogate alone stands
// for no character and becomes U+FFFD.
func escapedRune(b []byte) (r rune, n int) {
	if b[0] != '\\' || len(b) < 2 {
		return 0, 0
	}
	if b[1] == '/' {
		return '/', 2
	}
	hi := unit16(b)
	if !utf16.IsSurrogate(hi) {
		return -1, 2
	}
	if lo := unit16(b[6:]); utf16.IsSurrogate(lo) {
		return utf16.DecodeRune(hi, lo), 12
	}
	return utf8.RuneError, 6
}

// unit16 reads \uXXXX, 0 if that does not stand there.
func unit16(b []byte) rune {
	if len(b) < 6 || b[0] != '\\' || b[1] != 'u' {
		return 0
	}
	v, err := strconv.ParseUint(string(b[2:6]), 16, 16)
	if err != nil {
		return 0
	}
	return rune(v)
}
