package main

import (
	"strings"

	"diagnose.example/symptoms"
)

// nearest returns the candidate that word was probably meant to be, or "" when none is close: the one spelled most like it, or
// the only one that begins with it.
func nearest(word string, candidates []string) string {
	if near := symptoms.Nearest(word, candidates); near != "" {
		return near
	}
	return onlyPrefixed(word, candidates)
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
