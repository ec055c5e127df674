package plan

// Kind says what a step is.
type Kind uint8

const (
	Check    Kind = iota // look or measure; nothing on the machine is different afterwards
	Change               // swap parts or settings and try the machine: a test, that nothing is repaired by
	Repair               // make good, and try the machine
	HandOver             // give the job up or away: it ends there
	Stop                 // nothing that is left to do can cure anything
)

// String gives the word for the kind.
func (k Kind) String() string {
	words := [...]string{"check", "change", "repair", "hand over", "stop"}
	if int(k) < len(words) {
		return words[k]
	}
	return "no kind"
}

// Cost is what something takes, minutes of work and money for what is used up. Neither is negative.
type Cost struct {
	Minutes, Money float64
}

// Action is something that can be done once.
type Action struct {
	ID   string
	Kind Kind // of a test: Check or Change. Not read elsewhere.
	Cost      // for a repair or a change with trying the machine
	// Inside is the id of the cluster that must be open, "" for none.
	Inside string
	// After lists the ids of tests and repairs that must have been done before, whatever they showed.
	After []string
	// Running says that a check needs the machine put together; every change does.
	Running bool
}

// Cluster is work that gives access to several actions: it is paid for once and not again while it is open. Its cost is that of
// opening and closing together.
type Cluster struct {
	ID string
	Cost
	Factor float64 // access: what the minutes of this machine are multiplied by; 0 stands for 1
	Inside string  // id of the cluster that must be open first, "" for none
	// Closes says that it must be closed before the machine can be tried, so that it has to be opened again for what comes next.
	Closes bool
	Open   bool // it is open now
}

// Table holds all that can be done. Positions in Tests and Repairs are the numbers by which the Belief knows them. At most 64 tests, 64
// repairs and 64 clusters; ids are all different.
type Table struct {
	Tests, Repairs []Action
	Clusters       []Cluster
	// Last are the ways to end the job at any time, sending it out or renewing the whole unit; only the cheapest counts. With
	// none, the job goes on until nothing that is left to do can cure anything.
	Last []Action
	// Done lists ids that actions may name in After although they are not in the table: they have been done before.
	Done []string
	// Rate is how much money a minute of work is worth. 0 is allowed if nothing costs money.
	Rate float64
}
