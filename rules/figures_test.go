package rules_test

import (
	"regexp"
	"testing"

	"diagnose.example/rules"
)

// figure is a number with a unit of the trade behind it.
var figure = regexp.MustCompile(`\b\d+(\.\d+)? ?(mm|kPa|psi|bar|V|kV|°C|ml|cm3|per cent|%)(\W|$)`)

// TestFiguresAreCited holds every figure to a citation beside it: the limits of the bands, and numbers with units in the texts.
// Common practice counts, since it says what it is; the sources themselves are checked when the packs are loaded.
func TestFiguresAreCited(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	figures := 0
	check := func(id, text string, cites int) {
		if !figure.MatchString(text) {
			return
		}
		figures++
		if cites == 0 {
			t.Errorf("%s: %q gives %q without a citation", id, text, figure.FindString(text))
		}
	}
	for _, o := range set.Vocabulary.All() {
		if len(o.Bands) > 0 {
			figures++
			if len(o.Cites) == 0 {
				t.Errorf("%s: its bands have limits without a citation", o.ID)
			}
		}
		check(o.ID, o.How, len(o.Cites))
	}
	for _, c := range set.Causes {
		check(c.ID, c.Text+" "+c.Tell, len(c.Cites))
	}
	for _, e := range set.Effects {
		check(e.ID, e.Text, len(e.Cites))
	}
	for _, r := range set.Rules {
		check(r.ID, r.Why, len(r.Cites))
	}
	for _, c := range set.Checks {
		check(c.ID, c.How, len(c.Cites))
	}
	for _, r := range set.Repairs {
		check(r.ID, r.How, len(r.Cites))
	}
	if figures < 20 {
		t.Errorf("%d figures are met; the pattern no longer fits the texts", figures)
	}
}
