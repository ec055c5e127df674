package simulate

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// answer is the answer to one question as it is written on a sheet.
type answer struct {
	ok       bool
	abnormal bool
	text     string
	// shown is the word behind it by its position in masking order: the bit of a yes-no, the first of several words, the true
	// band of a number.
	shown int
}

// Answer returns the answer to an observation at a place, as it is written on a sheet: yes or no; a word, or several with commas
// between; a reading with unit; or a band's word where there is nothing to compare a reading with, and where it would be
// compared with the other places. Ok is false when the machine has no such place, and when no rule's circumstance
// holds, so that there is nothing to see. The same question has the same answer until a repair changes it.
//
// The place is a carburetor's or cylinder's name, of the observation's own level; empty for the machine, or where there is only one.
func (b *Bike) Answer(observation, place string) (text string, ok bool) {
	i, ok := b.question(observation, place)
	if !ok {
		return "", false
	}
	a := b.answered()[i]
	return a.text, a.ok
}

// Abnormal reports whether the answer to an observation at a place shows something wrong.
func (b *Bike) Abnormal(observation, place string) bool {
	i, ok := b.question(observation, place)
	return ok && b.answered()[i].abnormal
}

func (b *Bike) question(observation, place string) (int, bool) {
	o, ok := b.model.set.Vocabulary.Lookup(observation)
	if !ok {
		return 0, false
	}
	p, ok := b.model.placeNamed(o.About, place)
	if !ok {
		return 0, false
	}
	i, ok := b.model.index[key{o.ID, p}]
	return i, ok
}

// answered works all answers out. A circumstance may be an answer itself, so what waits for one is looked at again as long as
// something new comes out.
func (b *Bike) answered() []answer {
	if b.answers != nil {
		return b.answers
	}
	m := b.model
	b.answers = make([]answer, len(m.questions))
	cases := make([]*condition.Case, len(m.places))
	for p := range cases {
		cases[p] = m.set.Env.NewCase()
		b.enterFacts(cases[p])
	}
	for again := true; again; {
		again = false
		for i := range m.questions {
			if b.answers[i].ok {
				continue
			}
			if applying, decided := b.applying(i, cases); decided {
				b.answers[i] = b.look(i, applying)
				if again = again || b.answers[i].ok; b.answers[i].ok {
					b.enter(i, cases)
				}
			}
		}
	}
	return b.answers
}

func (b *Bike) enterFacts(c *condition.Case) {
	for _, o := range b.model.set.Vocabulary.All() {
		if v, ok := b.model.facts[o.ID]; ok {
			b.model.set.Known(c, o, v, 0)
		}
	}
}

// enter makes an answer known to the conditions of its place and of all that hang on it.
func (b *Bike) enter(i int, cases []*condition.Case) {
	m := b.model
	q := &m.questions[i]
	if !m.circumstances[q.observation.ID] {
		return
	}
	v, err := symptoms.ParseValue(q.observation, b.answers[i].text)
	if err != nil {
		return
	}
	around, ok := m.around(q.observation)
	if !ok {
		around = math.NaN()
	}
	for p := range cases {
		if m.holds(q.place, p) {
			m.set.Known(cases[p], q.observation, v, around)
		}
	}
}

// applying lists the findings of a question whose circumstance holds; decided is false while that of one is open.
func (b *Bike) applying(i int, cases []*condition.Case) (findings []int, decided bool) {
	decided = true
	for _, f := range b.model.questions[i].findings {
		n := &b.model.nodes[f]
		applies := n.applies
		if applies == condition.Unknown {
			applies = n.rule.Given.Eval(cases[n.place])
		}
		switch applies {
		case condition.True:
			findings = append(findings, f)
		case condition.Unknown:
			decided = false
		}
	}
	return findings, decided
}

// look answers a question from the findings that apply.
func (b *Bike) look(i int, findings []int) answer {
	q := &b.model.questions[i]
	o := q.observation
	chance := source(b.Seed, "answer "+o.ID+" "+strconv.Itoa(q.place))
	switch {
	case len(findings) == 0:
		return b.unread(q, chance)
	case o.Kind == symptoms.YesNo:
		mask := b.model.nodes[findings[0]].rule.Finding.Words
		yes := (mask&2 != 0) == b.present[findings[0]]
		return answer{ok: true, text: yesNo(yes), abnormal: b.present[findings[0]], shown: bit(yes)}
	case o.Several:
		return b.several(o, findings, chance)
	}
	word, abnormal := b.word(o, findings, chance)
	a := answer{ok: true, text: o.Words[word].Word, abnormal: abnormal, shown: word}
	if o.Kind == symptoms.Number {
		if text, ok := b.model.reading(o, o.Words[word].Word, chance); ok {
			a.text = text
		}
	}
	return a
}

// unread answers what no rule reads as evidence: the normal answer if there is one, otherwise any. An observation that rules
// do read, but whose circumstance does not hold, has no answer.
func (b *Bike) unread(q *question, chance *rand.Rand) answer {
	o := q.observation
	none := len(q.findings) > 0 || len(b.model.set.Evidence(o.ID)) > 0
	switch {
	case none || o.Kind == symptoms.Number && len(o.Words) == 0:
		return answer{}
	case o.Normal != "":
		return answer{ok: true, text: o.Normal, shown: max(0, len(o.Words)-1)}
	case o.Kind == symptoms.YesNo:
		yes := chance.IntN(2) == 1
		return answer{ok: true, text: yesNo(yes), shown: bit(yes)}
	}
	w := chance.IntN(len(o.Words))
	return answer{ok: true, text: o.Words[w].Word, shown: w}
}

func yesNo(yes bool) string { return map[bool]string{true: "yes", false: "no"}[yes] }

func bit(yes bool) int { return map[bool]int{true: 1}[yes] }

// word returns the word that is seen: the first finding present in masking order hides those after it. Of several words that
// share a finding any may be seen, as far as it does not come after a word that the next finding could have shown; otherwise
// it would tell something of that one.
func (b *Bike) word(o *symptoms.Observation, findings []int, chance *rand.Rand) (word int, abnormal bool) {
	for k, f := range findings {
		if !b.present[f] {
			continue
		}
		end := 64
		if k+1 < len(findings) && o.Kind == symptoms.Choice {
			end = firstWord(b.model.nodes[findings[k+1]].rule)
		}
		return anyWord(b.model.nodes[f].rule, end, chance), true
	}
	if o.Normal != "" {
		return slices.IndexFunc(o.Words, func(w symptoms.Word) bool { return w.Word == o.Normal }), false
	}
	return len(o.Words) - 1, false
}

// anyWord picks one of a finding's words before the given position.
func anyWord(r *rules.Rule, end int, chance *rand.Rand) int {
	mask := r.Finding.Words
	if end < 64 {
		mask &= 1<<end - 1
	}
	for skip := chance.IntN(bits.OnesCount64(mask)); skip > 0; skip-- {
		mask &= mask - 1
	}
	return bits.TrailingZeros64(mask)
}

func (b *Bike) several(o *symptoms.Observation, findings []int, chance *rand.Rand) answer {
	a := answer{ok: true, shown: len(o.Words) - 1}
	var words []string
	for _, f := range findings {
		if b.present[f] {
			w := anyWord(b.model.nodes[f].rule, 64, chance)
			if len(words) == 0 {
				a.shown = w
			}
			words = append(words, o.Words[w].Word)
		}
	}
	a.abnormal = len(words) > 0
	if !a.abnormal {
		words = []string{o.Words[a.shown].Word}
	}
	a.text = strings.Join(words, ", ")
	return a
}

// around returns what the bands of an observation are relative to, in SI units; false when the machine's facts do not tell, or
// it is compared with the other places.
func (m *Model) around(o *symptoms.Observation) (float64, bool) {
	switch o.Around {
	case "":
		return 0, true
	case "others":
		return 0, false
	}
	v, ok := m.facts[o.Around]
	if middle := (v.Lo + v.Hi) / 2; ok && !math.IsInf(middle, 0) && !math.IsNaN(middle) {
		return middle, true
	}
	return 0, false
}

// reading returns a reading whose true value lies anywhere in a band, with a normal error of the vocabulary's standard uncertainty;
// a share of the readings is a blunder and lies anywhere in the plausible range. Readings outside the range are taken again.
// It is false when there is no such reading.
func (m *Model) reading(o *symptoms.Observation, word string, chance *rand.Rand) (string, bool) {
	around, ok := m.around(o)
	b := slices.IndexFunc(o.Bands, func(b symptoms.Band) bool { return b.Word == word })
	if !ok || b < 0 {
		return "", false
	}
	unit, _ := symptoms.LookupUnit(o.Unit)
	lo, hi := unit.SI(o.Range[0]), unit.SI(o.Range[1])
	from, to := max(lo, around+o.Bands[b].Lo), min(hi, around+o.Bands[b].Hi)
	if from >= to {
		return "", false
	}
	u := unit.SIDifference(o.Uncertainty)
	blunder := chance.Float64() < o.Blunder
	value := math.NaN()
	for !(value >= lo && value <= hi) {
		if value = from + (to-from)*chance.Float64() + u*chance.NormFloat64(); blunder {
			value = lo + (hi-lo)*chance.Float64()
		}
	}
	return written(o, unit.FromSI(value)), true
}

// written writes a number with one digit more than its uncertainty has, and no further out than the range.
func written(o *symptoms.Observation, value float64) string {
	digits := max(0, int(math.Ceil(1-math.Log10(max(o.Uncertainty, 1e-9)))))
	text := strconv.FormatFloat(min(max(value, o.Range[0]), o.Range[1]), 'f', digits, 64)
	return strings.TrimSpace(text + " " + o.Unit)
}
