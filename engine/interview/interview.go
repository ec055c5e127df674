package interview

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"diagnose.example/engine"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Options refine a talk. The zero value is the default.
type Options struct {
	// Limit is as in engine.Options.
	Limit float64
	// Units are those in which numbers are asked for; a bare number is then in the one that is shown.
	Units []symptoms.Unit
}

// Spot is an observation at a place; Place is "" for the machine.
type Spot struct {
	Observation *symptoms.Observation
	Place       string
}

// Talk is one interview. It is for one goroutine.
type Talk struct {
	set     *rules.Set
	options Options
	path    string
	now     state
	past    []state
	// sheet and asked belong to now and are worked out when wanted.
	sheet *symptoms.Sheet
	next  *Question
	asked bool
	// stops are the stop notices of the sheet as it is, once somebody wanted them.
	stops      []engine.Stop
	knowsStops bool
}

// state is what undoing brings back.
type state struct {
	text  []byte
	group Group
	// last is what was asked last, where it was, and how many questions its group has had.
	last    Spot
	inGroup int
	// begun is the round that was being gone when the talk was cut off.
	begun Spot
	// left are questions that are not to be asked again in this talk, by id and place; an id alone is meant at all places.
	left map[string]bool
	// eager lowers the floors after the user wanted to be asked on.
	eager bool
}

func (s state) clone() state {
	s.left = maps.Clone(s.left)
	return s
}

// New begins a talk with an empty sheet for a job. path names the sheet in messages.
func New(set *rules.Set, path, job string, told Told, o Options) (*Talk, error) {
	d := symptoms.NewDraft()
	d.SetJob(job)
	told.onto(d)
	return begin(set, path, d, o)
}

// Resume goes on from a sheet, whoever wrote it. The error is that of symptoms.Decode when the sheet has faults.
func Resume(set *rules.Set, path string, data []byte, o Options) (*Talk, error) {
	if _, err := symptoms.Decode(path, data, set.Vocabulary, symptoms.DecodeOptions{Actions: set.Actions()}); err != nil {
		return nil, err
	}
	d, err := symptoms.ReadDraft(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return begin(set, path, d, o)
}

func begin(set *rules.Set, path string, d *symptoms.Draft, o Options) (*Talk, error) {
	t := &Talk{set: set, options: o, path: path, now: state{left: map[string]bool{}}}
	if err := t.write(d); err != nil {
		return nil, err
	}
	for _, e := range d.Entries() {
		if e.Answer == "unknown" {
			t.leave(e.ID, e.Place)
		}
	}
	t.now.begun = t.unfinished()
	return t, nil
}

// unfinished returns the last look on the sheet that was taken at some places and not at all.
func (t *Talk) unfinished() Spot {
	var out Spot
	for _, r := range t.sheet.Readings {
		if o := r.Observation; r.Scope == symptoms.At && (o.Who == symptoms.LookOver || o.Who == symptoms.Running) && len(t.open(o)) > 0 {
			out = Spot{o, r.Place}
		}
	}
	return out
}

// Bytes returns the sheet as it is now; it can be decoded at any moment.
func (t *Talk) Bytes() []byte { return slices.Clone(t.now.text) }

// Sheet returns the decoded sheet.
func (t *Talk) Sheet() *symptoms.Sheet { return t.sheet }

// Group returns where the talk is.
func (t *Talk) Group() Group { return t.now.group }

// write takes a changed sheet over if it can be decoded.
func (t *Talk) write(d *symptoms.Draft) error {
	text, err := d.Bytes()
	if err != nil {
		return err
	}
	sheet, err := symptoms.Decode(t.path, text, t.set.Vocabulary, symptoms.DecodeOptions{Actions: t.set.Actions()})
	if err != nil {
		return refusal(err)
	}
	t.now.text = text
	t.changed(sheet)
	return nil
}

// draft reads the sheet for changing.
func (t *Talk) draft() (*symptoms.Draft, error) { return symptoms.ReadDraft(t.now.text) }

// change keeps the state for Back, changes the sheet, and takes it over; on an error nothing has changed.
func (t *Talk) change(f func(*symptoms.Draft)) error {
	d, err := t.draft()
	if err != nil {
		return err
	}
	f(d)
	before := t.now.clone()
	if err := t.write(d); err != nil {
		return err
	}
	t.past = append(t.past, before)
	return nil
}

func spotKey(id, place string) string { return id + "\x00" + place }

func (t *Talk) leave(id, place string) { t.now.left[spotKey(id, place)] = true }

// isLeft reports whether somebody was asked and did not know.
func (t *Talk) isLeft(id, place string) bool {
	return t.now.left[spotKey(id, place)] || t.now.left[spotKey(id, "")]
}

// Back takes the last answer back, or the last group that was passed over, and asks that question again. It reports whether
// there was anything to take back.
func (t *Talk) Back() (bool, error) {
	if len(t.past) == 0 {
		return false, nil
	}
	last := t.past[len(t.past)-1]
	t.past = t.past[:len(t.past)-1]
	sheet, err := symptoms.Decode(t.path, last.text, t.set.Vocabulary, symptoms.DecodeOptions{Actions: t.set.Actions()})
	if err != nil {
		return false, err
	}
	t.now = last
	t.changed(sheet)
	return true, nil
}

// SkipGroup passes over what is left of the group that is being asked.
func (t *Talk) SkipGroup() {
	t.past = append(t.past, t.now.clone())
	t.enter(t.now.group + 1)
	t.asked = false
}

// GoOn asks on after the end, also what is hardly worth its minutes.
func (t *Talk) GoOn() {
	t.past = append(t.past, t.now.clone())
	t.now.eager = true
	t.enter(Rider)
	t.asked = false
}

func (t *Talk) enter(g Group) {
	t.now.group, t.now.inGroup, t.now.last = min(g, Done), 0, Spot{}
	if o := t.now.begun.Observation; o != nil && t.now.group > History && o.Who == t.now.group.who() {
		t.now.last, t.now.begun = t.now.begun, Spot{}
	}
}

// Note adds a line to the notes, at a place or, with "", for the whole machine.
func (t *Talk) Note(place, text string) error {
	return t.change(func(d *symptoms.Draft) { d.Note(place, text) })
}

// Refused says why an answer was not taken and what would be. The question stands.
type Refused struct{ Message, Hint string }

// Error returns message and hint.
func (r *Refused) Error() string {
	if r.Hint == "" {
		return r.Message
	}
	return r.Message + "; " + r.Hint
}

// refusal makes the first fault of a sheet into the reason why the answer that caused it is not taken.
func refusal(err error) error {
	var fault *symptoms.Error
	if errors.As(err, &fault) {
		return &Refused{fault.Message, fault.Hint}
	}
	return err
}

// changed drops what belonged to the sheet before.
func (t *Talk) changed(sheet *symptoms.Sheet) {
	t.sheet, t.asked, t.knowsStops = sheet, false, false
}

// Stops returns the stop notices that hold now.
func (t *Talk) Stops() ([]engine.Stop, error) {
	if !t.knowsStops {
		if _, err := t.ask(engine.AskOptions{Weight: func(*symptoms.Observation, engine.Place) float64 { return 0 }}); err != nil {
			return nil, err
		}
	}
	return t.stops, nil
}

// ask asks the engine and keeps the stop notices, which it has to work out each time.
func (t *Talk) ask(o engine.AskOptions) (*engine.Asked, error) {
	o.Limit = t.options.Limit
	asked, err := engine.Ask(t.set, t.sheet, o)
	if err != nil {
		return nil, err
	}
	t.stops, t.knowsStops = asked.Stops, true
	return asked, nil
}

// Standing returns the diagnosis as it stands, without reasons and questions.
func (t *Talk) Standing() (*engine.Diagnosis, error) {
	return engine.Diagnose(t.set, t.sheet, engine.Options{Explain: -1, Questions: -1, Detail: engine.FirstScreen, Limit: t.options.Limit})
}

// Told is what is known of the machine before the talk begins; what is empty is asked.
type Told struct {
	Name, Strokes, Cylinders string
	Carburetors              []string
}

// onto writes what was told on a sheet.
func (told Told) onto(d *symptoms.Draft) {
	for _, e := range []symptoms.Entry{{ID: "name", Answer: told.Name}, {ID: "strokes", Answer: told.Strokes}, {ID: "cylinders", Answer: told.Cylinders}} {
		if e.Answer != "" {
			e.Section = "machine"
			d.Set(e)
		}
	}
	if len(told.Carburetors) > 0 {
		d.SetNames("carburetors", told.Carburetors)
	}
}
