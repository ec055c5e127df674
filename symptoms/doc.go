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
// The vocabulary is written in YAML (vocabulary/README describes the format) and
// loaded from a form generated out of it; Default returns it.
//
// Deliberately not here: what an observation means. No cause, no rule, no
// probability of a fault is known to this package; it reads no file, no clock, and
// prints nothing.
package symptoms
