package rules

import (
	"testing"

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
