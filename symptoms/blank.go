package symptoms

// Blank returns a commented blank sheet for a machine.
func Blank(v *Vocabulary, m Machine) []byte { return nil }
