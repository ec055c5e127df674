package report

import (
	"strings"

	"diagnose.example/engine"
	"diagnose.example/symptoms"
)

// answerSpans shows how the answer to a question is written on the sheet: the entry, with the possible words between bars
// or a gap to fill before the unit, and under which heads of the sheet it stands: "fuel_level: __ mm (under at: left:)".
// The heads are named and not written out, since the sheet may have them already and YAML takes a key once only.
//
// What is computed from other readings is written by those.
func (v *view) answerSpans(q engine.Question) []span {
	if len(q.Write) > 0 {
		var out []span
		for i, o := range q.Write {
			if i > 0 {
				out = append(out, text(", "))
			}
			out = append(out, v.answerSpans(engine.Question{Observation: o, Place: q.Place})...)
		}
		return out
	}
	return one(typed(entry(v.style.of(q.Observation))), text(" ("+v.home(q)+")"))
}

// entry is the line of a sheet that answers an observation.
func entry(o *symptoms.Observation) string {
	name := oneLine(o.ID)
	switch o.Where {
	case symptoms.History:
		return name
	case symptoms.Fact:
		if _, inner, ok := strings.Cut(name, "."); ok {
			name = inner
		}
	}
	return sheetKey(name) + ": " + answers(o)
}

// home says under which heads of the sheet an answer stands.
func (v *view) home(q engine.Question) string {
	o := q.Observation
	switch o.Where {
	case symptoms.Fact:
		if group, _, ok := strings.Cut(oneLine(o.ID), "."); ok {
			return "under machine: " + group + ":"
		}
		return "under machine:"
	case symptoms.History:
		return "in the list history:"
	}
	switch {
	case q.Place.Name != "" && !v.single(o.About):
		return "under at: " + sheetKey(q.Place.Name) + ":"
	case !v.single(o.About):
		return "under every:"
	}
	return "under observed:"
}

// homes says under which heads an answer can stand when no place is given.
func homes(o *symptoms.Observation) string {
	switch o.Where {
	case symptoms.Fact:
		return "under machine:"
	case symptoms.History:
		return "in the list history:"
	}
	if o.About == symptoms.Carburetor || o.About == symptoms.Cylinder {
		return "under at: and the place, or under every: or somewhere:"
	}
	return "under observed:"
}

// answers lists the words that answer a question, or a gap and the unit.
func answers(o *symptoms.Observation) string {
	switch o.Kind {
	case symptoms.YesNo:
		return "yes|no"
	case symptoms.Choice:
		words := make([]string, len(o.Words))
		for i, w := range o.Words {
			words[i] = oneLine(w.Word)
		}
		return strings.Join(words, "|")
	}
	return strings.TrimSpace("__" + nbsp + oneLine(o.Unit))
}

// sheetKey quotes a name where YAML would read something else than the name.
func sheetKey(name string) string {
	name = oneLine(name)
	switch strings.ToLower(name) {
	case "", "y", "n", "yes", "no", "on", "off", "true", "false", "null":
		return inQuotes(name)
	}
	for i, r := range name {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == '_' || r >= 0x80
		if !letter && (i == 0 || !strings.ContainsRune("0123456789- ", r)) {
			return inQuotes(name)
		}
	}
	return name
}

// inQuotes writes a name between double quotes; clean text needs two escapes only.
func inQuotes(name string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(name) + `"`
}
