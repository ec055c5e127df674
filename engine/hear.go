package engine

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"strings"

	"diagnose.example/engine/belief"
	"diagnose.example/symptoms"
)

// heard is what one reading says of the findings that read it.
type heard struct {
	findings []*findingAt
	states   []State
	// why tells in a few words why the reading is not used; empty when it is.
	why string
}

// hear enters a value of an observation at a place as evidence about the findings that read it there. A value that decides
// a word enters each finding as seen, not seen or, when the word hides it, not at all; a number near a limit enters the
// whole group with a weight for each band.
func (n *network) hear(ev *belief.Evidence, at observedAt, v symptoms.Value) heard {
	o := at.observation
	h := heard{findings: n.findings[at]}
	h.states = make([]State, len(h.findings))
	if len(h.findings) == 0 {
		h.why = n.whyUnread(at)
		return h
	}
	if o.Kind == symptoms.Number && len(v.Words) == 0 {
		around, ok := n.around(o, at.place)
		if !ok {
			h.why = whyNoMiddle(o)
			return h
		}
		if weights := wordWeights(o, v, around); decided(weights) < 0 {
			n.hearWeights(ev, &h, weights)
			return h
		}
	}
	for i, f := range h.findings {
		h.states[i] = n.stateOf(f, o, v, at.place)
		switch h.states[i] {
		case Seen:
			ev.Seen(f.node)
		case NotSeen:
			ev.NotSeen(f.node)
		}
	}
	return h
}

// stateOf says whether a finding is seen when an observation has a value that decides a word.
func (n *network) stateOf(f *findingAt, o *symptoms.Observation, v symptoms.Value, place int) State {
	mask := f.rule.Finding.Words
	if o.Kind == symptoms.YesNo {
		return seenIf(mask>>yesBit(v.Yes)&1 == 1)
	}
	if o.Several {
		for _, w := range v.Words {
			if mask>>wordIndex(o, w)&1 == 1 {
				return Seen
			}
		}
		return NotSeen
	}
	word := n.wordOf(o, v, place)
	switch {
	case word < 0: // a reading near a limit decides nothing by itself
		return Doubtful
	case mask>>word&1 == 1:
		return Seen
	case word > firstWord(mask):
		return NotSeen
	}
	return NotAsked // a word before it in the masking order hides it
}

func (n *network) wordOf(o *symptoms.Observation, v symptoms.Value, place int) int {
	if o.Kind == symptoms.Choice || len(v.Words) > 0 {
		return wordIndex(o, v.Words[0])
	}
	around, _ := n.around(o, place)
	return decided(wordWeights(o, v, around))
}

func yesBit(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func seenIf(is bool) State {
	if is {
		return Seen
	}
	return NotSeen
}

// firstWord is the position of a finding's first word in the masking order.
func firstWord(mask uint64) int { return bits.TrailingZeros64(mask) }

// wordWeights returns P(reading | true value in the band of each word), in masking order.
//
// The uncertainty of the middle adds to that of a single reading as the root of the sum of squares (JCGM 100, 5.1.2).
func wordWeights(o *symptoms.Observation, v symptoms.Value, around middle) []float64 {
	if v.Lo == v.Hi {
		v.U = math.Hypot(v.U, around.uncertainty)
	}
	byBand := o.BandWeights(v, around.at)
	out := make([]float64, len(o.Words))
	for b, w := range byBand {
		out[wordIndex(o, o.Bands[b].Word)] = w
	}
	return out
}

// decided returns the only word with a weight, or -1 when several have one.
func decided(weights []float64) int {
	only := -1
	for i, w := range weights {
		if w > 0 {
			if only >= 0 {
				return -1
			}
			only = i
		}
	}
	return only
}

// hearWeights enters a doubtful reading: the joint weight of a pattern of findings is the weight of the word it shows, the
// first true one in masking order, or the normal word when none is true. Words that share a finding count alike.
func (n *network) hearWeights(ev *belief.Evidence, h *heard, weights []float64) {
	order := make([]int, len(h.findings))
	for i, f := range h.findings {
		order[i] = i
		h.states[i] = stateOver(weights, f.rule.Finding.Words)
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Compare(firstWord(h.findings[a].rule.Finding.Words), firstWord(h.findings[b].rule.Finding.Words))
	})
	nodes := make([]belief.Node, len(order))
	joint := make([]float64, 1<<len(order))
	joint[0] = weights[len(weights)-1]
	for k, i := range order {
		nodes[k] = h.findings[i].node
		shown := meanOver(weights, h.findings[i].rule.Finding.Words)
		for pattern := range joint {
			if bits.TrailingZeros(uint(pattern)) == k {
				joint[pattern] = shown
			}
		}
	}
	ev.Joint(nodes, joint)
}

// outOfQuestion is the share of the largest weight below which a band is called not seen rather than doubtful, and its only
// rival seen; the weights themselves are used either way.
const outOfQuestion = 0.05

// stateOver says in a word what the weights of the words mean for a finding that is about some of them.
func stateOver(weights []float64, mask uint64) State {
	limit, rival := outOfQuestion*slices.Max(weights), false
	for i, w := range weights {
		rival = rival || mask>>i&1 == 0 && w > limit
	}
	switch {
	case meanOver(weights, mask) <= limit:
		return NotSeen
	case rival:
		return Doubtful
	}
	return Seen
}

func meanOver(weights []float64, mask uint64) float64 {
	sum, count := 0.0, 0
	for i, w := range weights {
		if mask>>i&1 == 1 {
			sum += w
			count++
		}
	}
	return sum / float64(max(count, 1))
}

// answers are the values given at single places.
type answers map[observedAt]symptoms.Value

// hearSomewhere enters a value that holds at one place at least, not known which: one pooled finding over the places where
// nobody looked. A place that was looked at either shows it, and then nothing is new, or is out of it.
func (n *network) hearSomewhere(ev *belief.Evidence, o *symptoms.Observation, v symptoms.Value, told answers) heard {
	word := n.somewhereWord(o, v, n.at[o.About][0])
	if word < 0 {
		return heard{why: "it does not say that anything is found anywhere: it is the normal answer, or too near a limit"}
	}
	var h heard
	var pool []belief.Node
	for _, p := range n.at[o.About] {
		at := observedAt{o, p}
		value, looked := told[at]
		for _, f := range n.findings[at] {
			if f.rule.Finding.Words>>word&1 == 0 {
				continue
			}
			if looked && n.stateOf(f, o, value, p) == Seen {
				return heard{why: "a single place already shows it"}
			}
			if !looked {
				pool = append(pool, f.node)
				h.findings = append(h.findings, f)
				h.states = append(h.states, Seen)
			}
		}
	}
	if len(pool) == 0 {
		h.why = n.whyUnread(observedAt{o, n.at[o.About][0]})
		return h
	}
	ev.Seen(n.net.Pool(pool))
	return h
}

// somewhereWord returns the abnormal word that a value decides, or -1.
func (n *network) somewhereWord(o *symptoms.Observation, v symptoms.Value, place int) int {
	if o.Kind == symptoms.YesNo {
		if (o.Normal == "yes") == v.Yes {
			return -1
		}
		return yesBit(v.Yes)
	}
	if o.Kind == symptoms.Number && len(v.Words) == 0 {
		around, ok := n.around(o, place)
		if !ok {
			return -1
		}
		w, ok := bandWord(o, v, around.at)
		if !ok || o.Words[w].Word == o.Normal {
			return -1
		}
		return w
	}
	if v.Words[0] == o.Normal {
		return -1
	}
	return wordIndex(o, v.Words[0])
}

// whyUnread says why no finding reads an observation at a place.
func (n *network) whyUnread(at observedAt) string {
	for _, f := range n.waiting {
		if f.place == at.place && n.know.reads[f.rule] == at.observation {
			return "its circumstance is not known: " + f.rule.Given.String()
		}
	}
	if why := n.whyInput(at); why != "" {
		return why
	}
	for r, o := range n.know.reads {
		if o == at.observation && r.Given != nil {
			return whyNotHere
		}
	}
	return "no rule reads it as evidence; it serves as a circumstance, or is kept for the file"
}

// whyInput says of a reading from which another is computed where it counts, or what is missing for that.
func (n *network) whyInput(at observedAt) string {
	for _, o := range n.know.set.Vocabulary.All() {
		if !slices.Contains(n.know.set.Inputs(o), at.observation.ID) {
			continue
		}
		if missing := n.missing(o, at.place); len(missing) > 0 {
			return "it counts through " + o.ID + ", for which is missing: " + strings.Join(missing, ", ")
		}
		return "it counts through " + o.ID
	}
	return ""
}

func whyNoMiddle(o *symptoms.Observation) string {
	switch {
	case o.Around == "others":
		return "it is compared with the other places, and none of them was measured"
	case o.Around == "":
		return "it is compared with " + strings.Join(o.Expected, " or ") + ", which the sheet does not say enough for"
	}
	return comparedWith + o.Around + notOnSheet
}

// comparedWith and notOnSheet stand around what a reading lacks to be compared with.
const comparedWith, notOnSheet = "it is compared with ", ", which is not on the sheet"

// whyNotHere is said of a reading whose rules are known not to apply; that is no gap in the sheet.
const whyNotHere = "its circumstance does not hold here"
