package report

import (
	"io"
	"strings"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// Entry writes a diagnosis as an entry in a list of many: the job or file and the machine, stop notices, the likeliest cause
// with its chance and place, and what to do next. It takes a few lines of s.Width columns and names no cautions: it says what
// waits where, not how anything is done. [EntriesEnd] closes the list and says where the cautions are.
func Entry(w io.Writer, d *engine.Diagnosis, k *rules.Set, s Style) error {
	v := newView(d, k, s)
	t := &terminal{width: v.style.Width, colour: s.Colour}
	name := v.sheetName()
	t.headed(one(bold(name), text(" "), text(v.entryMachine(name))))
	for _, n := range v.stopNotices() {
		t.hang("  ", one(bold("STOP: "+n.title+n.places)))
	}
	if len(d.Ranked) == 0 {
		t.hang("  ", one(text("No cause is known for such a machine.")))
		return t.flush(w)
	}
	r := d.Ranked[0]
	cause := one(bold(r.Title))
	if place := v.likeliestSpot(r); place != "" {
		cause = append(cause, text(" ("+place+")"))
	}
	t.hang("  "+percent(r.Anywhere)+" ", cause)
	if next, takes := v.nextWork(); next != "" {
		t.hang("  next: ", one(text(next), text(" ("+takes+")")))
	}
	return t.flush(w)
}

// headed writes the first line of an entry; what does not fit goes on under it, deeper than the lines that follow.
func (t *terminal) headed(spans []span) {
	const deeper = "    "
	for i, l := range fill(spans, t.width, t.width-len(deeper)) {
		if i == 0 {
			t.line("", l)
			continue
		}
		t.line(deeper, l)
	}
}

// entryMachine is the machine in a few words, and the file where the name is not the file's already.
func (v *view) entryMachine(name string) string {
	machines := v.machineTexts()
	machine := machines[max(0, len(machines)-2)]
	path := oneLine(v.d.Sheet.Path)
	if path == "" || strings.TrimSuffix(name, ":") == path {
		return machine
	}
	return machine + ", " + path
}

// likeliestSpot names the place where a cause is likeliest, and nothing where there is only one.
func (v *view) likeliestSpot(r *engine.Ranked) string {
	if len(r.Places) == 0 {
		return ""
	}
	return v.spotName(r.Places[0].Place)
}

// nextWork is the next step in a few words: the likely repair, or the most telling check, or the likeliest repair.
func (v *view) nextWork() (title, takes string) {
	r, sure := v.likelyRepair()
	switch {
	case !sure && len(v.d.Checks) > 0:
		c := v.d.Checks[0]
		return oneLine(c.Title), v.takes(c.Place, c.Minutes)
	case !sure && len(v.d.Repairs) == 0:
		return "", ""
	case !sure:
		r = v.d.Repairs[0]
	}
	return oneLine(r.Title), v.takes(r.Place, r.Minutes)
}

// EntryError writes the entry of a sheet that could not be read.
func EntryError(w io.Writer, sheet, problem string, s Style) error {
	s = s.filled()
	t := &terminal{width: s.Width, colour: s.Colour}
	first, _, _ := strings.Cut(problem, "\n")
	first = strings.TrimPrefix(first, sheet+": ")
	t.headed(one(bold(oneLine(sheet)+":"), text(" not done")))
	t.hang("  ", one(text(first)))
	return t.flush(w)
}

// EntriesEnd writes what stands below a list of entries.
func EntriesEnd(w io.Writer, s Style) error {
	s = s.filled()
	t := &terminal{width: s.Width, colour: s.Colour}
	t.hang("", one(text("Reasons, how each step is done, and its cautions: "), typed("diagnose triage"), text(" with a single sheet. "),
		bold(localCodes)))
	return t.flush(w)
}

// Ranking returns of [JSON] only the sheet, the job, the stop notices, every cause at every place and the warnings.
func Ranking(d *engine.Diagnosis, k *rules.Set) any {
	j := &translator{k: k}
	return pairs{
		{"sheet", clean(d.Sheet.Path)},
		{"job", clean(d.Sheet.Job)},
		{"stop", each(d.Stops, j.stop)},
		{"causes", each(d.Causes, causeJSON)},
		{"warnings", each(d.Warnings, warningJSON)},
	}
}
