package engine

import (
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// Inference returns one inference on a sheet, with the search for an order of work and nothing around it.
func Inference(set *rules.Set, sheet *symptoms.Sheet) (func() error, error) {
	n, err := networkOf(set, sheet)
	if err != nil {
		return nil, err
	}
	ev := n.gather().ev
	return func() error {
		_, err := n.infer(ev, 0)
		return err
	}, nil
}
