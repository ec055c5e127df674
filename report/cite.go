package report

import (
	"fmt"
	"strconv"
	"strings"

	"diagnose.example/rules"
)

// citations numbers the sources in the order in which a text first cites them.
type citations struct {
	k     *rules.Set
	order []string
}

// mark returns the citations behind a statement: " [1, par. 31g; 2]", or " (common practice)". What somebody remembered is
// no source; a statement that has nothing better says so.
func (c *citations) mark(cites []rules.Cite) string {
	var numbers []string
	practice, memory := false, false
	for _, x := range cites {
		switch {
		case x.Source == rules.CommonPractice:
			practice = true
		case c.remembered(x.Source):
			memory = true
		default:
			numbers = appendNew(numbers, c.number(x))
		}
	}
	switch {
	case len(numbers) > 0:
		return " [" + strings.Join(numbers, "; ") + "]"
	case practice:
		return " (common practice)"
	case memory:
		return " (from memory, no source)"
	}
	return ""
}

func appendNew(list []string, s string) []string {
	for _, x := range list {
		if x == s {
			return list
		}
	}
	return append(list, s)
}

// remembered says that a source is not one that was seen.
func (c *citations) remembered(id string) bool {
	if id == rules.Memory {
		return true
	}
	s, ok := c.source(id)
	return ok && s.Kind == rules.Remembered
}

func (c *citations) source(id string) (*rules.Source, bool) {
	if c.k == nil {
		return nil, false
	}
	return c.k.Source(id)
}

func (c *citations) number(x rules.Cite) string {
	n := 0
	for i, id := range c.order {
		if id == x.Source {
			n = i + 1
		}
	}
	if n == 0 {
		c.order = append(c.order, x.Source)
		n = len(c.order)
	}
	if x.At == "" {
		return strconv.Itoa(n)
	}
	return strconv.Itoa(n) + ", " + oneLine(x.At)
}

// list adds the bibliography of what was cited to the page.
func (c *citations) list(p *page) {
	if len(c.order) == 0 {
		return
	}
	p.heading(2, text("Sources"))
	for i, id := range c.order {
		p.item(0, text(fmt.Sprintf("[%d] %s", i+1, c.entry(id))))
	}
}

func (c *citations) entry(id string) string {
	s, ok := c.source(id)
	if !ok {
		return id + " (not in the list of sources)"
	}
	return oneLine(s.String())
}
