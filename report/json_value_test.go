package report

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
)

// Values that are written by hand are written as the standard library writes them.
func TestAppendValue(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 9))
	values := []any{"", "left", "a \"quoted\" <word>", "39 °C", figure(0), figure(1), figure(-2.5), figure(1e-6), figure(9.99e-7), figure(1e21), figure(9e20),
		figure(math.Inf(1)), figure(math.NaN())}
	for range 1000 {
		values = append(values, figure(math.Ldexp(rng.Float64()-0.5, rng.IntN(200)-100)))
	}
	for _, v := range values {
		want, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := appendValue(nil, v); err != nil || string(got) != string(want) {
			t.Errorf("%v: %s, %v; want %s", v, got, err, want)
		}
	}
}
