package engine_test

import (
	"regexp"
	"testing"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// hazard is a kind of work and what must be said where it is done. The sources were seen as the knowledge's own list of sources says.
type hazard struct {
	name   string
	work   *regexp.Regexp
	says   *regexp.Regexp
	source string
}

var hazards = []hazard{
	{"running engine", regexp.MustCompile(`(?i)\b(strobe|at (warm |a fast )?idle|let it idle|run it|while it runs|warm engine|engine running|exhaust gas)\b`),
		regexp.MustCompile(`(?i)\b(carbon monoxide|outdoors)\b`),
		"NIOSH 96-118: never run an engine inside a building; open doors or a fan do not make it safe. TM 5-4320-218-15: exhaust piped outside."},
	{"fuel let out", regexp.MustCompile(`(?i)\b(bowls? off|tap open|hose off|pipe off|tank off|drained? (it|the bowl|into)|jets? out|needle out|clear (tube|jar)|flow test)\b`),
		regexp.MustCompile(`(?i)\b(ignition source|flame|spark|no fuel or vapour)\b`),
		"site safety plans: vapour is heavier than air, runs along floors to distant flames, and lights far below freezing"},
	{"cleaner or air blown", regexp.MustCompile(`(?i)\b(cleaner (pushed|in at|through)|blow (it|through|dry)|blown|compressed air|spray)\b`),
		regexp.MustCompile(`(?i)\b(glasses|eyes|catch fire)\b`),
		"TM 5-4210-230-14&P-1: soak, rinse, blow dry; cautions with the step"},
}

// onTheRoad are things seen while riding, where the exhaust is not in a room.
var onTheRoad = regexp.MustCompile(`(?i)\bfree road\b`)

// told is a text that has somebody do something, with its caution.
type told struct {
	id, how, caution string
	running          bool
}

// TestCautionsStandWithTheStep looks at every text that has somebody do something with fuel, cleaner or a running engine.
func TestCautionsStandWithTheStep(t *testing.T) {
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	all := instructions(set)
	for _, h := range hazards {
		t.Run(h.name, func(t *testing.T) {
			met := 0
			for _, s := range all {
				if !h.work.MatchString(s.how) && !(s.running && h.name == "running engine" && !onTheRoad.MatchString(s.how)) {
					continue
				}
				met++
				if !h.says.MatchString(s.caution) && !h.says.MatchString(s.how) {
					t.Errorf("%s: %q has the caution %q; want one that says %v (%s)", s.id, s.how, s.caution, h.says, h.source)
				}
			}
			if met < 10 {
				t.Errorf("the pattern meets %d texts; it no longer fits them", met)
			}
		})
	}
}

func instructions(set *rules.Set) []told {
	var all []told
	for _, o := range set.Vocabulary.All() {
		all = append(all, told{o.ID, o.How, o.Caution, o.Who == symptoms.Running})
	}
	for _, c := range set.Checks {
		all = append(all, told{c.ID, c.How, c.Caution, false})
	}
	for _, r := range set.Repairs {
		all = append(all, told{r.ID, r.How, r.Caution, false})
	}
	return all
}
