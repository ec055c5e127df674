package rules

import (
	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

// Set is the whole knowledge: the records of all packs in the order in which they were loaded. It is built by [Load] or
// [Default], is not changed afterwards, and may be shared by any number of goroutines.
type Set struct {
	Sources []*Source
	Causes  []*Cause
	Effects []*Effect
	Rules   []*Rule
	Stops   []*Stop
	Checks  []*Check
	Repairs []*Repair
	Parts   []*Part
	Access  []*Access
	// Packs lists the packs that the records came from.
	Packs []Pack
	// Vocabulary holds the observations, facts and history words that the records speak of.
	Vocabulary *symptoms.Vocabulary
	// Env is what the conditions were compiled against; its symbols are those of [BuildEnv].
	Env *condition.Env

	index   map[string]record  // by id
	symbols []Symbol           // by index of Env
	numbers map[string]numbers // by id of the observation that they are about
}

// Pack names one pack file and what it is about.
type Pack struct {
	Name, Text string
	Pos        symptoms.Position
}

// Cause is something wrong that one can repair or adjust.
type Cause struct {
	ID, Title, Text string
	About           symptoms.Level
	// System is one of [Systems].
	System string
	// Exists says on which machines the cause can be present at all; nil means on all.
	Exists *condition.Condition
	Prior  Prior
	// Makes leads to effects.
	Makes []Link
	// Tell says how to tell the cause from its rivals.
	Tell  string
	Cites []Cite
	Pos   symptoms.Position
}

// Prior says how often a cause is present, per place, on a machine of unknown complaint that is brought to a shop.
type Prior struct {
	// Base is the probability without any history, above 0 and at most one half.
	Base float64
	// Odds holds the history words that change it.
	Odds []HistoryFactor
}

// HistoryFactor multiplies the prior odds of a cause when its history word was told.
type HistoryFactor struct {
	History string
	// Factor is above 0 and not 1.
	Factor float64
}

// Link says how often one thing makes another happen, or how often it is seen by a rule, or how often a repair cures it.
type Link struct {
	// To is the id of the record at the other end.
	To string
	// Chance is the probability, above 0 and at most 1; Word is how it was written.
	Chance float64
	Word   string
}

// Effect is what goes wrong inside the machine because of a cause or of another effect.
type Effect struct {
	ID, Title, Text string
	About           symptoms.Level
	// Makes leads to further effects.
	Makes []Link
	// Otherwise is the probability that the effect is there although nothing that makes it is: the leak.
	Otherwise     float64
	OtherwiseWord string
	Cites         []Cite
	Pos           symptoms.Position
}

// Rule says by which finding effects, or causes directly, are seen.
type Rule struct {
	ID, Title string
	About     symptoms.Level
	// Given is the circumstance under which the finding means anything; nil means always. False or unknown: the rule does
	// not apply.
	Given *condition.Condition
	// When is the finding.
	When *condition.Condition
	// Finding is what When says when it is about one observation only; valid when Simple.
	Finding condition.Finding
	Simple  bool
	// SeenWith leads against the arrow: each To is an effect or a cause that makes the finding.
	SeenWith []Link
	// Otherwise is the probability of the finding with nothing wrong: the leak. It is never 0.
	Otherwise     float64
	OtherwiseWord string
	// Why gives the reason in a sentence or two.
	Why   string
	Cites []Cite
	// Fires and Silent are cases in which the rule must fire, and near misses in which it must not.
	Fires, Silent []Example
	Pos           symptoms.Position

	evidence []string // observations read by When, sorted
}

// Example is one case of a rule: what was found, as on an intake sheet.
type Example struct {
	Values []ExampleValue
	Pos    symptoms.Position
}

// ExampleValue is one value of an [Example] in the notation of the intake sheet.
type ExampleValue struct {
	// Name is the id of an observation, fact or spec value, or "band." and the id of a banded number.
	Name string
	// Words are the value as written: one text, or several where several words hold.
	Words []string
	Pos   symptoms.Position
}

// Stop is a condition under which the machine must not be run or started.
type Stop struct {
	ID, Title string
	About     symptoms.Level
	When      *condition.Condition
	// Do says what to do at once.
	Do, Caution string
	Cites       []Cite
	Pos         symptoms.Position
}

// Check is a piece of bench work that takes observations.
type Check struct {
	ID, Title string
	About     symptoms.Level
	// Observes holds the ids of the observations it takes.
	Observes []string
	How      string
	Minutes  float64
	Tools    []string
	// Opens names the access that the check needs and other work shares; empty when there is none worth sharing. Minutes include it.
	Opens string
	// Swaps says what is changed over to see whether the trouble goes with it ("the plugs"); empty for a plain look or measurement.
	Swaps   string
	Caution string
	// After holds the ids of checks and repairs that must come first.
	After []string
	Cites []Cite
	Pos   symptoms.Position
}

// Repair is a piece of work that cures causes.
type Repair struct {
	ID, Title string
	About     symptoms.Level
	// Cures leads to causes; Chance is how reliably.
	Cures []Link
	// Parts holds the ids of the parts it needs.
	Parts   []string
	Minutes float64
	// Opens names the access that several repairs share ("carburetors-off"); empty when there is none worth sharing. Minutes include it.
	Opens        string
	How, Caution string
	// After holds the ids of checks and repairs that must come first.
	After []string
	Cites []Cite
	Pos   symptoms.Position
}

// Part is something a repair needs.
type Part struct {
	ID, Title, Text string
	Pos             symptoms.Position
}

// Access is work that gives access to several checks and repairs, and is paid for once while it is open.
type Access struct {
	ID, Title string
	// About says what is opened at once: the machine, or one carburetor or cylinder.
	About symptoms.Level
	// Minutes of opening and closing together; Each is what every carburetor after the first adds. They are part of the minutes of
	// each check and repair that opens it.
	Minutes, Each float64
	// Inside is the id of the access that must be open first, on machines on which When holds; nil means on all.
	Inside string
	When   *condition.Condition
	Cites  []Cite
	Pos    symptoms.Position
}

// Cause returns the cause with the given id.
func (s *Set) Cause(id string) (*Cause, bool) { return find[Cause](s, id) }

// Effect returns the effect with the given id.
func (s *Set) Effect(id string) (*Effect, bool) { return find[Effect](s, id) }

// Rule returns the rule with the given id.
func (s *Set) Rule(id string) (*Rule, bool) { return find[Rule](s, id) }

// Stop returns the stop notice with the given id.
func (s *Set) Stop(id string) (*Stop, bool) { return find[Stop](s, id) }

// Check returns the check with the given id.
func (s *Set) Check(id string) (*Check, bool) { return find[Check](s, id) }

// Repair returns the repair with the given id.
func (s *Set) Repair(id string) (*Repair, bool) { return find[Repair](s, id) }

// Part returns the part with the given id.
func (s *Set) Part(id string) (*Part, bool) { return find[Part](s, id) }

// AccessTo returns the access with the given id.
func (s *Set) AccessTo(id string) (*Access, bool) { return find[Access](s, id) }

// Source returns the source with the given id; "common-practice" and "memory" are always there.
func (s *Set) Source(id string) (*Source, bool) { return find[Source](s, id) }

// find fails for the id of another kind, since the map holds all kinds.
func find[T any](s *Set, id string) (*T, bool) {
	r, ok := any(s.index[id]).(*T)
	return r, ok
}

// Actions returns the ids of all checks and repairs: what an intake sheet can name as tried.
func (s *Set) Actions() []string {
	var ids []string
	for _, c := range s.Checks {
		ids = append(ids, c.ID)
	}
	for _, r := range s.Repairs {
		ids = append(ids, r.ID)
	}
	return ids
}
