package interview

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

func knowledge(t interface{ Fatal(...any) }) *rules.Set {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// talkOn takes up a sheet.
func talkOn(t *testing.T, sheet string) *Talk {
	t.Helper()
	talk, err := Resume(knowledge(t), "test.yaml", []byte(sheet), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return talk
}

// twin is a machine of which everything is told that the opening asks for.
const twin = `sheet: 1
machine: {name: twin, strokes: 4, cylinders: 2, carburetors: [left, right], carburetor_kind: slide, tap_kind: gravity}
history: [after-storage]
observed: {idle_report: uneven}
`

func TestSensesNameWhatThereIs(t *testing.T) {
	v := knowledge(t).Vocabulary
	known := func(s symptoms.Said) {
		o, ok := v.Lookup(s.ID)
		if !ok {
			t.Errorf("%s is no observation or fact", s.ID)
			return
		}
		for _, w := range s.Words {
			if _, err := symptoms.ParseValue(o, w); err != nil {
				t.Errorf("%s: %v", s.ID, err)
			}
		}
	}
	for _, s := range safety() {
		known(is(s.id))
		for _, x := range s.when {
			known(x)
		}
	}
	for _, id := range machineFacts()[1:] {
		known(is(id))
	}
}

// TestSafetyAsksForEveryStop wants each observation that a stop notice reads among the questions asked for safety, but for those that it
// reads beside one of these.
func TestSafetyAsksForEveryStop(t *testing.T) {
	set := knowledge(t)
	for _, s := range set.Stops {
		asked := false
		for _, i := range s.When.Reads() {
			id := set.Symbol(i).Observation.ID
			asked = asked || slices.ContainsFunc(safety(), func(x precaution) bool { return x.id == id })
		}
		if !asked {
			t.Errorf("%s: no question is asked for it", s.ID)
		}
	}
}

// anyReply draws what somebody might type.
func anyReply(t *rapid.T, q *Question) string {
	var fitting []string
	for i := range q.Choices {
		fitting = append(fitting, fmt.Sprint(i+1))
	}
	if o := q.Observation; o != nil {
		switch o.Kind {
		case symptoms.YesNo:
			fitting = append(fitting, "yes", "no")
		case symptoms.Number:
			fitting = append(fitting, fmt.Sprintf("%g %s", (o.Range[0]+o.Range[1])/2, o.Unit), fmt.Sprintf("%g", o.Range[0]))
		}
	}
	if len(q.Places) > 0 {
		fitting = append(fitting, "all "+slices.Concat(fitting, []string{"?"})[0], q.Places[len(q.Places)-1]+" ?")
	}
	fitting = append(fitting, "", "?")
	if rapid.IntRange(0, 5).Draw(t, "kind") == 0 {
		return rapid.SampledFrom([]string{"x", "-", "99", "\x00", "left", "all", "yes, no", "1 1 1", "a: b", "'", "all all", "2 3"}).Draw(t, "odd")
	}
	return rapid.SampledFrom(fitting).Draw(t, "fitting")
}

// TestTalkKeepsItsPromises talks at random and wants, after every step: the sheet can be decoded; nothing is asked that is answered,
// that nobody knew, that an answer implies, or that means nothing here; groups follow one another; taking back brings
// exactly the sheet before.
func TestTalkKeepsItsPromises(t *testing.T) {
	set := knowledge(t)
	rapid.Check(t, func(t *rapid.T) {
		talk, err := New(set, "test.yaml", "1", Told{}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, "twin") {
			if talk, err = Resume(set, "test.yaml", []byte(twin), Options{}); err != nil {
				t.Fatal(err)
			}
		}
		group := talk.Group()
		for range rapid.IntRange(1, 14).Draw(t, "steps") {
			q, err := talk.Next()
			if err != nil {
				t.Fatal(err)
			}
			if q == nil {
				break
			}
			wantOpen(t, talk, q)
			if q.Group < group {
				t.Errorf("%v comes after %v", q.Group, group)
			}
			group = q.Group
			before := talk.Bytes()
			switch rapid.IntRange(0, 9).Draw(t, "step") {
			case 0:
				talk.SkipGroup()
			case 1:
				if err := talk.Note(q.Place, rapid.SampledFrom([]string{"# hash", "a: b", "new plug", "'quoted\"", "- dash"}).Draw(t, "note")); err != nil {
					t.Fatal(err)
				}
			default:
				reply := anyReply(t, q)
				_, err := talk.Answer(reply)
				var refused *Refused
				if err != nil && !errors.As(err, &refused) {
					t.Fatalf("Answer(%q) to %q = %v", reply, q.Text, err)
				}
				if err != nil && (refused.Message == "" || !bytes.Equal(talk.Bytes(), before)) {
					t.Errorf("Answer(%q) to %q = %v, and the sheet has changed: %s", reply, q.Text, err, talk.Bytes())
				}
			}
			wantDecodes(t, set, talk)
			if rapid.IntRange(0, 7).Draw(t, "back") == 0 {
				wantBack(t, talk)
				group = talk.Group()
			}
		}
	})
}

// wantOpen wants a question to be worth asking at all.
func wantOpen(t *rapid.T, talk *Talk, q *Question) {
	o := q.Observation
	if o == nil || o.Where != symptoms.Observed {
		return
	}
	places := q.Places
	if len(places) == 0 {
		places = []string{q.Place}
	}
	for _, p := range places {
		if talk.answered(o, p) || talk.isLeft(o.ID, p) {
			t.Errorf("%s at %q is asked again", o.ID, p)
		}
		if talk.implied(o, p) {
			t.Errorf("%s at %q is asked although it follows", o.ID, p)
		}
	}
	if !q.Safety && engine.Idle(talk.sheet, o.ID) {
		t.Errorf("%s is asked although it is idle", o.ID)
	}
	if !q.Safety && meaningless(talk, o) {
		t.Errorf("%s is asked although no circumstance can hold", o.ID)
	}
}

// meaningless reports whether each rule that reads an observation about the machine has a circumstance that does not hold.
func meaningless(talk *Talk, o *symptoms.Observation) bool {
	if o.About != symptoms.WholeMachine {
		return false
	}
	c := talk.set.Env.NewCase()
	for _, r := range slices.Concat(talk.sheet.Machine.Facts, talk.sheet.Readings) {
		if r.Observation.About == symptoms.WholeMachine {
			talk.set.Known(c, r.Observation, r.Value, 0)
		}
	}
	read := talk.set.Evidence(o.ID)
	return len(read) > 0 && !slices.ContainsFunc(read, func(r *rules.Rule) bool {
		return r.Given == nil || r.Given.Eval(c) != condition.False
	})
}

func wantDecodes(t *rapid.T, set *rules.Set, talk *Talk) {
	if _, err := symptoms.Decode("test.yaml", talk.Bytes(), set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()}); err != nil {
		t.Fatalf("the sheet cannot be decoded: %v\n%s", err, talk.Bytes())
	}
	again, err := Resume(set, "test.yaml", talk.Bytes(), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for key := range talk.now.left {
		id, place, _ := strings.Cut(key, "\x00")
		if o, ok := set.Vocabulary.Lookup(id); ok && o.Where == symptoms.Observed && !again.isLeft(id, place) {
			t.Errorf("going on from the sheet, %s at %q would be asked again", id, place)
		}
	}
}

func wantBack(t *rapid.T, talk *Talk) {
	if len(talk.past) == 0 {
		return
	}
	want := slices.Clone(talk.past[len(talk.past)-1].text)
	ok, err := talk.Back()
	if !ok || err != nil || !bytes.Equal(talk.Bytes(), want) {
		t.Errorf("Back() = %v, %v with\n%s\nwant\n%s", ok, err, talk.Bytes(), want)
	}
}

// TestResume wants a talk that was cut off in the middle of a round of looks to go on with it, in full words.
func TestResume(t *testing.T) {
	const sheet = `sheet: 1
machine: {name: four, strokes: 4, cylinders: 4, carburetors: 4, carburetor_kind: slide, tap_kind: gravity}
history: [after-carburetor-work]
observed: {idle_report: uneven, choke_helps_warm: yes}
`
	talk := talkOn(t, sheet)
	talk.enter(LookOver)
	for range 20 {
		q, err := talk.Next()
		if err != nil || q == nil || q.Group != LookOver {
			t.Fatalf("no round of looks before %+v, %v", q, err)
		}
		if q.Again {
			break
		}
		if _, err := talk.Answer("?"); q.Place == "" && err != nil {
			t.Fatal(err)
		}
		if q.Place != "" {
			if _, err := talk.Back(); err != nil {
				t.Fatal(err)
			}
			normal := q.Observation.Normal
			if _, err := talk.Answer(normal); err != nil {
				t.Fatal(err)
			}
		}
	}
	want, err := talk.Next()
	if err != nil {
		t.Fatal(err)
	}
	again := talkOn(t, string(talk.Bytes()))
	again.enter(LookOver)
	got, err := again.Next()
	if err != nil {
		t.Fatal(err)
	}
	if got == nil || got.Observation != want.Observation || got.Place != want.Place || got.Again {
		t.Errorf("going on asks %+v; want %s at %s, in full words", got, want.Observation.ID, want.Place)
	}
}

// TestPlaces wants no jump from side to side: the places of a look are asked one after another, in the order of the machine.
func TestPlaces(t *testing.T) {
	talk := talkOn(t, strings.Replace(twin, "idle_report: uneven", "parked_leak: with-tap-open, fuel_smell: yes, fuel_in_oil: no, engine_locked: no, leak_danger: neither", 1))
	var asked []string
	for range 20 {
		q, err := talk.Next()
		if err != nil {
			t.Fatal(err)
		}
		if q == nil || q.Group > LookOver {
			break
		}
		if q.Group == LookOver && q.Place != "" {
			asked = append(asked, q.Observation.ID+" "+q.Place)
		}
		reply := "?"
		if q.Observation.Kind == symptoms.YesNo {
			reply = "no"
		}
		if _, err := talk.Answer(reply); err != nil {
			t.Fatal(err)
		}
	}
	if len(asked) < 2 {
		t.Fatalf("asked %v; want looks at both places", asked)
	}
	for i := 1; i < len(asked); i++ {
		id, place, _ := strings.Cut(asked[i], " ")
		before, at, _ := strings.Cut(asked[i-1], " ")
		if place == "right" && slices.Contains(asked, id+" left") && (before != id || at != "left") {
			t.Errorf("%s is asked after %s; want it right after the left one", asked[i], asked[i-1])
		}
	}
}
