package symptoms

import "testing"

func TestSays(t *testing.T) {
	s, err := Decode("s", []byte(`sheet: 1
machine: {carburetors: 2, tap_kind: vacuum}
observed: {smells_of_petrol: yes}
somewhere: {fuel_overflow: drips}
at: {"1": {float_height: 22.5 mm}}
`), smallVocabulary(t), DecodeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		said Said
		want bool
	}{
		{Said{ID: "smells_of_petrol"}, true},
		{Said{"smells_of_petrol", []string{"yes"}}, true},
		{Said{"smells_of_petrol", []string{"no"}}, false},
		{Said{"fuel_overflow", []string{"pours", "drips"}}, true},
		{Said{"fuel_overflow", []string{"pours"}}, false},
		{Said{"tap_kind", []string{"vacuum"}}, true},
		{Said{ID: "float_height"}, true},
		{Said{"float_height", []string{"22.5 mm"}}, true},
		{Said{ID: "plug_face"}, false},
		{Said{ID: "no_such_thing"}, false},
	} {
		if got := s.Says(tt.said); got != tt.want {
			t.Errorf("Says(%v) = %t; want %t", tt.said, got, tt.want)
		}
	}
}
