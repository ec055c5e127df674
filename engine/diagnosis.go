package engine

import (
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Diagnosis is everything the engine says about one intake sheet, as data. Texts for people are made from it elsewhere.
// Slices are in the order in which they should be shown.
type Diagnosis struct {
	Sheet *symptoms.Sheet
	// Stops come before anything else: conditions under which the machine must not be run, or not yet.
	Stops []Stop
	// Causes lists every cause that exists for the machine at every place, by probability, ties by id, then place.
	Causes []*Cause
	// Ranked lists each distinct cause once, by the probability that it is present at one place at least.
	Ranked []*Ranked
	// Effects lists the effects that the evidence says something about, by place and then in the order of the knowledge.
	Effects []Effect
	// Heard says what was made of every reading of the sheet, in the sheet's order, and then of every reading computed.
	Heard []Heard
	// Measured compares the numbers on the sheet, and those computed from them, with what they should be.
	Measured []Measured
	// Unasked lists the questions nobody answered that would tell most for the minutes they take, best first.
	Unasked []Question
	// Checks lists bench work worth doing next, most telling per minute first.
	Checks []Check
	// Repairs lists what cures the likeliest causes, by the probability that it cures one of them.
	Repairs []Repair
	// Warnings qualify the result; each says what would remove it.
	Warnings []Warning
	Effort   Effort
}

// Place is where a cause, effect or finding is. The zero Place is the whole machine.
type Place struct {
	Level symptoms.Level
	// Name is the carburetor's or cylinder's name from the sheet; empty for the machine.
	Name string
}

// Cause is one cause at one place.
type Cause struct {
	*rules.Cause
	Place Place
	// Probability is the posterior P(present here | sheet); Prior the same with history applied and nothing observed.
	Probability, Prior float64
	// Anywhere is P(present at one place at least | sheet), the same for all places of one cause.
	Anywhere float64
}

// Ranked is a distinct cause with its places, and, for the first few, the reasons.
type Ranked struct {
	*rules.Cause
	Anywhere float64
	// Exact is false when Anywhere was not worth an inference of its own: it is then what it would be if the places were
	// independent. It lies between the largest probability of Places and their sum either way.
	Exact bool
	// Prior is P(present at one place at least) before anything was observed.
	Prior float64
	// Places holds the cause at each place, likeliest first. Place "" is the machine.
	Places []*Cause
	// For and Against hold the evidence at the likeliest place, strongest first. Only the first causes have it
	// (Options.Explain of them).
	For, Against []Weight
	// Chain leads from the cause at its likeliest place to what was, or could be, observed.
	Chain []Step
	// Repairs lists the ids of the repairs that cure it, best first.
	Repairs []string
}

// Weight is what one piece of evidence does to one cause: factors on its odds.
type Weight struct {
	Evidence Evidence
	// Alone is the factor on the prior odds with this evidence only; Rest the factor when all other evidence is already
	// known. Above 1 it speaks for the cause, below 1 against. Decibans are 10·log10 of it (Good 1985).
	Alone, Rest float64
	// ToldBy names other evidence that already says the same, when Alone is large and Rest small.
	ToldBy []Evidence
	// Through names the rival cause ("id" and place) that the evidence speaks for, when it has no path to this cause.
	Through *Cause
}

// EvidenceKind tells where a piece of evidence comes from.
type EvidenceKind uint8

// The kinds of evidence.
const (
	Observed EvidenceKind = iota // a reading of the sheet
	TriedOut                     // a repair that was tried, and how the machine was after it
)

// Evidence is one observation (with its whole group of findings) or one repair that was tried.
type Evidence struct {
	Kind        EvidenceKind
	Observation *symptoms.Observation // when Observed
	Place       Place                 // where it was observed; zero for the whole machine
	Somewhere   bool                  // at one place at least, it is not known which
	Answer      string                // as written on the sheet
	// Rules are the rules that read it as evidence and apply here.
	Rules []*rules.Rule
	// Repair and After are set when TriedOut.
	Repair *rules.Repair
	After  string
	Pos    symptoms.Position
}

// State is what the sheet says of one finding.
type State int8

// The states of a finding.
const (
	NotSeen  State = -1 // looked at, not so
	NotAsked State = 0  // nobody looked, or hidden by another word
	Seen     State = 1
	Doubtful State = 2 // a reading near a limit: weights per band
)

// Node names a cause, an effect or a rule (finding) at a place.
type Node struct {
	Kind  string // "cause", "effect", "finding"
	ID    string
	Title string
	Place Place
}

// Step is one link of a chain of cause and effect.
type Step struct {
	From, To Node
	// Word and Chance are the link's: how often From makes To happen.
	Word   string
	Chance float64
	Cites  []rules.Cite
	// Probability is the posterior of To when it is an effect; 0 for a finding.
	Probability float64
	// State is what the sheet says of To when it is a finding.
	State  State
	Answer string // as written on the sheet, when the finding was asked
}

// Effect is one effect at one place with its posterior.
type Effect struct {
	*rules.Effect
	Place       Place
	Probability float64
}

// Heard says what became of one reading of the sheet.
type Heard struct {
	Reading symptoms.Reading
	// Used is false when no finding reads the observation, or none that applies here; Why then says so in a few words.
	Used bool
	Why  string
	// Rules are the rules that read it, with the state each got.
	Rules  []*rules.Rule
	States []State
}

// Question is an observation that nobody made and what each answer would mean.
type Question struct {
	Observation *symptoms.Observation
	Place       Place
	// Gain is the expected fall of the uncertainty about the causes, in bits, summed over causes; each counts by the share of
	// its probability that the sheet put there.
	Gain float64
	// Answers are the possible answers, likeliest first; none where Gain is estimated.
	Answers []Answer
	// Estimated is set where Gain is only estimated: a rule waits for a fact that is not on the sheet, or, on a first screen, the
	// answers would take several times the work of the ranking.
	Estimated bool
	// Circumstance is true when the observation is asked because a condition needs it, not as evidence of its own.
	Circumstance bool
	// Write are the readings that the answer is computed from and that nobody gave: they are what is written on the sheet. It is
	// empty where the answer is written itself.
	Write []*symptoms.Observation
}

// Answer is one possible answer to a question.
type Answer struct {
	Text string
	// Probability is P(answer | sheet).
	Probability float64
	// Top names the likeliest causes (with Anywhere) after this answer.
	Top []Likely
}

// Likely is a cause with its probability of being present somewhere.
type Likely struct {
	ID, Title string
	Anywhere  float64
}

// Check is a piece of bench work with what it would tell.
type Check struct {
	*rules.Check
	Place Place
	// Gain is the expected fall of uncertainty in bits, PerMinute the same by the check's minutes.
	Gain, PerMinute float64
	// Questions are the unasked observations it takes.
	Questions []Question
}

// Repair is a repair with the probability that it cures something present.
type Repair struct {
	*rules.Repair
	Place Place
	// Probability is P(at least one cause present that it would cure | sheet).
	Probability float64
	Parts       []*rules.Part
	// For lists the causes it is proposed for, likeliest first.
	For []*Cause
}

// Stop is a stop notice whose condition holds on the sheet.
type Stop struct {
	*rules.Stop
	Place Place
	// Because lists the readings that made it true, as "question: answer".
	Because []string
}

// WarningKind classes a warning.
type WarningKind string

// The kinds of warning.
const (
	NothingSeparates WarningKind = "nothing separates" // causes the sheet cannot tell apart yet
	LittleSaid       WarningKind = "little said"       // too few observations to say much
	SetAside         WarningKind = "set aside"         // findings left out to keep the computation exact within its limit
	NotUsed          WarningKind = "not used"          // a reading that says nothing as written
	NotExplained     WarningKind = "not explained"     // a finding that no likely cause explains
)

// Warning qualifies a result.
type Warning struct {
	Kind WarningKind
	// Text is one sentence; Remedy says what would remove the warning, as something to do or write.
	Text, Remedy string
	// Causes are those that the text names, if it names two.
	Causes []*Ranked
}

// Effort is what the inference took.
type Effort struct {
	// Width is the largest number of open bits, Entries the table entries touched, Findings the pieces of evidence used.
	Width    int
	Entries  float64
	Findings int
	// LogEvidence is the natural logarithm of P(evidence).
	LogEvidence float64
	// SetAside lists evidence left out to stay within the limit.
	SetAside []Evidence
}

// Detail says how much of what could be worked out is. Each piece of evidence weighed against the rest, and each answer foretold,
// takes an inference of its own.
type Detail uint8

// The details. FirstScreen weighs only the two pieces of evidence that bear most on each explained cause, draws no chain, works
// out fewer questions, does not foretell what answers would mean (Answer.Top is empty), and works out P(anywhere) exactly
// only for the causes that may be among the first.
const (
	Everything Detail = iota
	FirstScreen
)

// Options say how much to compute. The zero value is what a first screen needs.
type Options struct {
	// Explain is how many of the ranked causes get For, Against and Chain; 0 means 5, negative means none.
	Explain int
	// Detail says how much is worked out for them.
	Detail Detail
	// Questions is how many unasked questions and checks to work out; 0 means 5, negative means none.
	Questions int
	// Limit is the largest number of table entries for one inference; 0 means the default of the belief package.
	Limit float64
	// Processors is how many processors are used at a time; 0 means all. Where many sheets are diagnosed side by side, 1 each is
	// quickest.
	Processors int
	// WholeChain keeps every finding on the chains; otherwise they hold those that somebody looked for, and some others only
	// where nobody looked for any.
	WholeChain bool
}
