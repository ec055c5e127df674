package rules

import "diagnose.example/symptoms"

// record is any of the nine kinds.
type record interface{ head() head }

// head is what records have in common.
type head struct {
	kind, id, title string
	pos             symptoms.Position
	cites           []Cite
}

func (r *Source) head() head { return head{"source", r.ID, r.Title, r.Pos, nil} }
func (r *Cause) head() head  { return head{"cause", r.ID, r.Title, r.Pos, r.Cites} }
func (r *Effect) head() head { return head{"effect", r.ID, r.Title, r.Pos, r.Cites} }
func (r *Rule) head() head   { return head{"rule", r.ID, r.Title, r.Pos, r.Cites} }
func (r *Stop) head() head   { return head{"stop notice", r.ID, r.Title, r.Pos, r.Cites} }
func (r *Check) head() head  { return head{"check", r.ID, r.Title, r.Pos, r.Cites} }
func (r *Repair) head() head { return head{"repair", r.ID, r.Title, r.Pos, r.Cites} }
func (r *Part) head() head   { return head{"part", r.ID, r.Title, r.Pos, nil} }
func (r *Access) head() head { return head{"access", r.ID, r.Title, r.Pos, r.Cites} }

// head returns the head of the record with the given id; zero when there is none.
func (s *Set) head(id string) head {
	if r, ok := s.index[id]; ok {
		return r.head()
	}
	return head{}
}

// heads returns the heads of all records but sources, kind by kind in the order of the packs.
func (s *Set) heads() []head {
	var hs []head
	hs = appendHeads(hs, s.Causes)
	hs = appendHeads(hs, s.Effects)
	hs = appendHeads(hs, s.Rules)
	hs = appendHeads(hs, s.Stops)
	hs = appendHeads(hs, s.Checks)
	hs = appendHeads(hs, s.Repairs)
	hs = appendHeads(hs, s.Parts)
	return appendHeads(hs, s.Access)
}

// appendHeads exists because a slice of one kind of record is no slice of records.
func appendHeads[T record](hs []head, list []T) []head {
	for _, r := range list {
		hs = append(hs, r.head())
	}
	return hs
}
