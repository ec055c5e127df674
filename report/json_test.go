package report

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// keys returns the keys of a JSON object in their order.
func keys(t *testing.T, object []byte) []string {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(object))
	if _, err := d.Token(); err != nil {
		t.Fatal(err)
	}
	var out []string
	for d.More() {
		key, err := d.Token()
		if err != nil {
			t.Fatal(err)
		}
		var value json.RawMessage
		if err := d.Decode(&value); err != nil {
			t.Fatal(err)
		}
		out = append(out, key.(string))
	}
	return out
}

// TestJSONShape holds the keys that programs rely on: these come first, in this order; others may follow.
func TestJSONShape(t *testing.T) {
	k := knowledge(t)
	data := indented(t, JSON(oneSideFloods(t), k))
	if got, want := keys(t, data)[:4], []string{"sheet", "job", "stop", "causes"}; !slices.Equal(got, want) {
		t.Errorf("keys of a diagnosis = %q; want %q first", got, want)
	}
	lists := map[string]struct {
		data []byte
		want []string
	}{
		"causes of a diagnosis": {field(t, data, "causes"), []string{"cause", "at", "about", "title", "system", "probability", "anywhere", "prior"}},
		"observations": {indented(t, ObservationsJSON(k)), []string{
			"id", "question", "where", "about", "kind", "words", "normal", "several", "unit", "range", "who",
		}},
		"causes":  {indented(t, CausesJSON(k)), []string{"id", "title", "about", "system", "prior"}},
		"repairs": {indented(t, RepairsJSON(k)), []string{"id", "title", "cures"}},
	}
	for name, l := range lists {
		var entries []json.RawMessage
		if err := json.Unmarshal(l.data, &entries); err != nil || len(entries) == 0 {
			t.Fatalf("%s: %d entries, %v; want some", name, len(entries), err)
		}
		for _, e := range entries {
			if got := keys(t, e); !slices.Equal(got[:min(len(l.want), len(got))], l.want) {
				t.Errorf("keys of %s = %q; want %q first", name, got, l.want)
			}
		}
	}
}

func field(t *testing.T, object []byte, key string) []byte {
	t.Helper()
	var m map[string]json.RawMessage
	if err := json.Unmarshal(object, &m); err != nil {
		t.Fatal(err)
	}
	return m[key]
}

// TestJSONKeepsEveryCauseAndDigit: causes come in the order of the diagnosis, none left out, none rounded.
func TestJSONKeepsEveryCauseAndDigit(t *testing.T) {
	d := oneSideFloods(t)
	d.Causes[0].Probability = 1 - 1.0/3
	var got struct {
		Causes []struct {
			Cause, At   string
			Probability float64
		}
	}
	if err := json.Unmarshal(indented(t, JSON(d, nil)), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Causes) != len(d.Causes) {
		t.Fatalf("%d causes; want %d", len(got.Causes), len(d.Causes))
	}
	for i, c := range d.Causes {
		if g := got.Causes[i]; g.Cause != c.ID || g.At != c.Place.Name || g.Probability != c.Probability {
			t.Errorf("cause %d = %+v; want %s at %q, %v", i, g, c.ID, c.Place.Name, c.Probability)
		}
	}
}

func TestFigure(t *testing.T) {
	cases := []struct {
		v    float64
		want string
	}{
		{1.0 / 3, "0.3333333333333333"}, {math.NaN(), "null"}, {math.Inf(1), "null"}, {math.Inf(-1), "null"}, {1e-70, "1e-70"},
	}
	for _, c := range cases {
		got, err := json.Marshal(figure(c.v))
		if err != nil || string(got) != c.want {
			t.Errorf("Marshal(figure(%v)) = %s, %v; want %s", c.v, got, err, c.want)
		}
	}
}

// TestEmptyListsAreLists: a reader never meets null in place of a list.
func TestEmptyListsAreLists(t *testing.T) {
	d := &engine.Diagnosis{Sheet: nothingObserved(t).Sheet}
	for key, want := range map[string]string{"causes": "[]", "stop": "[]", "ranked": "[]", "warnings": "[]"} {
		if got := strings.TrimSpace(string(field(t, indented(t, JSON(d, nil)), key))); got != want {
			t.Errorf("%s of an empty diagnosis = %s; want %s", key, got, want)
		}
	}
}

// TestMemoryIsNoSource: what somebody remembered is marked as such and stands in no list of sources.
func TestMemoryIsNoSource(t *testing.T) {
	k := knowledge(t)
	c := &citations{k: k}
	cases := []struct {
		name  string
		cites []rules.Cite
		want  string
	}{
		{"nothing", nil, ""},
		{"memory", []rules.Cite{{Source: rules.Memory}}, " (from memory, no source)"},
		{"common practice", []rules.Cite{{Source: rules.CommonPractice}}, " (common practice)"},
		{"published", []rules.Cite{{Source: "handbook", At: "p. 3"}}, " [1, p. 3]"},
		{"published and memory", []rules.Cite{{Source: rules.Memory}, {Source: "second"}}, " [2]"},
		{"again", []rules.Cite{{Source: "handbook"}, {Source: "second", At: "p. 4"}}, " [1; 2, p. 4]"},
	}
	for _, x := range cases {
		if got := c.mark(x.cites); got != x.want {
			t.Errorf("%s: mark = %q; want %q", x.name, got, x.want)
		}
	}
	if want := []string{"handbook", "second"}; !slices.Equal(c.order, want) {
		t.Errorf("sources listed = %q; want %q", c.order, want)
	}
	if got := (&translator{k: k}).cites([]rules.Cite{{Source: rules.Memory}, {Source: "handbook"}}); len(got) != 1 {
		t.Errorf("cites for JSON = %v; want the handbook only", got)
	}
}
