package symptoms

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

const (
	defaultBlunder = 1.0 / 50 // one reading in fifty: our estimate
	maxWords       = 62       // a case of the condition language holds them in one machine word
	others         = "others"
)

// defaults sets what may be left out.
func (e *entry) defaults() {
	if !e.has("blunder") && e.o.Kind == Number {
		e.o.Blunder = defaultBlunder
	}
	if !e.has("where") {
		e.missing("where", "write where: "+listed(whereNames, "or"))
	}
	observed := e.o.Where == Observed
	if !e.has("kind") && e.o.Where != History {
		e.missing("kind", "write kind: "+listed(kindNames, "or"))
	}
	if !e.has("about") && observed {
		e.missing("about", "write about: "+listed(levelNames, "or"))
	}
	if !e.has("who") && observed {
		e.missing("who", "write who: "+listed(whoNames, "or"))
	}
	if e.o.Question == "" {
		e.missing("question", "write question: \"…?\"")
	}
}

func (e *entry) has(field string) bool { return e.field[field] != nil }

func (e *entry) missing(field, hint string) {
	e.wrong(e.node, hint, "%s: the field %s is missing", e.title(), field)
}

// title names the entry in messages.
func (e *entry) title() string {
	if e.o.ID == "" {
		return "entry without id"
	}
	return e.o.ID
}

// where returns the node of a field, for its position, or that of the entry.
func (e *entry) where(field string) *yaml.Node {
	if n := e.field[field]; n != nil {
		return n
	}
	return e.node
}

// checkVocabulary checks each entry by itself and all together.
func checkVocabulary(entries []*entry) {
	byID := map[string]*entry{}
	for _, e := range entries {
		if e.bad {
			continue
		}
		e.checkID(byID)
		e.checkShape()
	}
	for _, e := range entries {
		if !e.bad && e.has("bands") {
			e.checkAround(byID)
			e.cutBands()
		}
	}
}

// Patterns of ids: words of letters and figures, joined by _ where they stand in
// expressions and by - where they do not.
var (
	observedID = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	factID     = regexp.MustCompile(`^(spec\.)?[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	wordID     = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
)

// reservedIDs have a meaning of their own on the sheet or in the condition language.
var reservedIDs = []string{
	"name", "feeds", "spec", "band", "notes", "every", "some", "not", "and", "or", "in", "true", "false", "nil", "let",
	"if", "else", "unknown",
}

func (e *entry) checkID(byID map[string]*entry) {
	id, n := e.o.ID, e.where("id")
	pattern, hint := observedID, "write words of small letters and figures, joined by _"
	switch e.o.Where {
	case Fact:
		pattern = factID
	case History:
		pattern, hint = wordID, "write words of small letters and figures, joined by -"
	}
	switch first := byID[id]; {
	case id == "":
		e.missing("id", "write id: …")
		return
	case first != nil:
		e.wrong(n, "choose another id, or drop one of the two", "%q is defined twice; first at %v", id, first.position(first.where("id")))
		return
	case !pattern.MatchString(id):
		e.wrong(n, hint, "%q is not an id of the %s part", short(id), e.o.Where)
	case slices.Contains(reservedIDs, id) || isUnitFunc(id):
		e.wrong(n, "choose another id", "%q has a meaning of its own", id)
	case e.o.Where == History && ambiguous(id):
		e.wrong(n, "choose another id", "YAML or the sheet reads %q as something else", id)
	}
	byID[id] = e
}

func isUnitFunc(id string) bool {
	return slices.ContainsFunc(unitTable(), func(u Unit) bool { return u.Func == id })
}

// checkWord checks a word of a choice or band.
func (e *entry) checkWord(n *yaml.Node) {
	switch {
	case !wordID.MatchString(n.Value):
		e.wrong(n, "write small letters and figures, joined by -, a letter first", "%q is not a word for an answer", short(n.Value))
	case ambiguous(n.Value):
		e.wrong(n, "choose another word", "YAML or the sheet reads %q as something else", n.Value)
	}
}

// ambiguous reports words that mean something to YAML 1.1 or 1.2 or to the sheet. Numbers
// need no test: words begin with a letter and hold no point.
func ambiguous(word string) bool {
	if _, ok := readBool(word); ok {
		return true
	}
	return word == "null" || word == "unknown"
}

// checkShape checks that the fields given fit the kind.
func (e *entry) checkShape() {
	o := e.o
	e.onlyFor(o.Kind == Choice, "a choice", "words", "several")
	e.onlyFor(o.Kind == Number, "a number", "unit", "range", "uncertainty", "blunder", "around", "computed", "tells", "bands")
	e.onlyFor(o.Kind != Number || e.has("bands"), "a number with bands", "normal", "around")
	if o.Where == History && (o.Kind != YesNo || o.About != WholeMachine) {
		e.wrong(e.node, "leave out kind and about", "%s: a history word is a yes-no about the machine", e.title())
	}
	if strings.HasPrefix(o.ID, "spec.") && o.Kind != Number {
		e.wrong(e.where("kind"), "write kind: number", "%s: a spec value is a number", o.ID)
	}
	if o.Question != "" && o.Kind != Number && !strings.HasSuffix(o.Question, "?") {
		e.wrong(e.where("question"), "end it with a question mark", "%s: the question has no question mark", e.title())
	}
	if o.Minutes < 0 {
		e.wrong(e.where("minutes"), "write 0 or more", "%s: minutes below 0", e.title())
	}
	switch o.Kind {
	case YesNo:
		if o.Normal != "" && o.Normal != "yes" && o.Normal != "no" {
			e.wrong(e.where("normal"), "write normal: no or normal: yes", "%s: the normal answer must be yes or no, not %q", e.title(), short(o.Normal))
		}
	case Choice:
		e.checkWords()
	case Number:
		e.checkNumber()
	}
}

// onlyFor reports fields that are given where they mean nothing.
func (e *entry) onlyFor(fits bool, what string, fields ...string) {
	for _, f := range fields {
		if !fits && e.has(f) {
			e.wrong(e.field[f], "leave it out", "%s: %s belongs to %s", e.title(), f, what)
		}
	}
}

func (e *entry) checkWords() {
	o := e.o
	if len(o.Words) < 2 || len(o.Words) > maxWords {
		e.wrong(e.where("words"), `write words: and below it - {word: …, means: "…"}`,
			"%s: a choice has 2 to %d words, not %d", e.title(), maxWords, len(o.Words))
		return
	}
	e.distinct("words", wordList(o))
	if last := o.Words[len(o.Words)-1].Word; o.Normal != "" && o.Normal != last {
		e.wrong(e.where("normal"), "put the normal word last, below those that hide it", "%s: the normal word %q is not the last one, %q", e.title(), short(o.Normal), last)
	}
}

func (e *entry) distinct(field string, words []string) {
	for i, w := range words {
		if slices.Contains(words[:i], w) {
			e.wrong(e.where(field), "each word once", "%s: %q is given twice", e.title(), w)
		}
	}
}

func (e *entry) checkNumber() {
	o := e.o
	if !e.has("range") {
		e.missing("range", "write range: [lowest, highest], the plausible limits")
	}
	if o.Uncertainty < 0 {
		e.wrong(e.where("uncertainty"), "write a number above 0", "%s: the uncertainty is below 0", e.title())
	}
	if o.Blunder < 0 || o.Blunder > 0.5 {
		e.wrong(e.where("blunder"), "write 1 in 50 or the like", "%s: the blunder share must be between 0 and 0.5", e.title())
	}
	if e.has("computed") && (o.Where != Observed || !e.has("bands")) {
		e.wrong(e.field["computed"], "leave it out", "%s: computed belongs to an observation with bands", e.title())
	}
	if !e.has("bands") {
		return
	}
	if o.Uncertainty == 0 {
		e.missing("uncertainty", "write the standard uncertainty of one reading, in the unit")
	}
	if len(o.Bands) < 2 || len(o.Bands) > maxWords {
		e.wrong(e.where("bands"), "write bands: and below it - {word: …, below: …}", "%s: there must be 2 to %d bands", e.title(), maxWords)
	}
	if o.Normal == "" {
		e.missing("normal", "write normal: and the word of the normal band")
	}
}

// checkAround checks what the bands are relative to.
func (e *entry) checkAround(byID map[string]*entry) {
	o := e.o
	switch o.Around {
	case "":
		return
	case others:
		if o.About == WholeMachine {
			e.wrong(e.where("around"), "leave it out, or name a spec value", "%s: the machine has no others to compare with", e.title())
		}
		return
	}
	spec := byID[o.Around]
	if spec == nil || !strings.HasPrefix(o.Around, "spec.") {
		hint := "write others, or a spec value of the vocabulary"
		if near := Nearest(o.Around, specIDs(byID)); near != "" {
			hint = fmt.Sprintf("did you mean %s?", near)
		}
		e.wrong(e.where("around"), hint, "%s: unknown spec value %q", e.title(), short(o.Around))
		return
	}
	own, _ := LookupUnit(o.Unit)
	if its, _ := LookupUnit(spec.o.Unit); its.Dim != own.Dim {
		e.wrong(e.where("around"), "both must measure the same", "%s is %s, %s %s", e.title(), dimName(own.Dim), o.Around, dimName(its.Dim))
	}
}

func specIDs(byID map[string]*entry) []string {
	var ids []string
	for id := range byID {
		if strings.HasPrefix(id, "spec.") {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

// cutBands works out the limits of the bands and the order of their words.
func (e *entry) cutBands() {
	o := e.o
	low := math.Inf(-1)
	for i := range o.Bands {
		high := math.Inf(1)
		switch n := e.limit[i]; {
		case n == nil && i < len(o.Bands)-1:
			e.wrong(e.where("bands"), "write below: and the upper limit", "%s: only the last band has no below", e.title())
			return
		case n != nil && i == len(o.Bands)-1:
			e.wrong(n, "leave it out: the last band is open", "%s: the last band has no below", e.title())
		case n != nil:
			v, ok := e.bandLimit(n)
			if !ok {
				return
			}
			if v <= low {
				e.wrong(n, "write the bands from the lowest to the highest", "%s: the limit is not above the one before", e.title())
			}
			high = v
		}
		o.Bands[i].Lo, o.Bands[i].Hi, low = low, high, high
	}
	e.orderWords()
}

// bandLimit reads a limit: with Around a difference, otherwise a value.
func (e *entry) bandLimit(n *yaml.Node) (float64, bool) {
	w, err := readNumber(n.Value, decimalComma)
	if n.Kind != yaml.ScalarNode || err != nil || w.form != point {
		e.wrong(n, "write below: -3 mm", "%s: expected a limit, not %s", e.title(), form(n))
		return 0, false
	}
	u, err := unitFor(e.o, w.a.unit)
	if err != nil {
		e.wrong(n, "write it in the unit of the entry or another of its kind", "%v", err)
		return 0, false
	}
	if e.o.Relative() {
		return u.SIDifference(w.a.number), true
	}
	return u.SI(w.a.number), true
}

// orderWords lists the words of the bands, the outermost first, the low side first at equal
// rank, the normal one last.
func (e *entry) orderWords() {
	o := e.o
	normal := slices.IndexFunc(o.Bands, func(b Band) bool { return b.Word == o.Normal })
	if normal < 0 {
		if o.Normal != "" {
			e.wrong(e.where("normal"), "write the word of one band", "%s: no band is called %q", e.title(), short(o.Normal))
		}
		return
	}
	o.Words = bandWords(o, normal)
	e.distinct("bands", wordList(o))
}

func bandWords(o *Observation, normal int) []Word {
	words := make([]Word, 0, len(o.Bands))
	for rank := len(o.Bands) - 1; rank >= 0; rank-- {
		for _, i := range []int{normal - rank, normal + rank} {
			if i >= 0 && i < len(o.Bands) && (rank > 0 || len(words) < len(o.Bands)) {
				words = append(words, Word{o.Bands[i].Word, o.Bands[i].Means})
			}
		}
	}
	return words
}
