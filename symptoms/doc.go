// Package symptoms holds what can be said about a bike that comes in: the
// vocabulary of machine facts, history words and observations, the units of its
// measurements, and the intake sheet that uses it.
//
// The idea: whatever a person may write has a name, a question in plain words, and a
// closed set of answers (yes or no, words, or a number with unit, plausible range
// and uncertainty). A sheet is decoded against that vocabulary whole: every fault of
// a file is reported at once, with file, line, column, the offending text and what
// to write instead, and what comes out is a flat list of readings, each one
// observation at one place. Numbers leave this package as intervals in SI base
// units. What was not said is absent from the list: silence is never "no".
//
// # The sheet
//
// A sheet is YAML or JSON, one document of at most 1 MiB:
//
//	sheet: 1
//	job: "1042"
//	machine:
//	  name: "parallel twin, 360 cm3"
//	  strokes: 4                      # 2 or 4; 4 if left out
//	  cylinders: 2                    # a number or names, 1 to 8
//	  carburetors: [left, right]      # names or a number, 1 to 6; one if left out
//	  feeds: {left: [1], right: [2]}  # shared out evenly in order if left out
//	  spec: {float_height: 21 mm}     # or spec.float_height: 21 mm
//	history: [after-storage]
//	observed: {fuel_smell: yes}       # about the machine, or its only carburetor
//	every: {fuel_overflow: dry}       # the same at each carburetor or cylinder
//	somewhere: {plug_look: wet}       # at one of them at least
//	at:
//	  left: {fuel_overflow: drips, notes: "gasket wet"}
//	tried:
//	  - {did: clean-needle-valve, at: left, after: no-change}
//	notes: |
//	  kept, never evaluated
//
// Everything but the first line may be left out. With one cylinder a carburetor,
// cylinders take the names of the carburetors; a cylinder also answers to its number.
// A place that is a carburetor and a cylinder means what the observation is about. Under
// observed, the value of an observation about carburetors or cylinders may be a map of
// places, as on the sheet that Blank writes.
//
// An answer is yes or no, a word, a list of words where several can hold, or a number
// with unit: 22.5 mm, 22,5 mm, 7/8 in, 1 1/2 turns, 22 ± 1 mm, 20 to 23 mm, < 200 ml/min;
// unknown, or nothing, if nobody looked.
//
// # The vocabulary
//
// The vocabulary is written in YAML (vocabulary/README describes the format) and
// loaded from a form generated out of it; Default returns it.
//
// Deliberately not here: what an observation means. No cause, no rule, no
// probability of a fault is known to this package; it reads no file, no clock, and
// prints nothing.
package symptoms
