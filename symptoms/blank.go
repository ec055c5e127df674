package symptoms

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// The blank sheet is made for one A4 page, upright, in a monospaced face of 9 points with
// 11 points from line to line: 96 columns are 183 mm and 66 lines are 256 mm of 210 by 297.
const (
	pageColumns = 96
	commentAt   = 50 // column at which the answers allowed begin, if the line is not longer
	widestGap   = 9  // room for an answer by hand, in characters
	usefulGap   = 4  // less only where more would not leave room for the comment
	shortest    = 20 // room for a comment
)

// blankGroups are the parts of the questions, each for one way of finding out.
var blankGroups = []struct {
	who   Who
	title string
}{
	{Rider, "ask the rider"},
	{LookOver, "look the bike over: fresh air, no flame, no spark"},
	{Bench, "on the bench, engine off: catch the petrol, eyes and skin covered"},
	{Running, "engine running: outdoors or exhaust led out, carbon monoxide kills"},
}

// Blank returns a blank sheet for a machine: the common questions of the vocabulary, one a
// line, with the answers allowed in a comment, grouped by who can answer them. Questions about
// carburetors or cylinders have room for each of them. The sheet can be decoded as it stands;
// an empty answer means that nobody looked. A machine without places gets one carburetor and
// one cylinder. With up to 40 common questions and 2 carburetors it fits one A4 page. Questions and facts of the ids in without are left out.
func Blank(v *Vocabulary, m Machine, without ...string) []byte {
	if len(m.Carburetors) == 0 {
		m.Carburetors = numbers(1)
	}
	if len(m.Cylinders) == 0 {
		m.Cylinders, m.Feeds = slices.Clone(m.Carburetors), nil
	}
	b := &blank{v: v, m: &m, without: without}
	b.line(`# Intake sheet. Leave empty what nobody looked at. Numbers with unit: 22.5 mm, 7/8 in,`)
	b.line(`# 22 ± 1 mm, 20 to 23 mm, "< 30 mm". Local codes and licensed practice come first.`)
	b.line("sheet: 1")
	b.line("job:")
	b.machine()
	b.history()
	b.observed()
	b.line("tried:   # - {did: <id>, at: <place>, after: " + strings.Join(afterWords, "|") + "}")
	b.line("notes: |")
	return []byte(b.String())
}

// A blank is a blank sheet under writing.
type blank struct {
	strings.Builder
	v       *Vocabulary
	m       *Machine
	without []string
}

// asks reports whether an observation stands on the sheet, if it is one of those wanted there.
func (b *blank) asks(o *Observation, where Where) bool {
	return o.Where == where && !slices.Contains(b.without, o.ID)
}

func (b *blank) line(text string) { b.WriteString(text + "\n") }

// ask writes a key with room for the answer and a comment; what does not fit the line
// goes on in a comment below.
func (b *blank) ask(key, comment string) {
	room := max(commentAt-1, utf8.RuneCountInString(key)+2)
	if room > pageColumns-shortest {
		b.line(key)
		room, key = commentAt-1, ""
	}
	for i, part := range wrapped(comment, pageColumns-room-2) {
		if i > 0 {
			key = ""
		}
		b.line(fmt.Sprintf("%-*s# %s", room, key, part))
	}
}

// wrapped cuts a text at blanks into parts of at most the given width.
func wrapped(text string, width int) []string {
	var parts []string
	part := ""
	for _, word := range strings.Fields(text) {
		if part != "" && utf8.RuneCountInString(part+" "+word) > width {
			parts, part = append(parts, part), ""
		}
		part = strings.TrimSpace(part + " " + word)
	}
	return append(parts, part)
}

func (b *blank) machine() {
	m := b.m
	b.line("machine:")
	b.line("  name:" + quotedText(m.Name))
	if m.Strokes == 0 {
		m.Strokes = 4
	}
	b.ask("  strokes: "+strconv.Itoa(m.Strokes), "2 | 4")
	if slices.Equal(m.Cylinders, numbers(len(m.Cylinders))) || b.sharedNames() {
		b.line("  cylinders: " + strconv.Itoa(len(m.Cylinders)))
	} else {
		b.line("  cylinders: " + flowList(m.Cylinders))
	}
	b.line("  carburetors: " + flowList(m.Carburetors))
	if feeds := b.feeds(); feeds != "" {
		b.line("  feeds: " + feeds)
	}
	for _, o := range b.v.all {
		if !b.asks(o, Fact) || !o.Common && o.ID != "carburetor_kind" {
			continue
		}
		switch o.ID {
		case "strokes", "cylinders", "carburetors":
		case "carburetor_kind":
			b.ask("  carburetor_kind: "+m.CarburetorKind, answers(o))
		default:
			b.ask("  "+o.ID+":", answers(o))
		}
	}
}

// sharedNames reports whether the cylinders have the names of their carburetors.
func (b *blank) sharedNames() bool {
	m := b.m
	for i, c := range m.Cylinders {
		if m.Carburetors[b.fedBy(i)] != c {
			return false
		}
	}
	return len(m.Cylinders) == len(m.Carburetors)
}

// fedBy returns the carburetor of a cylinder; without Feeds, by sharing out in order.
func (b *blank) fedBy(cylinder int) int {
	m := b.m
	if cylinder < len(m.Feeds) {
		return m.Feeds[cylinder]
	}
	return cylinder * len(m.Carburetors) / len(m.Cylinders)
}

// feeds writes which cylinders hang on which carburetor, "" if they share out evenly.
func (b *blank) feeds() string {
	m := b.m
	cylinders := make([][]string, len(m.Carburetors))
	even := len(m.Cylinders)%len(m.Carburetors) == 0
	for i := range m.Cylinders {
		c := b.fedBy(i)
		even = even && c == i*len(m.Carburetors)/len(m.Cylinders)
		cylinders[c] = append(cylinders[c], strconv.Itoa(i+1))
	}
	if even {
		return ""
	}
	parts := make([]string, len(m.Carburetors))
	for i, c := range m.Carburetors {
		parts[i] = quoted(c) + ": [" + strings.Join(cylinders[i], ", ") + "]"
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

func (b *blank) history() {
	b.ask("history: [                              ]", strings.Join(b.v.in(History), " | "))
}

func (b *blank) observed() {
	b.line("observed:")
	for _, g := range blankGroups {
		first := true
		for _, o := range b.v.all {
			if !b.asks(o, Observed) || !o.Common || o.Who != g.who {
				continue
			}
			if first {
				b.line("  # " + g.title)
				first = false
			}
			b.question(o)
		}
	}
}

// question writes an observation with room at each of its places.
func (b *blank) question(o *Observation) {
	places := b.m.Places(o.About)
	if len(places) < 2 {
		b.ask("  "+o.ID+":", answers(o))
		return
	}
	key := ""
	for gap := widestGap; gap > 0; gap-- {
		key = withGaps(o.ID, places, gap)
		width := utf8.RuneCountInString(key)
		if width <= commentAt-3 || gap <= usefulGap && width <= pageColumns-shortest {
			break
		}
	}
	b.ask(key, answers(o))
}

// withGaps writes {left:    , right:    }.
func withGaps(id string, places []string, gap int) string {
	fields := make([]string, len(places))
	for i, p := range places {
		fields[i] = quoted(p) + ":" + strings.Repeat(" ", gap)
	}
	return "  " + id + ": {" + strings.Join(fields, ", ") + "}"
}

// answers lists what an observation takes, for a comment.
func answers(o *Observation) string {
	switch {
	case o.Kind == YesNo:
		return "yes | no"
	case o.Kind == Choice && o.Several:
		return "several of: " + strings.Join(wordList(o), " | ")
	case o.Kind == Choice:
		return strings.Join(wordList(o), " | ")
	case o.Unit == "":
		return "a number " + span(o)
	}
	return o.Unit + ", " + strings.TrimSuffix(span(o), " "+o.Unit)
}

var plainName = regexp.MustCompile(`^([A-Za-z][A-Za-z0-9_-]*( [A-Za-z0-9_-]+)*|[1-9][0-9]*)$`)

// quoted writes a name so that YAML gives it back.
func quoted(name string) string {
	if _, ok := readBool(name); plainName.MatchString(name) && !ok && strings.ToLower(name) != "null" {
		return name
	}
	return "'" + strings.ReplaceAll(name, "'", "''") + "'"
}

// quotedText writes a free text after its key, nothing if it is empty.
func quotedText(text string) string {
	if text == "" {
		return ""
	}
	return " '" + strings.ReplaceAll(text, "'", "''") + "'"
}

func flowList(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = quoted(n)
	}
	return "[" + strings.Join(out, ", ") + "]"
}
