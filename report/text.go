package report

import (
	"io"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// Text writes a diagnosis for a terminal or a pipe. Brief, it is the first screen: stop notices, the machine, the likeliest
// causes with place and reason, the next check with its caution, what was not asked, and where the rest is; it fits into
// s.Width columns and s.Height lines, the last of which stays free for the prompt. Full, it is everything the diagnosis
// holds, and may be as long as it needs to be.
func Text(w io.Writer, d *engine.Diagnosis, k *rules.Set, s Style) error {
	v := newView(d, k, s)
	return onScreen(w, s, v.everything, v.firstScreen)
}

// Markdown writes a diagnosis as GitHub-flavoured Markdown, to be printed or kept with the job. Brief, it is a hand-out of a
// page or two with what to do; full, it is everything the diagnosis holds.
func Markdown(w io.Writer, d *engine.Diagnosis, k *rules.Set, s Style) error {
	v := newView(d, k, s)
	m := &hypertext{}
	if s.Details == Full {
		m.page(v.everything())
	} else {
		m.page(v.handOut())
	}
	return m.flush(w)
}

// everything is the page that holds all of a diagnosis.
func (v *view) everything() *page {
	p := &page{}
	v.title(p)
	v.stopSection(p)
	v.sheetSection(p)
	v.warningSection(p)
	v.rankingSection(p)
	v.reasonSections(p)
	v.effectSection(p)
	v.heardSection(p)
	v.measuredSection(p)
	v.questionSection(p, len(v.d.Unasked))
	v.checkSection(p, len(v.d.Checks))
	v.repairSection(p, len(v.d.Repairs))
	v.effortSection(p)
	v.end(p)
	return p
}

// What the hand-out holds of the longer lists.
const (
	handOutQuestions = 5
	handOutChecks    = 3
	handOutRepairs   = 3
)

// handOut is the page for the bench: what to do, in the order in which to do it.
func (v *view) handOut() *page {
	p := &page{}
	v.title(p)
	v.stopSection(p)
	v.sheetSection(p)
	v.warningSection(p)
	v.rankingSection(p)
	v.checkSection(p, handOutChecks)
	v.questionSection(p, handOutQuestions)
	v.repairSection(p, handOutRepairs)
	v.end(p)
	return p
}

func (v *view) end(p *page) {
	v.cites.list(p)
	p.heading(2, text("About the figures"))
	p.para(text(roundingRule))
	if v.style.Details == Full {
		p.para(text(weightRule))
	}
	p.para(bold(localCodes))
}
