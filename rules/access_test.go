package rules

import (
	"testing"

	"diagnose.example/rules/condition"
	"diagnose.example/symptoms"
)

func TestAccessMinutes(t *testing.T) {
	row := &Access{ID: "carburetors-off", About: symptoms.WholeMachine, Minutes: 25, Each: 10}
	bowl := &Access{ID: "bowl-off", About: symptoms.Carburetor, Minutes: 12, Each: 10}
	tests := []struct {
		name        string
		access      *Access
		carburetors int
		want        float64
	}{
		{"one carburetor", row, 1, 25},
		{"four carburetors come off as a row", row, 4, 55},
		{"no carburetors told", row, 0, 25},
		{"one bowl of four", bowl, 4, 12},
	}
	for _, tt := range tests {
		if got := tt.access.On(tt.carburetors); got != tt.want {
			t.Errorf("%s: On(%d) = %g; want %g", tt.name, tt.carburetors, got, tt.want)
		}
	}
	for minutes, want := range map[float64]float64{40: 28, 12: 1, 5: 1} {
		if got := bowl.Beyond(minutes); got != want {
			t.Errorf("Beyond(%g) = %g; want %g", minutes, got, want)
		}
	}
}

// TestAround: a bowl lies inside the carburetors only where somebody told that it is not reached.
func TestAround(t *testing.T) {
	k, err := Default()
	if err != nil {
		t.Fatal(err)
	}
	bowl, _ := k.AccessTo("bowl-off")
	carburetors, _ := k.AccessTo("carburetors-off")
	reached, _ := k.SymbolsOf("bowls_reached")
	tests := []struct {
		name   string
		access *Access
		tell   func(*condition.Case)
		want   *Access
	}{
		{"not told", bowl, func(*condition.Case) {}, nil},
		{"reached", bowl, func(c *condition.Case) { c.SetYesNo(reached, true) }, nil},
		{"not reached", bowl, func(c *condition.Case) { c.SetYesNo(reached, false) }, carburetors},
		{"inside nothing", carburetors, func(c *condition.Case) { c.SetYesNo(reached, false) }, nil},
		{"inside on every machine", &Access{ID: "lid", Inside: "carburetors-off"}, func(*condition.Case) {}, carburetors},
	}
	for _, tt := range tests {
		c := k.Env.NewCase()
		tt.tell(c)
		if got, ok := k.Around(tt.access, c); got != tt.want || ok != (tt.want != nil) {
			t.Errorf("%s: Around(%s) = %v, %t; want %v", tt.name, tt.access.ID, got, ok, tt.want)
		}
	}
}
