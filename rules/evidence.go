package rules

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Evidence returns the ids of the observations that the rule's finding reads, sorted. What a computed number is worked out from is
// among them.
func (r *Rule) Evidence() []string { return slices.Clone(r.evidence) }

// Evidence returns the rules that read an observation as evidence. Rules about single words of it come in masking order:
// a word hides those after it.
func (s *Set) Evidence(observation string) []*Rule {
	var rs []*Rule
	for _, r := range s.Rules {
		if slices.Contains(r.evidence, observation) {
			rs = append(rs, r)
		}
	}
	slices.SortStableFunc(rs, func(a, b *Rule) int {
		return bits.TrailingZeros64(a.Finding.Words) - bits.TrailingZeros64(b.Finding.Words)
	})
	return rs
}

// settle works out what the finding is about, once When is compiled.
func (r *Rule) settle(s *Set) {
	if r.When == nil {
		return
	}
	r.Finding, r.Simple = r.When.Finding()
	for _, i := range r.When.Reads() {
		for _, id := range append([]string{s.symbols[i].Observation.ID}, s.numbers[s.symbols[i].Observation.ID].inputs...) {
			if o, _ := s.Vocabulary.Lookup(id); o.Where == symptoms.Observed && !slices.Contains(r.evidence, id) {
				r.evidence = append(r.evidence, id)
			}
		}
	}
	slices.Sort(r.evidence)
}

// finding checks what a rule takes as evidence: something observed, nothing that is its own circumstance, and of one
// choice only abnormal words that stand side by side.
func (r *mapping) finding(u *Rule) {
	n := r.get("when")
	if u.When == nil {
		return
	}
	if len(u.evidence) == 0 {
		r.fail(n, "name what is seen; facts about the machine belong under given", "the finding reads no observation")
		return
	}
	if u.Given != nil {
		for _, i := range u.Given.Reads() {
			if o := r.set.symbols[i].Observation; slices.Contains(u.evidence, o.ID) {
				r.fail(r.get("given"), "leave it out of one of them", "%q is both the finding and its own circumstance", o.ID)
			}
		}
	}
	if u.Simple {
		r.abnormal(n, u)
		return
	}
	if reads := u.When.Reads(); len(reads) == 1 {
		if y := r.set.symbols[reads[0]]; (y.Band || y.Observation.Kind != symptoms.Number) && !y.Observation.Several {
			r.fail(n, "name the abnormal answer", "the finding is the same whatever %q is", y.Observation.ID)
		}
	}
}

// abnormal checks the words of a finding about one observation. The last word of a choice, the normal one, is what is
// left when none of the findings is so; hence it is no finding itself.
func (r *mapping) abnormal(n *yaml.Node, u *Rule) {
	o, found := r.set.symbols[u.Finding.Symbol].Observation, u.Finding.Words
	if o.Kind == symptoms.YesNo {
		if o.Normal != "" && (found == 2) == (o.Normal == "yes") {
			r.fail(n, "write the abnormal answer as the finding", "%q is normal for %q, so it is no finding", o.Normal, o.ID)
		}
		return
	}
	last := uint64(1) << (len(o.Words) - 1)
	switch {
	case found&last != 0:
		r.fail(n, "name the abnormal words", "%q is the normal answer to %q, so it is no finding", o.Words[len(o.Words)-1].Word, o.ID)
	case !o.Several && !contiguous(found):
		r.fail(n, "make a rule for each, or take the words between them in", "the words of one finding must stand side by side in the order of %q: %s",
			o.ID, strings.Join(words(o), ", "))
	}
}

// contiguous reports whether the bits set stand side by side.
func contiguous(m uint64) bool {
	m >>= bits.TrailingZeros64(m)
	return m&(m+1) == 0
}

// readTwice notes findings that count an observation a second time: two rules may read the same observation as
// evidence only when they are about different words of it, or when their circumstances exclude each other.
func (l *loader) readTwice() {
	for i, b := range l.findings {
		if b.record == nil {
			continue
		}
		for _, a := range l.findings[:i] {
			if o, twice := l.set.shares(a.rule, b.rule); twice && !excludes(l.set, a.rule.Given, b.rule.Given) {
				n := b.record.get("when")
				b.record.fail(n, "make one rule of them, or let their given exclude each other",
					"%q is evidence already in %s, at %s", o, a.rule.ID, a.rule.Pos)
			}
		}
	}
}

// shares returns an observation, or word of it, that both rules read as evidence.
func (s *Set) shares(a, b *Rule) (string, bool) {
	for _, o := range a.evidence {
		if !slices.Contains(b.evidence, o) {
			continue
		}
		sameSymbol := a.Simple && b.Simple && a.Finding.Symbol == b.Finding.Symbol
		if both := a.Finding.Words & b.Finding.Words; !sameSymbol {
			return o, true
		} else if both != 0 {
			if obs := s.symbols[a.Finding.Symbol].Observation; obs.Kind == symptoms.Choice || len(obs.Bands) > 0 {
				return fmt.Sprintf("%s == %s", o, obs.Words[bits.TrailingZeros64(both)].Word), true
			}
			return o, true
		} else if s.symbols[a.Finding.Symbol].Observation.Kind == symptoms.YesNo {
			return o, true
		}
	}
	return "", false
}

// mostCombinations bounds the work of [excludes].
const mostCombinations = 1 << 14

// excludes reports whether two circumstances can never hold together. The test is sufficient, not necessary: every
// combination of values of the symbols that both read (yes-no, words, and small whole numbers such as strokes) is tried with
// everything else unknown, and in each at least one of the two must be false. False in Kleene's logic stays false however
// the unknown turns out, so no machine can meet both. Other numbers are left unknown, and a nil condition excludes nothing.
func excludes(s *Set, a, b *condition.Condition) bool {
	if a == nil || b == nil {
		return false
	}
	var shared []int
	total := 1
	for _, i := range a.Reads() {
		if n := s.values(i); n > 0 && slices.Contains(b.Reads(), i) {
			shared = append(shared, i)
			if total *= n; total > mostCombinations {
				return false
			}
		}
	}
	c := s.Env.NewCase()
	for k := range total {
		rest := k
		for _, i := range shared {
			n := s.values(i)
			s.assign(c, i, rest%n)
			rest /= n
		}
		if a.Eval(c) != condition.False && b.Eval(c) != condition.False {
			return false
		}
	}
	return true
}

// values returns how many values of a symbol [excludes] has to try; 0 when they are too many.
func (s *Set) values(i int) int {
	y := s.symbols[i]
	o := y.Observation
	switch {
	case o.Kind == symptoms.YesNo:
		return 2
	case o.Kind == symptoms.Choice && o.Several:
		if len(o.Words) <= 10 {
			return 1 << len(o.Words)
		}
	case o.Kind == symptoms.Choice || y.Band:
		return len(o.Words)
	case o.Where == symptoms.Fact && o.Unit == "" && o.Range[1]-o.Range[0] <= 16:
		return int(o.Range[1]) - int(o.Range[0]) + 1
	}
	return 0
}

// assign gives symbol i the k-th of its values.
func (s *Set) assign(c *condition.Case, i, k int) {
	y := s.symbols[i]
	switch o := y.Observation; {
	case o.Kind == symptoms.YesNo:
		c.SetYesNo(i, k == 1)
	case o.Kind == symptoms.Choice && o.Several:
		c.SetWords(i, uint64(k))
	case o.Kind == symptoms.Choice || y.Band:
		c.SetWord(i, k)
	default:
		n := o.Range[0] + float64(k)
		c.SetNumber(i, n, n)
	}
}
