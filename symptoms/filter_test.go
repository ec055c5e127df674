package symptoms

import "testing"

func TestVocabularyFilter(t *testing.T) {
	v, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	riders := v.Filter(func(o *Observation) bool { return o.Who == Rider })
	n := 0
	for _, o := range v.All() {
		_, kept := riders.Lookup(o.ID)
		if kept != (o.Who == Rider) {
			t.Errorf("Filter(who is rider) keeps %s, answered by %s: %t; want %t", o.ID, o.Who, kept, o.Who == Rider)
		}
		if kept {
			n++
		}
	}
	if got := len(riders.All()); got != n || n == 0 || n == len(v.All()) {
		t.Errorf("Filter(who is rider) has %d entries; want %d, some and not all of %d", got, n, len(v.All()))
	}
}
