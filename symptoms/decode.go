package symptoms

import "errors"

// MaxSize is the largest sheet that Decode reads, in bytes.
const MaxSize = 1 << 20

// DecodeOptions refine Decode. The zero value is the default.
type DecodeOptions struct {
	// Actions are the known ids of repairs and checks for tried.did; nil: not checked.
	Actions []string
}

// Decode reads an intake sheet, YAML or JSON. The error is an ErrorList that holds all faults.
func Decode(path string, data []byte, v *Vocabulary, o DecodeOptions) (*Sheet, error) {
	return nil, errors.New("not yet")
}

// ParseValue reads one answer to an observation.
func ParseValue(o *Observation, text string) (Value, error) { return Value{}, errors.New("not yet") }

// Blank returns a commented blank sheet for a machine.
func Blank(v *Vocabulary, m Machine) []byte { return nil }

// BandWeights returns for each band of o how well a value fits it.
func (o *Observation) BandWeights(value Value, around float64) []float64 { return nil }
