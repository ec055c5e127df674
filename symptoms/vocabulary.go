package symptoms

import (
	_ "embed" // the fast form of the vocabulary
	"slices"
	"sync"
)

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
	ids  []string
}

//go:embed vocabulary.lines
var embedded string

var defaultVocabulary = sync.OnceValues(func() (*Vocabulary, error) {
	all, err := readLines(embedded)
	if err != nil {
		return nil, err
	}
	return newVocabulary(all), nil
})

// Default returns the embedded vocabulary. It is read once, from a form generated out of
// the YAML files, and shared from then on.
func Default() (*Vocabulary, error) { return defaultVocabulary() }

// ParseVocabulary reads a vocabulary of one file. The error is an ErrorList that holds
// all faults.
func ParseVocabulary(name string, data []byte) (*Vocabulary, error) {
	return LoadVocabulary([]File{{Name: name, Data: data}})
}

// LoadVocabulary reads a vocabulary that is spread over several files; they are joined
// in the order given. The error is an ErrorList that holds all faults of all files.
func LoadVocabulary(files []File) (*Vocabulary, error) {
	entries, faults := readVocabulary(files)
	if len(faults) > 0 {
		return nil, faults
	}
	all := make([]*Observation, len(entries))
	for i, e := range entries {
		all[i] = e.o
	}
	return newVocabulary(all), nil
}

func newVocabulary(all []*Observation) *Vocabulary {
	v := &Vocabulary{all: all, byID: make(map[string]*Observation, len(all)), ids: make([]string, len(all))}
	for i, o := range all {
		v.byID[o.ID], v.ids[i] = o, o.ID
	}
	return v
}

// All returns every entry in file order: facts, spec values, history words and
// observations. The slice is the caller's, the observations are shared.
func (v *Vocabulary) All() []*Observation { return slices.Clone(v.all) }

// Lookup returns the entry with the given id.
func (v *Vocabulary) Lookup(id string) (*Observation, bool) {
	o, ok := v.byID[id]
	return o, ok
}

// Nearest returns the known id that is spelled most like the given one, or "" if
// none is close.
func (v *Vocabulary) Nearest(id string) string { return Nearest(id, v.ids) }

// in returns the ids of one part of the sheet.
func (v *Vocabulary) in(w Where) []string {
	var ids []string
	for _, o := range v.all {
		if o.Where == w {
			ids = append(ids, o.ID)
		}
	}
	return ids
}
