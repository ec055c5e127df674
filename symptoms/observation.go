package symptoms

// Level says what an observation is about.
type Level uint8

// The three levels of a machine. Cylinders hang on carburetors, see Machine.Feeds.
const (
	WholeMachine Level = iota
	Carburetor
	Cylinder
)

// String returns "machine", "carburetor" or "cylinder".
func (l Level) String() string { return name(levelNames, int(l)) }

// Where says in which part of a sheet an observation is written.
type Where uint8

// Fact is a property of the machine, History a word about how the trouble came, and
// Observed everything that is seen, heard, felt or measured.
const (
	Fact Where = iota
	History
	Observed
)

// String returns "machine", "history" or "observed".
func (w Where) String() string { return name(whereNames, int(w)) }

// Kind is the form of an answer.
type Kind uint8

// The three forms of an answer.
const (
	YesNo Kind = iota
	Choice
	Number
)

// String returns "yes-no", "choice" or "number".
func (k Kind) String() string { return name(kindNames, int(k)) }

// Who can answer a question.
type Who uint8

// Rider answers by memory, LookOver by looking at the bike, Bench with tools and
// the engine off, Running with the engine running.
const (
	Rider Who = iota
	LookOver
	Bench
	Running
)

// String returns "rider", "look-over", "bench" or "running".
func (w Who) String() string { return name(whoNames, int(w)) }

var (
	levelNames = []string{"machine", "carburetor", "cylinder"}
	whereNames = []string{"machine", "history", "observed"}
	kindNames  = []string{"yes-no", "choice", "number"}
	whoNames   = []string{"rider", "look-over", "bench", "running"}
)

func name(names []string, i int) string {
	if i < len(names) {
		return names[i]
	}
	return "invalid"
}

// A Word is one allowed answer and what a person sees who should choose it.
type Word struct {
	Word, Means string
}

// A Band is a stretch of a measurement that has a name.
type Band struct {
	Word, Means string
	// Lo and Hi are the limits in SI base units, relative to Observation.Around;
	// the outermost are -Inf and +Inf.
	Lo, Hi float64
}

// A Tell is what a reading means in figures, beside being high or low: so many millimetres
// of fuel level, so many per cent of mixture.
type Tell struct {
	// Number is a number in the condition language; package rules compiles it.
	Number string
	// Unit is the unit in which it is shown.
	Unit string
	// Says stands before the figure; where Less is given, Says is for figures above nought
	// and Less for those below, shown without their sign.
	Says, Less string
}

// A Cite says where a statement of the vocabulary comes from. It is kept as written;
// whether the source exists is for package rules to check.
type Cite struct {
	Source, At, For string
}

// Relative reports whether the limits of the bands are relative to something.
func (o *Observation) Relative() bool { return o.Around != "" || len(o.Expected) > 0 }

// An Observation is one thing that can be said: a fact, a spec value, a history word
// or an observation proper. Values are shared by all users of a Vocabulary and
// must not be changed.
type Observation struct {
	ID, Question string
	Where        Where
	About        Level
	Kind         Kind

	// Words are the allowed answers of a choice, abnormal ones first and in masking
	// order (a word hides those after it), the normal word last. For a number with
	// bands they are the bands' words, outermost first, the low side first at equal
	// rank, the normal one last.
	Words []Word
	// Normal is "yes" or "no", a word, or a band's word; "" if no answer is normal.
	Normal string
	// Several says that several words can hold at once.
	Several bool

	// Unit is the unit of Range and Uncertainty and of a bare number; "" for counts.
	Unit string
	// Range holds the plausible limits in Unit, both inclusive.
	Range [2]float64
	// Uncertainty is the standard uncertainty of one reading, in Unit.
	Uncertainty float64
	// Blunder is the share of readings that are plain wrong.
	Blunder float64
	// Around is what the limits of Bands are relative to: "" for absolute limits, the
	// id of a spec value, or "others" for the median of the same reading at the other
	// places.
	Around string
	// Expected are numbers, as texts in the condition language, that are tried before
	// Around for what the limits are relative to, in this order: what a model expects the
	// reading to be. Package rules compiles them; here they are only kept.
	Expected []string
	// Computed is a number, as a text in the condition language, that stands for the
	// reading where nobody gave it; "" for none. Package rules compiles it.
	Computed string
	// Tells are what the reading means in figures.
	Tells []Tell
	// Bands cut a number that is evidence, in ascending order.
	Bands []Band

	Who     Who
	How     string
	Minutes float64
	Tools   []string
	Caution string
	// Common marks the questions of the blank sheet.
	Common bool
	Cites  []Cite
}
