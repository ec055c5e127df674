package rules

import (
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"
)

// TestLocate finds the rune X in every style of scalar.
func TestLocate(t *testing.T) {
	tests := []struct {
		name, data   string
		line, column int
	}{
		{"plain", "a: b X c", 1, 6},
		{"plain on two lines", "a: bb\n  cc X", 2, 6},
		{"plain after a wide rune", "a: ü 水 X", 1, 8},
		{"single quoted", "a: 'it''s X'", 1, 11},
		{"double quoted", `a: "a \"b\" \t X"`, 1, 16},
		{"double quoted, folded", "a: \"a\\\n  b X\"", 2, 5},
		{"literal", "a: |\n  b\n\n   X\n", 4, 4},
		{"folded", "a: >-\n  b c\n  d X\n", 3, 5},
		{"folded with paragraphs", "a: >\n  b\n\n  c\n  X\n", 5, 3},
		{"in a flow mapping", "{a: b, c: {d: e X}}", 1, 17},
		{"carriage returns", "a: |\r\n  b\r\n  X\r\n", 3, 3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			line, column := locateX(t, tt.data)
			if line != tt.line || column != tt.column {
				t.Errorf("locate(%q) = %d:%d; want %d:%d", tt.data, line, column, tt.line, tt.column)
			}
		})
	}
}

type failer interface {
	Helper()
	Fatalf(format string, args ...any)
}

func locateX(t failer, data string) (line, column int) {
	t.Helper()
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(data), &doc); err != nil {
		t.Fatalf("Unmarshal(%q): %v", data, err)
	}
	n := scalarX(&doc)
	if n == nil {
		t.Fatalf("no X in %q", data)
	}
	i := strings.IndexByte(n.Value, 'X')
	return locate(strings.Split(data, "\n"), n, len([]rune(n.Value[:i])))
}

func scalarX(n *yaml.Node) *yaml.Node {
	if n.Kind == yaml.ScalarNode && strings.Contains(n.Value, "X") {
		return n
	}
	for _, c := range n.Content {
		if x := scalarX(c); x != nil {
			return x
		}
	}
	return nil
}

// TestLocateAnyStyle writes a text in a style of YAML's choosing and finds the one X in it again.
func TestLocateAnyStyle(t *testing.T) {
	styles := []yaml.Style{0, yaml.SingleQuotedStyle, yaml.DoubleQuotedStyle, yaml.LiteralStyle, yaml.FoldedStyle}
	word := rapid.StringMatching(`[a-c"'\\<=#:é]{1,4}`)
	rapid.Check(t, func(t *rapid.T) {
		before := strings.Join(rapid.SliceOfN(word, 0, 30).Draw(t, "before"), " ")
		after := strings.Join(rapid.SliceOfN(word, 0, 5).Draw(t, "after"), "\n")
		value := strings.TrimSpace(before + " X " + after)
		n := &yaml.Node{Kind: yaml.ScalarNode, Value: value, Style: rapid.SampledFrom(styles).Draw(t, "style")}
		out, err := yaml.Marshal(map[string]*yaml.Node{"key": n})
		if err != nil {
			t.Fatalf("Marshal(%q): %v", value, err)
		}
		data := string(out)
		line, column := locateX(t, data)
		runes := []rune(strings.Split(data, "\n")[line-1])
		if column > len(runes) || runes[column-1] != 'X' {
			t.Fatalf("locate in %q = %d:%d; want the X", data, line, column)
		}
	})
}
