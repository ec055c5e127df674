package symptoms

import "errors"

// A File is a named text, as the loaders of this package take it.
type File struct {
	Name string
	Data []byte
}

// A Vocabulary is a checked list of observations. It does not change after loading
// and may be shared.
type Vocabulary struct {
	all  []*Observation
	byID map[string]*Observation
}

// Default returns the embedded vocabulary.
func Default() (*Vocabulary, error) { return nil, errors.New("no vocabulary yet") }

// ParseVocabulary reads a vocabulary of one file.
func ParseVocabulary(name string, data []byte) (*Vocabulary, error) {
	return LoadVocabulary([]File{{name, data}})
}

// LoadVocabulary reads a vocabulary that is spread over several files.
func LoadVocabulary(files []File) (*Vocabulary, error) {
	return nil, errors.New("no vocabulary yet")
}

// All returns every entry in file order: facts, spec values, history words and observations.
func (v *Vocabulary) All() []*Observation { return append([]*Observation(nil), v.all...) }

// Lookup returns the entry with the given id.
func (v *Vocabulary) Lookup(id string) (*Observation, bool) {
	o, ok := v.byID[id]
	return o, ok
}

// Nearest returns the known id that is spelled most like the given one, or "" if
// none is close.
func (v *Vocabulary) Nearest(id string) string { return "" }
