package symptoms

import (
	"fmt"

	"go.yaml.in/yaml/v3"
)

// A pair is one key of a map with its value.
type pair struct{ key, value *yaml.Node }

// pairs returns the entries of a map in file order; nil for other nodes.
func pairs(n *yaml.Node) []pair {
	if n.Kind != yaml.MappingNode {
		return nil
	}
	out := make([]pair, 0, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		out = append(out, pair{n.Content[i], n.Content[i+1]})
	}
	return out
}

// clean reports what no file of ours may hold and removes it from the tree.
func (s *source) clean(n *yaml.Node, depth int) {
	if n.Kind == yaml.AliasNode {
		s.wrong(n, "write the text out; if it should begin with *, put it in quotes", "aliases (*%s) are not allowed", n.Value)
		nothing(n)
	}
	if n.Anchor != "" {
		s.wrong(n, "leave it out; if the text should begin with &, put it in quotes", "anchors (&%s) are not allowed", n.Anchor)
	}
	if n.Style&yaml.TaggedStyle != 0 {
		s.wrong(n, "leave it out; if the text should begin with !, put it in quotes", "tags (%s) are not allowed", n.Tag)
		n.Style &^= yaml.TaggedStyle
	}
	if depth > maxDepth && len(n.Content) > 0 {
		s.wrong(n, "", "nested more than %d deep", maxDepth)
		nothing(n)
	}
	if n.Kind == yaml.MappingNode {
		n.Content = s.cleanKeys(n)
	}
	for _, c := range n.Content {
		s.clean(c, depth+1)
	}
}

// nothing turns a node into a null.
func nothing(n *yaml.Node) {
	n.Kind, n.Tag, n.Value, n.Style, n.Alias, n.Content = yaml.ScalarNode, "!!null", "", 0, nil, nil
}

// cleanKeys returns the content of a map without doubled and unreadable keys.
func (s *source) cleanKeys(n *yaml.Node) []*yaml.Node {
	seen := make(map[string]int, len(n.Content)/2)
	kept := n.Content[:0]
	for _, p := range pairs(n) {
		switch first, double := seen[p.key.Value]; {
		case p.key.Kind != yaml.ScalarNode:
			s.wrong(p.key, "write a name before the colon", "a key must be a single word")
		case p.key.Value == "<<" && p.key.Style == 0:
			s.wrong(p.key, "write the entries out", "merge keys (<<) are not allowed")
		case double:
			s.wrong(p.key, "keep one of the two", "%q is given twice; first on line %d", p.key.Value, first)
		default:
			seen[p.key.Value] = p.key.Line
			kept = append(kept, p.key, p.value)
		}
	}
	return kept
}

// isNull reports whether nothing stands there: no text, ~ or null without quotes.
func isNull(n *yaml.Node) bool {
	if n.Kind != yaml.ScalarNode || n.Style != 0 {
		return false
	}
	switch n.Value {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

// isBlock reports whether a scalar is written as a block of lines after | or >.
func isBlock(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0
}

// items returns the entries of a list, or the node itself as the only one.
func items(n *yaml.Node) []*yaml.Node {
	switch {
	case n.Kind == yaml.SequenceNode:
		return n.Content
	case isNull(n):
		return nil
	}
	return []*yaml.Node{n}
}

// form says in words what stands at a node.
func form(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a map"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case isNull(n):
		return "nothing"
	}
	return fmt.Sprintf("%q", short(n.Value))
}

// short cuts a text for use inside a message.
func short(s string) string {
	const most = 60
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most]) + "…"
}
