package symptoms

import "strings"

// Nearest returns the candidate spelled most like the given word, or "" if none is
// close: at most one slip in three letters, two words joined by another sign counting
// as the same. Ties go to the earlier candidate. Words below 2 or above 64 bytes have
// no neighbour.
func Nearest(word string, candidates []string) string {
	word = plainSpelling(word)
	best, limit := "", len([]rune(word))/3+1
	if len(word) < 2 || len(word) > 64 {
		return ""
	}
	for _, c := range candidates {
		if d := slips(word, plainSpelling(c), limit); d < limit {
			best, limit = c, d
		}
	}
	return best
}

// plainSpelling removes the differences that people do not see.
func plainSpelling(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '-', ' ', '.':
			return '_'
		}
		return r
	}, strings.ToLower(strings.TrimSpace(s)))
}

// slips counts the letters to insert, delete, change or swap with their neighbour to
// turn a into b (optimal string alignment distance), giving up at limit.
func slips(a, b string, limit int) int {
	x, y := []rune(a), []rune(b)
	if len(x)-len(y) >= limit || len(y)-len(x) >= limit {
		return limit
	}
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			change := last[j-1]
			if x[i-1] != y[j-1] {
				change++
			}
			row[j] = min(change, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}

// listed joins words for a message: "a, b or c", cut after many.
func listed(words []string, last string) string {
	const most = 24
	switch {
	case len(words) == 0:
		return ""
	case len(words) == 1:
		return words[0]
	case len(words) > most:
		return strings.Join(words[:most], ", ") + ", …"
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}
