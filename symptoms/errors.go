package symptoms

// An Error is one fault of a sheet or vocabulary.
type Error struct {
	Pos Position
	// Offending is the text that is wrong, as it stands in the file; "" if something
	// is missing.
	Offending string
	// Message says what is wrong, Hint what to write instead.
	Message, Hint string
	// Line is the source line, "" if there is none.
	Line string
}

// Error returns position and message, and on further lines the source line with a
// caret and the hint.
func (e *Error) Error() string { return e.Pos.String() + ": " + e.Message }

// An ErrorList holds all faults of a file in the order of their positions.
type ErrorList []*Error

// Error returns the texts of all faults, one after another.
func (l ErrorList) Error() string {
	s := ""
	for _, e := range l {
		s += e.Error() + "\n"
	}
	return s
}

// Unwrap returns the faults one by one, for errors.As.
func (l ErrorList) Unwrap() []error {
	errs := make([]error, len(l))
	for i, e := range l {
		errs[i] = e
	}
	return errs
}
