package main

import "strings"

// loose drops the differences that people do not see between words.
var loose = strings.NewReplacer("-", " ", "_", " ")

// nearest returns the candidate that word was probably meant to be, or "" when none is close: at most one edit in three
// letters, or the word is the beginning of exactly one candidate. Of equals the first wins.
func nearest(word string, candidates []string) string {
	best, bestDistance := "", len([]rune(word))/3+1
	for _, candidate := range candidates {
		if d := distance(loose.Replace(strings.ToLower(word)), loose.Replace(strings.ToLower(candidate))); d < bestDistance {
			best, bestDistance = candidate, d
		}
	}
	if best == "" {
		return onlyPrefixed(word, candidates)
	}
	return best
}

func onlyPrefixed(word string, candidates []string) string {
	found := ""
	for _, candidate := range candidates {
		if word == "" || !strings.HasPrefix(candidate, word) {
			continue
		}
		if found != "" {
			return ""
		}
		found = candidate
	}
	return found
}

// distance counts the insertions, deletions, substitutions and swaps of neighbours that turn a into b (the optimal string
// alignment distance; V. I. Levenshtein 1966 without the swaps; common practice).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := range s {
		row[0] = i + 1
		for j := range t {
			cost := 1
			if s[i] == t[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
