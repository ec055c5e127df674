package report

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// view is a diagnosis as it is being told: with the knowledge it came from, the style, and the sources cited so far.
type view struct {
	d     *engine.Diagnosis
	k     *rules.Set
	style Style
	cites *citations
}

func newView(d *engine.Diagnosis, k *rules.Set, s Style) *view {
	return &view{d: d, k: k, style: s.filled(), cites: &citations{k: k}}
}

// where names a place: "left", "carburetor 2", and nothing for the whole machine.
func where(p engine.Place) string { return placeName(p.Level, p.Name) }

// placeName sets the level before a name that is only a number.
func placeName(l symptoms.Level, name string) string {
	name = oneLine(name)
	if name != "" && strings.Trim(name, "0123456789") == "" {
		return l.String() + nbsp + name
	}
	return name
}

// at is where as the end of a phrase: " at left", or nothing.
func at(p engine.Place) string {
	if p.Name == "" {
		return ""
	}
	return " at " + where(p)
}

// single says that the machine has one place only on this level, so that naming it tells nothing.
func (v *view) single(l symptoms.Level) bool {
	return len(v.d.Sheet.Machine.Places(l)) < 2
}

// spot is at, and nothing where there is only one place.
func (v *view) spot(p engine.Place) string {
	if v.single(p.Level) {
		return ""
	}
	return at(p)
}

// spotName is the place alone, and nothing where there is only one.
func (v *view) spotName(p engine.Place) string { return strings.TrimPrefix(v.spot(p), " at ") }

// saw puts a piece of evidence into words: the statement of the rule that fired, "not seen" and the statement of one that
// did not, or the question with its answer; where room is dear, the id stands for the question. The place, if any, is named
// where it fits.
func (v *view) saw(e engine.Evidence, place string) string {
	behind := ""
	if place != "" {
		behind = " at " + place
	}
	if e.Kind == engine.TriedOut {
		return "\"" + lowerFirst(repairTitle(e)) + "\" was tried" + behind + ": " + afterWords(e.After)
	}
	seen, not := v.statements(e)
	switch {
	case len(seen) > 0 && e.Observation != nil && e.Observation.Kind == symptoms.Number:
		return seen[0] + behind + ", " + oneLine(e.Answer)
	case len(seen) > 0:
		return strings.Join(seen, ", ") + behind
	case len(not) == 1 && e.Observation != nil && e.Observation.Kind == symptoms.YesNo:
		return "not seen: " + not[0] + behind
	}
	if v.style.Details == Brief && e.Observation != nil {
		return strings.ReplaceAll(oneLine(e.Observation.ID), "_", " ") + behind + ": " + oneLine(e.Answer)
	}
	return answered(e.Observation, place, e.Answer)
}

// sawAt is saw with the place of the evidence.
func (v *view) sawAt(e engine.Evidence) string {
	if e.Somewhere {
		return v.saw(e, "") + ", not known where"
	}
	return v.saw(e, v.spotName(e.Place))
}

// statements returns what the rules say that read the evidence, by whether they fired. A rule in doubt counts as "perhaps"
// when it is the only one.
func (v *view) statements(e engine.Evidence) (seen, not []string) {
	for _, h := range v.d.Heard {
		if !sameReading(h.Reading, e) {
			continue
		}
		by := statesOf(h)
		if doubtful := by[engine.Doubtful]; len(by[engine.Seen]) == 0 && len(doubtful) == 1 {
			return []string{"perhaps " + doubtful[0]}, nil
		}
		return by[engine.Seen], by[engine.NotSeen]
	}
	return nil, nil
}

// statesOf sorts the statements of the rules that read a reading by what it says of them.
func statesOf(h engine.Heard) map[engine.State][]string {
	by := map[engine.State][]string{}
	for i, r := range h.Rules {
		if r != nil && i < len(h.States) {
			by[h.States[i]] = append(by[h.States[i]], lowerFirst(oneLine(r.Title)))
		}
	}
	return by
}

func sameReading(r symptoms.Reading, e engine.Evidence) bool {
	if r.Observation == nil || e.Observation == nil || r.Observation.ID != e.Observation.ID {
		return false
	}
	if e.Somewhere {
		return r.Scope == symptoms.Somewhere
	}
	return r.Scope != symptoms.Somewhere && (r.Place == e.Place.Name || r.Place == "")
}

func repairTitle(e engine.Evidence) string {
	if e.Repair == nil {
		return "a repair"
	}
	return oneLine(e.Repair.Title)
}

// afterWords says how the bike was after something was tried.
func afterWords(after string) string {
	return strings.ReplaceAll(oneLine(after), "-", " ")
}

// answered is a question with its place, if any, and its answer: "How does the plug look (left): wet".
func answered(o *symptoms.Observation, place, answer string) string {
	if o == nil {
		return oneLine(answer)
	}
	return strings.TrimRight(asked(o, place), "? ") + ": " + oneLine(answer)
}

// asked is a question with its place, if any: "How does the plug look (left)?".
func asked(o *symptoms.Observation, place string) string {
	q := question(o)
	if place == "" {
		return q
	}
	open, isQuestion := strings.CutSuffix(q, "?")
	if isQuestion {
		return open + " (" + place + ")?"
	}
	return q + " (" + place + ")"
}

// question is the question of an observation, or its id where it has none.
func question(o *symptoms.Observation) string {
	if q := oneLine(o.Question); q != "" {
		return q
	}
	return oneLine(o.ID)
}

// lowerFirst lets a title stand inside a sentence. Abbreviations keep their capitals.
func lowerFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	next, _ := utf8.DecodeRuneInString(s[n:])
	if !unicode.IsUpper(r) || unicode.IsUpper(next) || unicode.IsDigit(next) || next == '-' {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

// upperFirst begins a sentence.
func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// sentence takes the end off a text that goes on inside a line.
func sentence(s string) string { return strings.TrimRight(oneLine(s), ". ") }

// list joins words: "a", "a and b", "a, b and c".
func list(words []string, last string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}

// count writes a number with its noun: "1 check", "3 checks".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
