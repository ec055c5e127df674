package symptoms_test

import (
	"fmt"

	"diagnose.example/symptoms"
)

const exampleVocabulary = `
vocabulary: 1
observations:
  - id: fuel_overflow
    question: "Does fuel run out of the overflow pipe?"
    where: observed
    about: carburetor
    kind: choice
    words:
      - {word: pours, means: "a stream"}
      - {word: drips, means: "drops"}
      - {word: dry, means: "nothing"}
    normal: dry
    who: look-over
  - id: float_height
    question: "Float height"
    where: observed
    about: carburetor
    kind: number
    unit: mm
    range: [5, 45]
    uncertainty: 0.3
    around: spec.float_height
    bands:
      - {word: low, below: -1 mm}
      - {word: right, below: 1 mm}
      - {word: high}
    normal: right
    who: bench
  - id: spec.float_height
    question: "Book float height"
    where: machine
    about: carburetor
    kind: number
    unit: mm
    range: [5, 45]
`

// One sheet from text to readings.
func ExampleDecode() {
	v, err := symptoms.ParseVocabulary("example.yaml", []byte(exampleVocabulary))
	if err != nil {
		fmt.Println(err)
		return
	}
	sheet, err := symptoms.Decode("1042.yaml", []byte(`
sheet: 1
machine: {carburetors: [left, right]}
every: {fuel_overflow: dry}
at:
  left: {fuel_overflow: drips, float_height: 7/8 in}
`), v, symptoms.DecodeOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range sheet.Readings {
		fmt.Println(r.Pos, r.Observation.ID, r.Place, r.Value.Text)
	}
	// Output:
	// 1042.yaml:4:9 fuel_overflow right dry
	// 1042.yaml:6:10 fuel_overflow left drips
	// 1042.yaml:6:32 float_height left 7/8 in
}

// All faults of a sheet come at once, with what to write instead.
func ExampleDecode_faults() {
	v, err := symptoms.ParseVocabulary("example.yaml", []byte(exampleVocabulary))
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = symptoms.Decode("1042.yaml", []byte(`sheet: 1
every:
  fuel_overflw: dry
  float_height: 22 bar
`), v, symptoms.DecodeOptions{})
	fmt.Println(err)
	// Output:
	// 1042.yaml:3:3: unknown observation "fuel_overflw"
	//       fuel_overflw: dry
	//       ^^^^^^^^^^^^
	//   did you mean fuel_overflow?
	// 1042.yaml:4:17: float_height is a length, and bar measures a pressure
	//       float_height: 22 bar
	//                     ^^^^^^
	//   write it in mm, cm, ft, in, km, m, mi or thou
}

// A reading near the limit of two bands speaks for both of them.
func ExampleObservation_BandWeights() {
	v, err := symptoms.ParseVocabulary("example.yaml", []byte(exampleVocabulary))
	if err != nil {
		fmt.Println(err)
		return
	}
	height, _ := v.Lookup("float_height")
	const spec = 0.021 // m
	for _, text := range []string{"21 mm", "22 mm", "22.5 mm", "22 to 26 mm", "high"} {
		value, err := symptoms.ParseValue(height, text)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-12s", text)
		for i, w := range height.BandWeights(value, spec) {
			fmt.Printf(" %s %.3f", height.Bands[i].Word, w)
		}
		fmt.Println()
	}
	// Output:
	// 21 mm        low 0.001 right 1.000 high 0.001
	// 22 mm        low 0.002 right 1.000 high 0.089
	// 22.5 mm      low 0.012 right 0.582 high 1.000
	// 22 to 26 mm  low 0.000 right 0.000 high 1.000
	// high         low 0.000 right 0.000 high 1.000
}
