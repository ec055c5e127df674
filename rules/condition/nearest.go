package condition

// nearest returns the word that is most like s, the first of equals, or "" when
// none is near enough to be a slip of the pen: more than one edit in three runes.
func nearest(s string, words []string) string {
	best, bestEdits := "", max(1, len([]rune(s))/3)+1
	for _, w := range words {
		if n := edits([]rune(s), []rune(w)); n < bestEdits {
			best, bestEdits = w, n
		}
	}
	return best
}

// edits counts the single-rune insertions, deletions, replacements and swaps of
// neighbours that turn a into b (optimal string alignment distance).
func edits(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		row[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
