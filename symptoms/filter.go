package symptoms

// Filter returns a vocabulary with the entries for which keep is true, in the same order. It is for lists; a sheet is decoded
// with the whole vocabulary.
func (v *Vocabulary) Filter(keep func(*Observation) bool) *Vocabulary {
	var kept []*Observation
	for _, o := range v.all {
		if keep(o) {
			kept = append(kept, o)
		}
	}
	return newVocabulary(kept)
}
