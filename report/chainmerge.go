package report

import (
	"fmt"
	"slices"
	"strings"
)

// merged makes one node of those that are the same thing at several places for the same reason: the effect that a choked air
// cleaner has in each carburetor. What leads to one of them leads to all; where a place has a reason of its own it stays apart.
func merged(nodes []chainNode, links []chainLink) ([]chainNode, []chainLink) {
	into := upward(len(nodes), links)
	number := unnumbered(len(nodes))
	known := map[string]int{}
	var out []chainNode
	for _, i := range topological(len(nodes), links) {
		reasons := make([]string, 0, len(into[i]))
		for _, l := range into[i] {
			reasons = append(reasons, fmt.Sprint(number[l.from], " ", l.word))
		}
		slices.Sort(reasons)
		reasons = slices.Compact(reasons)
		n := nodes[i]
		key := fmt.Sprint(n.kind, "\n", n.id, "\n", strings.Join(reasons, "\n"))
		if len(reasons) == 0 {
			key = fmt.Sprint("root ", i)
		}
		if j, same := known[key]; same {
			number[i] = j
			out[j].at = append(out[j].at, n.at...)
			continue
		}
		number[i], known[key] = len(out), len(out)
		n.at = slices.Clone(n.at)
		out = append(out, n)
	}
	var between []chainLink
	for _, l := range links {
		link := chainLink{number[l.from], number[l.to], l.word}
		if link.from >= 0 && link.to >= 0 && !slices.Contains(between, link) {
			between = append(between, link)
		}
	}
	return out, between
}

// unnumbered returns n numbers that are none.
func unnumbered(n int) []int { return slices.Repeat([]int{-1}, n) }

// upward lists the links into each node.
func upward(nodes int, links []chainLink) [][]chainLink {
	into := make([][]chainLink, nodes)
	for _, l := range links {
		into[l.to] = append(into[l.to], l)
	}
	return into
}

// downward lists the links out of each node.
func downward(nodes int, links []chainLink) [][]chainLink {
	out := make([][]chainLink, nodes)
	for _, l := range links {
		out[l.from] = append(out[l.from], l)
	}
	return out
}

// topological returns the nodes with every node after all that lead to it, and otherwise in their order. Nodes on a circle,
// which the knowledge does not have, are left out.
func topological(nodes int, links []chainLink) []int {
	waits := make([]int, nodes)
	for _, l := range links {
		waits[l.to]++
	}
	out := downward(nodes, links)
	var order, ready []int
	for i, n := range waits {
		if n == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		i := ready[0]
		ready = ready[1:]
		order = append(order, i)
		for _, l := range out[i] {
			if waits[l.to]--; waits[l.to] == 0 {
				ready = append(ready, l.to)
			}
		}
	}
	return order
}

// ordered brings the nodes into topological order and the links into the order of the nodes they leave from.
func (c *Chain) ordered() *Chain {
	order := topological(len(c.nodes), c.links)
	number := unnumbered(len(c.nodes))
	nodes := make([]chainNode, len(order))
	for i, old := range order {
		number[old] = i
		nodes[i] = c.nodes[old]
	}
	var links []chainLink
	for _, l := range c.links {
		if number[l.from] >= 0 && number[l.to] >= 0 {
			links = append(links, chainLink{number[l.from], number[l.to], l.word})
		}
	}
	slices.SortStableFunc(links, func(a, b chainLink) int { return a.from - b.from })
	c.nodes, c.links = nodes, links
	return c
}
