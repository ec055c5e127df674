package symptoms

import "slices"

// Said is an answer, anywhere on the machine. Words empty means any answer at all; of a yes-no observation they are yes or no, of a number
// how it is written.
type Said struct {
	ID    string
	Words []string
}

// Says reports whether an answer was given: at any place, somewhere, or as a fact.
func (s *Sheet) Says(said Said) bool {
	fits := func(r Reading) bool {
		if r.Observation.ID != said.ID {
			return false
		}
		return len(said.Words) == 0 || slices.ContainsFunc(said.Words, func(w string) bool { return r.Value.is(r.Observation, w) })
	}
	return slices.ContainsFunc(s.Readings, fits) || slices.ContainsFunc(s.Machine.Facts, fits)
}

// is reports whether a value of an observation is a word, yes or no, or a number written so.
func (v Value) is(o *Observation, word string) bool {
	switch o.Kind {
	case YesNo:
		return v.Yes == (word == "yes")
	case Choice:
		return slices.Contains(v.Words, word)
	}
	return v.Text == word
}
