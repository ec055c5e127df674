package interview

import "diagnose.example/symptoms"

// Group is a part of the talk: what can be asked without walking elsewhere.
type Group uint8

// The groups in their order. Done is past the last one.
const (
	Machine Group = iota
	Complaint
	History
	Rider
	LookOver
	Running
	Bench
	Done
)

// String returns a word for the group.
func (g Group) String() string {
	return []string{"machine", "complaint", "history", "rider", "look-over", "running", "bench", "done"}[g]
}

// who can answer in a group; only from Rider to Bench.
func (g Group) who() symptoms.Who {
	return map[Group]symptoms.Who{Rider: symptoms.Rider, LookOver: symptoms.LookOver, Running: symptoms.Running, Bench: symptoms.Bench}[g]
}

// The gain in bits, and the gain in bits a minute, below which a question is not asked. A rider answers in half a minute but has only so much
// patience; on the bench minutes are dear, and then each gram of doubt removed saves a repair in vain. Ours, set by trying.
type floor struct{ gain, perMinute float64 }

func (g Group) floor() floor {
	switch g {
	case Rider:
		return floor{0.01, 0.01}
	case LookOver, Running:
		return floor{0.02, 0.006}
	}
	return floor{0.02, 0.004}
}

// lower is by how much the floors drop when the user wants to be asked on.
const lower = 20

// patience is how many questions a group asks the rider before it lets go.
const patience = 8

// costs is what a question takes in minutes, with those until anybody has understood it and looked up.
func costs(o *symptoms.Observation) float64 {
	const understanding = 0.5
	if o.Who == symptoms.Rider {
		return understanding + max(0, o.Minutes-1)
	}
	return understanding + o.Minutes
}
