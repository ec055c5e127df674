package report

import (
	"encoding/json"
	"math"
	"strconv"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// figure is a number that JSON may have no form for: NaN and infinities are null.
type figure float64

// MarshalJSON writes all digits, or null.
func (f figure) MarshalJSON() ([]byte, error) {
	if v := float64(f); math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(f))
}

// pairs is an object whose keys keep their order.
type pairs []pair

type pair struct {
	key   string
	value any
}

// MarshalJSON writes the pairs in their order.
func (p pairs) MarshalJSON() ([]byte, error) { return p.appendTo(nil) }

func (p pairs) appendTo(b []byte) ([]byte, error) {
	b = append(b, '{')
	for i, x := range p {
		if i > 0 {
			b = append(b, ',')
		}
		b, _ = appendValue(b, x.key) // a string has a form always
		b = append(b, ':')
		var err error
		if b, err = appendValue(b, x.value); err != nil {
			return nil, err
		}
	}
	return append(b, '}'), nil
}

// appendValue writes a value behind b. Objects in objects are written into the same bytes: [json.Marshal] would go through those of each
// once more on every level. Everything else is left to it.
func appendValue(b []byte, value any) ([]byte, error) {
	switch v := value.(type) {
	case pairs:
		return v.appendTo(b)
	case []pairs:
		b = append(b, '[')
		for i, x := range v {
			if i > 0 {
				b = append(b, ',')
			}
			var err error
			if b, err = x.appendTo(b); err != nil {
				return nil, err
			}
		}
		return append(b, ']'), nil
	case string:
		if !plainJSON(v) {
			break
		}
		return append(append(append(b, '"'), v...), '"'), nil
	case figure:
		// The form of [json.Marshal] for all but the very small and very large.
		if size := math.Abs(float64(v)); size >= 1e-6 && size < 1e21 {
			return strconv.AppendFloat(b, float64(v), 'f', -1, 64), nil
		}
	}
	one, err := json.Marshal(value)
	return append(b, one...), err
}

// plainJSON reports whether a text stands in JSON as it is.
func plainJSON(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' || c >= 0x7f || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			return false
		}
	}
	return true
}

// SheetError stands in a list of results in place of a sheet that could not be read.
type SheetError struct {
	Sheet string `json:"sheet"`
	Error string `json:"error"`
}

// NewSheetError returns the entry for a sheet and what was wrong with it, with control characters made visible.
func NewSheetError(sheet string, err error) SheetError {
	return SheetError{Sheet: clean(sheet), Error: clean(err.Error())}
}

// MarshalJSON writes the entry with control characters made visible, however it was made.
func (e SheetError) MarshalJSON() ([]byte, error) {
	return json.Marshal(pairs{{"sheet", clean(e.Sheet)}, {"error", clean(e.Error)}})
}

// JSON returns a diagnosis as data for [encoding/json]: "sheet", "job", "stop", and "causes" with every cause at every place by
// probability, all digits; then "ranked" with evidence and chains, "effects", "heard", "measured", "unasked", "checks",
// "repairs", "warnings" and "effort". Numbers carry their unit in the key unless they are probabilities; what has no
// finite value is null. Texts have their control characters made visible, as in the other formats.
func JSON(d *engine.Diagnosis, k *rules.Set) any {
	j := &translator{k: k}
	return pairs{
		{"sheet", clean(d.Sheet.Path)},
		{"job", clean(d.Sheet.Job)},
		{"stop", each(d.Stops, j.stop)}, // before any ranking, as in the other formats
		{"causes", each(d.Causes, causeJSON)},
		{"ranked", each(d.Ranked, j.ranked)},
		{"effects", each(d.Effects, effectJSON)},
		{"heard", each(d.Heard, heardJSON)},
		{"measured", each(d.Measured, measuredJSON)},
		{"unasked", each(d.Unasked, questionJSON)},
		{"checks", each(d.Checks, j.check)},
		{"repairs", each(d.Repairs, j.repair)},
		{"warnings", each(d.Warnings, warningJSON)},
		{"notes", each(d.Sheet.Notes, noteJSON)},
		{"effort", effortJSON(d.Effort)},
		{"closing", localCodes},
	}
}

// each translates a list; an empty one is [] and never null.
func each[T any](list []T, f func(T) pairs) []pairs {
	out := make([]pairs, len(list))
	for i, x := range list {
		out[i] = f(x)
	}
	return out
}

func texts(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = clean(s)
	}
	return out
}

func causeJSON(c *engine.Cause) pairs {
	return pairs{
		{"cause", clean(c.ID)}, {"at", clean(c.Place.Name)}, {"about", c.About.String()}, {"title", clean(c.Title)},
		{"system", clean(c.System)}, {"probability", figure(c.Probability)}, {"anywhere", figure(c.Anywhere)},
		{"prior", figure(c.Prior)},
	}
}

// translator knows the knowledge that ids and cites lead into.
type translator struct{ k *rules.Set }

func (j *translator) cites(list []rules.Cite) []pairs {
	out := []pairs{}
	c := citations{k: j.k}
	for _, x := range list {
		if c.remembered(x.Source) {
			continue
		}
		entry := pairs{{"source", clean(x.Source)}, {"at", clean(x.At)}, {"for", clean(x.For)}}
		if s, ok := c.source(x.Source); ok {
			entry = append(entry, pair{"text", clean(s.String())})
		}
		out = append(out, entry)
	}
	return out
}

func (j *translator) stop(s engine.Stop) pairs {
	return pairs{
		{"stop", clean(s.ID)}, {"at", clean(s.Place.Name)}, {"about", s.About.String()}, {"title", clean(s.Title)},
		{"do", clean(s.Do)}, {"caution", clean(s.Caution)}, {"because", texts(s.Because)}, {"cites", j.cites(s.Cites)},
	}
}

func (j *translator) ranked(r *engine.Ranked) pairs {
	return pairs{
		{"cause", clean(r.ID)}, {"title", clean(r.Title)}, {"anywhere", figure(r.Anywhere)}, {"anywhere_exact", r.Exact}, {"prior_anywhere", figure(r.Prior)},
		{"places", each(r.Places, func(c *engine.Cause) pairs {
			return pairs{{"at", clean(c.Place.Name)}, {"probability", figure(c.Probability)}}
		})},
		{"evidence", pairs{{"for", each(r.For, weightJSON)}, {"against", each(r.Against, weightJSON)}}},
		{"chain", each(r.Chain, j.step)},
		{"repairs", texts(r.Repairs)},
		{"cites", j.cites(r.Cites)},
	}
}

func weightJSON(w engine.Weight) pairs {
	through := any(nil)
	if w.Through != nil {
		through = pairs{{"cause", clean(w.Through.ID)}, {"at", clean(w.Through.Place.Name)}}
	}
	return append(evidenceJSON(w.Evidence), pairs{
		{"factor_alone", figure(w.Alone)}, {"factor_given_rest", figure(w.Rest)},
		{"decibans_alone", figure(decibans(w.Alone))}, {"decibans_given_rest", figure(decibans(w.Rest))},
		{"told_by", each(w.ToldBy, evidenceJSON)}, {"speaks_for", through},
	}...)
}

func evidenceJSON(e engine.Evidence) pairs {
	if e.Kind == engine.TriedOut {
		id := ""
		if e.Repair != nil {
			id = e.Repair.ID
		}
		return pairs{{"tried", clean(id)}, {"at", clean(e.Place.Name)}, {"after", clean(e.After)}}
	}
	id := ""
	if e.Observation != nil {
		id = e.Observation.ID
	}
	return pairs{
		{"observation", clean(id)}, {"at", clean(e.Place.Name)}, {"somewhere", e.Somewhere}, {"answer", clean(e.Answer)},
		{"rules", ruleIDs(e.Rules)},
	}
}

func ruleIDs(list []*rules.Rule) []string {
	out := []string{}
	for _, r := range list {
		if r != nil {
			out = append(out, clean(r.ID))
		}
	}
	return out
}

func (j *translator) step(s engine.Step) pairs {
	p := pairs{
		{"from", nodeJSON(s.From)}, {"to", nodeJSON(s.To)}, {"word", clean(s.Word)}, {"chance", figure(s.Chance)},
		{"cites", j.cites(s.Cites)},
	}
	if s.To.Kind == "finding" {
		return append(p, pair{"state", stateJSON(s.State)}, pair{"answer", clean(s.Answer)})
	}
	return append(p, pair{"probability", figure(s.Probability)})
}

func nodeJSON(n engine.Node) pairs {
	return pairs{{"kind", clean(n.Kind)}, {"id", clean(n.ID)}, {"at", clean(n.Place.Name)}, {"title", clean(n.Title)}}
}

func stateJSON(s engine.State) string {
	switch s {
	case engine.Seen:
		return "seen"
	case engine.NotSeen:
		return "not-seen"
	case engine.Doubtful:
		return "doubtful"
	}
	return "not-asked"
}

func effectJSON(e engine.Effect) pairs {
	return pairs{
		{"effect", clean(e.ID)}, {"at", clean(e.Place.Name)}, {"about", e.About.String()}, {"title", clean(e.Title)},
		{"probability", figure(e.Probability)},
	}
}

func heardJSON(h engine.Heard) pairs {
	id := ""
	if h.Reading.Observation != nil {
		id = h.Reading.Observation.ID
	}
	findings := []pairs{}
	for i, r := range h.Rules {
		if r != nil && i < len(h.States) {
			findings = append(findings, pairs{{"rule", clean(r.ID)}, {"state", stateJSON(h.States[i])}})
		}
	}
	return pairs{
		{"observation", clean(id)}, {"at", clean(h.Reading.Place)}, {"scope", h.Reading.Scope.String()},
		{"answer", clean(h.Reading.Value.Text)}, {"used", h.Used}, {"why", clean(h.Why)}, {"findings", findings},
	}
}

func questionJSON(q engine.Question) pairs {
	o := q.Observation
	if o == nil {
		o = &symptoms.Observation{}
	}
	return pairs{
		{"observation", clean(o.ID)}, {"at", clean(q.Place.Name)}, {"question", clean(o.Question)}, {"gain_bits", figure(q.Gain)},
		{"circumstance", q.Circumstance}, {"answers", each(q.Answers, answerJSON)},
	}
}

func answerJSON(a engine.Answer) pairs {
	return pairs{
		{"answer", clean(a.Text)}, {"probability", figure(a.Probability)},
		{"likeliest", each(a.Top, func(l engine.Likely) pairs {
			return pairs{{"cause", clean(l.ID)}, {"title", clean(l.Title)}, {"anywhere", figure(l.Anywhere)}}
		})},
	}
}

func (j *translator) check(c engine.Check) pairs {
	return pairs{
		{"check", clean(c.ID)}, {"at", clean(c.Place.Name)}, {"title", clean(c.Title)}, {"how", clean(c.How)},
		{"minutes", figure(c.Minutes)}, {"tools", texts(c.Tools)}, {"caution", clean(c.Caution)}, {"after", texts(c.After)},
		{"gain_bits", figure(c.Gain)}, {"gain_bits_per_minute", figure(c.PerMinute)},
		{"questions", each(c.Questions, questionJSON)}, {"cites", j.cites(c.Cites)},
	}
}

func (j *translator) repair(r engine.Repair) pairs {
	return pairs{
		{"repair", clean(r.ID)}, {"at", clean(r.Place.Name)}, {"title", clean(r.Title)}, {"how", clean(r.How)},
		{"minutes", figure(r.Minutes)}, {"opens", clean(r.Opens)}, {"caution", clean(r.Caution)}, {"after", texts(r.After)},
		{"probability", figure(r.Probability)}, {"parts", each(r.Parts, partJSON)},
		{"for", each(r.For, func(c *engine.Cause) pairs {
			return pairs{{"cause", clean(c.ID)}, {"at", clean(c.Place.Name)}, {"probability", figure(c.Probability)}}
		})},
		{"cites", j.cites(r.Cites)},
	}
}

func partJSON(p *rules.Part) pairs {
	if p == nil {
		return pairs{}
	}
	return pairs{{"part", clean(p.ID)}, {"title", clean(p.Title)}, {"text", clean(p.Text)}}
}

func warningJSON(w engine.Warning) pairs {
	return pairs{{"kind", clean(string(w.Kind))}, {"text", clean(w.Text)}, {"remedy", clean(w.Remedy)}}
}

func noteJSON(n symptoms.Note) pairs {
	return pairs{{"at", clean(n.Place)}, {"text", clean(n.Text)}}
}

func effortJSON(e engine.Effort) pairs {
	return pairs{
		{"width_bits", e.Width}, {"table_entries", figure(e.Entries)}, {"findings", e.Findings},
		{"log_evidence_nats", figure(e.LogEvidence)}, {"set_aside", each(e.SetAside, evidenceJSON)},
	}
}

// ExplainJSON returns the explanation of one record as data for [encoding/json]: "id", "kind", "title" and "text", what it says of
// itself, the links to it and from it as sentences, rivals, and the ids of what bears on it.
func ExplainJSON(x *rules.Explanation, k *rules.Set) any {
	j := &translator{k: k}
	return pairs{
		{"id", clean(x.ID)}, {"kind", clean(x.Kind)}, {"title", clean(x.Title)}, {"text", clean(x.Text)}, {"says", texts(x.Says)},
		{"in", each(x.In, j.link)}, {"out", each(x.Out, j.link)},
		{"rivals", each(x.Rivals, func(r rules.Rival) pairs {
			return pairs{{"id", clean(r.Ref.ID)}, {"title", clean(r.Ref.Title)}, {"shares", refIDs(r.Shared)}, {"tell", clean(r.Tell)}}
		})},
		{"causes", refIDs(x.Causes)}, {"readers", refIDs(x.Readers)},
		{"questions", ids(x.Questions, func(o *symptoms.Observation) string { return o.ID })},
		{"checks", ids(x.Checks, func(c *rules.Check) string { return c.ID })},
		{"repairs", ids(x.Repairs, func(r *rules.Repair) string { return r.ID })},
		{"parts", ids(x.Parts, func(p *rules.Part) string { return p.ID })},
		{"cautions", texts(x.Cautions)}, {"cites", j.cites(x.Cites)}, {"models", each(x.Models, modelJSON)},
	}
}

func (j *translator) link(s rules.Step) pairs {
	return pairs{
		{"from", clean(s.From.ID)}, {"to", clean(s.To.ID)}, {"word", clean(s.Link.Word)}, {"chance", figure(s.Link.Chance)},
		{"sentence", clean(s.Sentence)}, {"cites", j.cites(s.Cites)},
	}
}

func refIDs(refs []rules.Ref) []string { return ids(refs, func(r rules.Ref) string { return r.ID }) }

func ids[T any](list []T, id func(T) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = clean(id(x))
	}
	return out
}
