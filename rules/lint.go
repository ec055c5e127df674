package rules

import "diagnose.example/symptoms"

// Lint is one remark of [Set.Lint] about a record.
type Lint struct {
	Pos symptoms.Position
	// ID is the record, observation or source it is about; empty when it is about the whole.
	ID string
	// Message says what was found, Hint what would mend it.
	Message, Hint string
}

// String returns "file:line:column: id: message; hint".
func (l Lint) String() string {
	return (&Error{Pos: l.Pos, ID: l.ID, Message: l.Message, Hint: l.Hint}).Error()
}

// Lint looks for knowledge that is well formed but doubtful.
func (s *Set) Lint() []Lint { return nil }
