// Package rules holds the knowledge of a diagnosis: causes, the effects they have inside the machine, the rules by which
// effects are seen, and the stop notices, checks, repairs, parts and sources that go with them.
//
// A cause makes effects happen, effects make further effects happen, and effects are seen as findings. All links are
// written in the causal direction, each with a likelihood word, and together they form a layered noisy-OR network
// (Pearl, Probabilistic Reasoning in Intelligent Systems, 1988). A record is written once, about the machine, a
// carburetor or a cylinder; the engine makes the copies. What a link says is printed as one sentence ([Set.Explain]), and
// that sentence is what a reviewer checks.
//
// Records stand in packs: YAML files of a strict format (see [Load]). Fields come in a fixed order, an unknown field is an
// error, conditions are typed when they are loaded, every claim cites its source, and every mistake in all packs is
// reported at once with file, line and column. Being well formed is one thing, being good knowledge another: the second is
// judged by [Set.Lint], which never stops anything.
//
// [Default] returns the packs that come with the program. They are embedded in a generated form that loads many times
// faster than YAML and is proved fresh by a test; go test ./rules -update rewrites it.
//
// The package does no inference, knows no machine but the one of an example case, and makes no texts for a screen: the
// sentences here are the smallest units that a report puts together.
package rules
