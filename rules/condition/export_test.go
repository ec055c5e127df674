package condition

import "slices"

// SameTree reports whether two conditions of one environment have the same checked
// tree.
func SameTree(a, b *Condition) bool { return sameNode(a.root, b.root) }

func sameNode(a, b *node) bool {
	return a.op == b.op && a.symbol == b.symbol && a.words == b.words && a.call == b.call &&
		a.fixed == b.fixed && a.value == b.value && a.dim == b.dim && slices.EqualFunc(a.kids, b.kids, sameNode)
}
