package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"diagnose.example/engine"
	"diagnose.example/engine/interview"
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// dialogue is the terminal's side of an interview: lines out, lines in. It moves no cursor and reads no single key, so that a pipe, a
// serial line and a screen reader get the same.
type dialogue struct {
	app       *app
	talk      *interview.Talk
	knowledge *rules.Set
	settings  *settings
	path      string
	in        *bufio.Reader
	width     int
	// shown are the stop notices that have been shown.
	shown map[string]bool
	// group is the last one that was headed; begun says that there was one.
	group interview.Group
	begun bool
	// written is the sheet as it was saved last.
	written string
	// ended says that there was nothing more to ask on.
	ended bool
	// stopped is done once somebody has interrupted the talk.
	stopped context.Context
}

// errEnd ends the talk.
var errEnd = errors.New("end")

func (d *dialogue) run(resumed bool) error {
	if resumed {
		n := len(d.talk.Sheet().Readings)
		answers := fmt.Sprintf("%d answers are", n)
		if n == 1 {
			answers = "1 answer is"
		}
		d.say("", fmt.Sprintf("Going on from %s: %s on it.", d.path, answers))
	} else {
		d.say("", fmt.Sprintf("A new sheet, %s. Empty line or ? = don't know; back, why, so far, later, note TEXT, stop; help.", d.path))
	}
	if err := d.store(); err != nil {
		return err
	}
	for {
		if err := d.notices(); err != nil {
			return err
		}
		q, err := d.talk.Next()
		switch {
		case err != nil:
		case d.stopped.Err() != nil: // while it was worked out
			err = d.interrupted()
		case q == nil:
			err = d.offer()
		default:
			if err = d.ask(q); err == nil {
				err = d.answer(q)
			}
		}
		if errors.Is(err, errEnd) {
			return d.end()
		}
		if err != nil {
			return err
		}
	}
}

// store saves the sheet if it has changed.
func (d *dialogue) store() error {
	text := d.talk.Bytes()
	if string(text) == d.written {
		return nil
	}
	if err := save(d.path, text); err != nil {
		return err
	}
	d.written = string(text)
	return nil
}

// line prompts and reads one line; false at the end of the input. Where nobody types, as in a pipe, the line is repeated,
// so that what comes out can be read as a talk.
func (d *dialogue) line() (string, bool, error) {
	fmt.Fprint(d.app.out, "> ")
	if err := d.app.flush(); err != nil {
		return "", false, err
	}
	text, err := d.read()
	if err != nil && !errors.Is(err, io.EOF) {
		return "", false, pathError(err)
	}
	ended := err != nil && text == ""
	text = printable(strings.TrimSpace(text))
	if !d.app.typed() {
		if ended {
			text = "(end of input)"
		}
		fmt.Fprintln(d.app.out, text)
	} else if ended {
		fmt.Fprintln(d.app.out)
	}
	if ended {
		return "", false, nil
	}
	return text, true, nil
}

// read waits for a line, or for an interruption. The reading goes on then, for the little that is left of the run.
func (d *dialogue) read() (string, error) {
	type input struct {
		text string
		err  error
	}
	typed := make(chan input, 1)
	go func() {
		text, err := d.in.ReadString('\n')
		typed <- input{text, err}
	}()
	select {
	case in := <-typed:
		return in.text, in.err
	case <-d.stopped.Done():
		return "", d.interrupted()
	}
}

// interrupted ends the talk without a ranking: whoever interrupts wants to be gone.
func (d *dialogue) interrupted() error {
	fmt.Fprintln(d.app.out)
	return trouble(fmt.Errorf("interrupted; every answer so far is on %s", d.path), "to go on: diagnose interview "+d.path)
}

// answer reads lines until one is an answer or moves the talk.
func (d *dialogue) answer(q *interview.Question) error {
	for {
		text, ok, err := d.line()
		if err != nil {
			return err
		}
		if !ok {
			return errEnd
		}
		if done, err := d.command(q, text); done || err != nil {
			return err
		}
	}
}

// command carries out what was typed; done is false where the question stands and only another line is wanted.
func (d *dialogue) command(q *interview.Question, text string) (done bool, err error) {
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	switch strings.ToLower(word) {
	case "note", "n":
		if rest != "" || strings.EqualFold(word, "note") {
			return false, d.note(q, rest)
		}
	}
	order := strings.ToLower(text)
	if q.Pooled && slices.Contains(q.Places, order) {
		order = "" // a carburetor is called so; undo takes back too
	}
	switch order {
	case "back", "undo":
		return d.back()
	case "why":
		return false, d.why(q)
	case "so far", "sofar", "ranking":
		if err := d.standing(); err != nil {
			return false, err
		}
		d.short(q)
		return false, nil
	case "later", "skip", "skip group":
		d.talk.SkipGroup()
		return true, nil
	case "stop", "quit", "end":
		return true, errEnd
	case "help", "h":
		d.help()
		d.short(q)
		return false, nil
	}
	entries, err := d.talk.Answer(text)
	var refused *interview.Refused
	if errors.As(err, &refused) {
		d.say("! ", upperFirst(refused.Message)+".")
		if refused.Hint != "" {
			d.say("  ", upperFirst(refused.Hint)+".")
		}
		d.short(q)
		return false, nil
	}
	if err != nil {
		return true, err
	}
	if q.Observation != nil {
		d.confirm(text, entries)
	}
	return true, d.store()
}

// confirm shows what was written where it differs from what was typed.
func (d *dialogue) confirm(typed string, entries []symptoms.Entry) {
	var parts []string
	for _, e := range entries {
		if e.Answer == "unknown" {
			continue
		}
		text := e.Answer
		switch {
		case e.Place != "":
			text = e.Place + " " + e.Answer
		case e.Section == "every":
			text = "all " + e.Answer
		case e.Section == "somewhere":
			text = "somewhere " + e.Answer
		}
		parts = append(parts, text)
	}
	if text := strings.Join(parts, ", "); text != "" && !strings.EqualFold(text, typed) && (len(entries) > 1 || !strings.EqualFold(entries[0].Answer, typed)) {
		if len(entries) > 3 {
			return
		}
		d.say("  ", "Noted: "+text+".")
	}
}

func (d *dialogue) back() (bool, error) {
	ok, err := d.talk.Back()
	if err != nil {
		return true, err
	}
	if !ok {
		d.say("! ", "There is nothing to take back in this talk; earlier answers are changed on the sheet.")
		return false, nil
	}
	d.say("  ", "Taken back.")
	return true, d.store()
}

func (d *dialogue) note(q *interview.Question, text string) error {
	if text == "" {
		d.say("! ", "Write the note behind the word: note the rider fitted a new plug.")
		return nil
	}
	if err := d.talk.Note(q.Place, text); err != nil {
		return err
	}
	where := ""
	if q.Place != "" {
		where = " for " + q.Place
	}
	d.say("  ", "Kept as a note"+where+".")
	if err := d.store(); err != nil {
		return err
	}
	d.short(q)
	return nil
}

func (d *dialogue) help() {
	for _, row := range [][2]string{
		{"yes, no", "or y, n; of a list the number, the word or its beginning"},
		{"22,5 mm", "a number, in the unit shown if you write none"},
		{"? or nothing", "don't know: it is not asked again"},
		{"all dry", "the same at every place; right drips: at that one"},
		{"back", "take the last answer back"},
		{"why", "what the answer would tell, and how to look"},
		{"so far", "the ranking as it stands"},
		{"later", "skip the rest of this group"},
		{"note TEXT", "keep a remark on the sheet"},
		{"stop", "the ranking, and end; the sheet is saved at every answer"},
	} {
		d.say(fmt.Sprintf("  %-13s ", row[0]), row[1])
	}
}

// notices shows each stop notice the moment it holds.
func (d *dialogue) notices() error {
	if d.talk.Group() < interview.Complaint {
		return nil
	}
	stops, err := d.talk.Stops()
	if err != nil {
		return err
	}
	for _, s := range stops {
		key := s.ID + "\x00" + s.Place.Name
		if d.shown[key] {
			continue
		}
		d.shown[key] = true
		title := s.Title
		if s.Place.Name != "" {
			title += " (" + s.Place.Name + ")"
		}
		fmt.Fprintln(d.app.out)
		d.say("STOP: ", title)
		d.say("  ", s.Do)
		d.say("  ! ", "Caution: "+s.Caution)
	}
	return nil
}

// standing shows the ranking so far.
func (d *dialogue) standing() error {
	diagnosis, err := d.talk.Standing()
	if err != nil {
		return err
	}
	d.rank(diagnosis, 5)
	return nil
}

// rank lists the likeliest causes.
func (d *dialogue) rank(diagnosis *engine.Diagnosis, most int) {
	for i, r := range diagnosis.Ranked {
		if i == most || r.Anywhere < 0.01 {
			break
		}
		where := ""
		if c := r.Places[0]; c.Place.Name != "" && len(r.Places) > 1 && c.Probability > 0.6*r.Anywhere {
			where = " (" + c.Place.Name + ")"
		}
		d.say(fmt.Sprintf("  %9s ", percent(r.Anywhere)), r.Title+where)
	}
}

// percent writes a probability for people: nothing is certain.
func percent(p float64) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// offer is said at the end of all questions.
func (d *dialogue) offer() error {
	diagnosis, err := d.talk.Standing()
	if err != nil {
		return err
	}
	fmt.Fprintln(d.app.out)
	d.say("", d.reason(diagnosis))
	d.say("", "Empty line: the ranking, and end. more: ask on all the same. back: undo.")
	for {
		text, ok, err := d.line()
		switch {
		case err != nil:
			return err
		case !ok, text == "", strings.EqualFold(text, "stop"):
			return errEnd
		case strings.EqualFold(text, "more"):
			if d.ended {
				d.say("", "There is nothing left to ask.")
				continue
			}
			d.talk.GoOn()
			q, err := d.talk.Next()
			d.ended = q == nil
			return err
		case strings.EqualFold(text, "back"):
			_, err := d.back()
			return err
		case strings.EqualFold(text, "so far"), strings.EqualFold(text, "ranking"):
			d.rank(diagnosis, 5)
		default:
			d.say("! ", "Empty line, more or back.")
		}
	}
}

// reason says why no more is asked.
func (d *dialogue) reason(diagnosis *engine.Diagnosis) string {
	const clear = 0.8
	if len(diagnosis.Ranked) == 0 {
		return "That is all I would ask."
	}
	first := diagnosis.Ranked[0]
	if first.Anywhere >= clear {
		return fmt.Sprintf("That is all I would ask: \"%s\" stands at %s, and no question left would change that for its minutes.",
			first.Title, percent(first.Anywhere))
	}
	return "That is all I would ask: no question left tells enough about the causes for the minutes it takes."
}

// end writes the first screen, as triage does, with the way on below it.
func (d *dialogue) end() error {
	closing := "The sheet is " + d.path + "; to go on: diagnose interview " + d.path
	d.app.screen.height -= d.rows(closing)
	s := *d.settings
	s.format, s.details = "text", false
	if s.top == 0 {
		s.top = 5
	}
	form := d.app.form(d.knowledge, &s, shape{amount: single})
	diagnosis, err := engine.Diagnose(d.knowledge, d.talk.Sheet(), form.work)
	if err != nil {
		return fmt.Errorf("%s: %w", d.path, err)
	}
	fmt.Fprintln(d.app.out)
	if err := form.lay(d.app.out, diagnosis); err != nil {
		return err
	}
	d.say("", closing)
	return nil
}

// rows is how many rows of the screen a text takes; a word that is too long for one, as a path may be, goes on in the next.
func (d *dialogue) rows(text string) int {
	n := 0
	for line := range strings.Lines(fold(text, d.width)) {
		n += (utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) + d.width - 1) / d.width
	}
	return n
}

// say writes a text in lines that fit, the first behind a lead and the others below its end.
func (d *dialogue) say(lead, text string) {
	indent := utf8.RuneCountInString(lead)
	for i, line := range strings.Split(fold(printable(text), max(d.width-indent, 20)), "\n") {
		if i > 0 {
			lead = strings.Repeat(" ", indent)
		}
		fmt.Fprintln(d.app.out, strings.TrimRight(lead+line, " "))
	}
}

func upperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(string(r)) + s[n:]
}
