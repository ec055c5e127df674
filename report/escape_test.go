package report

import (
	"encoding/json"
	"errors"
	"io"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// hostile is a diagnosis that says s wherever a sheet or a pack of a shop can say something.
func hostile(s string) *engine.Diagnosis {
	o := &symptoms.Observation{
		ID: s, Question: s, Where: symptoms.Observed, About: symptoms.Carburetor, Kind: symptoms.Choice, Unit: s,
		Words: []symptoms.Word{{Word: s, Means: s}},
	}
	place := engine.Place{Level: symptoms.Carburetor, Name: s}
	reading := symptoms.Reading{Observation: o, Scope: symptoms.At, Place: s, Value: symptoms.Value{Text: s}}
	cites := []rules.Cite{{Source: s, At: s, For: s}}
	rule := &rules.Rule{ID: s, Title: s, Cites: cites}
	cause := &rules.Cause{ID: s, Title: s, Text: s, About: symptoms.Carburetor, System: s, Tell: s, Cites: cites}
	at := &engine.Cause{Cause: cause, Place: place, Probability: 0.5, Anywhere: 0.6}
	e := engine.Evidence{Observation: o, Place: place, Answer: s, Rules: []*rules.Rule{rule}}
	tried := engine.Evidence{Kind: engine.TriedOut, Place: place, After: s, Repair: &rules.Repair{ID: s, Title: s}}
	node := engine.Node{Kind: "finding", ID: s, Title: s, Place: place}
	question := engine.Question{Observation: o, Place: place, Answers: []engine.Answer{{Text: s, Top: []engine.Likely{{ID: s, Title: s}}}}}
	return &engine.Diagnosis{
		Sheet: &symptoms.Sheet{
			Path: s, Job: s, History: []string{s}, Notes: []symptoms.Note{{Place: s, Text: s}}, Readings: []symptoms.Reading{reading},
			Machine: symptoms.Machine{Name: s, Strokes: 4, CarburetorKind: s, Carburetors: []string{s, "right"}, Cylinders: []string{s, "right"}},
		},
		Stops:  []engine.Stop{{Stop: &rules.Stop{ID: s, Title: s, Do: s, Caution: s, Cites: cites}, Place: place, Because: []string{s}}},
		Causes: []*engine.Cause{at},
		Ranked: []*engine.Ranked{{
			Cause: cause, Anywhere: 0.6, Places: []*engine.Cause{at, at}, Repairs: []string{s},
			For:     []engine.Weight{{Evidence: e, Alone: 3, Rest: 2, ToldBy: []engine.Evidence{tried}, Through: at}},
			Against: []engine.Weight{{Evidence: tried, Alone: 0.3, Rest: 0.2}},
			Chain:   []engine.Step{{From: node, To: node, Word: s, Cites: cites, Answer: s}},
		}},
		Effects:  []engine.Effect{{Effect: &rules.Effect{ID: s, Title: s}, Place: place, Probability: 0.3}},
		Heard:    []engine.Heard{{Reading: reading, Used: true, Why: s, Rules: []*rules.Rule{rule}, States: []engine.State{engine.Seen}}},
		Unasked:  []engine.Question{question},
		Checks:   []engine.Check{{Check: &rules.Check{ID: s, Title: s, How: s, Tools: []string{s}, Caution: s, After: []string{s}, Cites: cites}, Place: place}},
		Repairs:  []engine.Repair{{Repair: &rules.Repair{ID: s, Title: s, How: s, Caution: s, Opens: s, After: []string{s}}, Place: place, Parts: []*rules.Part{{ID: s, Title: s, Text: s}}, For: []*engine.Cause{at}}},
		Warnings: []engine.Warning{{Kind: engine.WarningKind(s), Text: s, Remedy: s}},
		Effort:   engine.Effort{SetAside: []engine.Evidence{e, tried}},
	}
}

// hostileTexts are the seeds: what a note could do to a terminal, a page or a table.
var hostileTexts = []string{
	"", "plain", "\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\u009b2J", "a\x7fb\b\b", "\r\rover", "line\nline\r\nline", "a\tb", "\u202edeb",
	"caf\xe9", "\xff\xfe", "宮", "`code` *x* <b>&amp;", "| a | b |", "# x", "```\n", "- [ ] x", "\x00", "\u2028", "\"quoted\" \\ {a: b}", "\ufffd",
}

// FuzzEscape: no control character but the line end comes out of any format, and nothing panics.
func FuzzEscape(f *testing.F) {
	for _, s := range hostileTexts {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d := hostile(s)
		x := &rules.Explanation{
			Ref: rules.Ref{Kind: s, ID: s, Title: s}, Text: s, Cause: d.Ranked[0].Cause, Says: []string{s}, Cites: d.Ranked[0].Cites,
			In:     []rules.Step{{Sentence: s, Cites: d.Ranked[0].Cites}},
			Rivals: []rules.Rival{{Ref: rules.Ref{ID: s, Title: s}, Shared: []rules.Ref{{Title: s}}, Tell: s}},
			Causes: []rules.Ref{{Kind: s, ID: s, Title: s}}, Questions: []*symptoms.Observation{d.Unasked[0].Observation},
			Checks: []*rules.Check{d.Checks[0].Check}, Repairs: []*rules.Repair{d.Repairs[0].Repair},
		}
		o := &rules.Explanation{Ref: x.Ref, Observation: d.Unasked[0].Observation, Text: s}
		for name, write := range map[string]func(io.Writer) error{
			"Text":            func(w io.Writer) error { return Text(w, d, nil, Style{}) },
			"Text, full":      func(w io.Writer) error { return Text(w, d, nil, Style{Details: Full, Width: 60}) },
			"Markdown":        func(w io.Writer) error { return Markdown(w, d, nil, Style{}) },
			"Markdown, full":  func(w io.Writer) error { return Markdown(w, d, nil, Style{Details: Full}) },
			"JSON":            func(w io.Writer) error { return json.NewEncoder(w).Encode(JSON(d, nil)) },
			"SheetError":      func(w io.Writer) error { return json.NewEncoder(w).Encode(NewSheetError(s, errors.New(s))) },
			"ExplainText":     func(w io.Writer) error { return ExplainText(w, x, nil, Style{}) },
			"ExplainMarkdown": func(w io.Writer) error { return ExplainMarkdown(w, o, nil, Style{}) },
		} {
			out := string(written(t, write))
			if i, found := control(out); found {
				t.Errorf("%s of %q has a control character or a bad byte at %d: %q", name, s, i, out[max(0, i-20):min(len(out), i+20)])
			}
		}
	})
}

// TestHostileSheetErrors: an entry made by hand is as harmless as one from NewSheetError.
func TestHostileSheetErrors(t *testing.T) {
	got, err := json.Marshal(SheetError{Sheet: "a\x1b", Error: "b\u009b"})
	if want := `{"sheet":"a\\x1b","error":"b\\x9b"}`; err != nil || string(got) != want {
		t.Errorf("Marshal(SheetError) = %s, %v; want %s", got, err, want)
	}
}
