package report

// cut says how much of each part the first screen shows.
type cut struct {
	gaps         int  // how many of the empty lines between the parts there are
	extras       bool // lines that one could do without
	causes       int
	reasoned     int  // causes that get lines for place and reason; the others stand on one line with their place
	titleLines   int  // lines a title or question may take
	reasonLines  int  // lines under a cause for place and reason
	work         bool // what to do next, which is never without its whole caution
	alsoCheck    bool // the next check beside a likely repair
	howLines     int  // of the next check
	meanings     bool // what the check's answers would mean
	answers      int  // lines to write the check's answers on the sheet
	questions    int
	warnings     int
	warningLines int
	stops        stopFullness
}

// stopFullness says how much of a stop notice is shown; its title always is.
type stopFullness uint8

const (
	titleOnly stopFullness = iota
	withAction
	withReason
)

func fullest(top int) cut {
	c := cut{
		gaps: 4, extras: true, causes: defaultTop, reasoned: defaultTop, titleLines: 2, reasonLines: 2, work: true,
		alsoCheck: true, howLines: 3, meanings: true, answers: 2, questions: 3, warnings: 2, warningLines: 2, stops: withReason,
	}
	if top > 0 {
		c.causes, c.reasoned = top, top
	}
	return c
}

// shortenings are done one after another until the first screen fits. What can be looked up behind --details goes first;
// the first cause, what to do next with its caution, and the stop notices go last in this order: nobody works on where it says stop. The
// titles of stop notices are orders and never shortened.
var shortenings = []func(*cut){
	func(c *cut) { c.extras = false },
	func(c *cut) { c.stops = withAction },
	func(c *cut) { c.howLines = 2 },
	func(c *cut) { c.gaps = 3 },
	func(c *cut) { c.meanings = false },
	func(c *cut) { c.questions = min(c.questions, 2) },
	func(c *cut) { c.howLines, c.answers = 1, 1 },
	func(c *cut) { c.warnings = 1 },
	func(c *cut) { c.gaps = 2 },
	func(c *cut) { c.titleLines = 1 },
	func(c *cut) { c.howLines = 0 },
	func(c *cut) { c.questions = min(c.questions, 1) },
	func(c *cut) { c.gaps = 1 },
	func(c *cut) { c.warningLines = 1 },
	func(c *cut) { c.alsoCheck = false },
	func(c *cut) { c.reasonLines = 1 },
	func(c *cut) { c.reasoned = min(c.reasoned, 3) },
	func(c *cut) { c.gaps = 0 },
	func(c *cut) { c.reasoned = min(c.reasoned, 2) },
	func(c *cut) { c.reasoned = min(c.reasoned, 1) },
	func(c *cut) { c.causes = min(c.causes, 4) },
	func(c *cut) { c.causes = min(c.causes, 3) },
	func(c *cut) { c.questions = 0 },
	func(c *cut) { c.causes = min(c.causes, 2) },
	func(c *cut) { c.reasonLines = 0 },
	func(c *cut) { c.answers = 0 },
	func(c *cut) { c.causes = 1 },
	func(c *cut) { c.warnings = 0 },
	func(c *cut) { c.work = false },
	func(c *cut) { c.stops = titleOnly },
}
