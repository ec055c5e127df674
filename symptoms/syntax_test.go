package symptoms

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// syntaxTests make every syntax fault that explain knows. want is the first line of the
// error without the file, then the hint.
var syntaxTests = []struct{ name, text, want, hint string }{
	{"tab", "sheet: 1\nobserved:\n\tstarts_cold: hard\n", "3:1: a tab in the indentation", "indent with spaces"},
	{"tabs", "sheet: 1\nobserved:\n\tstarts_cold: hard\n\ttap_flow: 100\n", "3:1: tabs in the indentation of 2 lines, here the first", "indent with spaces"},
	{"tab after spaces", "sheet: 1\nobserved:\n  \tstarts_cold: hard\n  \ttap_flow: 3\n", "3:3: tabs in the indentation", "indent with spaces"},
	{"lower bound", "sheet: 1\nobserved:\n  tap_flow: > 200 ml/min # by cup\n", "3:13: a text that begins with > must stand in quotes", `write "> 200 ml/min"`},
	{"lower bound in braces", "sheet: 1\nobserved: {tap_flow: > 200 ml/min}\n", "2:22: a text that begins with > must stand in quotes", `write "> 200 ml/min"`},
	{"lower bound without blank", "sheet: 1\nobserved:\n  tap_flow: >=200\n", "3:13: a text that begins with > must stand in quotes", `write ">=200"`},
	{"lower bound as an empty block", "sheet: 1\nobserved:\n  tap_flow: >3\n", "3:13: tap_flow: a block of lines is no answer", `write ">3" in quotes`},
	{"block as answer", "sheet: 1\nobserved:\n  tap_flow: |\n    300\n", "3:13: tap_flow: a block of lines is no answer", "on the line of its name"},
	{"colon in a note", "sheet: 1\nnotes: he says: it floods\n", "2:15: a colon inside a text without quotes", "put the text in quotes, or begin it on the next line after `|`"},
	{"colon in an entry of a list", "sheet: 1\nnotes:\n  - one\n  - he says: it floods: often\n", "4:5: a note must be a text, not a map", "quotes"},
	{"colon in a note's second line", "sheet: 1\nnotes: he says\n  this: it floods\n", "3:3: this line is indented deeper than the entries before it", "after `|`"},
	{"colon after a line without", "sheet: 1\nnotes:\n  he says\n  this: it floods\n", "3:3: there is no colon after the name", "after `|`"},
	{"indented deeper", "sheet: 1\nobserved:\n  starts_cold: hard\n   tap_flow: 100\n", "4:4: this line is indented deeper", "the indentation of its neighbours"},
	{"indented less", "sheet: 1\nobserved:\n   starts_cold: hard\n  tap_flow: 100\n", "4:3: this line does not line up with the lines above it", "the indentation of its neighbours"},
	{"no colon", "sheet: 1\nobserved:\n  starts_cold hard\n  tap_flow: 100\n", "3:3: there is no colon after the name", "write name: value"},
	{"no colon at the end", "sheet: 1\nobserved:\n  tap_flow: 100\n  starts_cold\n", "4:3: there is no colon after the name", "write name: value"},
	{"no blank after the colon", "sheet: 1\nobserved:\n  starts_cold:hard\n  tap_flow: 100\n", "3:14: there is no space after the colon", "a space after the colon"},
	{"no blank after the colon at the end", "sheet: 1\nobserved:\n  tap_flow: 100\n  starts_cold:hard\n", "4:14: there is no space after the colon", "a space after the colon"},
	{"list on the line of its key", "sheet: 1\nhistory: - after-rebuild\n", "2:10: a list cannot begin on the line of its key", "[a, b]"},
	{"list that does not line up", "sheet: 1\nhistory:\n  - after-rebuild\n after-storage: x\n", "4:2: this line", "indentation"},
	{"text after a list", "sheet: 1\nhistory:\n- after-rebuild\nafter-storage\n", "4:1: there is no colon after the name", "write name: value"},
	{"entry after a list", "sheet: 1\nhistory:\n  - after-rebuild\n  job: 3\n", "4:3: this line does not line up with the list above it", "begin it with -"},
	{"question mark", "sheet: 1\nobserved:\n  starts_cold: ?\n  tap_flow: 3\n", "3:16: a ? without quotes", "write unknown"},
	{"at sign", "sheet: 1\nnotes: @home\n", "2:8: a text cannot begin with this character", "quotes"},
	{"percent sign", "sheet: 1\nnotes: %5\n", "2:8: a text cannot begin with this character", "quotes"},
	{"back quote", "sheet: 1\nnotes: `x`\n", "2:8: a text cannot begin with this character", "quotes"},
	{"star", "sheet: 1\nnotes: *left side\n", "2:8: a text that begins with * must stand in quotes", "quotes"},
	{"stars", "sheet: 1\nnotes: **important**\n", "2:8: a text that begins with * or & must stand in quotes", "quotes"},
	{"ampersand", "sheet: 1\nnotes: & more\n", "2:8: a text that begins with * or & must stand in quotes", "quotes"},
	{"star in a list", "sheet: 1\nhistory: [after-rebuild, *x]\n", "2:26: a text that begins with * must stand in quotes", "quotes"},
	{"star in an entry", "sheet: 1\nhistory:\n  - *x\n", "3:5: a text that begins with * must stand in quotes", "quotes"},
	{"at sign in a list", "sheet: 1\nhistory: [after-rebuild, @x]\n", "2:26: a text cannot begin with this character", "quotes"},
	{"colon and comment", "sheet: 1\nnotes: he says # note: this\n  that: x\n", "3:3: this line does not line up", "indentation"},
	{"text after the end", "sheet: 1\n...\nmore\n", "3:1: this line cannot be read as YAML", "write name: value"},
	{"directive", "%FOO bar\n---\nsheet: 1\n", "1:1: this line cannot be read as YAML", "write name: value"},
	{"fault on the first line", "a: b: c\nsheet: 1\n", "1:1: unknown key", "known are"},
	{"quote in the text before", "sheet: 1\nnotes: [\"a\", \"b\nhistory: x\n", "2:14: this quote is never closed", "close it"},
	{"bracket closed too early", "sheet: 1\nobserved: {starts_cold: hard}, x: 3}\n", "2:30: text after a closing bracket", "at the end"},
	{"anchor", "sheet: 1\nnotes: &left side\n", "2:8: anchors (&left) are not allowed", "quotes"},
	{"exclamation mark", "sheet: 1\nnotes: !left side\n", "2:8: tags (!left) are not allowed", "quotes"},
	{"two exclamation marks", "sheet: 1\nnotes: !a!b side\n", "2:8: a text that begins with ! must stand in quotes", "quotes"},
	{"exclamation mark and bracket", "sheet: 1\nnotes: !<a side\n", "2:8: a text that begins with ! must stand in quotes", "quotes"},
	{"backslash", "sheet: 1\nnotes: \"a \\d\"\n", "2:11: a backslash", "twice"},
	{"backslash and too few figures", "sheet: 1\nnotes: \"ok \\n and \\x4\"\n", "2:19: a backslash", "twice"},
	{"open quote", "sheet: 1\nnotes: \"never closed\nobserved:\n  starts_cold: hard\n", "2:8: this quote is never closed", "close it"},
	{"open single quote", "sheet: 1\nnotes: 'never closed\n", "2:8: this quote is never closed", "close it"},
	{"open quote before a document mark", "sheet: 1\nnotes: \"never closed\n---\n", "2:8: this quote is never closed", "close it"},
	{"text after a quote", "sheet: 1\nnotes: \"closed\" and more\njob: 3\n", "2:17: text after a closing quote", "one pair of quotes"},
	{"inch sign after a quote", "sheet: 1\nevery:\n  float_height: \"7/8\"\"\n", "3:22: text after a closing quote", "one pair of quotes"},
	{"open brace", "sheet: 1\nobserved: {starts_cold: hard\nnotes: x\n", "2:11: this bracket is never closed", "{a: x, b: y}"},
	{"open bracket", "sheet: 1\nhistory: [after-rebuild\nnotes: x\n", "2:10: this bracket is never closed", "[a, b]"},
	{"missing comma", "sheet: 1\nobserved: {starts_cold: hard tap_flow: 3}\n", "2:11: this bracket is never closed, or a comma is missing in it", "{a: x, b: y}"},
	{"closing bracket alone", "sheet: 1\nhistory: ]\n", "2:10: a text cannot begin with this character", "quotes"},
	{"comma in braces", "sheet: 1\nobserved: {tap_flow: 20,5 ml/min}\n", `2:25: unknown observation "5 ml/min"`, `put it in quotes ("…,5 ml/min")`},
	{"comment without blank", "sheet: 1\nnotes: plug #2 fouled\n", `2:8: "#2 fouled" would be cut off as a comment`, "quotes"},
	{"number as comment", "sheet: 1\njob: #1042\n", `2:5: "#1042" would be cut off as a comment`, "quotes"},
	{"key of several words", "sheet: 1\n? [a, b]\n: c\n", "2:3: a key must be a single word", "before the colon"},
	{"doubled key", "sheet: 1\nsheet: 1\n", `2:1: "sheet" is given twice; first on line 1`, "keep one"},
}

func TestSyntax(t *testing.T) {
	v := smallVocabulary(t)
	for _, tt := range syntaxTests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Decode("s", []byte(tt.text), v, DecodeOptions{})
			if err == nil || !strings.HasPrefix(err.Error(), "s:"+tt.want) || !strings.Contains(err.Error(), tt.hint) {
				t.Errorf("Decode(%q) = error\n%v\nwant s:%s … %s", tt.text, err, tt.want, tt.hint)
			}
		})
	}
}

// TestFaultsBehindSyntax: what can be painted over does not hide the faults after it.
func TestFaultsBehindSyntax(t *testing.T) {
	const text = "sheet: 1\nobserved:\n  tap_flow: > 3\n  starts_cold: hrad\nnotes: a: b: c\nhistory: x\n"
	_, err := Decode("s", []byte(text), smallVocabulary(t), DecodeOptions{})
	list, _ := err.(ErrorList)
	var lines []int
	for _, e := range list {
		lines = append(lines, e.Pos.Line)
	}
	want := []int{3, 4, 5, 6}
	if len(lines) < len(want) {
		t.Fatalf("Decode(%q) = faults on lines %v; want %v:\n%v", text, lines, want, err)
	}
	for _, l := range want {
		found := false
		for _, got := range lines {
			found = found || got == l
		}
		if !found {
			t.Errorf("Decode(%q): no fault on line %d:\n%v", text, l, err)
		}
	}
}

// TestSyntaxLine: in a long file the line is found as well, within the limits of effort.
func TestSyntaxLine(t *testing.T) {
	filler := strings.Repeat("# a comment line of some length, to make the file longer than a sheet\n", 300)
	text := filler + "sheet: 1\nobserved: {\n  starts_cold: hard,\n  tap_flow: 3 }\nnotes: a: b\n" + filler
	_, err := Decode("s", []byte(text), smallVocabulary(t), DecodeOptions{})
	if err == nil || !strings.HasPrefix(err.Error(), "s:305:9: a colon inside") {
		t.Errorf("Decode = %v; want the fault on line 305", err)
	}
	large := strings.Repeat(filler, 40) + "sheet: 1\nnotes: a: b\n"
	_, err = Decode("s", []byte(large), smallVocabulary(t), DecodeOptions{})
	if err == nil || !strings.HasPrefix(err.Error(), "s:12002:") {
		t.Errorf("Decode of a large file = %v; want the fault on line 12002", err)
	}
}

func TestErrorText(t *testing.T) {
	long := strings.Repeat("x", 200)
	tests := []struct {
		name string
		e    Error
		want string
	}{
		{"all", Error{Pos: Position{"a.yaml", 3, 5}, Offending: "drps", Message: "unknown word", Hint: "write drips", Line: "  a: drps"},
			"a.yaml:3:5: unknown word\n      a: drps\n        ^\n  write drips"},
		{"under the text", Error{Pos: Position{"a.yaml", 3, 6}, Offending: "drps", Message: "unknown word", Line: "  a: drps"},
			"a.yaml:3:6: unknown word\n      a: drps\n         ^^^^"},
		{"no line", Error{Pos: Position{File: "a.yaml"}, Message: "too large"}, "a.yaml: too large"},
		{"no place", Error{Message: "too large"}, "too large"},
		{"control characters", Error{Pos: Position{"a", 1, 3}, Message: "bad", Line: "a\x1b\tb"}, "a:1:3: bad\n    a\ufffd b\n      ^"},
		{"column behind the line", Error{Pos: Position{"a", 1, 9}, Message: "bad", Line: "ab"}, "a:1:9: bad\n    ab\n      ^"},
		{"long line", Error{Pos: Position{"a", 1, 101}, Message: "bad", Line: long},
			"a:1:101: bad\n    …" + strings.Repeat("x", 100) + "…\n    " + strings.Repeat(" ", 61) + "^"},
	}
	for _, tt := range tests {
		if got := tt.e.Error(); got != tt.want {
			t.Errorf("%s: Error() =\n%q; want\n%q", tt.name, got, tt.want)
		}
	}
}

// TestErrorListUnwraps: callers reach the single faults.
func TestErrorListUnwraps(t *testing.T) {
	list := ErrorList{{Message: "a"}, {Message: "b"}}
	if errs := list.Unwrap(); len(errs) != 2 || errs[1].Error() != "b" || list.Error() != "a\nb" {
		t.Errorf("ErrorList = %q, unwraps to %v", list.Error(), errs)
	}
}

// TestGoldenFilesHaveSources: no golden file outlives the file it belongs to.
func TestGoldenFilesHaveSources(t *testing.T) {
	names, err := filepath.Glob("testdata/*/*.golden")
	if err != nil || len(names) == 0 {
		t.Fatalf("no golden files: %v", err)
	}
	for _, n := range names {
		if _, err := os.Stat(strings.TrimSuffix(n, ".golden") + ".yaml"); err != nil {
			t.Errorf("%s: %v", n, err)
		}
	}
}
