package rules

import (
	"fmt"
	"strconv"
	"strings"
)

// Likelihood is one entry of the table of likelihood words.
type Likelihood struct {
	Word   string
	Chance float64
	// Origin says where the number comes from.
	Origin string
}

const (
	scale = "after the scale of S. Renooij and C. Witteman, Int. J. Approximate Reasoning 22 (1999) 169-194; number from memory"
	ours  = "set for this project"
)

// likelihoods is the one table of link words. The scale's published words (certain, probable, expected, fifty-fifty,
// uncertain, improbable, impossible) are replaced by adverbs that fit into a sentence about how often a thing is seen.
var likelihoods = []Likelihood{
	{certain, 1, scale},
	{"almost always", 0.95, ours},
	{"usually", 0.85, scale},
	{"often", 0.75, scale},
	{"half the time", 0.5, scale},
	{"sometimes", 0.25, scale},
	{"seldom", 0.15, scale},
	{"hardly ever", 0.02, ours},
	{never, 0, scale},
}

const (
	certain = "certain"
	never   = "never"

	rarestLink = 1000   // largest N of "1 in N" on a link
	rarestBase = 100000 // largest N of "1 in N" in a prior
	sharpest   = 1000   // largest N of a history factor xN or x1/N
)

// Likelihoods returns the table of link words, likeliest first. Besides these a link may say "1 in N" with N from 2 to
// 1000, which is this project's own way of writing a rare thing.
func Likelihoods() []Likelihood { return append([]Likelihood(nil), likelihoods...) }

// ParseLikelihood returns the probability that a likelihood word stands for: one of [Likelihoods], or "1 in N" with N
// from 2 to 1000.
func ParseLikelihood(text string) (float64, error) {
	for i := range likelihoods {
		if likelihoods[i].Word == text {
			return likelihoods[i].Chance, nil
		}
	}
	if p, err := oneIn(text, rarestLink); err == nil {
		return p, nil
	} else if strings.HasPrefix(text, "1 in ") {
		return 0, err
	}
	return 0, fmt.Errorf("unknown likelihood %q", text)
}

// LikelihoodWord returns how p is written: the word of the table with exactly this number, or "1 in N". The result is
// empty when p is neither.
func LikelihoodWord(p float64) string {
	for _, l := range likelihoods {
		if l.Chance == p {
			return l.Word
		}
	}
	for n := 2; n <= rarestLink; n++ {
		if 1/float64(n) == p {
			return "1 in " + strconv.Itoa(n)
		}
	}
	return ""
}

// ParseBase returns the probability that the base of a prior stands for: "1 in N" with N from 2 to 100000.
func ParseBase(text string) (float64, error) { return oneIn(text, rarestBase) }

// oneIn wants the number in its plain form, without sign or leading noughts, so that a likelihood is written in one way only.
func oneIn(text string, most int) (float64, error) {
	digits, ok := strings.CutPrefix(text, "1 in ")
	n, err := strconv.Atoi(digits)
	if !ok || err != nil || strconv.Itoa(n) != digits {
		return 0, fmt.Errorf("%q is not of the form 1 in N", text)
	}
	if n < 2 || n > most {
		return 0, fmt.Errorf("%q: N must be from 2 to %d", text, most)
	}
	return 1 / float64(n), nil
}

// ParseFactor returns the number that a history factor stands for: "x6" multiplies the odds by 6, "x1/4" divides them by
// 4, "x1.5" is allowed. The number after x or x1/ must be above 1 and at most 1000.
func ParseFactor(text string) (float64, error) {
	digits, ok := strings.CutPrefix(text, "x")
	if !ok {
		return 0, fmt.Errorf("%q is not of the form x6 or x1/6", text)
	}
	digits, under := strings.CutPrefix(digits, "1/")
	if strings.Trim(digits, "0123456789.") != "" {
		return 0, fmt.Errorf("%q is not of the form x6 or x1/6", text)
	}
	f, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not of the form x6 or x1/6", text)
	}
	if f <= 1 || f > sharpest {
		return 0, fmt.Errorf("%q: the number must be above 1 and at most %d", text, sharpest)
	}
	if under {
		return 1 / f, nil
	}
	return f, nil
}

// With returns the prior when the given history words were told: their factors multiply the odds, and the result is
// capped at one half, since no history alone makes a cause likelier present than not. Words that the prior does not name
// change nothing; a word told twice counts once.
func (p Prior) With(history []string) float64 {
	odds := p.Base / (1 - p.Base)
	for _, o := range p.Odds {
		for _, h := range history {
			if h == o.History {
				odds *= o.Factor
				break
			}
		}
	}
	return min(odds/(1+odds), 0.5)
}
