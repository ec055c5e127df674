package report

import (
	"strings"
	"testing"
)

func TestEscapeMarkdown(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"plain", "float height 22.5 mm", "float height 22.5 mm"},
		{"emphasis", "*both* taps_open", `\*both\* taps\_open`},
		{"link", "[x](http://y)", `\[x\](http://y)`},
		{"tag and entity", "<b>&copy;", `&lt;b>&amp;copy;`},
		{"table bar", "a|b", `a\|b`},
		{"code and strike", "`a` ~~b~~", "\\`a\\` \\~\\~b\\~\\~"},
		{"mathematics", "$x$", `\$x\$`},
		{"backslash", `a\b`, `a\\b`},
		{"heading at the beginning", "# a", `\# a`},
		{"number sign inside", "no # 3", "no # 3"},
		{"quotation", "> a", `\> a`},
		{"list", "- a", `\- a`},
		{"underline", "=====", `\=====`},
		{"numbered list", "12. a", `12\. a`},
		{"numbered list with bracket", "1) a", `1\) a`},
		{"figure", "22.5 mm", `22\.5 mm`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := escapeMarkdown(c.in); got != c.want {
				t.Errorf("escapeMarkdown(%q) = %q; want %q", c.in, got, c.want)
			}
		})
	}
}

func TestCodeSpan(t *testing.T) {
	cases := map[string]string{
		"fuel_level: high": "`fuel_level: high`",
		"a`b":              "`` a`b ``",
		"a``b":             "``` a``b ```",
		"`":                "`` ` ``",
	}
	for in, want := range cases {
		if got := codeSpan(in); got != want {
			t.Errorf("codeSpan(%q) = %q; want %q", in, got, want)
		}
	}
}

func TestMarkdownTableKeepsItsColumns(t *testing.T) {
	m := &hypertext{}
	m.table(&table{head: []string{"Id", "Answer"}, right: []int{1}, rows: [][][]span{{one(typed("a|b")), one(text("x | y\nz"))}}})
	want := "| Id | Answer |\n| --- | --: |\n| `a\\|b` | x \\| y z |\n"
	if got := m.b.String(); got != want {
		t.Errorf("table = %q; want %q", got, want)
	}
}

func TestMarkdownNoteStaysQuoted(t *testing.T) {
	m := &hypertext{}
	m.block(&block{kind: verbatim, lines: []string{"# not a heading", "", "last <line>"}})
	want := "> \\# not a heading\n>\n> last &lt;line>\n"
	if got := m.b.String(); got != want {
		t.Errorf("note = %q; want %q", got, want)
	}
	if strings.HasSuffix(strings.TrimSpace(m.b.String()), `\`) {
		t.Errorf("note ends in a backslash: %q", m.b.String())
	}
}
